//! Distribution functions and quantiles used by the other measurement modules.
//!
//! Arguments outside a function's domain give NaN; the callers check their inputs first and say in
//! words what is wrong. Source of the algorithms: the `statrs` crate, each quantile sharpened by Newton steps.

use statrs::distribution::{Beta, ChiSquared, Continuous, ContinuousCDF, FisherSnedecor, Normal, StudentsT};
use statrs::function::beta::checked_beta_reg;
use statrs::function::gamma::{checked_gamma_lr, checked_gamma_ur};

/// Above this many degrees of freedom Student t is the normal distribution to every digit that is printed.
const NORMAL_FROM_DF: f64 = 1e10;

/// From here Hill's formula has every digit, and the crate's incomplete beta function loses some (nine are left at a million).
const LARGE_DF: f64 = 500.0;

/// Phi(x), standard normal, by the incomplete gamma function (the crate's own erf keeps only ten digits).
pub fn normal_cdf(x: f64) -> f64 {
    let half_square = x * x / 2.0;
    if half_square == 0.0 {
        return 0.5;
    }
    if half_square > 745.0 {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    if x < 0.0 {
        0.5 * checked_gamma_ur(0.5, half_square).unwrap_or(f64::NAN)
    } else {
        0.5 + 0.5 * checked_gamma_lr(0.5, half_square).unwrap_or(f64::NAN)
    }
}

/// Phi^-1(p), 0 < p < 1.
pub fn normal_quantile(p: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    let normal = Normal::standard();
    sharpen(normal.inverse_cdf(p), p, normal_cdf, |x| normal.pdf(x))
}

/// Distribution function of Student t with `nu` > 0 degrees of freedom (`INFINITY` allowed).
pub fn t_cdf(x: f64, nu: f64) -> f64 {
    if x.is_nan() {
        return f64::NAN;
    }
    if x.is_infinite() {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    if nu >= NORMAL_FROM_DF {
        return normal_cdf(x);
    }
    if nu >= LARGE_DF {
        return normal_cdf(as_normal(x, nu));
    }
    StudentsT::new(0.0, 1.0, nu).map_or(f64::NAN, |t| t.cdf(x))
}

/// The standard normal value with the same probability as `x` has under Student t with many degrees of freedom.
/// Source: Hill 1970, Algorithm 395 (from memory).
fn as_normal(x: f64, nu: f64) -> f64 {
    let a = nu - 0.5;
    let b = 48.0 * a * a;
    let square = a * (x * x / nu).ln_1p();
    let y = square.sqrt();
    let last = (((0.4 * square + 3.3) * square + 24.0) * square + 85.5) / (0.8 * square * square + 100.0 + b);
    (y * (1.0 + (square + 3.0 - last) / b)).copysign(x)
}

/// Two-sided p value of a t statistic.
pub fn t_two_sided_p(t: f64, nu: f64) -> f64 {
    (2.0 * t_cdf(-t.abs(), nu)).min(1.0)
}

/// Quantile of Student t with `nu` > 0 degrees of freedom (`INFINITY` allowed), 0 < p < 1.
pub fn t_quantile(p: f64, nu: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    if nu >= NORMAL_FROM_DF {
        return normal_quantile(p);
    }
    let Ok(t) = StudentsT::new(0.0, 1.0, nu) else { return f64::NAN };
    // The lower tail keeps its digits; the upper tail is its mirror image.
    let tail = p.min(1.0 - p);
    if tail == 0.5 {
        return 0.0;
    }
    let start = if nu >= LARGE_DF { normal_quantile(tail) } else { t.inverse_cdf(tail) };
    let found = sharpen(start, tail, |x| t_cdf(x, nu), |x| t.pdf(x));
    let x = found_or_sought(-found, tail, |x| t_cdf(-x, nu));
    if p > 0.5 { x } else { -x }
}

/// P(X <= x) of chi-square with `nu` > 0.
pub fn chi_square_cdf(x: f64, nu: f64) -> f64 {
    ChiSquared::new(nu).map_or(f64::NAN, |c| c.cdf(x.max(0.0)))
}

/// P(X > x) of chi-square with `nu` > 0.
pub fn chi_square_upper(x: f64, nu: f64) -> f64 {
    ChiSquared::new(nu).map_or(f64::NAN, |c| c.sf(x.max(0.0)))
}

/// Quantile of chi-square with `nu` > 0, 0 < p < 1.
pub fn chi_square_quantile(p: f64, nu: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    let Ok(c) = ChiSquared::new(nu) else { return f64::NAN };
    // The smaller tail keeps its digits.
    if p > 0.5 {
        let above = |x: f64| c.sf(x);
        return found_or_sought(sharpen(c.inverse_cdf(p), 1.0 - p, above, |x| -c.pdf(x)), 1.0 - p, above);
    }
    let below = |x: f64| c.cdf(x);
    found_or_sought(sharpen(c.inverse_cdf(p), p, below, |x| c.pdf(x)), p, below)
}

/// P(X > x) of the F distribution with `d1`, `d2` > 0.
pub fn f_upper(x: f64, d1: f64, d2: f64) -> f64 {
    if x.is_nan() {
        return f64::NAN;
    }
    if x <= 0.0 {
        return 1.0;
    }
    if x.is_infinite() {
        return 0.0;
    }
    FisherSnedecor::new(d1, d2).map_or(f64::NAN, |f| f.sf(x))
}

/// Quantile of the F distribution, 0 < p < 1, `d1`, `d2` > 0.
pub fn f_quantile(p: f64, d1: f64, d2: f64) -> f64 {
    if !(p > 0.0 && p < 1.0 && d1 > 0.0 && d2 > 0.0) {
        return f64::NAN;
    }
    // F = (d2/d1) B/(1-B) with B of the beta distribution: its inverse is better conditioned.
    let b = beta_quantile(p, d1 / 2.0, d2 / 2.0);
    d2 * b / (d1 * (1.0 - b))
}

/// Quantile of the beta distribution, 0 < p < 1, `a`, `b` > 0.
pub fn beta_quantile(p: f64, a: f64, b: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    let Ok(beta) = Beta::new(a, b) else { return f64::NAN };
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    // Halving the interval: slow but it cannot leave [0, 1], and it is called a few times per result.
    while high - low > f64::EPSILON * high {
        let middle = 0.5 * (low + high);
        if middle <= low || middle >= high {
            break;
        }
        if beta.cdf(middle) < p { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// P(X <= k) for X of the binomial distribution with `n` trials and probability `p` in (0, 1).
pub fn binomial_lower(k: u64, n: u64, p: f64) -> f64 {
    if k >= n {
        return 1.0;
    }
    checked_beta_reg((n - k) as f64, k as f64 + 1.0, 1.0 - p).unwrap_or(f64::NAN)
}

/// P(X >= k) for X of the binomial distribution with `n` trials and probability `p` in (0, 1).
pub fn binomial_upper(k: u64, n: u64, p: f64) -> f64 {
    if k == 0 {
        return 1.0;
    }
    if k > n {
        return 0.0;
    }
    checked_beta_reg(k as f64, (n - k) as f64 + 1.0, p).unwrap_or(f64::NAN)
}

/// Root of an increasing or decreasing `f` between `low` and `high`, to about 1e-13 relative.
/// `None` if `f` has the same sign at both ends or is not a number there.
///
/// Halving until the interval is narrow, then false position (Illinois), which needs few evaluations there.
pub(crate) fn root_between(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> Option<f64> {
    let (mut at_low, mut at_high) = (f(low), f(high));
    let product = at_low * at_high;
    if product.is_nan() || product > 0.0 {
        return None;
    }
    let (mut before, mut moved_high) = (f64::NAN, None);
    for _ in 0..300 {
        let middle = 0.5 * (low + high);
        let narrow = high - low <= 0.02 * middle.abs();
        let x = if narrow { high - at_high * (high - low) / (at_high - at_low) } else { middle };
        if !(low..=high).contains(&x) || (x - before).abs() <= 1e-13 * x.abs() {
            return Some(if x.is_nan() { middle } else { x.clamp(low, high) });
        }
        let at_x = f(x);
        if at_x == 0.0 || at_x.is_nan() {
            return (at_x == 0.0).then_some(x);
        }
        let moves_high = at_x * at_high > 0.0;
        // An end that stays twice in a row counts half, so that it moves next.
        let halve = if narrow && moved_high == Some(moves_high) { 0.5 } else { 1.0 };
        if moves_high {
            (high, at_high) = (x, at_x);
            at_low *= halve;
        } else {
            (low, at_low) = (x, at_x);
            at_high *= halve;
        }
        moved_high = narrow.then_some(moves_high);
        before = x;
    }
    Some(0.5 * (low + high))
}

/// Newton steps on a quantile; a step that would leave the finite numbers is not taken.
fn sharpen(start: f64, p: f64, cdf: impl Fn(f64) -> f64, pdf: impl Fn(f64) -> f64) -> f64 {
    let mut x = start;
    for _ in 0..3 {
        let step = (cdf(x) - p) / pdf(x);
        if !step.is_finite() {
            break;
        }
        x -= step;
    }
    x
}

/// A positive quantile as found, if it has the probability `p` under the rising or falling `cdf`; else sought anew.
///
/// Far in a tail the crate's start is so poor that Newton steps lead nowhere; there the logarithm is halved.
fn found_or_sought(found: f64, p: f64, cdf: impl Fn(f64) -> f64) -> f64 {
    let off = |x: f64| cdf(x) / p - 1.0;
    if found > 0.0 && off(found).abs() < 1e-9 {
        return found;
    }
    let (mut low, mut high) = (1.0_f64, 1.0_f64);
    while off(low) * off(high) > 0.0 && low > 1e-300 {
        (low, high) = (low / 16.0, high * 16.0);
    }
    root_between(low.ln(), high.ln(), |ln_x| off(ln_x.exp())).map_or(f64::NAN, f64::exp)
}
