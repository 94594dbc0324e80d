//! Pace, bursts, the clock. Thresholds: common practice, no source; the edges below are the stated ones.

use spanwise::event::{Answered, Carried, Event, StepResult};
use spanwise::session::Request;

use crate::day::{Day, LONGS};

#[test]
fn twelve_answers_within_40_seconds() {
    let mut day = Day::new();
    day.pass(7).pass_step("tail.s00");
    for look in 1..12 {
        day.pass(3).pass_step(&format!("tail.s{look:02}"));
    }
    let found = day.found("fast-answers");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        found[0].words,
        "12 answers of Ada Finch within 40 s; the checklist plans 1 h for these steps"
    );
    assert_eq!(found[0].entries, (1..13).collect::<Vec<_>>());
    assert!(found[0].may_be.contains(&"entered from paper afterwards".to_string()));

    let mut honest = Day::new();
    for look in 0..12 {
        honest.pass(300).pass_step(&format!("tail.s{look:02}"));
    }
    assert_eq!(honest.found("fast-answers"), []);
}

/// Five minutes at four times the planned speed are 75 s, and up to a minute short of that is not told.
#[test]
fn a_single_answer_at_the_edge() {
    for (seconds, told) in [(15, 0), (14, 1)] {
        let mut day = Day::new();
        day.pass(seconds).pass_step("tail.s00");
        assert_eq!(day.found("fast-answers").len(), told, "{seconds} s");
    }
}

/// Work before the entries counts, up to 30 minutes: 24 answers of 5 minutes at four times the speed.
#[test]
fn a_walk_round_entered_together_is_no_haste() {
    let mut day = Day::new();
    day.pass(1800);
    for look in 0..14 {
        day.pass(1).pass_step(&format!("tail.s{look:02}"));
    }
    assert_eq!(day.found("fast-answers"), []);
}

/// A step is in time when its minutes have passed, whatever was noted meanwhile.
#[test]
fn a_long_step_with_a_note_in_between_is_in_time() {
    let mut day = Day::new();
    for long in 0..6 {
        let step = format!("tail.long{long:02}");
        day.pass(1100).note(&step);
        day.pass(100).pass_step(&step);
    }
    assert_eq!((day.found("fast-answers"), day.found("fast-stretch")), (vec![], vec![]));
}

#[test]
fn corrections_and_not_applicable_and_carried_entries_are_not_fast() {
    let mut day = Day::new();
    day.pass(300).pass_step("tail.s00");
    let before = day.correct("tail.s00", StepResult::Failed);
    day.correct("tail.s00", StepResult::Passed);
    for look in 1..8 {
        day.answer(&format!("tail.s{look:02}"), StepResult::NotApplicable);
    }
    let by = day.actor("ada");
    for look in 8..14 {
        let answered = Answered {
            by: by.clone(),
            step: format!("tail.s{look:02}"),
            result: StepResult::Passed,
            reason: None,
            corrects: None,
            reinspects: None,
        };
        day.push(Event::Carried(Carried {
            sid: "before".into(),
            from: before + look,
            wall: "2026-11-20T10:00:00+01:00".into(),
            hash: "0".repeat(64),
            event: Box::new(Event::Answered(answered)),
        }));
    }
    for kind in ["fast-answers", "fast-stretch", "burst-after-gap", "clock-back"] {
        assert_eq!(day.found(kind), [], "{kind}");
    }
}

/// Each person has their own time: what bo does between does not make ada fast, nor the other way round.
#[test]
fn people_are_counted_apart() {
    let mut day = Day::new();
    day.bench.allow("bo");
    day.pass(300).pass_step("tail.s00");
    let answer = |step: &str| Request::Answer {
        step: step.into(),
        result: StepResult::Passed,
        reason: None,
        why: None,
    };
    day.pass(1).ask("bo", answer("tail.s01"));
    assert_eq!(day.found("fast-answers"), []);
}

/// Twenty minutes at twice the planned speed are 600 s. At 400 s each, ten answers are short by 2000 s and nine by
/// 1800 s, the 30 minutes that are not told; none is fast by itself (300 s at four times the speed).
#[test]
fn a_long_stretch_at_the_edge() {
    for (answers, told) in [(9, 0), (10, 1)] {
        assert!(answers <= LONGS);
        let mut day = Day::new();
        for long in 0..answers {
            day.pass(400).pass_step(&format!("tail.long{long:02}"));
        }
        let found = day.found("fast-stretch");
        assert_eq!(found.len(), told, "{found:?}");
        assert_eq!(day.found("fast-answers"), []);
        if let Some(found) = found.first() {
            assert_eq!(
                found.words,
                "10 answers of Ada Finch in a row within 1 h 6 min; the checklist plans 3 h 20 min for these steps"
            );
        }
    }
}

fn burst(gap: i64, answers: usize, apart: i64) -> Day {
    let mut day = Day::new();
    day.pass(gap);
    for look in 0..answers {
        day.pass_step(&format!("tail.s{look:02}"));
        day.pass(apart);
    }
    day
}

#[test]
fn a_burst_after_a_gap_and_its_edges() {
    let found = burst(3600, 8, 3).found("burst-after-gap");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(
        found[0].words,
        "8 answers of Ada Finch within 21 s after 1 h without an entry; the checklist plans 40 min for these steps"
    );
    assert_eq!(found[0].entries, (1..9).collect::<Vec<_>>());
    assert_eq!(burst(3599, 8, 3).found("burst-after-gap"), []);
    assert_eq!(burst(3600, 7, 3).found("burst-after-gap"), []);
    assert_eq!(burst(3600, 8, 42).found("burst-after-gap").len(), 1, "294 s");
    assert_eq!(burst(3600, 8, 43).found("burst-after-gap"), [], "301 s");
    assert_eq!(burst(3600, 14, 300).found("burst-after-gap"), []);
}

#[test]
fn the_clock_stepping_back_and_its_edge() {
    for (seconds, told) in [(-2, 0), (-3, 1), (600, 0)] {
        let mut day = Day::new();
        day.pass(300).note("tail.s00");
        let before = day.pass(seconds).note("tail.s00") - 1;
        let found = day.found("clock-back");
        assert_eq!(found.len(), told, "{seconds} s: {found:?}");
        if let Some(found) = found.first() {
            assert_eq!(found.entries, [before, before + 1]);
        }
    }
}

#[test]
fn a_noted_step_of_the_clock_is_told_once_and_its_running_time_counts() {
    let stepped = |change_ms: i64| Event::ClockStepped {
        wall_before: "then".into(),
        wall_now: "now".into(),
        wall_change_ms: change_ms,
        elapsed_ms: 300_000,
    };
    let mut back = Day::new();
    back.pass(-3300).push(stepped(-3_300_000));
    back.pass_step("tail.s00");
    let found = back.found("clock-back");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].words.starts_with("the clock was set back by 1 h "), "{}", found[0].words);
    assert_eq!(back.found("fast-answers"), [], "five minutes passed by the running time");

    let mut on = Day::new();
    on.pass(3900).push(stepped(3_900_000));
    assert_eq!(on.found("clock-back"), [], "set on, not back");
}
