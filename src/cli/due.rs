//! `due`: what falls due on an airframe before its next annual, or in the registers. The code tells whether anything is overdue.

use chrono::NaiveDate;
use clap::Args;
use serde_json::{Value, json};

use super::due_text;
use super::output::{Failure, Output, exit};
use super::registers_text::record_of;
use crate::airframe::Airframe;
use crate::completion::answered::after_this_annual;
use crate::due::{DueLine, Horizon, Standing, due_list, is_exhausted, part_words, registers_due};
use crate::hangar::{Hangar, Viewing, find_session, unfinished_annual};
use crate::measure::life::{Counter, LifeError, Part, Usage};

#[derive(Debug, Args)]
pub struct DueArgs {
    /// Registration: as the record stands. A session's id or its beginning: as it will be with its answers.
    #[arg(value_name = "REGISTRATION | SESSION", required_unless_present = "registers")]
    pub what: Option<String>,
    /// What ends in the registers: calibrations and authorisations.
    #[arg(long, conflicts_with = "what")]
    pub registers: bool,
    /// Seen from this day instead of today, or of the day on which the session was signed.
    #[arg(long, value_name = "DATE", value_parser = crate::cli::word::day)]
    pub on: Option<NaiveDate>,
    /// The day of the next annual; else 12 months later.
    #[arg(long, value_name = "DATE", value_parser = crate::cli::word::day)]
    pub next: Option<NaiveDate>,
    /// Also what holds until after the next annual.
    #[arg(long)]
    pub all: bool,
    #[arg(long)]
    pub json: bool,
}

/// What is told, and from where it is seen.
pub struct Told {
    pub title: String,
    pub registration: Option<String>,
    pub session: Option<String>,
    pub horizon: Horizon,
    pub lines: Vec<DueLine>,
    pub remarks: Vec<String>,
}

/// Tells it. Something overdue, or with nothing left of a counter, ends with [`exit::REFUSED`].
pub fn due(hangar: &Hangar, args: &DueArgs, out: &mut Output) -> Result<u8, Failure> {
    let told = match &args.what {
        Some(word) if hangar.airframe(word).is_ok() => of_record(hangar, word, args)?,
        Some(word) => of_session(hangar, word, args)?,
        None => of_registers(hangar, args)?,
    };
    let is_overdue = told.lines.iter().any(is_overdue);
    if args.json {
        out.json(&as_json(&told, args.all));
    } else {
        out.text(&due_text::text(&told, args.all));
    }
    Ok(if is_overdue { exit::REFUSED } else { exit::DONE })
}

fn is_overdue(line: &DueLine) -> bool {
    line.standing == Standing::Overdue || line.is_exhausted()
}

fn of_record(hangar: &Hangar, word: &str, args: &DueArgs) -> Result<Told, Failure> {
    let airframe = record_of(hangar, word)?;
    let today = args.on.unwrap_or_else(|| hangar.today());
    check_days(today, args.next)?;
    let horizon =
        Horizon::of(airframe, today, airframe.hours, airframe.launches, args.next).map_err(failed)?;
    let mut remarks = remarks_of(airframe, &horizon);
    if let Some(running) = unfinished_annual(hangar, &airframe.registration) {
        let sid = running.sid.get(..12).unwrap_or(&running.sid);
        remarks.push(say!("an annual is under way; with its answers: spanwise due {sid}", sid = sid));
    }
    Ok(Told {
        title: say!("{}, by its record", name_of(airframe)),
        registration: Some(airframe.registration.clone()),
        session: None,
        lines: due_list(airframe, &horizon),
        horizon,
        remarks,
    })
}

fn of_session(hangar: &Hangar, word: &str, args: &DueArgs) -> Result<Told, Failure> {
    let sid = find_session(hangar, word)?;
    let view = Viewing::open(hangar, &sid)?;
    if !view.integrity.is_empty() {
        return Err(Failure::damaged(say!(
            "the record is damaged: {}; see spanwise verify {word}",
            view.integrity.join("; "),
            word = word
        )));
    }
    let signed = view.state.signed.as_ref().and_then(|told| told.stamp.day());
    let today = args.on.or(signed).unwrap_or_else(|| hangar.today());
    check_days(today, args.next)?;
    let (after, horizon) = after_this_annual(&view.plan, &view.state, today, args.next).map_err(failed)?;
    let mut remarks = remarks_of(&view.plan.airframe, &horizon);
    let papers = view.plan.airframe.directives.len() + view.plan.airframe.life_items.len();
    let open = papers.saturating_sub(view.state.directives.len() + view.state.life_items.len());
    if open > 0 {
        remarks.push(say!(
            "{open} of {papers} directives and items are unanswered: these stand as in the record",
            open = open,
            papers = papers
        ));
    }
    Ok(Told {
        title: say!("{}, as it will be after this annual", name_of(&after)),
        registration: Some(after.registration.clone()),
        lines: due_list(&after, &horizon),
        session: Some(sid),
        horizon,
        remarks,
    })
}

fn of_registers(hangar: &Hangar, args: &DueArgs) -> Result<Told, Failure> {
    if !hangar.faults.is_empty() {
        // What counts as empty because it cannot be read would be told as nothing to do.
        return Err(Failure::failed(say!("a register cannot be read: correct it first, it is told above")));
    }
    let today = args.on.unwrap_or_else(|| hangar.today());
    check_days(today, args.next)?;
    let nothing = Airframe::default();
    let horizon = Horizon::of(&nothing, today, nothing.hours, 0, args.next).map_err(failed)?;
    Ok(Told {
        title: say!("Registers").to_string(),
        registration: None,
        session: None,
        lines: registers_due(&hangar.instruments, &hangar.people, &horizon),
        horizon,
        remarks: Vec::new(),
    })
}

fn check_days(today: NaiveDate, next: Option<NaiveDate>) -> Result<(), Failure> {
    match next.filter(|next| *next <= today) {
        Some(next) => Err(Failure::usage(&say!(
            "the next annual ({next}) must lie after {today}",
            next = next,
            today = today
        ))),
        None => Ok(()),
    }
}

fn failed(error: LifeError) -> Failure {
    Failure::failed(error)
}

fn name_of(airframe: &Airframe) -> String {
    say!("{} ({}, serial {})", airframe.registration, airframe.type_id, airframe.serial)
}

/// Counters whose use nobody can expect: what is counted in them is not told as due before the next annual.
fn remarks_of(airframe: &Airframe, horizon: &Horizon) -> Vec<String> {
    let Horizon { now, next } = horizon;
    let counted = |counter: Counter| {
        due_list(airframe, horizon)
            .iter()
            .flat_map(|line| line.parts.clone())
            .any(|part| matches!(part, Part::Counted { counter: found, .. } if found == counter))
    };
    let unknown = [
        (Counter::Hours, now.hours == next.hours, ["expected_hours", "hours_at_last_annual"]),
        (Counter::Launches, now.launches == next.launches, ["expected_launches", "launches_at_last_annual"]),
        (Counter::Cycles, now.cycles == next.cycles, ["", ""]),
    ];
    unknown
        .into_iter()
        .filter(|(counter, is_unknown, _)| *is_unknown && counted(*counter))
        .map(|(counter, _, [key, other])| match key {
            "" => say!("no use in {0} is expected, so limits in {0} have no expected day", counter_words(counter)),
            _ => say!(
                "no use in {0} is expected, so limits in {0} have no expected day; add {1}, or {2} to the record",
                counter_words(counter),
                key,
                other
            ),
        })
        .collect()
}

fn counter_words(counter: Counter) -> &'static str {
    match counter {
        Counter::Hours => say!("hours"),
        Counter::Launches => say!("launches"),
        Counter::Cycles => say!("cycles"),
    }
}

fn as_json(told: &Told, all: bool) -> Value {
    let Horizon { now, next } = &told.horizon;
    let lines = told.lines.iter().filter(|line| all || line.is_before_next()).map(line_json);
    json!({
        "title": told.title,
        "registration": told.registration,
        "session": told.session,
        "on": usage_json(now),
        "next_annual": usage_json(next),
        "overdue": told.lines.iter().any(is_overdue),
        "lines": lines.collect::<Vec<_>>(),
        "remarks": told.remarks,
    })
}

fn usage_json(usage: &Usage) -> Value {
    json!({
        "date": usage.date,
        "hours": usage.hours.normalize().to_string(),
        "launches": usage.launches,
        "cycles": usage.cycles,
    })
}

/// One line as JSON, for the commands that list it.
pub fn line_json(line: &DueLine) -> Value {
    let parts: Vec<Value> = line
        .parts
        .iter()
        .map(|part| {
            let first = line.first.is_some_and(|(first, _)| first == *part);
            let mut value = match part {
                Part::Calendar { due, days_left } => json!({"due": due, "days_left": days_left}),
                Part::Counted { counter, due_at, left } => json!({
                    "counter": counter.to_string(),
                    "due_at": due_at.to_string(),
                    "left": left.to_string(),
                }),
            };
            value["words"] = json!(part_words(part));
            value["exhausted"] = json!(is_exhausted(part));
            value["first"] = json!(first);
            value
        })
        .collect();
    json!({
        "kind": line.kind.word(),
        "id": line.id,
        "title": line.title,
        "standing": line.standing.word(),
        "expected": line.first.map(|(_, day)| day),
        "parts": parts,
        "trouble": line.trouble,
    })
}
