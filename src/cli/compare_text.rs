//! Two annuals beside each other as text: first what needs a look, then new, gone, changed, the rest as counts.

use std::fmt::Write as _;

use serde_json::Value;

use crate::audit::compare::{ReadingComparison, SessionDifference, SideName, StepComparison, Turn};
use crate::screen::wrap;
use crate::words::of_checklist;

/// Columns of a plain terminal.
const WIDTH: usize = 80;

/// A paragraph with its first line at `indent` and the following ones two further in.
pub(super) fn put(out: &mut String, indent: usize, text: &str) {
    for (at, line) in wrap(text, WIDTH - indent - 2).iter().enumerate() {
        let indent = if at == 0 { indent } else { indent + 2 };
        let _ = writeln!(out, "{:indent$}{line}", "");
    }
}

pub fn json(difference: &SessionDifference, integrity: &[(String, Vec<String>)]) -> Value {
    let damage: Vec<Value> = integrity
        .iter()
        .flat_map(|(sid, problems)| problems.iter().map(move |problem| (sid, problem)))
        .map(|(sid, problem)| serde_json::json!({ "session": sid, "problem": problem }))
        .collect();
    serde_json::json!({ "comparison": difference, "damage": damage })
}

pub fn text(difference: &SessionDifference, changes_only: bool) -> String {
    let mut out = String::new();
    head(&mut out, difference);
    let mut first: Vec<&StepComparison> = difference.steps.iter().filter(|step| step.needs_a_look).collect();
    // Failed first, then by the share of the room to the limit that is used up.
    first.sort_by(|a, b| {
        let rank = |step: &StepComparison| (step.turn != Turn::Worse, std::cmp::Reverse(used_up(step)));
        rank(a).cmp(&rank(b))
    });
    group(&mut out, say!("Look at first"), first.into_iter());
    defects(&mut out, difference);
    put_right(&mut out, difference);
    for (title, turn) in [
        (say!("New steps"), Turn::New),
        (say!("Steps that are gone"), Turn::Gone),
        (say!("Failed then, not now"), Turn::Better),
        (say!("Other results that differ"), Turn::Changed),
    ] {
        group(&mut out, title, difference.of_turn(turn).filter(|step| !step.needs_a_look));
    }
    readings(&mut out, difference);
    demands(&mut out, difference);
    counts(&mut out, difference, changes_only);
    out
}

fn used_up(step: &StepComparison) -> rust_decimal::Decimal {
    step.readings.iter().map(ReadingComparison::used_up).max().unwrap_or_default()
}

fn head(out: &mut String, difference: &SessionDifference) {
    let (then, now) = (&difference.then, &difference.now);
    put(out, 0, &say!("Comparison of {} with {}", now.registration, then.registration));
    for (word, side) in [(say!("compared" => "then"), then), (say!("compared" => "now"), now)] {
        put(out, 2, &side_words(word, side));
    }
    if !difference.same_type {
        let words = say!(
            "WARNING: different types ({} and {}): steps of the same id may ask for different things",
            then.type_id,
            now.type_id
        );
        put(out, 0, &words);
    } else if !difference.same_airframe {
        put(out, 0, say!("WARNING: different airframes; steps are paired by their ids"));
    }
    if difference.is_empty() {
        put(out, 0, say!("No difference: the same steps, results and readings."));
    }
}

fn side_words(word: &str, side: &SideName) -> String {
    let signed = side.signed.as_ref().map(|signed| format!("; {signed}")).unwrap_or_default();
    let sid = side.session.get(..12).unwrap_or(&side.session);
    say!("{word}: {} (session {sid}){signed}; {}", side.label, side.time.words(), word, sid, signed)
}

fn group<'a>(out: &mut String, title: &str, steps: impl Iterator<Item = &'a StepComparison>) {
    let mut is_first = true;
    for step in steps {
        if is_first {
            let _ = writeln!(out, "\n{title}");
            is_first = false;
        }
        put(out, 2, &format!("{}: {}", step.id, of_checklist(&step.title)));
        put(out, 4, &results(step));
        for reading in step.readings.iter().filter(|reading| !reading.is_same() || reading.needs_a_look()) {
            reading_lines(out, reading);
        }
    }
}

fn results(step: &StepComparison) -> String {
    match (&step.then, &step.now) {
        (Some(then), Some(now)) => say!("then {}; now {}", then.words(), now.words()),
        (None, Some(now)) => now.words(),
        (Some(then), None) => say!("then {}", then.words()),
        (None, None) => String::new(),
    }
}

fn reading_lines(out: &mut String, reading: &ReadingComparison) {
    let list =
        |values: &[String]| if values.is_empty() { say!("none").to_string() } else { values.join(", ") };
    if reading.moved.is_empty() {
        let words =
            say!("{}: {}, now {}", of_checklist(&reading.title), list(&reading.then), list(&reading.now));
        put(out, 4, &words);
    }
    for moved in &reading.moved {
        put(out, 4, &format!("{}: {}", of_checklist(&reading.title), moved.words()));
    }
    if let Some(now) = reading.verdict_now.as_ref().filter(|_| reading.verdict_worse) {
        let then = reading.verdict_then.as_deref().unwrap_or(say!("not read"));
        put(out, 6, &say!("judged {then} then and {now} now", then, now));
    }
    match (&reading.instrument_then, &reading.instrument_now) {
        (then, now) if then == now => {}
        (then, now) => {
            let or_none =
                |used: &Option<String>| used.clone().unwrap_or_else(|| say!("no instrument").to_string());
            put(out, 6, &say!("read with {} then and {} now", or_none(then), or_none(now)));
        }
    }
}

fn defects(out: &mut String, difference: &SessionDifference) {
    if difference.defects_then.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{}", say!("Defects then, and what became of them"));
    let (urgent, rest): (Vec<_>, Vec<_>) =
        difference.defects_then.iter().partition(|defect| defect.needs_a_look);
    for defect in urgent.into_iter().chain(rest) {
        let step = defect.step.as_ref().map(|step| format!("{step}: ")).unwrap_or_default();
        put(out, 2, &format!("{step}{}", defect.words()));
    }
}

fn put_right(out: &mut String, difference: &SessionDifference) {
    let now = difference
        .steps
        .iter()
        .filter(|step| !step.needs_a_look && step.now.as_ref().is_some_and(|now| now.failed_first));
    group(out, say!("Failed now and put right"), now);
}

/// What moved without need of a look.
fn readings(out: &mut String, difference: &SessionDifference) {
    let quiet = difference.steps.iter().filter(|step| {
        let told = matches!(step.turn, Turn::Same | Turn::NotYet);
        let put_right = step.now.as_ref().is_some_and(|now| now.failed_first);
        told && !step.needs_a_look && !put_right && step.readings.iter().any(|reading| !reading.is_same())
    });
    group(out, say!("Other readings that differ"), quiet);
}

fn demands(out: &mut String, difference: &SessionDifference) {
    let mut changed = difference.steps.iter().filter(|step| !step.demand.is_empty()).peekable();
    if changed.peek().is_none() {
        return;
    }
    let _ = writeln!(out, "\n{}", say!("Steps that ask for something else than then"));
    for step in changed {
        put(out, 2, &format!("{}: {}", step.id, of_checklist(&step.title)));
        for words in &step.demand {
            put(out, 4, words);
        }
    }
}

fn counts(out: &mut String, difference: &SessionDifference, changes_only: bool) {
    let open = difference.of_turn(Turn::NotYet).count();
    let same = difference.steps.iter().filter(|step| step.is_same()).count();
    let _ = writeln!(out);
    if open > 0 {
        let _ = writeln!(
            out,
            "{}",
            say!("1 step answered then, open now" | "{n} steps answered then, open now" % open)
        );
    }
    if !changes_only {
        let _ = writeln!(
            out,
            "{}",
            say!(
                "1 step the same in result and readings" | "{n} steps the same in result and readings" % same
            )
        );
    }
}
