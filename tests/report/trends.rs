//! Earlier annuals beside today's values: found by step, measurement and side; told where nothing is found.

use spanwise::airframe::EarlierReading;
use spanwise::event::ReadingValue;
use spanwise::quantity::Unit;

use super::made::forms;
use crate::support::{Bench, day, quantity};

fn earlier(step: &str, measure: &str, date: &str, value: &str) -> EarlierReading {
    EarlierReading {
        step: step.to_string(),
        measure: measure.to_string(),
        date: day(date),
        value: quantity(&format!("{value} mm")).value,
        unit: Unit::Millimetre,
        standard_uncertainty: None,
        starts_new_series: None,
    }
}

fn played() -> Bench {
    let mut bench = Bench::new();
    bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity("0.30 mm") }, Some("gauge"));
    bench
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_same_name_gives_a_picture_and_nothing_is_told() {
    let mut bench = played();
    bench.plan.airframe.earlier_readings = vec![
        earlier("wing.play", "play", "2024-10-01", "0.20"),
        earlier("wing.play", "play", "2025-10-01", "0.25"),
    ];
    let text = flat(&forms(&bench).text);
    assert!(text.contains("Over the annuals") && !text.contains("stand beside none of today"), "{text}");
    let html = forms(&bench).html;
    assert!(
        html.contains("The values of 2 earlier annuals since 2024-10-01, and that of this one"),
        "{html}"
    );
}

#[test]
fn a_renamed_step_or_measurement_is_told_with_what_to_do() {
    let mut bench = played();
    bench.plan.airframe.earlier_readings = vec![
        earlier("wing.old-play", "play", "2024-10-01", "0.20"),
        earlier("wing.play", "slack", "2025-10-01", "0.25"),
    ];
    let text = flat(&forms(&bench).text);
    assert!(!text.contains("Over the annuals"), "{text}");
    for told in [
        "wing.old-play, play (2024-10-01): this plan has no step of that name.",
        "wing.play, slack (2025-10-01): the step has no measurement of that name in this plan.",
        "change step and measure of these earlier readings in the airframe's record",
    ] {
        assert!(text.contains(told), "{told}: {text}");
    }
}

#[test]
fn a_unit_that_does_not_fit_is_told() {
    let mut bench = played();
    let mut odd = earlier("wing.play", "play", "2025-10-01", "0.25");
    odd.unit = Unit::Newton;
    bench.plan.airframe.earlier_readings = vec![odd];
    let text = flat(&forms(&bench).text);
    assert!(
        text.contains("in a unit that does not fit today's") && !text.contains("Over the annuals"),
        "{text}"
    );
}
