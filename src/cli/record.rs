//! The commands that record something: each becomes one request, and says which entry it became.

use super::args::{AnswerArgs, Cli, Command, DefectCommand, EvidenceArgs, ReadArgs, ResultWord};
use super::output::{Failure, Output, exit};
use super::require_person;
use super::sealing::{passphrase, tell_code};
use crate::checklist::{Configuration, Severity};
use crate::completion::Subject;
use crate::diagnostic::suggest;
use crate::event::{Disposition, StepResult};
use crate::hangar::keys::unlock;
use crate::hangar::{EvidenceTarget, Hangar, Work, find_session};
use crate::plan::PlanStep;
use crate::quantity::Number;
use crate::session::{NewDefect, Request, parse_typed, parse_value, taken_as};
use crate::state::ReadingVerdict;
use crate::store::texts::read_text;

pub(super) fn record(cli: &Cli, hangar: &Hangar, command: &Command, out: &mut Output) -> Result<u8, Failure> {
    let by = hangar.actor(require_person(cli)?)?;
    let Some(session) = session_word(command) else {
        return Err(Failure::usage(say!("this command records nothing")));
    };
    let sid = find_session(hangar, session)?;
    let mut work = Work::open(hangar, &sid)?;
    for notice in &work.notices {
        out.line(notice);
    }
    let recorded = match command {
        Command::Evidence(EvidenceArgs { file, step, demand, defect, .. }) => {
            let target =
                EvidenceTarget { step: step.clone(), demand: demand.clone(), defect: defect.clone() };
            work.add_evidence(hangar, &by, target, file)?
        }
        Command::Inspect(args) => {
            let request = request(command, &work)?;
            let person = hangar.person(&by.id)?;
            let key = unlock(hangar, person, args.key.key.as_deref(), &passphrase(&args.key, person)?)?;
            work.inspect(hangar, &by, request, &key)?
        }
        other => {
            let request = request(other, &work)?;
            let recorded = work.record(hangar, &by, request)?;
            if let Command::Defect(defect) = other {
                super::defects::warn_of_station(&work.view.plan, defect, out);
            }
            recorded
        }
    };
    out.line(&say!("saved, entry {}", recorded.entry));
    out.fact("session", sid);
    out.fact("entry", recorded.entry);
    if let Some(same) = work.same_content(recorded.entry) {
        out.line(&same);
    }
    if matches!(command, Command::Pause(_)) {
        tell_code(&work, recorded.entry, out);
    }
    tell_what_is_missing(&work, &by.id, hangar, command, out);
    if let Command::Read(args) = command {
        tell_judgement(&work, args, recorded.entry, out);
    }
    Ok(exit::DONE)
}

fn session_word(command: &Command) -> Option<&str> {
    let session = match command {
        Command::Answer(args) => &args.session,
        Command::Read(args) => &args.session,
        Command::Confirm(args) => &args.session,
        Command::Note(args) => &args.session,
        Command::Initial(args) => &args.session,
        Command::Evidence(args) => &args.session,
        Command::Withdraw(args) => &args.session,
        Command::Defect(
            DefectCommand::Raise { session, .. }
            | DefectCommand::Dispose { session, .. }
            | DefectCommand::Rectify { session, .. }
            | DefectCommand::Reinspect { session, .. },
        ) => session,
        Command::SetAside(args) => &args.session,
        Command::Directive(args) => &args.session,
        Command::LifeItem(args) => &args.session,
        Command::Inspect(args) => &args.session,
        Command::Pause(args) => &args.session,
        Command::Resume(session) => session,
        _ => return None,
    };
    Some(&session.session)
}

fn request(command: &Command, work: &Work) -> Result<Request, Failure> {
    Ok(match command {
        Command::Answer(AnswerArgs { step, result, reason, correct, .. }) => Request::Answer {
            step: step.clone(),
            result: match result {
                ResultWord::Pass => StepResult::Passed,
                ResultWord::Fail => StepResult::Failed,
                ResultWord::NotApplicable => StepResult::NotApplicable,
            },
            reason: reason.clone(),
            why: correct.clone(),
        },
        Command::Read(args) => reading(args, work)?,
        Command::Confirm(args) => {
            Request::Confirm(Configuration::parse(&args.configuration).map_err(Failure::refused)?)
        }
        Command::Note(args) => Request::Note { step: args.step.clone(), text: args.text.clone() },
        Command::Initial(args) => Request::Initial { step: args.step.clone(), work: args.work.clone() },
        Command::Withdraw(args) => Request::Withdraw { entry: args.entry, why: args.why.clone() },
        Command::Defect(command) => defect(command, work)?,
        Command::SetAside(args) => {
            Request::SetReportAside { report: args.report.clone(), reason: args.reason.clone() }
        }
        Command::Directive(args) => Request::AnswerDirective {
            directive: args.directive.clone(),
            answer: args.answer,
            note: args.note.clone(),
            next_due: args.next_due,
        },
        Command::LifeItem(args) => Request::AnswerLifeItem {
            item: args.item.clone(),
            answer: args.answer,
            note: args.note.clone(),
            next_due: args.next_due,
        },
        Command::Inspect(args) => Request::InspectIndependently {
            step: args.step.clone(),
            connections: args.connections.clone(),
            checked: args.checked.clone(),
            satisfactory: !args.not_satisfactory,
        },
        Command::Pause(args) => Request::Pause { note: args.note.clone() },
        Command::Resume(_) => Request::Resume,
        _ => return Err(Failure::usage(say!("this command records nothing"))),
    })
}

fn reading(args: &ReadArgs, work: &Work) -> Result<Request, Failure> {
    type Parse = fn(&crate::checklist::Measure, &str) -> Result<crate::event::ReadingValue, String>;
    let (text, parse): (String, Parse) = match (&args.value, &args.file) {
        (Some(value), _) => (value.clone(), parse_typed),
        (None, Some(file)) => {
            let read = read_text(file, &file.to_string_lossy()).map_err(|fault| Failure::failed(&fault))?;
            (read.text.clone(), parse_value)
        }
        (None, None) => return Err(Failure::usage(say!("give a value, or a table with --file"))),
    };
    let planned = work.view.plan.step(&args.step);
    let Some(measure) = planned.and_then(|planned| planned.step.measure(&args.measure)) else {
        return Err(Failure::refused(unknown_measure(args, planned, work)));
    };
    let value = parse(measure, &text).map_err(Failure::refused)?;
    Ok(Request::Read {
        step: args.step.clone(),
        measure: args.measure.clone(),
        value,
        instrument: args.instrument.clone(),
        corrects: args.correct,
        why: args.why.clone(),
    })
}

/// The step or the measurement that was meant, where it is near enough; else what there is.
fn unknown_measure(args: &ReadArgs, planned: Option<&PlanStep>, work: &Work) -> String {
    let session = &args.session.session;
    match planned {
        None => {
            let ids = work.view.plan.steps.iter().map(|planned| planned.step.id.as_str());
            let next = suggest(&args.step, ids)
                .unwrap_or_else(|| say!("list them: spanwise show {session}", session = session));
            say!("the plan has no step \"{}\"; {next}", args.step, next = next)
        }
        Some(planned) => {
            let ids = planned.step.measures.iter().map(|measure| measure.id.as_str());
            let next = suggest(&args.measure, ids).unwrap_or_else(|| say!("it demands none").to_string());
            say!("\"{}\" has no measurement \"{}\"; {next}", args.step, args.measure, next = next)
        }
    }
}

fn defect(command: &DefectCommand, work: &Work) -> Result<Request, Failure> {
    Ok(match command {
        DefectCommand::Raise { what, step, component, side, station, severity, .. } => {
            let hinted = step
                .as_deref()
                .and_then(|step| work.view.plan.step(step))
                .and_then(|planned| planned.step.on_failure.as_ref())
                .map_or(Severity::Major, |failure| failure.severity);
            let station_mm = match station {
                Some(text) => Some(
                    Number::typed(text)
                        .map_err(|error| Failure::refused(say!("station: {error}", error = error)))?,
                ),
                None => None,
            };
            Request::RaiseDefect(NewDefect {
                step: step.clone(),
                what: what.clone(),
                component: component.clone(),
                side: side.clone(),
                station_mm,
                severity: severity.unwrap_or(hinted),
            })
        }
        DefectCommand::Dispose { defect, disposition, note, until, .. } => Request::DisposeDefect {
            defect: defect.clone(),
            disposition: *disposition,
            note: note.clone(),
            until: *until,
        },
        DefectCommand::Rectify { defect, work, disturbed_controls, .. } => Request::RectifyDefect {
            defect: defect.clone(),
            work: work.clone(),
            disturbed_controls: *disturbed_controls,
        },
        DefectCommand::Reinspect { defect, note, not_satisfactory, .. } => Request::ReinspectDefect {
            defect: defect.clone(),
            satisfactory: !not_satisfactory,
            note: note.clone(),
        },
    })
}

/// What the sign-off would still miss of the very thing that was just decided: recorded it is either way.
fn tell_what_is_missing(work: &Work, by: &str, hangar: &Hangar, command: &Command, out: &mut Output) {
    let subject = match command {
        Command::Answer(args) => Subject::Step(args.step.clone()),
        Command::Inspect(args) => Subject::Step(args.step.clone()),
        Command::Defect(DefectCommand::Dispose { defect, disposition: Disposition::Defer, .. }) => {
            Subject::Defect(defect.clone())
        }
        Command::Directive(args) => Subject::Directive(args.directive.clone()),
        Command::LifeItem(args) => Subject::LifeItem(args.item.clone()),
        _ => return,
    };
    // Who inspects independently is not who signs: judged as the signer, they would stand in their own way.
    let signer = (!matches!(command, Command::Inspect(_))).then(|| hangar.people.find(by)).flatten();
    let verdict = work.view.verdict(signer);
    for refusal in verdict.refusals().iter().filter(|refusal| refusal.subject == subject) {
        out.line(&say!("the sign-off still misses: {}", refusal.why));
        out.line(&format!("  {}", say!("clears it: {}", refusal.clears)));
    }
}

/// The verdict at once, in plain words.
fn tell_judgement(work: &Work, args: &ReadArgs, entry: u64, out: &mut Output) {
    let reading = work
        .view
        .state
        .step(&args.step)
        .and_then(|step| step.readings.iter().find(|reading| reading.stamp.entry == entry));
    let Some(reading) = reading else { return };
    if let Some(words) = args.value.as_ref().and_then(|text| taken_as(text, &reading.taken.value)) {
        out.line(&words);
    }
    if reading.judgement.verdict != ReadingVerdict::Recorded || args.file.is_some() {
        out.line(&format!("{}: {}", reading.judgement.headline(), reading.judgement.words));
    }
}
