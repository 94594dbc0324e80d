//! `report`, `carried`, `bring-forward`: what comes in before and during an annual, and what goes on to the next.

use std::fmt::Write as _;

use chrono::NaiveDate;
use clap::{Args, Subcommand};

use super::args::{BeginArgs, SessionArg};
use super::follow::tell_difference;
use super::output::{Failure, Output, exit};
use crate::airframe::{Airframe, Report};
use crate::forward::{Carried, carried, repairs_without_report};
use crate::hangar::{
    Hangar, HangarError, NewReport, Viewing, Work, add_report, bring_forward, earlier_annual, find_session,
    last_annual_of, not_brought_forward, preview, unfinished_annual,
};
use crate::plan::{Plan, PlannedReport};
use crate::state::State;
use crate::vocabulary::kind_words;
use crate::words::{date, figure, of_checklist, said};

#[derive(Debug, Subcommand)]
pub enum ReportCommand {
    /// Enter what a pilot says or what happened into the airframe's record; a running annual is offered its steps.
    Add(AddArgs),
    /// List the reports and occurrences of an airframe and what became of each.
    List(OfArgs),
    /// Tell which modules each report selects, their steps, and why.
    Explain(OfArgs),
}

#[derive(Debug, Args)]
pub struct AddArgs {
    /// Registration of the airframe, or a session's id or its beginning.
    #[arg(value_name = "SESSION | REGISTRATION")]
    pub of: String,
    /// Its kind, such as tail-noise or heavy-landing; a wrong one is answered with the list.
    #[arg(long)]
    pub kind: String,
    /// What was reported, in the pilot's own words.
    #[arg(long)]
    pub text: String,
    /// When it happened or was reported; by default today.
    #[arg(long)]
    pub date: Option<NaiveDate>,
    /// Who reported it.
    #[arg(long, default_value = "")]
    pub from: String,
    /// A module to be worked besides those that the kind selects; again for more.
    #[arg(long, value_name = "MODULE")]
    pub module: Vec<String>,
    /// Where it stands in the technical log.
    #[arg(long)]
    pub log: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct OfArgs {
    /// Registration of the airframe, or a session's id or its beginning.
    #[arg(value_name = "SESSION | REGISTRATION")]
    pub of: String,
    #[arg(long)]
    pub json: bool,
}

pub(super) fn report(hangar: &Hangar, command: &ReportCommand, out: &mut Output) -> Result<u8, Failure> {
    match command {
        ReportCommand::Add(args) => add(hangar, args, out),
        ReportCommand::List(args) => list(hangar, args, out),
        ReportCommand::Explain(args) => explain(hangar, args, out),
    }
}

/// What a word names: an airframe of the hangar, else the airframe of a session.
fn registration_of(hangar: &Hangar, word: &str) -> Result<(String, Option<String>), Failure> {
    if let Ok(file) = hangar.airframe(word) {
        let registration = file.name();
        let running = unfinished_annual(hangar, &registration).map(|session| session.sid);
        return Ok((registration, running));
    }
    let sid = find_session(hangar, word)?;
    let view = Viewing::open(hangar, &sid)?;
    Ok((view.plan.airframe.registration, Some(sid)))
}

fn record_of<'a>(hangar: &'a Hangar, registration: &str) -> Result<&'a Airframe, Failure> {
    let file = hangar.airframe(registration)?;
    file.airframe.as_ref().map_err(|faults| Failure::from(HangarError::Files(faults.clone())))
}

fn add(hangar: &Hangar, args: &AddArgs, out: &mut Output) -> Result<u8, Failure> {
    let (registration, session) = registration_of(hangar, &args.of)?;
    let report = NewReport {
        kind: args.kind.clone(),
        date: args.date.unwrap_or_else(|| hangar.today()),
        by: args.from.clone(),
        text: args.text.clone(),
        modules: args.module.clone(),
        log: args.log.clone(),
    };
    let id = add_report(hangar, &registration, &report)?;
    let hangar = Hangar::load(&hangar.root);
    let plan = preview(&hangar, &registration)?;
    let planned = plan.reports.iter().find(|planned| planned.id == id);
    if args.json {
        let modules = planned.map(|planned| planned.modules.clone()).unwrap_or_default();
        out.json(&serde_json::json!({
            "registration": registration, "report": id, "modules": modules, "session": session
        }));
        return Ok(exit::DONE);
    }
    out.line(&say!(
        "entered as {id} into the record of {registration}",
        id = id,
        registration = registration
    ));
    if let Some(planned) = planned {
        out.text(&explained(&plan, planned, None));
    }
    offered(&hangar, session.as_deref(), out)
}

/// A running annual is worked by the plan that it has; what the report would add is shown, and taken up by the certifier.
fn offered(hangar: &Hangar, session: Option<&str>, out: &mut Output) -> Result<u8, Failure> {
    let Some(sid) = session else { return Ok(exit::DONE) };
    let work = match Work::open(hangar, sid) {
        Ok(work) => work,
        Err(error) => {
            out.error(&say!(
                "what changes for the running annual cannot be told now: {error}",
                error = error
            ));
            return Ok(exit::DONE);
        }
    };
    if work.view.state.signed.is_some() {
        out.line(say!("the annual is signed: the report targets the next one"));
        return Ok(exit::DONE);
    }
    if let Some(offer) = work.offer(hangar)? {
        out.line(&format!("\n{}", say!("for the running annual; nothing of it is taken up yet:")));
        tell_difference(&offer, out);
        out.line(&say!(
            "the certifier takes it up: spanwise take-up {sid} --why \"…\"",
            sid = format_args!("{:.12}", sid)
        ));
    }
    Ok(exit::DONE)
}

/// The plan in force: of the running annual or the named session, else as it would be composed now.
fn plan_of(hangar: &Hangar, word: &str) -> Result<(Plan, Option<State>, String), Failure> {
    let (registration, session) = registration_of(hangar, word)?;
    match session {
        Some(sid) => {
            let view = Viewing::open(hangar, &sid)?;
            Ok((view.plan, Some(view.state), registration))
        }
        None => Ok((preview(hangar, &registration)?, None, registration)),
    }
}

fn list(hangar: &Hangar, args: &OfArgs, out: &mut Output) -> Result<u8, Failure> {
    let (registration, session) = registration_of(hangar, &args.of)?;
    let record = record_of(hangar, &registration)?;
    let view = session.map(|sid| Viewing::open(hangar, &sid)).transpose()?;
    let fate = |report: &Report| fate(report, view.as_ref());
    if args.json {
        let rows: Vec<_> = record
            .reports
            .iter()
            .map(|report| {
                serde_json::json!({
                    "id": report.id, "kind": report.kind.value, "kind_words": kind_words(&report.kind.value),
                    "date": report.date, "by": report.by, "text": report.text, "log": report.log,
                    "modules": report.modules.iter().map(|module| &module.value).collect::<Vec<_>>(),
                    "dealt_with": report.dealt_with, "dealt_with_how": report.dealt_with_how, "standing": fate(report),
                })
            })
            .collect();
        out.json(&rows);
        return Ok(exit::DONE);
    }
    if record.reports.is_empty() {
        out.line(&say!("no report of {registration}; enter one: spanwise report add {registration} --kind KIND --text \"…\"", registration = registration));
    }
    for report in &record.reports {
        let by = if report.by.is_empty() { String::new() } else { format!(", {}", report.by) };
        out.line(&format!(
            "{:<4} {}  {}{by}\n     {}\n     {}",
            report.id,
            date(report.date),
            kind_words(&report.kind.value),
            say!("\"{}\"", report.text),
            fate(report)
        ));
    }
    Ok(exit::DONE)
}

/// What became of it, in words.
fn fate(report: &Report, view: Option<&Viewing>) -> String {
    if let Some(day) = report.dealt_with {
        let how = report.dealt_with_how.as_ref().map_or(String::new(), |how| format!(": {how}"));
        return say!("dealt with on {day}{how}", day = date(day), how = how);
    }
    let Some(view) = view else { return say!("open: it targets the next annual").to_string() };
    let Some(planned) = view.plan.reports.iter().find(|planned| planned.id == report.id) else {
        return say!(
            "open: it came in after the plan of the running annual; spanwise take-up shows what changes"
        )
        .to_string();
    };
    match view.state.set_aside.get(&report.id) {
        Some(told) => say!("set aside by {}: {}", told.stamp.by.name, told.what),
        None if planned.modules.is_empty() => {
            say!("NOT DEALT WITH: no module answers it; set it aside in writing").to_string()
        }
        None => say!("targeted by {}", planned.modules.join(", ")),
    }
}

fn explain(hangar: &Hangar, args: &OfArgs, out: &mut Output) -> Result<u8, Failure> {
    let (plan, state, registration) = plan_of(hangar, &args.of)?;
    if args.json {
        let rows: Vec<_> = plan.reports.iter().map(|report| explained_json(&plan, report)).collect();
        out.json(&serde_json::json!({ "registration": registration, "reports": rows }));
        return Ok(exit::DONE);
    }
    if plan.reports.is_empty() {
        out.line(&say!(
            "no open report of {registration}: the plan has no targeted step",
            registration = registration
        ));
    }
    for report in &plan.reports {
        out.text(&explained(&plan, report, state.as_ref()));
    }
    Ok(exit::DONE)
}

fn explained_json(plan: &Plan, report: &PlannedReport) -> serde_json::Value {
    let modules: Vec<_> = plan
        .selected_by(report)
        .into_iter()
        .map(|module| {
            let steps: Vec<_> = module
                .steps
                .iter()
                .map(|step| serde_json::json!({ "id": step.step.id, "title": step.step.title, "because": step.because }))
                .collect();
            serde_json::json!({ "id": module.id, "title": module.title, "steps": steps })
        })
        .collect();
    serde_json::json!({
        "id": report.id, "kind": report.kind, "kind_words": kind_words(&report.kind), "date": report.date,
        "by": report.by, "text": report.text, "modules": modules,
    })
}

/// One report, its modules and their steps, each with its standing where the annual runs.
fn explained(plan: &Plan, report: &PlannedReport, state: Option<&State>) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{}",
        say!(
            "{} {} of {} ({}): \"{}\"",
            report.id,
            report.kind,
            date(report.date),
            kind_words(&report.kind),
            report.text
        )
    );
    if report.modules.is_empty() {
        let aside = state.and_then(|state| state.set_aside.get(&report.id));
        let _ = match aside {
            Some(told) => writeln!(out, "  {}", say!("set aside by {}: {}", told.stamp.by.name, told.what)),
            None => writeln!(
                out,
                "  {}",
                say!(
                    "selects no module: the certifier sets it aside in writing, or names a module that answers it"
                )
            ),
        };
    }
    for module in plan.selected_by(report) {
        let by_kind = say!("because its kind is {}", report.kind);
        let named = plan.airframe.reports.iter().find(|known| known.id == report.id);
        let is_named = named.is_some_and(|known| known.modules.iter().any(|named| named.value == module.id));
        let why = if is_named { say!("named by hand with the report").to_string() } else { by_kind };
        let _ = writeln!(
            out,
            "  {}",
            say!("module {} \"{}\", {why}", module.id, of_checklist(module.title), why = why)
        );
        for planned in &module.steps {
            let standing = state.map_or(String::new(), |state| {
                format!(" ({})", said(state.standing(&planned.step.id).word()))
            });
            let also: Vec<&str> =
                planned.because.iter().filter(|id| **id != report.id).map(String::as_str).collect();
            let also = if also.is_empty() {
                String::new()
            } else {
                format!("  {}", say!("also for {}", also.join(", ")))
            };
            let _ = writeln!(
                out,
                "    {:<36} {}{standing}{also}",
                planned.step.id,
                of_checklist(&planned.step.title)
            );
        }
    }
    out
}

/// What the next annual opens with, or what this one opened with.
pub(super) fn carried_of(hangar: &Hangar, args: &OfArgs, out: &mut Output) -> Result<u8, Failure> {
    let (record, before) = match hangar.airframe(&args.of) {
        Ok(file) => {
            let registration = file.name();
            (record_of(hangar, &registration)?.clone(), last_annual_of(hangar, &registration))
        }
        Err(_) => {
            let view = Viewing::open(hangar, &find_session(hangar, &args.of)?)?;
            let before = earlier_annual(hangar, &view);
            (view.plan.airframe, before)
        }
    };
    let side = before.as_ref().map(|view| (&view.plan, &view.state));
    let found = carried(&record, hangar.today(), side);
    if args.json {
        out.json(&found);
    } else {
        out.text(&carried_text(&found));
    }
    if let Some(missing) = not_brought_forward(hangar, &record.registration) {
        out.error(&format!("{}; {}", missing.why(), missing.next()));
    }
    Ok(exit::DONE)
}

fn carried_text(found: &Carried) -> String {
    let mut out = String::new();
    let last = found.last_annual.map_or(say!("none").to_string(), date);
    let _ = writeln!(
        out,
        "{}",
        say!(
            "Carried forward for {}, seen on {}; last annual {last}",
            found.registration,
            date(found.on),
            last = last
        )
    );
    for why in &found.grounded {
        let _ = writeln!(out, "{}", say!("NOT AIRWORTHY: {why}", why = why));
    }
    section(
        &mut out,
        say!("Defects that stand open"),
        found.defects.iter().map(|defect| {
            let until =
                defect.until.map_or(String::new(), |until| format!(" {}", say!("until {}", date(until))));
            let overdue = if defect.overdue { say!(" OVERDUE") } else { "" };
            let step = defect.step.as_ref().map_or(String::new(), |step| say!(", by {step}", step = step));
            say!(
                "{} {}: {}, {}{until}{overdue}; found {}{step}",
                defect.id,
                defect.what,
                said(defect.severity),
                said(defect.standing),
                date(defect.found),
                until = until,
                overdue = overdue,
                step = step
            )
        }),
    );
    section(
        &mut out,
        say!("Reports since"),
        found.reports.iter().map(|report| {
            format!(
                "{} {} {}: {}",
                report.id,
                date(report.date),
                report.kind_words,
                say!("\"{}\"", report.text)
            )
        }),
    );
    section(
        &mut out,
        say!("Due before the next annual"),
        found.due.iter().map(|line| {
            format!(
                "{}: {} {} ({})",
                said(line.standing),
                said(line.kind),
                of_checklist(&line.title),
                line.words
            )
        }),
    );
    section(
        &mut out,
        say!("Steps that failed before"),
        found
            .failed_before
            .iter()
            .map(|step| format!("{} {}: {}", step.step, of_checklist(&step.title), step.how)),
    );
    section(
        &mut out,
        say!("Readings to be set beside"),
        found.readings.iter().map(|reading| {
            let u = reading
                .standard_uncertainty
                .map_or(String::new(), |u| format!(" {}", say!("(standard uncertainty {u})", u = figure(u))));
            let (step, measure) = (&reading.step, &reading.measure);
            format!(
                "{step} {measure}: {} {}{u}, {}",
                figure(reading.value),
                reading.unit.shown(),
                date(reading.date)
            )
        }),
    );
    for advice in &found.advice {
        let _ = writeln!(out, "{}", say!("advice: {advice}", advice = advice));
    }
    out
}

fn section(out: &mut String, title: &str, lines: impl Iterator<Item = String>) {
    let lines: Vec<String> = lines.collect();
    let _ = writeln!(out, "\n{title}{}", if lines.is_empty() { say!(": none") } else { "" });
    for line in lines {
        let _ = writeln!(out, "  {line}");
    }
}

/// Does what a signature could not do, or tells that it is done.
pub(super) fn bring(hangar: &Hangar, args: &SessionArg, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session)?;
    let brought = bring_forward(hangar, &sid)?;
    out.line(&brought.summary());
    for line in &brought.words {
        out.line(&format!("  {line}"));
    }
    Ok(exit::DONE)
}

/// After a signature: the record is brought up to date. The signature stands whatever becomes of it.
pub(super) fn bring_after_signing(hangar: &Hangar, sid: &str, out: &mut Output) {
    match bring_forward(hangar, sid) {
        Ok(brought) => {
            out.line(&brought.summary());
            for line in &brought.words {
                out.line(&format!("  {line}"));
            }
        }
        Err(error) => out.error(&not_brought_words(sid, &error)),
    }
}

pub(super) fn not_brought_words(sid: &str, error: &HangarError) -> String {
    say!(
        "the signature stands; the airframe's record was NOT brought forward: {error}. Later: spanwise bring-forward {sid}",
        error = error,
        sid = format_args!("{:.12}", sid)
    )
}

/// Refuses to begin while the last annual is missing in the record; tells what a person may want to enter first.
pub(super) fn before_beginning(hangar: &Hangar, args: &BeginArgs, out: &mut Output) -> Result<(), Failure> {
    if let Some(missing) = not_brought_forward(hangar, &args.registration) {
        let words = format!("{}; {}", missing.why(), missing.next());
        if !args.anyway {
            return Err(Failure::refused(say!("{words}; --anyway begins all the same", words = words)));
        }
        out.error(&words);
    }
    advise(hangar, &args.registration, out);
    Ok(())
}

pub(super) fn advise(hangar: &Hangar, registration: &str, out: &mut Output) {
    if let Ok(record) = record_of(hangar, registration) {
        for advice in repairs_without_report(record) {
            out.error(&say!("advice: {advice}", advice = advice));
        }
    }
}
