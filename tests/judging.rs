//! A reading in its plan: beside its limit, beside sound airframes, beside the airframe's own past. The
//! computations themselves are checked against published values in `tests/measure_reference/`.

mod support;

use spanwise::event::{ReadingValue, SeriesPoint};
use support::{Bench, quantity};

const SERIES: &str = r#"[[step.measure]]
id = "fin-top"
title = "Fin top"
kind = "load-deflection"
load_unit = "N"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "140"
min_stiffness = "9.0"
limit_source = "invented"
[[step.measure]]
demanded = false"#;

const AIRFRAME: &str = r#"
registration = "ZZ-01"
type = "ostrel"
serial = "7"
hours = "1200.5"
build_standard = ["A"]
"#;

fn bench(tables: &str) -> Bench {
    let module = support::MODULE.replace("[[step.measure]]", SERIES);
    Bench::with(&module, &format!("{AIRFRAME}{tables}"))
}

fn points(stiffness: f64, directions: &[&str], downwards: bool) -> Vec<SeriesPoint> {
    let mut points = Vec::new();
    for direction in directions {
        for (load, loading) in [(40, true), (80, true), (120, true), (80, false), (40, false)] {
            if loading || downwards {
                points.push(SeriesPoint {
                    direction: (*direction).to_string(),
                    loading,
                    load: quantity(&format!("{load} N")),
                    deflection: quantity(&format!("{:.2} mm", f64::from(load) / stiffness)),
                });
            }
        }
    }
    points
}

/// Headline and words of the judgement.
fn judged(bench: &mut Bench, points: Vec<SeriesPoint>) -> (String, String) {
    bench.read("tail.flex", "fin-top", ReadingValue::Series { points }, None);
    let reading = bench
        .state
        .step("tail.flex")
        .and_then(|step| step.readings.last())
        .unwrap_or_else(|| panic!("no reading"));
    (reading.judgement.headline(), reading.judgement.words.clone())
}

fn earlier(values: &[(&str, &str)]) -> String {
    values
        .iter()
        .map(|(date, value)| {
            format!(
                "[[earlier_reading]]\nstep = \"tail.flex\"\nmeasure = \"fin-top\"\ndate = {date}\nvalue = \"{value}\"\nunit = \"N/mm\"\nstandard_uncertainty = \"0.10\"\n"
            )
        })
        .collect()
}

fn reference(registration: &str, stiffness: &str, extra: &str) -> String {
    format!(
        "[[reference]]\nregistration = \"{registration}\"\ntype = \"ostrel\"\nbuild_standard = [\"A\"]\nstep = \"tail.flex\"\nmeasure = \"fin-top\"\nstiffness_n_per_mm = \"{stiffness}\"\ndate = 2026-01-01\nbelieved_sound = true\nprovenance = \"invented\"\n{extra}"
    )
}

#[test]
fn without_a_reference_there_is_no_verdict_but_the_limit_still_speaks() {
    let (headline, words) = judged(&mut bench(""), points(12.0, &["left", "right"], true));
    assert_eq!(headline, "cannot tell (within its limits)");
    assert!(words.contains("no reference"), "{words}");
    let (headline, _) = judged(&mut bench(""), points(8.0, &["left", "right"], true));
    assert_eq!(headline, "cannot tell (outside its limits)");
}

#[test]
fn what_is_missing_is_said() {
    let (headline, words) = judged(&mut bench(""), points(12.0, &["left"], true));
    assert_eq!(headline, "cannot decide");
    assert!(words.contains("insufficient data: 0 load levels right, 3 are demanded"), "{words}");
    let (_, words) = judged(&mut bench(""), points(12.0, &["left", "right"], false));
    assert!(words.contains("on the way back down"), "{words}");
}

#[test]
fn a_withdrawn_reference_is_shown_and_not_used() {
    let withdrawn = "withdrawn = { on = 2026-10-01, by = \"Ada Finch\", reason = \"rib found broken\" }\n";
    let tables = format!("{}{}", reference("ZZ-11", "14.5", ""), reference("ZZ-12", "8.0", withdrawn));
    let (headline, words) = judged(&mut bench(&tables), points(14.0, &["left", "right"], true));
    assert!(headline.starts_with("cannot tell"), "one reference and no stated variation: {headline}");
    assert!(words.contains("rib found broken"), "{words}");
}

#[test]
fn five_annuals_going_down_are_a_trend_and_four_are_none() {
    // Mann-Kendall: |S| = 15 of 15 pairs at n = 6 gives an exact two-sided p of 2/720 = 0.0028 (Kendall 1975, from memory).
    let falling = [
        ("2021-11-01", "14.5"),
        ("2022-11-01", "14.1"),
        ("2023-11-01", "13.6"),
        ("2024-11-01", "13.2"),
        ("2025-11-01", "12.7"),
    ];
    let (_, words) = judged(&mut bench(&earlier(&falling)), points(12.2, &["left", "right"], true));
    assert!(words.contains("Trend down"), "{words}");
    let (_, words) = judged(&mut bench(&earlier(&falling[3..])), points(12.2, &["left", "right"], true));
    assert!(words.contains("Changed by") && !words.contains("Trend"), "{words}");
    let steady = [("2024-11-01", "12.2"), ("2025-11-01", "12.3")];
    let (_, words) = judged(&mut bench(&earlier(&steady)), points(12.2, &["left", "right"], true));
    assert!(words.contains("No change larger than"), "{words}");
}

#[test]
fn another_gauge_starts_a_new_series() {
    let mut tables = earlier(&[("2024-11-01", "18.0")]);
    tables += &earlier(&[("2025-11-01", "12.3")])
        .replace("unit = ", "starts_new_series = \"another gauge\"\nunit = ");
    let (_, words) = judged(&mut bench(&tables), points(12.2, &["left", "right"], true));
    assert!(words.contains("18.0 N/mm on 2024-11-01") && words.contains("No change larger than"), "{words}");
}

const WEIGHING: &str = r#"[[step.measure]]
id = "weighing"
title = "Weighing"
kind = "table"
compute = "weighing"
[[step.measure]]
demanded = false"#;

#[test]
fn a_table_is_judged_by_its_computation_and_kept_as_it_was() {
    let module = support::MODULE.replace("[[step.measure]]", WEIGHING);
    let mut bench = Bench::with(&module, AIRFRAME);
    let example = spanwise::compute::kind("weighing").map(|kind| kind.example).unwrap_or_default();
    let entry = bench.read("tail.flex", "weighing", ReadingValue::Table { text: example.to_string() }, None);
    let reading = bench
        .state
        .step("tail.flex")
        .and_then(|step| step.readings.last())
        .unwrap_or_else(|| panic!("no reading"));
    assert!(reading.judgement.words.contains("centre of gravity"), "{}", reading.judgement.words);
    assert_eq!(reading.taken.value, ReadingValue::Table { text: example.to_string() });
    let bad = ReadingValue::Table { text: example.replace("kg", "km/h") };
    let request = spanwise::session::Request::Read {
        step: "tail.flex".into(),
        measure: "weighing".into(),
        value: bad,
        instrument: None,
        corrects: Some(entry),
        why: Some("again".into()),
    };
    let declined = bench.ask("ada", request).err().unwrap_or_else(|| panic!("a mass in km/h was recorded"));
    assert!(declined.why.contains("table:"), "with line and column: {declined}");
}

#[test]
fn the_checklists_know_the_computations_that_the_program_has() {
    for name in spanwise::vocabulary::COMPUTATIONS {
        assert!(spanwise::compute::kind(name).is_some(), "{name}");
    }
}

const TWO_INSTRUMENTS: &str = r#"
[[instrument]]
id = "balance"
title = "Spring balance"
quantity = "force"
unit = "N"
uncertainty = "6"
calibration_due = 2027-01-01
[[instrument]]
id = "old-balance"
title = "Old spring balance"
quantity = "force"
unit = "N"
calibration_due = 2026-01-01
"#;

#[test]
fn a_series_is_read_with_two_instruments_and_both_count() {
    let module = support::MODULE
        .replace("[[step.measure]]", &SERIES.replace("max_load", "instrument = true\nmax_load"));
    let mut bench = Bench::with(&module, AIRFRAME);
    let more = spanwise::diagnostic::Source::new("instruments.toml", TWO_INSTRUMENTS);
    let more = spanwise::airframe::read_instruments(&more)
        .unwrap_or_else(|faults| panic!("{}", support::texts(&faults)));
    bench.instruments.0.extend(more.0);
    let mut last = None;
    let mut read = |bench: &mut Bench, instruments: &str| {
        let request = spanwise::session::Request::Read {
            step: "tail.flex".into(),
            measure: "fin-top".into(),
            value: ReadingValue::Series { points: points(12.0, &["left", "right"], true) },
            instrument: Some(instruments.into()),
            corrects: last,
            why: last.map(|_| "other instruments".into()),
        };
        last = Some(bench.ask("ada", request).unwrap_or_else(|declined| panic!("{declined}")));
        let reading = bench.state.step("tail.flex").and_then(|step| step.readings.last().cloned());
        reading.map(|reading| reading.judgement).unwrap_or_else(|| panic!("no reading"))
    };
    let refused = |bench: &Bench| -> Vec<String> {
        let verdict = bench.verdict_for(Some("ada"));
        verdict.refusals().iter().filter(|found| found.number == 7).map(|found| found.why.clone()).collect()
    };
    let exact = read(&mut bench, "gauge");
    bench.answer("prep.clean", spanwise::event::StepResult::Passed);
    bench.answer("tail.flex", spanwise::event::StepResult::Passed);
    assert!(refused(&bench)[0].contains("no instrument is named for the load"), "{:?}", refused(&bench));
    let scaled = read(&mut bench, "balance + gauge");
    assert_eq!(refused(&bench), Vec::<String>::new());
    // U = 6 N (k = 2) at 120 N is u = 2.5 % of the scale; it moves all points together, so that the interval
    // of 11.99 N/mm is 1.96 times that wide to either side: 0.59 N/mm.
    assert!(
        exact.words.contains("(11.98 to 12.00)") && scaled.words.contains("(11.40 to 12.58)"),
        "{}\n{}",
        exact.words,
        scaled.words
    );
    let old = read(&mut bench, "gauge, old-balance");
    assert!(old.words.contains("old-balance was out of calibration"), "{}", old.words);
    assert!(refused(&bench)[0].contains("old-balance"), "{:?}", refused(&bench));
}
