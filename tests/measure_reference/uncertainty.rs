//! Limits and repeats against JCGM 106, ISO 14253-1 and JCGM 100
//! (sources and from-memory flags beside the values in `reference/uncertainty.toml`).

use crate::values::{array, block, cases, close, get, list, near, number, parse, rows, text};
use spanwise::measure::estimate::Estimate;
use spanwise::measure::limits::{
    GuardRule, Limit, LimitError, Undecided, Verdict, guard_factor, judge, p_conform,
};
use spanwise::measure::repeats::{
    Component, Pooled, RepeatsError, SpreadBasis, certificate, combine, digital_step, pooled_repeatability,
    rectangular, repeats, triangular,
};
use toml::Table;

fn data() -> Table {
    parse(include_str!("../reference/uncertainty.toml"))
}

fn known(value: f64, u: f64) -> Estimate {
    Estimate::new(value, u, f64::INFINITY)
}

#[test]
fn one_upper_limit() {
    let root = data();
    let table = block(&root, "guard.one_sided");
    let (limit, u) = (get(table, "T_U"), get(table, "u"));
    let rule = GuardRule::Conformance(get(table, "conformance"));
    for case in cases(table, "cases") {
        let found = judge(known(get(case, "y"), u), Limit::Upper(limit), rule).unwrap();
        close(found.guard, get(table, "g"), 1e-12, "g");
        close(found.accept_to, get(table, "acceptance_limit"), 1e-12, "acceptance limit");
        close(limit + found.guard, get(table, "rejection_limit"), 1e-12, "rejection limit");
        close(found.p_conform, get(case, "p_conform"), 1e-11, "p");
        let expected = match text(case, "answer") {
            "conforms" => Verdict::Within,
            "does not conform" => Verdict::Outside,
            _ => Verdict::CannotDecide(Undecided::LimitInsideUncertainty),
        };
        assert_eq!(found.verdict, expected);
        // The mirror image is a lower limit.
        let mirror = judge(known(-get(case, "y"), u), Limit::Lower(-limit), rule).unwrap();
        assert_eq!(mirror.verdict, expected);
        close(mirror.p_conform, get(case, "p_conform"), 1e-11, "p of the mirror image");
    }
}

#[test]
fn two_limits() {
    let root = data();
    let table = block(&root, "guard.two_sided");
    let (lower, upper, u) = (get(table, "T_L"), get(table, "T_U"), get(table, "u"));
    let rule = GuardRule::Expanded { coverage_factor: get(table, "U") / u };
    for case in cases(table, "cases") {
        let found = judge(known(get(case, "y"), u), Limit::Both { lower, upper }, rule).unwrap();
        close(found.p_conform, get(case, "p_conform"), 1e-11, "p");
        let accepted = list(table, "acceptance_interval_w_equal_U");
        close(found.accept_from, accepted[0], 1e-12, "acceptance interval");
        close(found.accept_to, accepted[1], 1e-12, "acceptance interval");
    }
    close(p_conform(11.0, u, lower, upper), get(table, "p_conform_at_acceptance_limit"), 1e-11, "97.7 %");
}

#[test]
fn worked_example_and_table_of_jcgm_106() {
    // Inputs from memory (flag in the file); the probabilities are computed.
    let root = data();
    let table = block(&root, "guard.jcgm106_diode");
    assert_eq!(table.get("from_memory").and_then(|v| v.as_bool()), Some(true));
    let p = p_conform(get(table, "y"), get(table, "u"), f64::NEG_INFINITY, get(table, "T_U"));
    close(p, get(table, "p_conform"), 1e-11, "p");
    near(p, get(table, "printed_probability"), 0.005, "printed p");
    let table = block(&root, "guard.jcgm106_table1");
    for ((p, z), printed) in list(table, "p").iter().zip(list(table, "z")).zip(list(table, "z_printed")) {
        let guard = judge(known(0.0, 1.0), Limit::Upper(9.0), GuardRule::Conformance(*p)).unwrap().guard;
        close(guard, z, 1e-11, "z");
        near(guard, printed, 0.0051, "printed z");
    }
}

#[test]
fn few_degrees_of_freedom_widen_the_guard_band() {
    let root = data();
    let table = block(&root, "guard.small_df");
    for row in rows(table, "rows") {
        close(guard_factor(get(table, "p"), row[0]), row[1], 1e-9, "q");
        close(guard_factor(get(table, "p"), row[0] + 0.9), row[1], 1e-9, "cut down, not rounded");
    }
}

#[test]
fn unfit_measurements_and_allowances() {
    let limit = Limit::Both { lower: 10.0, upper: 11.9 };
    let unfit = Verdict::CannotDecide(Undecided::MeasurementUnfit);
    assert_eq!(judge(known(11.0, 0.5), limit, GuardRule::default()).unwrap().verdict, unfit);
    let at_limit = known(2.0, 0.12);
    let verdict = judge(at_limit, Limit::Upper(2.0), GuardRule::AllowanceInLimit).unwrap().verdict;
    assert_eq!(verdict, Verdict::Within);
    let over = judge(known(2.0001, 0.12), Limit::Upper(2.0), GuardRule::AllowanceInLimit).unwrap();
    assert_eq!(over.verdict, Verdict::Outside);
    assert_eq!(
        judge(known(2.0, 0.0), Limit::Upper(2.0), GuardRule::default()).unwrap().verdict,
        Verdict::Within
    );
    assert_eq!(p_conform(2.1, 0.0, f64::NEG_INFINITY, 2.0), 0.0);
}

#[test]
fn limits_refuse_what_they_cannot_judge() {
    let swapped = Limit::Both { lower: 3.0, upper: 1.0 };
    let rule = GuardRule::default();
    assert_eq!(judge(known(2.0, 0.1), swapped, rule), Err(LimitError::Swapped { lower: 3.0, upper: 1.0 }));
    let none = Estimate::new(2.0, 0.1, 0.0);
    let error = judge(none, Limit::Upper(3.0), rule).unwrap_err();
    assert!(error.to_string().starts_with("insufficient data: "));
    assert!(judge(known(f64::NAN, 0.1), Limit::Upper(3.0), rule).is_err());
    assert!(judge(known(2.0, -0.1), Limit::Upper(3.0), rule).is_err());
    assert!(judge(known(2.0, 0.1), Limit::Upper(3.0), GuardRule::Conformance(1.0)).is_err());
}

#[test]
fn deflection_budget() {
    let root = data();
    let table = block(&root, "gum.deflection_budget");
    let found = repeats(&list(table, "readings"), 0.05, None).unwrap();
    close(found.mean.value, get(table, "mean"), 1e-14, "mean");
    close(found.standard_deviation.unwrap(), get(table, "s"), 1e-12, "s");
    let u: Vec<f64> = cases(table, "components").iter().map(|c| get(c, "u")).collect();
    close(found.mean.standard_uncertainty, u[0], 1e-12, "type A");
    close(digital_step(0.05), u[1], 1e-12, "step");
    close(rectangular(0.06), u[2], 1e-12, "rectangular");
    close(triangular(0.10), u[3], 1e-12, "triangular");
    let nu = found.mean.degrees_of_freedom;
    let components = [
        Component::new("repeatability", found.mean.standard_uncertainty, nu),
        Component::new("resolution", digital_step(0.05), f64::INFINITY),
        Component::new("gauge", rectangular(0.06), f64::INFINITY),
        Component::new("support", triangular(0.10), f64::INFINITY),
    ];
    let combined = combine(&components, 0.95).unwrap();
    close(combined.standard_uncertainty, get(table, "u_c"), 1e-12, "u");
    close(combined.effective_degrees_of_freedom, get(table, "nu_eff"), 1e-10, "nu");
    close(combined.degrees_of_freedom_used, get(table, "nu_used"), 1e-12, "nu cut down");
    close(combined.coverage_factor, get(table, "k"), 1e-10, "k");
    close(combined.expanded_uncertainty, get(table, "U95"), 1e-10, "U");
}

#[test]
fn end_gauge_of_jcgm_100_h1() {
    let root = data();
    let table = block(&root, "gum.h1_end_gauge");
    let components: Vec<Component> = array(table, "component")
        .iter()
        .zip(list(table, "u"))
        .zip(list(table, "nu"))
        .map(|((name, u), nu)| Component::new(name.as_str().unwrap(), u, nu))
        .collect();
    let found = combine(&components, 0.99).unwrap();
    close(found.standard_uncertainty, get(table, "u_c"), 1e-12, "u");
    near(found.standard_uncertainty, get(table, "u_c_printed"), 0.5, "printed u");
    close(found.effective_degrees_of_freedom, get(table, "nu_eff"), 1e-11, "nu");
    close(found.coverage_factor, get(table, "k99"), 1e-9, "k");
    close(found.expanded_uncertainty, get(table, "U99"), 1e-9, "U");
    // Closing numbers from memory (flag in the file): the guide rounds u to 32 nm first.
    let printed = block(&root, "gum.h1_printed");
    assert_eq!(printed.get("from_memory").and_then(|v| v.as_bool()), Some(true));
    assert_eq!(found.degrees_of_freedom_used, get(printed, "nu_eff_printed"));
    near(found.coverage_factor, get(printed, "k99_printed"), 0.005, "printed k");
    near((found.coverage_factor * 32.0).round(), get(printed, "U99_printed_nm"), 1e-9, "printed U");
}

#[test]
fn single_readings_and_steps() {
    assert_eq!(repeats(&[], 0.1, None), Err(RepeatsError::NoReading));
    assert_eq!(repeats(&[8.1], 0.1, None), Err(RepeatsError::SingleReading));
    let pooled = pooled_repeatability(&[vec![8.0, 8.2], vec![7.0, 7.3, 7.3], vec![9.0]]).unwrap();
    // By hand: (1*0.02 + 2*0.03)/3.
    close(pooled.standard_deviation, (0.08_f64 / 3.0).sqrt(), 1e-12, "pooled");
    assert_eq!(pooled.degrees_of_freedom, 3.0);
    let found = repeats(&[8.1], 0.1, Some(pooled)).unwrap();
    assert_eq!(found.basis, SpreadBasis::PooledRepeatability);
    close(found.mean.standard_uncertainty, pooled.standard_deviation, 1e-12, "u of one reading");
    let alike =
        repeats(&[8.1, 8.1, 8.1], 0.1, Some(Pooled { standard_deviation: 9.0, degrees_of_freedom: 9.0 }));
    let alike = alike.unwrap();
    assert_eq!(alike.basis, SpreadBasis::InstrumentStep);
    close(alike.mean.standard_uncertainty, number(&toml::Value::Float(0.1)) / 12.0_f64.sqrt(), 1e-12, "step");
    assert_eq!(pooled_repeatability(&[vec![1.0]]), Err(RepeatsError::NothingToPool));
    assert_eq!(certificate(0.4, 2.0), 0.2);
    assert_eq!(combine(&[], 0.95), Err(RepeatsError::NoComponent));
    let bad = Component::new("gauge", -1.0, 3.0);
    assert!(combine(&[bad], 0.95).unwrap_err().to_string().contains("gauge"));
}
