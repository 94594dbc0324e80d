//! Distribution functions, noncentral t and tolerance factors.

use super::args::{Answer, Args, number, refused};
use spanwise::measure::distribution::{
    beta_quantile, binomial_lower, binomial_upper, chi_square_cdf, chi_square_quantile, chi_square_upper,
    f_quantile, f_upper, normal_cdf, normal_quantile, t_cdf, t_quantile, t_two_sided_p,
};
use spanwise::measure::noncentral_t::{Sides, critical_t, detectable_shift, noncentral_t_cdf, power};
use spanwise::measure::tolerance::{howe_factor, one_sided_factor, two_sided_factor};

pub const ALL: &[super::Statistic] = &[
    ("normal_cdf", |a| Ok(number(normal_cdf(a.number("x")?)))),
    ("normal_quantile", |a| Ok(number(normal_quantile(a.number("p")?)))),
    ("t_cdf", |a| Ok(number(t_cdf(a.number("x")?, a.number("nu")?)))),
    ("t_two_sided_p", |a| Ok(number(t_two_sided_p(a.number("x")?, a.number("nu")?)))),
    ("t_quantile", |a| Ok(number(t_quantile(a.number("p")?, a.number("nu")?)))),
    ("chi_square_cdf", |a| Ok(number(chi_square_cdf(a.number("x")?, a.number("nu")?)))),
    ("chi_square_upper", |a| Ok(number(chi_square_upper(a.number("x")?, a.number("nu")?)))),
    ("chi_square_quantile", |a| Ok(number(chi_square_quantile(a.number("p")?, a.number("nu")?)))),
    ("f_upper", |a| Ok(number(f_upper(a.number("x")?, a.number("d1")?, a.number("d2")?)))),
    ("f_quantile", |a| Ok(number(f_quantile(a.number("p")?, a.number("d1")?, a.number("d2")?)))),
    ("beta_quantile", |a| Ok(number(beta_quantile(a.number("p")?, a.number("a")?, a.number("b")?)))),
    ("binomial_lower", |a| Ok(number(binomial_lower(a.whole("k")?, a.whole("n")?, a.number("p")?)))),
    ("binomial_upper", |a| Ok(number(binomial_upper(a.whole("k")?, a.whole("n")?, a.number("p")?)))),
    ("noncentral_t_cdf", |a| {
        Ok(number(noncentral_t_cdf(a.number("x")?, a.number("nu")?, a.number("delta")?)))
    }),
    ("critical_t", |a| Ok(number(critical_t(a.number("alpha")?, a.number("nu")?, sides(a)?)))),
    ("power", |a| Ok(number(power(a.number("delta")?, a.number("nu")?, a.number("alpha")?, sides(a)?)))),
    ("detectable_shift", |a| {
        let wanted = a.number("power")?;
        Ok(number(detectable_shift(a.number("nu")?, a.number("alpha")?, wanted, sides(a)?)))
    }),
    ("tolerance_one_sided", |a| factor(a, one_sided_factor)),
    ("tolerance_two_sided", |a| factor(a, two_sided_factor)),
    ("tolerance_howe", |a| factor(a, howe_factor)),
];

type Factor<E> = fn(usize, f64, f64) -> Result<f64, E>;

fn factor<E: std::fmt::Display>(a: &Args, of: Factor<E>) -> Answer {
    of(a.size("n")?, a.number("share")?, a.number("confidence")?).map(number).map_err(refused)
}

pub fn sides(a: &Args) -> Result<Sides, String> {
    Ok(if a.truth("two_sided")? { Sides::Two } else { Sides::One })
}
