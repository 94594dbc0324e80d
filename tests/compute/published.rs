//! Published and computed statistics through `compute`, with their sources beside the copied values in
//! `reference/*.toml`; rows from memory are flagged there.

use std::fmt::Write as _;

use crate::common::{at, json, near};
use crate::handbook_values::{handbook as rows_of, signal};
use crate::values::{array, block, cases, get, list, parse};

/// NIST StRD Norris, certified values: 36 points in no order, so the branch is stated and nothing is left out.
#[test]
fn flex_fits_the_certified_line() {
    let root = parse(include_str!("../reference/regression.toml"));
    let norris = block(&root, "nist.norris");
    let mut text = "@resolution,0 mm\n@take_up_share,0 %\nload [N],deflection [mm],branch\n".to_string();
    for (x, y) in list(norris, "x").iter().zip(list(norris, "y")) {
        let _ = writeln!(text, "{x},{y},loading");
    }
    let found = json("flex", "norris.csv", &text);
    near(at(&found, "figures.compliance_mm_per_n"), get(norris, "b1"), 1e-12);
    near(at(&found, "figures.compliance_standard_uncertainty_mm_per_n"), get(norris, "se_b1"), 1e-12);
    near(at(&found, "figures.zero_mm"), get(norris, "b0"), 1e-9);
    near(at(&found, "figures.residual_sd_mm"), get(norris, "residual_sd"), 1e-9);
    assert_eq!(found["figures"]["degrees_of_freedom"], 34);
    assert_eq!(found["methods"][0], "load-deflection/1");
}

/// statsmodels on a whole cycle in both directions (`flex.full_noisy`).
#[test]
fn flex_finds_stiffness_lost_motion_and_hysteresis() {
    let root = parse(include_str!("../reference/load_deflection.toml"));
    let table = block(&root, "flex.full_noisy");
    let mut text = "resolution = \"0.1 mm\"\nunloading_limit = \"none\"\n".to_string();
    for (load, deflection) in list(table, "F").iter().zip(list(table, "d")) {
        let _ = write!(text, "[[reading]]\nload = \"{load} N\"\ndeflection = \"{deflection} mm\"\n");
    }
    let found = json("flex", "cycle.toml", &text);
    for (path, key) in [
        ("stiffness_n_per_mm", "stiffness_N_per_mm"),
        ("lost_motion_mm", "lost_motion_mm"),
        ("lost_motion_standard_uncertainty_mm", "u_lost_motion"),
        ("hysteresis_mm", "hysteresis_width_mm"),
        ("hysteresis_standard_uncertainty_mm", "u_hysteresis"),
    ] {
        near(at(&found, &format!("figures.{path}")), get(table, key), 1e-9);
    }
    near(at(&found, "figures.stiffness_interval_lower_n_per_mm"), list(table, "stiffness_ci")[0], 1e-9);
    near(at(&found, "figures.stiffness_interval_upper_n_per_mm"), list(table, "stiffness_ci")[1], 1e-9);
}

/// The pull at an angle: 10 kgf at 20 degrees loads with 92.1524 N, and ignoring it overstates the stiffness by 6.418 %.
#[test]
fn flex_takes_the_angle_of_the_pull_into_account() {
    let of = |angle: &str| {
        let text = format!(
            "@resolution,0.1 mm\n@pull_angle,{angle}\nload,deflection\n2 kgf,4.0 mm\n4 kgf,8.1 mm\n6 kgf,12.1 mm\n8 kgf,15.9 mm\n10 kgf,20.2 mm\n"
        );
        at(&json("flex", "pull.csv", &text), "figures.stiffness_n_per_mm")
    };
    near(of("0 °") / of("20 °"), 1.06418, 5e-6);
}

/// JCGM 106:2012 clauses 7.3 and 8.3, probabilities by scipy.
#[test]
fn limit_judges_with_a_guard_band() {
    let root = parse(include_str!("../reference/uncertainty.toml"));
    let table = block(&root, "guard.one_sided");
    for case in cases(table, "cases") {
        let text = format!(
            "[[check]]\nvalue = \"{} mm\"\nupper = \"{} mm\"\nuncertainty = \"{} mm\"\n",
            get(case, "y"),
            get(table, "T_U"),
            get(table, "u")
        );
        let found = json("limit", "limit.toml", &text);
        near(at(&found, "figures.checks.0.guard_band_mm"), get(table, "g"), 1e-12);
        near(at(&found, "figures.checks.0.p_conform"), get(case, "p_conform"), 1e-11);
        let wanted = match crate::values::text(case, "answer") {
            "conforms" => "within",
            "does not conform" => "outside",
            _ => "cannot-decide",
        };
        assert_eq!(found["outcome"], wanted, "{text}");
    }
}

/// A deflection budget after JCGM 100:2008 4.2, 4.3.7, 5.1.2 and G.4.1; the readings are the reference's own numbers.
#[test]
fn repeats_combine_a_budget() {
    let root = parse(include_str!("../reference/uncertainty.toml"));
    let table = block(&root, "gum.deflection_budget");
    let mut text = String::new();
    for reading in list(table, "readings") {
        let _ = write!(text, "[[reading]]\nvalue = \"{reading} mm\"\n");
    }
    text.push_str("[[contribution]]\nname = \"resolution\"\nhalf_width = \"0.025 mm\"\n");
    text.push_str("[[contribution]]\nname = \"gauge\"\nhalf_width = \"0.06 mm\"\n");
    text.push_str("[[contribution]]\nname = \"support\"\nhalf_width = \"0.10 mm\"\nshape = \"triangular\"\n");
    let found = json("repeats", "r.toml", &text);
    near(at(&found, "figures.mean_mm"), get(table, "mean"), 1e-12);
    near(at(&found, "figures.standard_deviation_mm"), get(table, "s"), 1e-12);
    near(at(&found, "figures.combined_standard_uncertainty_mm"), get(table, "u_c"), 1e-12);
    near(at(&found, "figures.effective_degrees_of_freedom"), get(table, "nu_eff"), 1e-6);
    near(at(&found, "figures.expanded_uncertainty_mm"), get(table, "U95"), 1e-10);
}

fn comparison(value: f64, references: &[f64], extra: &str) -> serde_json::Value {
    let same = "type = \"Varn 15\"\nbuild_standard = \"A\"\ncard = \"1\"\nuncertainty = \"0 N/mm\"\n";
    let mut text = format!("airframe = \"x\"\nvalue = \"{value} N/mm\"\n{same}{extra}");
    for (index, k) in references.iter().enumerate() {
        let _ = write!(
            text,
            "[[reference]]\nairframe = \"r{index}\"\nvalue = \"{k} N/mm\"\nrecord = \"r\"\nbelieved_sound_because = \"b\"\n{same}"
        );
    }
    json("compare", "c.toml", &text)
}

/// numpy and scipy: three references, and two pooled with a stated variation.
#[test]
fn compare_gives_the_prediction_interval() {
    let root = parse(include_str!("../reference/comparison.toml"));
    let table = block(&root, "reference.n3");
    for case in cases(table, "cases") {
        let found = comparison(get(case, "k_new"), &list(table, "k_ref"), "");
        near(at(&found, "figures.reference_mean_n_per_mm"), get(table, "geometric_mean"), 1e-9);
        near(at(&found, "figures.prediction_lower_n_per_mm"), list(table, "interval_k")[0], 1e-8);
        near(at(&found, "figures.difference_percent"), get(case, "percent"), 1e-8);
        near(at(&found, "figures.smallest_loss_percent"), get(table, "mdd_exact_percent_down"), 1e-4);
        let outside = case.get("outside").and_then(toml::Value::as_bool) == Some(true);
        assert_eq!(found["outcome"], if outside { "outside" } else { "cannot-decide" });
    }
    let pooled = block(&root, "reference.n2_pooled");
    let stated = "variation = \"6 %\"\nvariation_measurement_u = \"2 %\"\nvariation_stated_by = \"n\"\n";
    let found = comparison(12.0, &list(pooled, "k_ref"), stated);
    near(at(&found, "figures.prediction_lower_n_per_mm"), list(pooled, "interval_k")[0], 1e-8);
    near(at(&found, "figures.prediction_upper_n_per_mm"), list(pooled, "interval_k")[1], 1e-8);
}

/// Unlike things are shown beside with the reason; without a reference there is no verdict.
#[test]
fn compare_uses_no_other_build_standard() {
    let text = include_str!("../../demo/compute/compare.toml")
        .replace("build_standard = \"A\"\ncard", "build_standard = \"C\"\ncard");
    let text = text.replacen("build_standard = \"C\"", "build_standard = \"B\"", 1);
    let found = json("compare", "c.toml", &text);
    assert_eq!(found["figures"]["references_used"], 1);
    let beside = array_of(&found, "shown_beside");
    assert_eq!(beside.len(), 2);
    let why = beside[0]["not_used_because"].as_str().unwrap();
    assert!(why.contains("another build standard"), "{why}");
    let none = text.split("[[reference]]").next().unwrap();
    let found = json("compare", "c.toml", none);
    assert_eq!(found["outcome"], "cannot-decide");
    assert!(found["verdict"].as_str().unwrap().starts_with("Cannot tell: no reference"));
}

fn array_of<'a>(found: &'a serde_json::Value, key: &str) -> &'a Vec<serde_json::Value> {
    found["figures"][key].as_array().unwrap_or_else(|| panic!("no rows {key}"))
}

/// scipy kendalltau and theilslopes.
#[test]
fn trend_of_seven_annuals_and_change_of_two() {
    let root = parse(include_str!("../reference/trend.toml"));
    let table = block(&root, "trend.frequency");
    let mut text = "year,value [Hz],uncertainty [Hz]\n".to_string();
    for (year, value) in list(table, "year").iter().zip(list(table, "value_Hz")) {
        let _ = writeln!(text, "{year},{value},0.02");
    }
    let found = json("trend", "t.csv", &text);
    near(at(&found, "figures.mann_kendall_s"), get(table, "S"), 0.0);
    near(at(&found, "figures.p_value"), get(table, "p_exact_two_sided"), 1e-12);
    near(at(&found, "figures.slope_hz_per_year"), get(table, "slope_per_year"), 1e-9);
    near(at(&found, "figures.slope_interval_lower_hz_per_year"), list(table, "slope_ci95")[0], 1e-9);
    assert_eq!((&found["outcome"], &found["figures"]["answer"]), (&"outside".into(), &"trend-down".into()));
    let two = block(&root, "trend.two_annuals");
    let found = json(
        "trend",
        "t.csv",
        "date,value,uncertainty\n2024-02-01,6.42 Hz,0.02 Hz\n2025-02-01,6.33 Hz,0.03 Hz\n",
    );
    near(at(&found, "figures.change_hz"), get(two, "difference"), 1e-12);
    near(at(&found, "figures.change_in_u"), get(two, "ratio"), 1e-9);
    assert_eq!(found["figures"]["answer"], "changed");
}

/// scipy: exact conditional test and Clopper-Pearson interval.
#[test]
fn rates_of_two_counts() {
    let root = parse(include_str!("../reference/rates.toml"));
    let table = block(&root, "poisson.cases");
    for case in cases(table, "cases").into_iter().filter(|case| get(case, "k2") > 0.0) {
        let text = format!(
            "name,events,cycles\nfirst,{},{}\nsecond,{},{}\n",
            get(case, "k1"),
            get(case, "n1"),
            get(case, "k2"),
            get(case, "n2")
        );
        let found = json("rates", "r.csv", &text);
        near(at(&found, "figures.p_value"), get(case, "p_doubled_tail"), 1e-10);
        near(at(&found, "figures.ratio_interval_lower"), list(case, "ratio_ci")[0], 1e-7);
        near(at(&found, "figures.ratio_interval_upper"), list(case, "ratio_ci")[1], 1e-6);
    }
    let clusters = block(&root, "poisson.dispersion");
    for case in array(clusters, "cases").iter().filter_map(toml::Value::as_table) {
        let counts: Vec<String> = list(case, "counts_per_cycle").iter().map(ToString::to_string).collect();
        let text = format!("name,counts\na,{0}\nb,{0}\n", counts.join(";"));
        let text = text.replace(',', "\t");
        let found = json("rates", "r.tsv", &text);
        near(at(&found, "figures.clustering.0.dispersion_index"), get(case, "index"), 1e-9);
        near(at(&found, "figures.clustering.0.p_value"), get(case, "p"), 1e-12);
    }
}

/// f = N/T with its uncertainty (by construction), and k proportional to f squared at equal mass.
#[test]
fn frequency_from_counts_and_its_change() {
    let row = signal("frequency", "counted_cycles");
    let text = format!(
        "cycles,time,time_uncertainty\n{},{} s,{} s\n",
        row.number("N"),
        row.number("T_s"),
        row.number("u_T_s")
    );
    let found = json("frequency", "f.csv", &text);
    row.check("f_Hz", at(&found, "figures.frequency_hz"), 1e-12);
    row.check("u_f_Hz", at(&found, "figures.frequency_standard_uncertainty_hz"), 1e-12);
    for row in rows_of("stiffness_from_frequency") {
        let text = format!(
            "@earlier,10 Hz\n@earlier_uncertainty,0 Hz\ncycles,time,time_uncertainty\n{},100 s,0 s\n",
            (row.number("f_ratio") * 1000.0).round()
        );
        let found = json("frequency", "f.csv", &text);
        near(at(&found, "figures.stiffness_change_percent") / 100.0, row.number("expected_exact"), 1e-9);
    }
}
