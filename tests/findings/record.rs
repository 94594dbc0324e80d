//! What stands in the record beside the times: each kind shown, made honest, and at its edge.

use spanwise::event::{ControlCheck, Event, IndependentlyInspected, Seal, StepResult};
use spanwise::session::{NewDefect, Request};
use spanwise::words::{Language, with_language};

use crate::day::{Day, MEASURED};

#[test]
fn out_of_configuration() {
    let mut day = Day::new();
    day.pass_step("prep.clean");
    let entry = day.pass_step("fin.look");
    let found = day.found("out-of-configuration");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [entry]);
    assert!(found[0].words.contains("tailplane"), "{}", found[0].words);

    // Looked at again in the right configuration: still told, with the correction.
    day.confirm("tailplane=off");
    let again = day.correct("fin.look", StepResult::Passed);
    let found = day.found("out-of-configuration");
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].entries, [entry, again]);

    let mut honest = Day::new();
    honest.pass_step("prep.clean");
    honest.confirm("tailplane=off");
    honest.pass_step("fin.look");
    assert_eq!(honest.found("out-of-configuration"), []);
}

#[test]
fn before_its_turn() {
    let mut day = Day::new();
    day.confirm("tailplane=off");
    let entry = day.pass_step("fin.look");
    day.pass_step("prep.clean");
    let found = day.found("before-its-turn");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        (found[0].entries.as_slice(), found[0].words.as_str()),
        (&[entry][..], "fin.look was passed before: prep.clean")
    );

    let mut honest = Day::new();
    honest.confirm("tailplane=off");
    honest.pass_step("prep.clean");
    honest.pass_step("fin.look");
    assert_eq!(honest.found("before-its-turn"), []);
}

/// The gauge falls due on 2027-01-01; 2026-12-02 is 30 days before it. The 30 days: common practice, no source.
#[test]
fn calibration_near_and_past() {
    for (date, told) in [
        ("2026-12-01", None),
        ("2026-12-02", Some("30 days before it")),
        ("2027-01-01", Some("on that very day")),
    ] {
        let mut day = Day::on(date);
        let entry = day.read("tail.m00", "15.00 mm");
        let found = day.found("calibration");
        assert_eq!(found.len(), usize::from(told.is_some()), "{date}: {found:?}");
        if let (Some(found), Some(told)) = (found.first(), told) {
            assert!(found.words.contains(told), "{}", found.words);
            assert_eq!(found.entries, [entry]);
        }
    }
    let mut past = Day::new();
    past.read_with("tail.m00", "15.00 mm", "old-gauge", None);
    let found = past.found("calibration");
    assert_eq!(found.len(), 1);
    assert!(found[0].words.contains("328 days past it"), "{}", found[0].words);
}

#[test]
fn not_applicable_now() {
    let mut before = Day::new();
    before.pass_step("oxygen.bottle");
    let mut now = Day::new();
    let entry = now.answer("oxygen.bottle", StepResult::NotApplicable);
    let found = now.found_after(&before, "not-applicable-now");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [entry]);
    assert!(found[0].words.contains("taken out"), "{}", found[0].words);
    assert_eq!(now.found("not-applicable-now"), [], "nothing to compare with");
    assert_eq!(now.found_after(&now, "not-applicable-now"), [], "it was not applicable then, either");
    assert_eq!(before.found_after(&before, "not-applicable-now"), []);
}

#[test]
fn targeted_bare() {
    let mut day = Day::new();
    let entry = day.pass_step("tail.s01");
    day.pass_step("prep.clean");
    let found = day.found("targeted-bare");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [entry]);
    day.note("tail.s01");
    assert_eq!(day.found("targeted-bare"), [], "a note tells what was seen");

    let mut day = Day::new();
    day.read("tail.m00", "15.00 mm");
    day.pass_step("tail.m00");
    day.evidence("tail.s00", "film", 1);
    day.pass_step("tail.s00");
    assert_eq!(day.found("targeted-bare"), [], "a reading or evidence does, too");
}

#[test]
fn failed_then_passed() {
    let mut day = Day::new();
    let failed = day.answer("tail.s01", StepResult::Failed);
    let passed = day.correct("tail.s01", StepResult::Passed);
    let found = day.found("failed-then-passed");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [failed, passed]);
    day.ask(
        "ada",
        Request::RaiseDefect(NewDefect {
            step: Some("tail.s01".into()),
            what: "crack".into(),
            component: None,
            side: None,
            station_mm: None,
            severity: spanwise::checklist::Severity::Minor,
        }),
    );
    assert_eq!(day.found("failed-then-passed"), [], "a defect tells what becomes of it");

    let mut taken_back = Day::new();
    let failed = taken_back.answer("tail.s01", StepResult::Failed);
    let withdrawn = taken_back.ask("ada", Request::Withdraw { entry: failed, why: "wrong step".into() });
    assert_eq!(taken_back.found("failed-then-passed"), [], "open again, nothing passed");
    let passed = taken_back.pass_step("tail.s01");
    assert_eq!(taken_back.found("failed-then-passed")[0].entries, [failed, withdrawn, passed]);
}

#[test]
fn evidence_for_two_demands() {
    let mut day = Day::new();
    let one = day.evidence("fin.look", "photo", 1);
    day.evidence("fin.look", "photo", 1);
    assert_eq!(day.found("evidence-twice"), [], "twice for one demand is only twice");
    let other = day.evidence("tail.s00", "film", 1);
    let found = day.found("evidence-twice");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [one, one + 1, other]);

    let mut honest = Day::new();
    honest.evidence("fin.look", "photo", 1);
    honest.evidence("tail.s00", "film", 2);
    assert_eq!(honest.found("evidence-twice"), []);
}

#[test]
fn evidence_of_the_annual_before() {
    let mut before = Day::new();
    before.evidence("fin.look", "photo", 1);
    let mut now = Day::new();
    let entry = now.evidence("fin.look", "photo", 1);
    now.evidence("tail.s00", "film", 2);
    let found = now.found_after(&before, "evidence-of-last-annual");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [entry]);
    before.ask("ada", Request::Withdraw { entry: 1, why: "wrong file".into() });
    assert_eq!(now.found_after(&before, "evidence-of-last-annual"), [], "it stands there no more");
}

#[test]
fn one_key_for_two_people() {
    let seals = |uses: &[(&str, Option<&str>)]| {
        let mut day = Day::new();
        for (by, key) in uses {
            let by = day.actor(by);
            let seal = key.map(|key| Seal { key: key.into(), signature: "invented".into() });
            day.push(Event::IndependentlyInspected(IndependentlyInspected {
                by,
                step: "rudder.connect".into(),
                connections: "cables".into(),
                checked: ControlCheck::ALL.to_vec(),
                satisfactory: true,
                authorisation: None,
                at: None,
                seal,
            }));
        }
        day.found("one-key")
    };
    let found = seals(&[("bo", Some("k1")), ("di", Some("k1"))]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [1, 2]);
    assert_eq!(seals(&[("bo", Some("k1")), ("di", Some("k2"))]), []);
    assert_eq!(seals(&[("bo", Some("k1")), ("bo", Some("k1"))]), []);
    assert_eq!(seals(&[("bo", None), ("di", None)]), [], "without a key nothing can be told");
}

/// The limit is 10 to 20 mm, so that 5 % of the tolerance are 0.50 mm. The 5 %: common practice, no source.
#[test]
fn just_inside_after_one_outside() {
    for (value, told) in [("19.50 mm", 1), ("19.49 mm", 0), ("10.50 mm", 1), ("10.51 mm", 0)] {
        let mut day = Day::new();
        let outside = day.read("tail.m00", "20.60 mm");
        let now = day.read_with("tail.m00", value, "gauge", Some(outside));
        let found = day.found("just-inside");
        assert_eq!(found.len(), told, "{value}: {found:?}");
        if let Some(found) = found.first() {
            assert_eq!(found.entries, [outside, now]);
        }
    }
    let mut withdrawn = Day::new();
    let outside = withdrawn.read("tail.m00", "20.60 mm");
    let back = withdrawn.ask("ada", Request::Withdraw { entry: outside, why: "misread".into() });
    let now = withdrawn.read("tail.m00", "19.90 mm");
    assert_eq!(withdrawn.found("just-inside")[0].entries, [outside, back, now]);

    let mut honest = Day::new();
    let inside = honest.read("tail.m00", "19.80 mm");
    honest.read_with("tail.m00", "19.90 mm", "gauge", Some(inside));
    honest.read("tail.m01", "19.99 mm");
    assert_eq!(honest.found("just-inside"), [], "none of these replaced one outside");
}

/// Two annuals with these many readings, of which those told are alike.
fn readings(count: usize, alike: &[usize], value: &str) -> (Day, Day) {
    assert!(count <= MEASURED);
    let (mut before, mut now) = (Day::on("2025-11-25"), Day::new());
    for at in 0..count {
        let step = format!("tail.m{at:02}");
        before.read(&step, value);
        now.read(&step, if alike.contains(&at) { value } else { "15.04 mm" });
    }
    (before, now)
}

/// Thresholds: common practice, no source.
#[test]
fn readings_of_the_annual_before() {
    let told = |count, alike: &[usize], value: &str| {
        let (before, now) = readings(count, alike, value);
        now.found_after(&before, "identical-readings")
    };
    let found = told(9, &[0, 3, 6], "15.37 mm");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].entries, [1, 4, 7]);
    assert_eq!(
        found[0].words,
        "3 of 9 fine readings are those of the annual before; the others differ by 33 steps (median)"
    );
    assert_eq!(told(10, &[0, 3, 6], "15.37 mm"), [], "fewer than a third");
    assert_eq!(told(2, &[0, 1], "15.37 mm"), [], "two may be chance");
    assert_eq!(told(16, &[5, 6, 7], "15.37 mm"), [], "three in a row");
    let row = told(16, &[5, 6, 7, 8], "15.37 mm");
    assert!(row[0].words.contains("4 of them without a break"), "{}", row[0].words);
    assert_eq!(told(6, &[], "15.37 mm"), []);
    assert_eq!(told(6, &[0, 1, 2, 3, 4, 5], "15 mm"), [], "whole millimetres are coarse");
}

/// Twenty steps of the last digit are fine, nineteen are not.
#[test]
fn coarse_readings_tell_nothing() {
    for (value, told) in [("1.9 mm", 0), ("2.0 mm", 1)] {
        let (before, now) = readings(4, &[0, 1, 2, 3], value);
        assert_eq!(now.found_after(&before, "identical-readings").len(), told, "{value}");
    }
}

/// Where the limit has one end and is small, the instrument's resolution (0.01 mm of 0.50 mm) is less than 5 % of it
/// (0.025 mm), and the larger one counts.
#[test]
fn just_inside_a_limit_with_one_end() {
    for (value, told) in [("0.48 mm", 1), ("0.47 mm", 0)] {
        let mut day = Day::new();
        let outside = day.read("wing.play", "0.60 mm");
        day.read_with("wing.play", value, "gauge", Some(outside));
        assert_eq!(day.found("just-inside").len(), told, "{value}");
    }
}

/// With a coarse instrument (steps of 1 mm) one step from the limit is as near as it can show.
#[test]
fn just_inside_by_a_coarse_instrument() {
    use spanwise::event::{InstrumentUse, ReadingTaken, ReadingValue};
    for (value, told) in [("19.0 mm", 1), ("18.9 mm", 0)] {
        let mut day = Day::new();
        let outside = day.read("tail.m00", "22.0 mm");
        day.ask("ada", Request::Withdraw { entry: outside, why: "misread".into() });
        let instrument = InstrumentUse {
            id: "rule".into(),
            title: "Rule".into(),
            calibration_due: None,
            resolution: Some(crate::support::quantity("1 mm")),
            uncertainty: None,
        };
        let by = day.actor("ada");
        day.push(Event::ReadingTaken(ReadingTaken {
            by,
            step: "tail.m00".into(),
            measure: "v".into(),
            value: ReadingValue::Number { quantity: crate::support::quantity(value) },
            instrument: Some(instrument),
            load_instrument: None,
            corrects: None,
        }));
        assert_eq!(day.found("just-inside").len(), told, "{value}");
    }
}

/// A whole load series that is that of the annual before, point by point.
#[test]
fn a_series_of_the_annual_before() {
    use spanwise::event::{ReadingTaken, ReadingValue, SeriesPoint};
    let series = |points: u32, shift: u32| {
        let mut day = Day::new();
        let by = day.actor("ada");
        let point = |at: u32| SeriesPoint {
            direction: "left".into(),
            loading: true,
            load: crate::support::quantity(&format!("{} N", 20 * at)),
            deflection: crate::support::quantity(&format!("{}.{shift} mm", at)),
        };
        day.push(Event::ReadingTaken(ReadingTaken {
            by,
            step: "tail.m00".into(),
            measure: "v".into(),
            value: ReadingValue::Series { points: (1..=points).map(point).collect() },
            instrument: None,
            load_instrument: None,
            corrects: None,
        }));
        day
    };
    let told = |points, shift| series(points, shift).found_after(&series(points, 3), "identical-readings");
    assert_eq!(told(5, 3).len(), 1);
    assert_eq!(told(5, 3)[0].words, "v of tail.m00: all 5 lines are those of the annual before");
    assert_eq!(told(4, 3), [], "four points may be chance");
    assert_eq!(told(5, 4), []);
}

#[test]
fn a_finding_and_its_innocent_explanations_are_german_where_german_is_spoken() {
    let mut day = Day::new();
    day.confirm("tailplane=off");
    day.pass_step("fin.look");
    day.pass_step("prep.clean");
    let told = |language| with_language(language, || day.found("before-its-turn").remove(0));
    let (german, english, proof) = (told(Language::German), told(Language::English), told(Language::Proof));
    assert_eq!((german.kind, german.title), ("before-its-turn", "Vor der Reihe beantwortet"));
    assert!(german.words.starts_with("fin.look wurde beantwortet: "), "{}", german.words);
    assert!(german.words.ends_with(" vor: prep.clean"), "{}", german.words);
    assert_eq!(german.may_be[0], "in der richtigen Reihenfolge gearbeitet und in anderer eingetragen");
    // The code and the entries are those of every language.
    assert_eq!(
        (german.kind, &german.entries, &german.about),
        (english.kind, &english.entries, &english.about)
    );
    // Nothing but ids and the result's own word, which the record's vocabulary translates, is left in English.
    let shown = format!("{} {} {}", proof.title, proof.words, proof.may_be.join(" "));
    let left: Vec<&str> = shown
        .split_whitespace()
        .filter(|word| word.len() >= 4 && word.chars().all(|letter| letter.is_ascii_alphabetic()))
        .filter(|word| *word != "passed")
        .collect();
    assert_eq!(left, [""; 0], "{shown}");
}
