//! `replay`: a record entry by entry, the story of one step, or the worksheet as it stood at a moment.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use clap::Args;
use serde_json::{Value, json};

use super::args::SessionArg;
use super::damage::{Damage, fault_json};
use super::output::{Failure, Output, exit};
use super::show;
use super::word::word_of;
use crate::audit::replay::{Change, Elapsed, Happening, Mark, Story, Timeline};
use crate::checklist::configuration_words;
use crate::diagnostic::nearest;
use crate::event::{Event, InstrumentUse};
use crate::hangar::{Hangar, Viewing, find_session};
use crate::plan::Plans;
use crate::screen::words;
use crate::words::of_checklist;

const ABOUT: &str =
    "Without options every entry is told in its order. Options narrow it down and may be combined.

Elapsed is the time since the entry before: by the running time within one run of the program,
by the wall clock (marked \"wall\") across two runs.

As JSON: `session`, `registration`, `entries` (of the whole record), `fault` (of a damaged
record `what`, `first_bad_entry`, `byte`, else null), and `told`, a list of: `entry`, `wall`, `elapsed_ms`,
`elapsed_by`, `by`, `configuration` (in force then), `words`, `event`, `hash`, `paper_code`,
`judgement` (`verdict`, `words`), `instruments` (`id`, `title`, `calibration_due`), `struck`
(`by_entry`, `who`, `why`), `plan_change`, `carried_from`. With --step also `step`: `id`, `title`,
`standing`, `held` (`result`, `entry`, `by`, `when`, `configuration`, `not_confirmed`),
`instruments`, `earlier_instruments`, `readings`, `failures`, `inspections` and `changes` (each
`entry`, `what`), `summary` (sentences).
With --at: `session`, `at`, `wall`, `plan`, `fault`, and `steps`, a list of `id`, `title`, `standing`.";

#[derive(Debug, Args)]
#[command(after_help = ABOUT)]
pub struct ReplayArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Everything that happened to this step, with a summary before it.
    #[arg(long, value_name = "ID")]
    pub step: Option<String>,
    /// From this entry on.
    #[arg(long, value_name = "ENTRY")]
    pub from: Option<usize>,
    /// Up to and with this entry.
    #[arg(long, value_name = "ENTRY")]
    pub to: Option<usize>,
    /// Only entries of this kind.
    #[arg(long, value_parser = word_of(&Mark::WORDS), value_name = "KIND")]
    pub only: Option<Mark>,
    /// Only entries of this person: an id, or part of a name.
    #[arg(long, value_name = "PERSON")]
    pub person: Option<String>,
    /// Only entries with all these words, in any order, in their words, step, person or instrument.
    #[arg(long, value_name = "TEXT")]
    pub find: Option<String>,
    /// The worksheet as it stood after this entry.
    #[arg(long, value_name = "ENTRY", conflicts_with_all = ["step", "from", "to", "only", "person", "find"])]
    pub at: Option<usize>,
    #[arg(long)]
    pub json: bool,
}

pub fn replay(hangar: &Hangar, args: &ReplayArgs, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session.session)?;
    let view = Viewing::open(hangar, &sid)?;
    let mut line = Timeline::over(&plans_of(&view), &view.entries, &view.state);
    let damage = Damage::of(hangar, &view).or_else(|| unfolded(&line));
    if let Some(damage) = &damage {
        line = line.damaged_from(damage.first_bad_entry);
        if !args.json {
            out.line(&damage.banner());
        }
    }
    let fault = fault_json(damage.as_ref());
    match (args.at, &args.step) {
        (Some(at), _) => sheet(&view, &line, at, args.json.then_some(fault), out)?,
        (None, Some(id)) => {
            let story = line.of_step(id).ok_or_else(|| no_step(&line, id))?;
            let kept = chosen(&line, args)?;
            let told = story.happenings.iter().filter(|told| kept.contains(&told.entry));
            let told: Vec<&Happening> = told.collect();
            if args.json {
                out.json(&with_story(json_of(&view, &line, &told, fault), &story));
            } else {
                out.text(&story_text(&line, &story, &told));
            }
        }
        (None, None) => {
            let told: Vec<Happening> =
                chosen(&line, args)?.into_iter().filter_map(|at| line.told(at)).collect();
            if args.json {
                out.json(&json_of(&view, &line, &told.iter().collect::<Vec<_>>(), fault));
            } else {
                out.text(&entries_text(&view, &line, &told));
            }
        }
    }
    if let Some(person) = args.person.as_deref().filter(|person| line.by_person(person).is_empty()) {
        let people = line.people().join(", ");
        out.error(&say!(
            "nobody in this record is called \"{person}\"; entries are by: {people}",
            person,
            people
        ));
    }
    for problem in &view.integrity {
        out.error(&say!("the record is damaged: {problem}", problem));
    }
    Ok(if damage.is_none() { exit::DONE } else { exit::DAMAGED })
}

/// A record that is whole, but cannot be followed to its end.
fn unfolded(line: &Timeline) -> Option<Damage> {
    let fault = line.fault()?;
    Some(Damage { what: fault.to_string(), first_bad_entry: fault.entry, byte: None })
}

/// The plans by which this session was worked.
fn plans_of(view: &Viewing) -> Plans {
    view.plans.clone()
}

fn no_step(line: &Timeline, id: &str) -> Failure {
    let wanted = id.trim().to_lowercase();
    let steps: BTreeSet<&str> = line.steps().into_iter().collect();
    let containing: Vec<&str> = steps
        .into_iter()
        .filter(|step| !wanted.is_empty() && step.to_lowercase().contains(&wanted))
        .collect();
    if !containing.is_empty() {
        let some: Vec<&str> = containing.iter().take(8).copied().collect();
        let more = containing.len() - some.len();
        let more = if more > 0 { say!(" and {more} more", more) } else { String::new() };
        return Failure::failed(say!(
            "no plan of this session has a step \"{id}\"; these contain it: {}{more}",
            some.join(", "),
            id,
            more
        ));
    }
    let meant = match nearest(id, line.steps()) {
        Some(found) => say!("did you mean \"{found}\"?", found),
        None => say!("list the steps with: spanwise show <session>").to_string(),
    };
    Failure::failed(say!("no plan of this session has a step \"{id}\"; {meant}", id, meant))
}

/// Entries that every option leaves standing.
fn chosen(line: &Timeline, args: &ReplayArgs) -> Result<BTreeSet<usize>, Failure> {
    let count = line.entries().len();
    let (from, to) = (args.from.unwrap_or(0), args.to.unwrap_or(usize::MAX));
    if from > to {
        return Err(Failure::usage(&say!("--from {from} lies after --to {to}; exchange them", from, to)));
    }
    if from >= count && count > 0 {
        return Err(beyond(from, count));
    }
    let mut kept: BTreeSet<usize> = (from..count.min(to.saturating_add(1))).collect();
    if let Some(mark) = args.only {
        kept.retain(|at| line.is(*at, mark));
    }
    if let Some(person) = &args.person {
        let theirs: BTreeSet<usize> = line.by_person(person).into_iter().collect();
        kept.retain(|at| theirs.contains(at));
    }
    if let Some(text) = &args.find {
        let found: BTreeSet<usize> = line.find(text, &words).into_iter().collect();
        kept.retain(|at| found.contains(at));
    }
    Ok(kept)
}

fn beyond(entry: usize, count: usize) -> Failure {
    let last = count.saturating_sub(1);
    Failure::usage(&say!("there is no entry {entry}; the last one of this session is {last}", entry, last))
}

/// `fault` is given where JSON is wanted.
fn sheet(
    view: &Viewing,
    line: &Timeline,
    at: usize,
    fault: Option<Value>,
    out: &mut Output,
) -> Result<(), Failure> {
    let Some(stamped) = line.entries().get(at) else {
        return Err(beyond(at, line.entries().len()));
    };
    let moment = line.moment(at);
    let plan = line.plan_at(at);
    if let Some(fault) = fault {
        let steps: Vec<Value> = plan
            .steps
            .iter()
            .map(|step| {
                let standing = moment.state().standing(&step.step.id).word();
                json!({ "id": step.step.id, "title": step.step.title, "standing": standing })
            })
            .collect();
        out.json(&json!({
            "session": view.sid, "at": at, "wall": stamped.wall, "plan": moment.state().plan,
            "fault": fault, "steps": steps,
        }));
        return Ok(());
    }
    out.line(&format!(
        "{}\n",
        say!("As it stood after entry {at}, {}: {}", stamped.wall, words(&stamped.event), at)
    ));
    out.text(&show::worksheet(&view.sid, plan, moment.state(), day_of(moment.state(), view.today)));
    Ok(())
}

fn entries_text(view: &Viewing, line: &Timeline, told: &[Happening]) -> String {
    let mut out = String::new();
    let count = line.entries().len();
    let _ = writeln!(
        out,
        "{}",
        say!(
            "Replay of {}, session {}: {} of {n} entry"
                | "Replay of {}, session {}: {} of {n} entries" % count,
            view.plan.airframe.registration,
            format_args!("{:.12}", view.sid),
            told.len()
        )
    );
    let mut configuration = None;
    for happening in told {
        // Told where it changes: repeated on every line it would hide what happened.
        if configuration.as_ref() != Some(&happening.configuration) {
            if !happening.configuration.is_empty() {
                let _ = writeln!(
                    out,
                    "       {}",
                    say!("-- configuration: {}", configuration_words(&happening.configuration))
                );
            }
            configuration = Some(happening.configuration.clone());
        }
        head_line(&mut out, line, happening);
    }
    out
}

fn head_line(out: &mut String, line: &Timeline, happening: &Happening) {
    let Some(stamped) = line.entries().get(happening.entry) else { return };
    let by = happening.by.as_ref().map_or(say!("the program"), |actor| actor.name.as_str());
    let elapsed = happening.elapsed.map_or_else(String::new, elapsed_column);
    let _ = writeln!(
        out,
        "{:>5}  {}  {elapsed:>14}  {by}: {}",
        happening.entry,
        happening.wall,
        words(&stamped.event)
    );
    if let Some(code) = line.paper_code(happening.entry) {
        let _ = writeln!(out, "       {}", say!("code on paper: {code}", code));
    }
}

fn elapsed_column(elapsed: Elapsed) -> String {
    match elapsed.by {
        crate::audit::replay::By::Running => elapsed.short(),
        crate::audit::replay::By::Wall => say!("{} wall", elapsed.short()),
    }
}

fn story_text(line: &Timeline, story: &Story, told: &[&Happening]) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "{}  {}", story.step, of_checklist(&story.title));
    for sentence in story.summary.sentences() {
        let _ = writeln!(out, "  {sentence}");
    }
    let _ = writeln!(
        out,
        "\n{}",
        say!(
            "In order, {} of {n} entry" | "In order, {} of {n} entries" % story.happenings.len(),
            told.len()
        )
    );
    for happening in told {
        head_line(&mut out, line, happening);
        for note in happening.notes() {
            let _ = writeln!(out, "         {note}");
        }
    }
    out
}

fn json_of(view: &Viewing, line: &Timeline, told: &[&Happening], fault: Value) -> Value {
    json!({
        "session": view.sid,
        "registration": view.plan.airframe.registration,
        "entries": line.entries().len(),
        "fault": fault,
        "told": told.iter().map(|happening| happening_json(line, happening)).collect::<Vec<_>>(),
    })
}

fn happening_json(line: &Timeline, happening: &Happening) -> Value {
    let stamped = line.entries().get(happening.entry);
    let event: Option<&Event> = stamped.map(|stamped| &stamped.event);
    let judgement = happening
        .judgement
        .as_ref()
        .map(|judged| json!({ "verdict": judged.headline(), "words": judged.words }));
    let struck = happening
        .struck
        .as_ref()
        .map(|struck| json!({ "by_entry": struck.by_entry, "who": struck.who, "why": struck.why }));
    json!({
        "entry": happening.entry,
        "wall": happening.wall,
        "elapsed_ms": happening.elapsed.map(|elapsed| elapsed.ms),
        "elapsed_by": happening.elapsed.map(|elapsed| elapsed.by.word()),
        "by": happening.by,
        "configuration": happening.configuration,
        "words": event.map(words),
        "event": event,
        "hash": stamped.map(|stamped| stamped.hash.as_str()),
        "paper_code": line.paper_code(happening.entry),
        "judgement": judgement,
        "instruments": happening.instruments.iter().map(instrument_json).collect::<Vec<_>>(),
        "struck": struck,
        "plan_change": happening.plan_change.map(|(change, _)| change.word()),
        "carried_from": happening.carried_from,
    })
}

fn instrument_json(used: &InstrumentUse) -> Value {
    json!({ "id": used.id, "title": used.title, "calibration_due": used.calibration_due })
}

fn with_story(mut value: Value, story: &Story) -> Value {
    let summary = &story.summary;
    let held = summary.held.as_ref().map(|held| {
        json!({
            "result": held.result.word(),
            "entry": held.entry,
            "by": held.by,
            "when": held.when,
            "configuration": held.configuration,
            "not_confirmed": held.unmet,
        })
    });
    let told = |all: &[Change]| -> Vec<Value> {
        all.iter().map(|one| json!({ "entry": one.entry, "what": one.what })).collect()
    };
    let instruments = |all: &[(InstrumentUse, String)]| -> Vec<Value> {
        all.iter().map(|(used, _)| instrument_json(used)).collect()
    };
    value["step"] = json!({
        "id": story.step,
        "title": story.title,
        "standing": summary.standing.word(),
        "held": held,
        "instruments": instruments(&summary.instruments),
        "earlier_instruments": instruments(&summary.earlier_instruments),
        "readings": told(&summary.readings),
        "failures": told(&summary.failures),
        "inspections": told(&summary.inspections),
        "changes": told(&summary.changes),
        "summary": summary.sentences(),
    });
    value
}

/// The day of a moment: that of its last entry.
fn day_of(state: &crate::state::State, otherwise: chrono::NaiveDate) -> chrono::NaiveDate {
    crate::state::instant(&state.last_wall).map_or(otherwise, |wall| wall.date_naive())
}
