//! Distributions, noncentral t and tolerance factors against scipy and printed tables
//! (sources beside the values in `reference/quantiles.toml`, `reference/tolerance.toml`).

use crate::values::{array, block, close, get, list, near, number, parse, rows};
use spanwise::measure::{distribution, multiplicity, noncentral_t, tolerance};

const QUANTILES: &str = include_str!("../reference/quantiles.toml");
const TOLERANCE: &str = include_str!("../reference/tolerance.toml");
const COMPARISON: &str = include_str!("../reference/comparison.toml");

#[test]
fn quantiles_agree_with_scipy() {
    let root = parse(QUANTILES);
    type Quantile = fn(f64, f64) -> f64;
    let tables: [(&str, Quantile); 2] = [
        ("quantile.student_t", distribution::t_quantile),
        ("quantile.chi_square", distribution::chi_square_quantile),
    ];
    for (name, quantile) in tables {
        let table = block(&root, name);
        let p = list(table, "p");
        for row in rows(table, "rows") {
            for (p, expected) in p.iter().zip(&row[1..]) {
                close(quantile(*p, row[0]), *expected, 1e-9, &format!("{name} p {p} df {}", row[0]));
            }
        }
    }
    for row in rows(block(&root, "quantile.f_distribution"), "rows") {
        close(distribution::f_quantile(0.95, row[0], row[1]), row[2], 1e-9, "F");
        close(distribution::f_upper(row[2], row[0], row[1]), 0.05, 1e-9, "upper tail of F");
    }
}

#[test]
fn normal_and_t_agree_with_scipy() {
    let root = parse(QUANTILES);
    let normal = block(&root, "quantile.normal");
    for (p, z) in list(normal, "p").iter().zip(list(normal, "z")) {
        close(distribution::normal_quantile(*p), z, 1e-12, "normal quantile");
    }
    let cdf = block(&root, "quantile.normal_cdf");
    for (x, p) in list(cdf, "x").iter().zip(list(cdf, "cdf")) {
        close(distribution::normal_cdf(*x), p, 1e-12, "normal cdf");
    }
    let t = block(&root, "quantile.student_t_cdf");
    for (df, row) in list(t, "df").iter().zip(rows(t, "rows")) {
        for (x, p) in list(t, "x").iter().zip(row) {
            close(distribution::t_cdf(*x, *df), p, 1e-12, "t cdf");
        }
    }
}

#[test]
fn smallest_loss_factor_agrees_with_exact_noncentral_t() {
    let root = parse(COMPARISON);
    for row in rows(block(&root, "reference.factors"), "rows") {
        let nu = row[0] - 1.0;
        let widening = (1.0 + 1.0 / row[0]).sqrt();
        close(distribution::t_quantile(0.975, nu) * widening, row[1], 1e-9, "k prediction");
        let two = noncentral_t::Sides::Two;
        close(noncentral_t::detectable_shift(nu, 0.05, 0.8, two) * widening, row[3], 2e-8, "mdd");
        close(distribution::t_quantile(0.95, nu) * widening, row[4], 1e-9, "k one-sided");
    }
}

#[test]
fn one_sided_tolerance_factors_agree_with_table() {
    let root = parse(TOLERANCE);
    for name in ["90_95", "95_95", "95_90"] {
        let table = block(&root, &format!("tolerance.one_sided_{name}")).clone();
        for row in rows(&table, "rows") {
            let n = row[0] as usize;
            let k = tolerance::one_sided_factor(n, get(&table, "P"), get(&table, "gamma")).unwrap();
            close(k, row[1], 1e-8, &format!("one-sided {name} n {n}"));
            near(k, row[2], 0.0006, "printed table, three decimals");
        }
    }
    let example = block(&root, "tolerance.handbook_example");
    let k = tolerance::one_sided_factor(43, 0.90, 0.99).unwrap();
    close(k, get(example, "k1_exact_library"), 1e-8, "n = 43");
}

#[test]
fn two_sided_tolerance_factors_agree_with_table() {
    let root = parse(TOLERANCE);
    for name in ["90_95", "95_95", "95_90"] {
        let table = block(&root, &format!("tolerance.two_sided_{name}")).clone();
        let (p, gamma) = (get(&table, "P"), get(&table, "gamma"));
        for row in rows(&table, "rows") {
            let n = row[0] as usize;
            let k = tolerance::two_sided_factor(n, p, gamma).unwrap();
            close(k, row[1], 1e-8, &format!("two-sided {name} n {n}"));
            near(k, row[2], 0.0006, "printed table, three decimals");
            close(tolerance::howe_factor(n, p, gamma).unwrap(), row[3], 1e-9, "Howe");
        }
    }
    for row in array(block(&root, "tolerance.two_sided_iso"), "rows") {
        let row: Vec<f64> = row.as_array().unwrap().iter().map(number).collect();
        let k = tolerance::two_sided_factor(row[2] as usize, row[0], row[1]).unwrap();
        near((k * 1e4).ceil() / 1e4, row[4], 1e-9, "ISO 16269-6 rounds the fourth decimal up");
    }
    let example = block(&root, "tolerance.handbook_example");
    close(tolerance::two_sided_factor(43, 0.90, 0.99).unwrap(), get(example, "k2_exact"), 1e-8, "n = 43");
    let howe = tolerance::howe_factor(43, 0.90, 0.99).unwrap();
    near(howe, get(example, "k2_printed_howe"), 0.00006, "handbook 7.2.6.3");
}

#[test]
fn holm_agrees_with_statsmodels() {
    let root = parse(COMPARISON);
    let table = block(&root, "multiplicity.holm");
    let found = multiplicity::holm(&list(table, "p"), 0.05).unwrap();
    for (i, (adjusted, reject)) in list(table, "adjusted").iter().zip(array(table, "reject")).enumerate() {
        close(found[i].adjusted_p, *adjusted, 1e-12, "Holm");
        assert_eq!(found[i].stands, reject.as_bool().unwrap());
    }
}

/// Values of scipy 1.17 (`t.ppf`, `chi2.ppf`, `t.cdf`) where the crate's own quantiles lead nowhere or lose digits.
#[test]
fn quantiles_hold_far_in_the_tails_and_for_many_degrees_of_freedom() {
    let far = distribution::t_quantile(2.18163074689e-9, 0.804237221619);
    close(far, -13754073099.414782, 1e-9, "t, lower tail");
    let near_nothing = distribution::chi_square_quantile(4.43114379452e-7, 0.854672553323);
    close(near_nothing, 2.044112731990652e-15, 1e-9, "chi-square, lower tail");
    close(
        distribution::chi_square_quantile(0.99999999894, 37.0),
        113.51802169839793,
        1e-10,
        "chi-square, upper tail",
    );
    close(distribution::t_quantile(0.95, 8.8e6), 1.6448538001070758, 1e-12, "t, many degrees of freedom");
    close(distribution::t_cdf(-3.0, 1e6), 0.0013499312707109, 1e-12, "t_cdf, many degrees of freedom");
    assert_eq!(distribution::t_quantile(0.5, 3.0), 0.0);
}

/// A level of 1 % with one degree of freedom has a critical t of 63.7: the integrand is a narrow step.
/// scipy 1.17, root of the power by `nct.sf`; checked by adaptive quadrature.
#[test]
fn a_narrow_step_of_the_noncentral_t_is_not_missed() {
    let two = noncentral_t::Sides::Two;
    close(noncentral_t::detectable_shift(1.0, 0.01, 0.8, two), 81.58946178416838, 1e-10, "shift");
    close(noncentral_t::noncentral_t_cdf(f64::INFINITY, 0.6, 2.0), 1.0, 1e-8, "infinite t");
    assert!(noncentral_t::noncentral_t_cdf(f64::NAN, 2.0, 1.0).is_nan());
}
