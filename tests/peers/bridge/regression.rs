//! Least squares with everything a fit carries.

use super::args::{Answer, Args, number, numbers, refused};
use serde_json::{Value, json};
use spanwise::measure::least_squares::{Intercept, fit};

pub const ALL: &[super::Statistic] = &[("least_squares", least_squares)];

fn least_squares(a: &Args) -> Answer {
    let intercept = if a.truth("intercept")? { Intercept::Fitted } else { Intercept::None };
    let found = fit(&a.rows("columns")?, &a.numbers("y")?, intercept).map_err(refused)?;
    let s = found.residual_sd;
    let size = found.coefficients.len();
    let row = a.numbers("row")?;
    let (mean, u_mean) = found.mean_at(&row, s);
    let u: Vec<f64> = (0..size).map(|i| found.standard_uncertainty(i, s)).collect();
    let covariance: Value = found.unscaled_covariance.iter().map(|row| numbers(row)).collect();
    Ok(json!({
        "coefficients": numbers(&found.coefficients),
        "covariance": covariance,
        "residuals": numbers(&found.residuals),
        "residual_ss": number(found.residual_ss),
        "regression_ss": number(found.regression_ss),
        "degrees_of_freedom": found.degrees_of_freedom,
        "residual_sd": number(s),
        "r_squared": number(found.r_squared),
        "f_statistic": number(found.f_statistic),
        "u": numbers(&u),
        "correlation": number(found.correlation(0, size - 1)),
        "mean": number(mean),
        "u_mean": number(u_mean),
        "u_prediction": number(found.prediction_uncertainty_at(&row, s)),
    }))
}
