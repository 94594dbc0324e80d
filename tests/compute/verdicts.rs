//! Each kind's verdict turns when the example's limit or reading is moved: nothing is fixed beforehand.

use crate::common::{run_bytes, told};

/// The outcome of an example with one text replaced and settings typed beside it.
#[track_caller]
fn outcome(kind: &str, replaced: &[(&str, &str)], set: &[&str]) -> &'static str {
    let mut text = spanwise::compute::kind(kind).expect("a kind").example.to_string();
    for (from, to) in replaced {
        assert!(text.contains(from), "{kind}: {from}");
        text = text.replacen(from, to, 1);
    }
    let file = if text.contains("[[") { "x.toml" } else { "x.csv" };
    match run_bytes(kind, file, text.as_bytes(), set) {
        Ok(report) => report.outcome.word(),
        Err(faults) => panic!("{kind}: {}", told(&faults).join("\n")),
    }
}

#[test]
fn flex_against_a_smallest_stiffness_and_a_ceiling() {
    // The example's fin has 10.51 N/mm with an interval of 10.44 to 10.59.
    assert_eq!(outcome("flex", &[], &[]), "computed");
    assert_eq!(outcome("flex", &[], &["stiffness_min=9 N/mm"]), "within");
    assert_eq!(outcome("flex", &[], &["stiffness_min=12 N/mm"]), "outside");
    assert_eq!(outcome("flex", &[], &["stiffness_min=10.5 N/mm"]), "cannot-decide");
    assert_eq!(outcome("flex", &[("15 kgf", "12 kgf")], &[]), "computed", "the ceiling itself is allowed");
    assert_eq!(outcome("flex", &[("15 kgf", "11.9 kgf")], &[]), "refused");
}

#[test]
fn limit_and_repeats() {
    assert_eq!(outcome("limit", &[("0.12 mm", "0.25 mm")], &[]), "outside");
    assert_eq!(outcome("limit", &[("0.12 mm", "0.19 mm")], &[]), "cannot-decide");
    assert_eq!(
        outcome(
            "limit",
            &[("0.12 mm", "0.19 mm"), ("conformance = \"95 %\"", "allowance_in_limit = true")],
            &[]
        ),
        "within"
    );
    assert_eq!(outcome("repeats", &[("8.5 mm", "8.0 mm")], &[]), "outside");
    assert_eq!(outcome("repeats", &[("8.5 mm", "8.2 mm")], &[]), "cannot-decide");
}

#[test]
fn compare_tells_softer_consistent_and_cannot_tell() {
    assert_eq!(outcome("compare", &[], &[]), "outside");
    // The comparison would have shown a loss of 18.2 %: enough for one that matters at 25 %, not at 15 %.
    assert_eq!(outcome("compare", &[("10.5 N/mm", "14.0 N/mm")], &["loss_that_matters=25 %"]), "within");
    assert_eq!(outcome("compare", &[("10.5 N/mm", "14.0 N/mm")], &[]), "cannot-decide");
    assert_eq!(
        outcome("compare", &[("build_standard = \"A\"", "build_standard = \"C\"")], &[]),
        "cannot-decide"
    );
}

#[test]
fn trend_rates_and_frequency() {
    assert_eq!(outcome("trend", &[("3.21", "3.12"), ("3.20", "3.16")], &[]), "within");
    assert_eq!(
        outcome("trend", &[("2026-02-11,3.10,0.02,", "2026-02-11,3.10,0.02,new gauge")], &[]),
        "cannot-decide"
    );
    assert_eq!(outcome("rates", &[("[0, 1, 0, 0, 1]", "[4, 3, 5, 4, 6]")], &[]), "within");
    assert_eq!(outcome("rates", &[("ear on the skin", "microphone")], &[]), "cannot-decide");
    assert_eq!(outcome("frequency", &[], &["earlier=3.4 Hz"]), "outside");
    assert_eq!(outcome("frequency", &[], &["earlier=2.8 Hz"]), "within");
    assert_eq!(outcome("frequency", &[], &["same_set_up=no"]), "cannot-decide");
}

#[test]
fn deflection_tolerance_differential_and_free_play() {
    assert_eq!(outcome("deflection", &[("61 mm", "64 mm")], &[]), "outside");
    assert_eq!(
        outcome("deflection", &[("difference_max = \"3 mm\"", "difference_max = \"0.5 mm\"")], &[]),
        "outside"
    );
    assert_eq!(outcome("deflection", &[("play_max = \"2.5 mm\"", "play_max = \"0.5 °\"")], &[]), "outside");
    assert_eq!(outcome("deflection", &[("28.5 °", "29.8 °")], &[]), "cannot-decide");
}

#[test]
fn tension_weighing_airspeed_leak_and_symmetry() {
    assert_eq!(outcome("tension", &[], &["measured=167 N"]), "outside");
    assert_eq!(outcome("weighing", &[], &["empty_aft_limit=590 mm"]), "outside");
    assert_eq!(outcome("weighing", &[], &["max_non_lifting=240 kg"]), "outside");
    assert_eq!(outcome("weighing", &[], &["aft_limit=280 mm"]), "outside");
    assert_eq!(outcome("airspeed", &[("170,188", "170,195")], &[]), "outside");
    assert_eq!(outcome("leak", &[("940 ft", "890 ft")], &[]), "outside");
    assert_eq!(
        outcome(
            "leak",
            &[("end = \"940 ft\"\nduration = \"60 s\"", "end = \"940 ft\"\nduration = \"30 s\"")],
            &[]
        ),
        "cannot-decide"
    );
    assert_eq!(outcome("symmetry", &[("8418", "8440")], &[]), "outside");
    assert_eq!(outcome("symmetry", &[("5270.0", "5284")], &[]), "outside");
}

#[test]
fn tap_noise_and_life() {
    assert_eq!(outcome("tap", &[("1207", "1507"), ("dull", "clear")], &[]), "within");
    assert_eq!(outcome("tap", &[("1207", "1507")], &[]), "outside", "dull by ear is looked at again");
    assert_eq!(outcome("noise", &[("creaks.wav", "quiet.wav")], &[]), "cannot-decide");
    assert_eq!(
        outcome("life", &[("today = 2026-03-01", "today = 2026-03-20")], &[]),
        "outside",
        "due on its last day"
    );
    assert_eq!(outcome("life", &[("launches = 3120", "launches = 3501")], &[]), "outside");
}
