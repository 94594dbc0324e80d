//! An honest session is silent: every kind, whatever the readings and however long the work took.

use proptest::prelude::*;
use spanwise::audit::findings::ALL;

use crate::day::Day;

/// Every step in the plan's order, each answered when its minutes have passed and `extra` seconds more.
fn honest(date: &str, extra: &[u16], hundredths: &[u16], pictures: u64) -> Day {
    let mut day = Day::on(date);
    let steps = day.bench.plan.steps.clone();
    for (at, planned) in steps.iter().enumerate() {
        let step = &planned.step;
        if !step.configuration.is_empty() {
            day.confirm("tailplane=off");
        }
        let minutes = i64::from(step.minutes) * 60;
        day.pass(minutes + i64::from(extra[at % extra.len()]));
        for measure in &step.measures {
            let value = hundredths[at % hundredths.len()];
            let value = if measure.id == "play" { 20 } else { 1_100 + u32::from(value) };
            day.read(&step.id, &format!("{}.{:02} mm", value / 100, value % 100));
        }
        for demand in &step.evidence {
            day.evidence(&step.id, &demand.id, pictures + at as u64);
        }
        if step.measures.is_empty() && step.evidence.is_empty() {
            day.note(&step.id);
        }
        day.pass_step(&step.id);
    }
    day
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn an_honest_session_yields_nothing(
        extra in proptest::collection::vec(0_u16..3600, 1..20),
        before in proptest::collection::vec(0_u16..400, 16),
        shifts in proptest::collection::vec(1_u16..400, 16),
    ) {
        // Readings scatter from year to year; none is the same by construction, as few are in truth.
        let now: Vec<u16> = before.iter().zip(&shifts).map(|(before, shift)| before + shift).collect();
        let last_year = honest("2025-11-20", &extra, &before, 1_000);
        let this_year = honest("2026-11-20", &extra, &now, 2_000);
        let found = this_year.all_after(&last_year);
        prop_assert!(found.is_empty(), "{found:?}");
    }
}

#[test]
fn every_kind_is_documented_and_has_its_own_name() {
    let mut names: Vec<&str> = ALL.iter().map(|kind| kind.name).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), ALL.len());
    for kind in &ALL {
        assert!(kind.name.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", kind.name);
        assert!(kind.doc.contains("Worth a look") && kind.doc.contains("From: "), "{}", kind.name);
        assert!(!kind.may_be.is_empty(), "{} has innocent explanations", kind.name);
    }
}
