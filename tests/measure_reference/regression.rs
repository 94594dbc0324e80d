//! Least squares against NIST StRD certified values and JCGM 100 H.3
//! (sources beside the values in `reference/regression.toml`).

use crate::values::{block, close, get, list, near, parse};
use spanwise::measure::distribution::t_quantile;
use spanwise::measure::least_squares::{Intercept, LeastSquaresError, fit};
use toml::Table;

fn data() -> Table {
    parse(include_str!("../reference/regression.toml"))
}

#[test]
fn norris_to_the_certified_digits() {
    let root = data();
    let table = block(&root, "nist.norris");
    let fit = fit(&[list(table, "x")], &list(table, "y"), Intercept::Fitted).unwrap();
    close(fit.coefficients[0], get(table, "b0"), 1e-11, "b0");
    close(fit.coefficients[1], get(table, "b1"), 1e-13, "b1");
    close(fit.standard_uncertainty(0, fit.residual_sd), get(table, "se_b0"), 1e-11, "se b0");
    close(fit.standard_uncertainty(1, fit.residual_sd), get(table, "se_b1"), 1e-11, "se b1");
    close(fit.residual_sd, get(table, "residual_sd"), 1e-11, "residual sd");
    close(fit.r_squared, get(table, "r_squared"), 1e-13, "R squared");
    close(fit.residual_ss, get(table, "residual_ss"), 1e-11, "residual SS");
    close(fit.regression_ss, get(table, "regression_ss"), 1e-12, "regression SS");
    close(fit.f_statistic, get(table, "f_statistic"), 1e-11, "F");
    assert_eq!(fit.degrees_of_freedom as f64, get(table, "residual_df"));

    let derived = block(&root, "nist.norris_derived");
    let t = t_quantile(0.975, 34.0);
    let half = t * fit.standard_uncertainty(1, fit.residual_sd);
    close(fit.coefficients[1] - half, list(derived, "b1_ci95")[0], 1e-12, "interval of b1");
    let (mean, u) = fit.mean_at(&[500.0], fit.residual_sd);
    close(mean, get(derived, "y0"), 1e-13, "value at 500");
    close(mean - t * u, list(derived, "mean_ci95")[0], 1e-12, "interval of the mean");
    let u = fit.prediction_uncertainty_at(&[500.0], fit.residual_sd);
    close(t * u, get(derived, "prediction_half_width_by_formula"), 1e-9, "prediction half-width");
    close(mean + t * u, list(derived, "prediction_95")[1], 1e-12, "prediction interval");
}

#[test]
fn noint1_to_the_certified_digits() {
    let root = data();
    let table = block(&root, "nist.noint1");
    let fit = fit(&[list(table, "x")], &list(table, "y"), Intercept::None).unwrap();
    close(fit.coefficients[0], get(table, "b1"), 1e-13, "b1");
    close(fit.standard_uncertainty(0, fit.residual_sd), get(table, "se_b1"), 1e-12, "se b1");
    close(fit.residual_sd, get(table, "residual_sd"), 1e-12, "residual sd");
    close(fit.r_squared, get(table, "r_squared"), 1e-13, "R squared");
    close(fit.residual_ss, get(table, "residual_ss"), 1e-12, "residual SS");
    close(fit.f_statistic, get(table, "f_statistic"), 1e-12, "F");
}

#[test]
fn pontius_to_the_certified_digits() {
    let root = data();
    let table = block(&root, "nist.pontius");
    let x = list(table, "x");
    let square = x.iter().map(|v| v * v).collect();
    let fit = fit(&[x, square], &list(table, "y"), Intercept::Fitted).unwrap();
    for (i, (b, se)) in list(table, "b").iter().zip(list(table, "se_b")).enumerate() {
        close(fit.coefficients[i], *b, 1e-9, &format!("b{i}"));
        close(fit.standard_uncertainty(i, fit.residual_sd), se, 1e-9, &format!("se b{i}"));
    }
    close(fit.residual_sd, get(table, "residual_sd"), 1e-9, "residual sd");
    close(fit.residual_ss, get(table, "residual_ss"), 1e-9, "residual SS");
    close(fit.r_squared, get(table, "r_squared"), 1e-13, "R squared");
}

#[test]
fn calibration_line_of_jcgm_100_h3() {
    let root = data();
    let table = block(&root, "gum.h3_calibration_line");
    let t0 = get(table, "t0");
    let x = list(table, "t").iter().map(|t| t - t0).collect();
    let fit = fit(&[x], &list(table, "b"), Intercept::Fitted).unwrap();
    let s = fit.residual_sd;
    close(fit.coefficients[0], get(table, "y1"), 1e-12, "y1");
    close(fit.coefficients[1], get(table, "y2"), 1e-11, "y2");
    close(fit.standard_uncertainty(0, s), get(table, "u_y1"), 1e-10, "u(y1)");
    close(fit.standard_uncertainty(1, s), get(table, "u_y2"), 1e-10, "u(y2)");
    close(fit.correlation(0, 1), get(table, "correlation"), 1e-10, "r(y1, y2)");
    let (b30, u_b30) = fit.mean_at(&[10.0], s);
    close(b30, get(table, "b30"), 1e-11, "b(30)");
    close(u_b30, get(table, "u_b30"), 1e-10, "u(b(30))");
    near(b30, get(table, "b30_printed"), 0.00005, "printed b(30)");
    near(u_b30, get(table, "u_b30_printed"), 0.00005, "printed u(b(30))");
    near(fit.coefficients[0], get(table, "y1_printed"), 0.00005, "printed y1");
    close(fit.residual_ss, get(table, "residual_ss_printed"), 1e-11, "residual SS");
}

#[test]
fn force_on_deflection_and_its_inverse() {
    let root = data();
    let all: Vec<&Table> =
        root.get("regression").unwrap().as_array().unwrap().iter().map(|v| v.as_table().unwrap()).collect();
    let named = |name: &str| *all.iter().find(|t| t.get("name").unwrap().as_str() == Some(name)).unwrap();
    let table = named("push_load_stiffness");
    let (force, deflection) = (list(table, "force_n"), list(table, "deflection_mm"));
    let direct = fit(std::slice::from_ref(&deflection), &force, Intercept::Fitted).unwrap();
    close(direct.coefficients[1], get(table, "slope_n_per_mm"), 1e-8, "slope");
    close(direct.coefficients[0], get(table, "intercept_n"), 1e-6, "intercept");
    close(direct.standard_uncertainty(1, direct.residual_sd), get(table, "slope_stderr"), 1e-7, "se");
    close(direct.r_squared, get(table, "r_squared"), 1e-8, "R squared");
    let origin = fit(std::slice::from_ref(&deflection), &force, Intercept::None).unwrap();
    close(origin.coefficients[0], get(table, "slope_through_origin"), 1e-8, "through the origin");
    let inverse = fit(&[force], &deflection, Intercept::Fitted).unwrap();
    let table = named("push_load_inverse_regression");
    close(inverse.coefficients[1], get(table, "slope_mm_per_n"), 1e-8, "compliance");
    close(1.0 / inverse.coefficients[1], get(table, "inverse_n_per_mm"), 1e-8, "inverted");
}

#[test]
fn refuses_what_cannot_be_fitted() {
    let y = [1.0, 2.0, 3.0];
    assert_eq!(
        fit(&[vec![1.0, 2.0]], &[1.0, 2.0], Intercept::Fitted),
        Err(LeastSquaresError::InsufficientData { points: 2, parameters: 2 })
    );
    let constant = fit(&[vec![7.0; 3]], &y, Intercept::Fitted);
    assert_eq!(constant, Err(LeastSquaresError::Dependent { column: 0 }));
    let twice =
        fit(&[vec![1.0, 2.0, 4.0, 3.0], vec![2.0, 4.0, 8.0, 6.0]], &[1.0, 2.0, 3.0, 4.0], Intercept::Fitted);
    assert_eq!(twice, Err(LeastSquaresError::Dependent { column: 1 }));
    assert_eq!(fit(&[vec![1.0, f64::NAN, 2.0]], &y, Intercept::Fitted), Err(LeastSquaresError::NotFinite));
}
