//! Linear least squares by Householder QR on centred and scaled columns.
//!
//! Normal equations on raw values lose half the digits; centring, scaling and QR keep them
//! (NIST StRD data sets Norris, NoInt1 and Pontius are the check).

use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "least-squares/1";

/// A column whose part not explained by the columns before it is smaller than this share of its length adds nothing.
const RANK_TOLERANCE: f64 = 1e-10;

/// Whether a constant term is fitted; it is then coefficient 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Intercept {
    Fitted,
    None,
}

/// Why no fit is possible.
#[derive(Debug, Clone, PartialEq)]
pub enum LeastSquaresError {
    /// `points` values for `parameters` parameters leave no degree of freedom.
    InsufficientData { points: usize, parameters: usize },
    /// Column `column` (0 = first given) is constant or follows from the columns before it.
    Dependent { column: usize },
    /// Column `column` has another length than the responses.
    Length { column: usize, expected: usize, found: usize },
    /// A value is not finite.
    NotFinite,
}

impl fmt::Display for LeastSquaresError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::InsufficientData { points, parameters } => f.write_str(&say!(
                "insufficient data: {points} readings for {parameters} unknowns; at least {} are needed",
                parameters + 1,
                points,
                parameters
            )),
            Self::Dependent { column } => f.write_str(&say!(
                "insufficient data: column {} does not vary independently of the others; spread the readings",
                column + 1
            )),
            Self::Length { column, expected, found } => f.write_str(&say!(
                "column {} has {found} values where {expected} are needed",
                column + 1,
                found,
                expected
            )),
            Self::NotFinite => f.write_str(say!("a value is not a finite number; correct the reading")),
        }
    }
}

impl std::error::Error for LeastSquaresError {}

/// A fitted model. Coefficient 0 is the constant when one was fitted; the others follow the columns' order.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    pub method: &'static str,
    pub coefficients: Vec<f64>,
    /// (X'X)^-1, to be multiplied by a residual variance.
    pub unscaled_covariance: Vec<Vec<f64>>,
    pub residuals: Vec<f64>,
    pub residual_ss: f64,
    /// Explained sum of squares: about the mean with a constant, about zero without.
    pub regression_ss: f64,
    pub degrees_of_freedom: usize,
    pub residual_sd: f64,
    pub r_squared: f64,
    /// F of all columns together against none of them.
    pub f_statistic: f64,
    intercept: Intercept,
}

impl Fit {
    /// Standard uncertainty of coefficient `index` for the residual standard deviation `s`; NaN if there is none such.
    pub fn standard_uncertainty(&self, index: usize, s: f64) -> f64 {
        s * self.covariance(index, index).sqrt()
    }

    /// Correlation of two coefficients; NaN if there are none such.
    pub fn correlation(&self, a: usize, b: usize) -> f64 {
        self.covariance(a, b) / (self.covariance(a, a) * self.covariance(b, b)).sqrt()
    }

    fn covariance(&self, a: usize, b: usize) -> f64 {
        self.unscaled_covariance.get(a).and_then(|row| row.get(b)).copied().unwrap_or(f64::NAN)
    }

    /// Fitted value and its standard uncertainty for one row of the given columns.
    /// A row with too few or too many values gives NaN.
    pub fn mean_at(&self, row: &[f64], s: f64) -> (f64, f64) {
        let mut full = Vec::with_capacity(self.coefficients.len());
        if self.intercept == Intercept::Fitted {
            full.push(1.0);
        }
        full.extend_from_slice(row);
        if full.len() != self.coefficients.len() {
            return (f64::NAN, f64::NAN);
        }
        let value = dot(&full, &self.coefficients);
        let through: Vec<f64> = self.unscaled_covariance.iter().map(|c| dot(c, &full)).collect();
        (value, s * dot(&full, &through).max(0.0).sqrt())
    }

    /// Standard uncertainty of one further reading at a row: sqrt(s^2 + u(mean)^2).
    pub fn prediction_uncertainty_at(&self, row: &[f64], s: f64) -> f64 {
        s.hypot(self.mean_at(row, s).1)
    }
}

/// Fits `y = [b0 +] sum b_j columns[j]`. Columns and `y` have one value per reading.
pub fn fit(columns: &[Vec<f64>], y: &[f64], intercept: Intercept) -> Result<Fit, LeastSquaresError> {
    check(columns, y, intercept)?;
    let centred = intercept == Intercept::Fitted;
    let centre = |v: &[f64]| if centred { mean(v) } else { 0.0 };
    let means: Vec<f64> = columns.iter().map(|c| centre(c)).collect();
    let y_mean = centre(y);
    let y_centred: Vec<f64> = y.iter().map(|v| v - y_mean).collect();
    let mut scales = Vec::with_capacity(columns.len());
    let mut scaled = Vec::with_capacity(columns.len());
    for (index, (column, m)) in columns.iter().zip(&means).enumerate() {
        let shifted: Vec<f64> = column.iter().map(|v| v - m).collect();
        let scale = norm(&shifted);
        if scale <= RANK_TOLERANCE * norm(column) {
            return Err(LeastSquaresError::Dependent { column: index });
        }
        scaled.push(shifted.iter().map(|v| v / scale).collect::<Vec<f64>>());
        scales.push(scale);
    }
    let (gamma, inverse) = solve(&scaled, &y_centred)?;
    let residuals: Vec<f64> = (0..y.len())
        .map(|i| y_centred[i] - scaled.iter().zip(&gamma).map(|(c, g)| c[i] * g).sum::<f64>())
        .collect();
    let slopes: Vec<f64> = gamma.iter().zip(&scales).map(|(g, s)| g / s).collect();
    let covariance = (0..slopes.len())
        .map(|i| (0..slopes.len()).map(|j| inverse[i][j] / (scales[i] * scales[j])).collect())
        .collect();
    let (coefficients, unscaled_covariance) = match intercept {
        Intercept::None => (slopes, covariance),
        Intercept::Fitted => with_constant(slopes, covariance, &means, y_mean, y.len()),
    };
    Ok(assemble(coefficients, unscaled_covariance, residuals, &y_centred, intercept))
}

fn check(columns: &[Vec<f64>], y: &[f64], intercept: Intercept) -> Result<(), LeastSquaresError> {
    let parameters = columns.len() + usize::from(intercept == Intercept::Fitted);
    for (column, values) in columns.iter().enumerate() {
        if values.len() != y.len() {
            return Err(LeastSquaresError::Length { column, expected: y.len(), found: values.len() });
        }
    }
    if !columns.iter().flatten().chain(y).all(|v| v.is_finite()) {
        return Err(LeastSquaresError::NotFinite);
    }
    if y.len() <= parameters || parameters == 0 {
        return Err(LeastSquaresError::InsufficientData { points: y.len(), parameters });
    }
    Ok(())
}

/// Solution and (Z'Z)^-1 of min |y - Z gamma| for unit-length columns, by Householder reflections.
fn solve(columns: &[Vec<f64>], y: &[f64]) -> Result<(Vec<f64>, Vec<Vec<f64>>), LeastSquaresError> {
    let p = columns.len();
    let mut r: Vec<Vec<f64>> = columns.to_vec();
    let mut rhs = y.to_vec();
    for k in 0..p {
        let length = norm(&r[k][k..]);
        if length <= RANK_TOLERANCE {
            return Err(LeastSquaresError::Dependent { column: k });
        }
        let alpha = if r[k][k] > 0.0 { -length } else { length };
        let mut v = r[k][k..].to_vec();
        v[0] -= alpha;
        let half_square = dot(&v, &v) / 2.0;
        for target in r[k..].iter_mut().chain(std::iter::once(&mut rhs)) {
            let factor = dot(&v, &target[k..]) / half_square;
            for (t, w) in target[k..].iter_mut().zip(&v) {
                *t -= factor * w;
            }
        }
    }
    // r[column][row] now holds the upper triangle.
    let back = |b: &[f64]| {
        let mut x = vec![0.0; p];
        for i in (0..p).rev() {
            let known: f64 = (i + 1..p).map(|j| r[j][i] * x[j]).sum();
            x[i] = (b[i] - known) / r[i][i];
        }
        x
    };
    let gamma = back(&rhs);
    let inverse_columns: Vec<Vec<f64>> =
        (0..p).map(|j| back(&(0..p).map(|i| if i == j { 1.0 } else { 0.0 }).collect::<Vec<_>>())).collect();
    let inverse = (0..p)
        .map(|i| {
            (0..p).map(|j| (0..p).map(|k| inverse_columns[k][i] * inverse_columns[k][j]).sum()).collect()
        })
        .collect();
    Ok((gamma, inverse))
}

/// Puts the constant back in front after a centred fit.
fn with_constant(
    slopes: Vec<f64>,
    covariance: Vec<Vec<f64>>,
    means: &[f64],
    y_mean: f64,
    n: usize,
) -> (Vec<f64>, Vec<Vec<f64>>) {
    let cross: Vec<f64> = covariance.iter().map(|row| -dot(row, means)).collect();
    let mut coefficients = vec![y_mean - dot(&slopes, means)];
    coefficients.extend(slopes);
    let mut first = vec![1.0 / n as f64 - dot(&cross, means)];
    first.extend(&cross);
    let mut full = vec![first];
    for (row, c) in covariance.into_iter().zip(cross) {
        let mut extended = vec![c];
        extended.extend(row);
        full.push(extended);
    }
    (coefficients, full)
}

fn assemble(
    coefficients: Vec<f64>,
    unscaled_covariance: Vec<Vec<f64>>,
    residuals: Vec<f64>,
    y_centred: &[f64],
    intercept: Intercept,
) -> Fit {
    let degrees_of_freedom = residuals.len() - coefficients.len();
    let residual_ss = dot(&residuals, &residuals);
    let fitted: Vec<f64> = y_centred.iter().zip(&residuals).map(|(y, r)| y - r).collect();
    let regression_ss = dot(&fitted, &fitted);
    let variance = residual_ss / degrees_of_freedom as f64;
    let explaining = coefficients.len() - usize::from(intercept == Intercept::Fitted);
    Fit {
        method: METHOD,
        coefficients,
        unscaled_covariance,
        residuals,
        residual_ss,
        regression_ss,
        degrees_of_freedom,
        residual_sd: variance.sqrt(),
        r_squared: 1.0 - residual_ss / dot(y_centred, y_centred),
        f_statistic: regression_ss / explaining as f64 / variance,
        intercept,
    }
}

/// Arithmetic mean; a second pass removes the rounding of the first.
fn mean(v: &[f64]) -> f64 {
    let n = v.len() as f64;
    let first = v.iter().sum::<f64>() / n;
    first + v.iter().map(|x| x - first).sum::<f64>() / n
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

fn norm(v: &[f64]) -> f64 {
    dot(v, v).sqrt()
}
