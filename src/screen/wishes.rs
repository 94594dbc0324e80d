//! A filled form → a wish, or what is wrong with it.

use super::desk::{Desk, Passphrase, Wish};
use super::form::{Form, Problem};
use super::forms::{RESULTS, SIDES};
use super::purpose::Purpose;
use super::reading::{chosen_instrument, date, value};
use crate::checklist::{MeasureKind, Severity};
use crate::event::{ControlCheck, DirectiveAnswer, Disposition, LifeAnswer, ReadingValue, StepResult};
use crate::quantity::Number;
use crate::session::{NewDefect, Request};

/// What the form asks for. [`Purpose::Search`] asks the screen itself and has no wish.
pub fn wish_of(form: &Form, desk: &dyn Desk) -> Result<Wish, Problem> {
    if let Some(wish) = super::forms_intake::wish_of(form) {
        return wish;
    }
    match &form.purpose {
        Purpose::Evidence { step, defect } => evidence(form, desk, step.clone(), defect.clone()),
        Purpose::Sign(outcome) => {
            confirmed(form, desk)?;
            Ok(Wish::Sign { outcome: *outcome, passphrase: passphrase(form)? })
        }
        Purpose::Inspect { .. } => {
            Ok(Wish::Inspect { request: about_step(form)?, passphrase: passphrase(form)? })
        }
        Purpose::Countersign => {
            let agrees = chosen(form, "agrees", say!("whether you agree"))? == 0;
            Ok(Wish::Countersign { agrees, note: form.text("note"), passphrase: passphrase(form)? })
        }
        Purpose::Continue => match form.given("reason") {
            Some(reason) => Ok(Wish::Continue { reason }),
            None => Err(Problem::new(
                say!("no reason is given"),
                say!("write why it is continued; both sessions show it"),
            )),
        },
        Purpose::Rescue => match form.given("folder") {
            Some(folder) => Ok(Wish::Rescue { folder }),
            None => Err(Problem::new(say!("no folder is named"), say!("type a folder on a disk that works"))),
        },
        _ => request_of(form, desk).map(Wish::Record),
    }
}

fn request_of(form: &Form, desk: &dyn Desk) -> Result<Request, Problem> {
    Ok(match &form.purpose {
        Purpose::Note { step } => Request::Note { step: step.clone(), text: form.text("text") },
        Purpose::Initial { step } => Request::Initial { step: step.clone(), work: form.text("work") },
        Purpose::Withdraw { entry } => Request::Withdraw { entry: *entry, why: super::undo::why(form) },
        Purpose::Pause => Request::Pause { note: form.given("note") },
        Purpose::NotApplicable { .. } | Purpose::CorrectAnswer { .. } => return about_step(form),
        Purpose::Reading { step, measure, corrects } => {
            return reading(form, desk, step, measure, *corrects);
        }
        Purpose::Defect { step } => return new_defect(form, step.clone()),
        Purpose::Dispose { .. } | Purpose::Rectify { .. } | Purpose::Reinspect { .. } => {
            return about_defect(form);
        }
        Purpose::SetAside { report } => {
            Request::SetReportAside { report: report.clone(), reason: form.text("reason") }
        }
        Purpose::Directive { directive } => Request::AnswerDirective {
            directive: directive.clone(),
            answer: one_of(form, "answer", say!("the answer"), &DirectiveAnswer::WORDS)?,
            note: form.text("note"),
            next_due: optional_date(form, "due", say!("the next due date"))?,
        },
        Purpose::LifeItem { item } => Request::AnswerLifeItem {
            item: item.clone(),
            answer: one_of(form, "answer", say!("the answer"), &LifeAnswer::WORDS)?,
            note: form.text("note"),
            next_due: optional_date(form, "due", say!("the next due date"))?,
        },
        _ => return nothing(),
    })
}

fn nothing() -> Result<Request, Problem> {
    Err(Problem::new(say!("this form records nothing"), say!("leave it with Esc")))
}

fn about_step(form: &Form) -> Result<Request, Problem> {
    Ok(match &form.purpose {
        Purpose::NotApplicable { step } => Request::Answer {
            step: step.clone(),
            result: StepResult::NotApplicable,
            reason: form.given("reason"),
            why: None,
        },
        Purpose::CorrectAnswer { step } => Request::Answer {
            step: step.clone(),
            result: one_of(form, "result", say!("the right answer"), &RESULTS.map(|result| ("", result)))?,
            reason: form.given("reason"),
            why: Some(needed(
                form,
                "why",
                say!("a correction needs a reason"),
                say!("write why the answer is corrected"),
            )?),
        },
        Purpose::Inspect { step } => {
            let check = |at: usize| ControlCheck::ALL.get(at).copied();
            Request::InspectIndependently {
                step: step.clone(),
                connections: form.text("connections"),
                checked: form.ticked("checked").into_iter().filter_map(check).collect(),
                satisfactory: satisfactory(form)?,
            }
        }
        _ => return nothing(),
    })
}

fn about_defect(form: &Form) -> Result<Request, Problem> {
    Ok(match &form.purpose {
        Purpose::Dispose { defect } => Request::DisposeDefect {
            defect: defect.clone(),
            disposition: one_of(form, "disposition", say!("what becomes of it"), &Disposition::WORDS)?,
            note: form.text("note"),
            until: optional_date(form, "until", say!("the limit of the deferral"))?,
        },
        Purpose::Rectify { defect } => Request::RectifyDefect {
            defect: defect.clone(),
            work: form.text("work"),
            disturbed_controls: chosen(form, "controls", say!("whether a flight control was disturbed"))?
                == 1,
        },
        Purpose::Reinspect { defect } => Request::ReinspectDefect {
            defect: defect.clone(),
            satisfactory: satisfactory(form)?,
            note: form.text("note"),
        },
        _ => return nothing(),
    })
}

fn needed(form: &Form, name: &str, why: &str, next: &str) -> Result<String, Problem> {
    form.given(name).ok_or_else(|| Problem::new(why, next))
}

/// The index of what is chosen; nothing is recorded while nothing is.
fn chosen(form: &Form, name: &str, what: &str) -> Result<usize, Problem> {
    form.chosen(name).ok_or_else(|| {
        Problem::new(say!("{what} is not said yet", what), say!("choose by digit or with left and right"))
    })
}

fn satisfactory(form: &Form) -> Result<bool, Problem> {
    Ok(chosen(form, "satisfactory", say!("the result"))? == 0)
}

fn one_of<T: Copy>(form: &Form, name: &str, what: &str, words: &[(&str, T)]) -> Result<T, Problem> {
    let at = chosen(form, name, what)?;
    let found = words.get(at).map(|(_, found)| *found);
    found.ok_or_else(|| Problem::new(say!("{what} is not listed", what), say!("choose one that is")))
}

fn optional_date(form: &Form, name: &str, what: &str) -> Result<Option<chrono::NaiveDate>, Problem> {
    form.given(name).map(|text| date(&text, what)).transpose()
}

fn reading(
    form: &Form,
    desk: &dyn Desk,
    step: &str,
    measure: &str,
    corrects: Option<u64>,
) -> Result<Request, Problem> {
    let view = desk
        .session()
        .ok_or_else(|| Problem::new(say!("no session is open"), say!("open one in the hangar")))?;
    let planned = view.plan.step(step).and_then(|step| step.step.measure(measure));
    let planned = planned
        .ok_or_else(|| Problem::new(say!("the plan has no such measurement"), say!("leave with Esc")))?;
    Ok(Request::Read {
        step: step.to_string(),
        measure: measure.to_string(),
        value: match planned.kind {
            MeasureKind::Table { .. } => table(form, desk)?,
            _ => value(form, planned)?,
        },
        instrument: chosen_instrument(form.chosen("instrument"), desk, planned)
            .map(|instrument| instrument.id.clone()),
        corrects,
        why: form.given("why"),
    })
}

/// The text of the file that the form names.
fn table(form: &Form, desk: &dyn Desk) -> Result<ReadingValue, Problem> {
    let path = needed(form, "path", say!("no file is named"), say!("type the path of the table"))?;
    desk.table_text(&path)
        .map(|text| ReadingValue::Table { text })
        .map_err(|why| Problem::new(why, say!("check the path, then save again")))
}

fn evidence(
    form: &Form,
    desk: &dyn Desk,
    step: Option<String>,
    defect: Option<String>,
) -> Result<Wish, Problem> {
    let path = needed(
        form,
        "path",
        say!("no file is named"),
        say!("type the path of the photo, film or recording"),
    )?;
    let demand = step.as_ref().and_then(|id| {
        let view = desk.session()?;
        let at = form.chosen("demand")?;
        view.plan.step(id)?.step.evidence.get(at).map(|demand| demand.id.clone())
    });
    Ok(Wish::AddEvidenceFile { step, demand, defect, path })
}

fn new_defect(form: &Form, step: Option<String>) -> Result<Request, Problem> {
    let station_mm: Option<Number> = match form.given("station") {
        None => None,
        Some(text) => Some(Number::typed(text.trim_end_matches("mm").trim()).map_err(|error| {
            Problem::new(
                say!("the station: {error}", error),
                say!("type millimetres from the datum, such as 4250"),
            )
        })?),
    };
    let severity = one_of(form, "severity", say!("the severity"), &Severity::WORDS)?;
    let side = form.chosen("side").and_then(|at| SIDES.get(at));
    Ok(Request::RaiseDefect(NewDefect {
        step,
        what: form.text("what"),
        component: form.given("component"),
        side: side.map(|side| (*side).to_string()),
        station_mm,
        severity,
    }))
}

/// Nobody else's key is opened by an empty passphrase: it is asked for each time.
fn passphrase(form: &Form) -> Result<Passphrase, Problem> {
    let typed = form.secret("passphrase");
    if typed.reveal().is_empty() {
        return Err(Problem::new(say!("no passphrase is typed"), say!("type the one that opens your key")));
    }
    Ok(typed)
}

/// Signing asks for the registration, typed: no single key signs.
fn confirmed(form: &Form, desk: &dyn Desk) -> Result<(), Problem> {
    let view = desk
        .session()
        .ok_or_else(|| Problem::new(say!("no session is open"), say!("open one in the hangar")))?;
    let registration = &view.plan.airframe.registration;
    if form.text("confirm").eq_ignore_ascii_case(registration) {
        return Ok(());
    }
    Err(Problem::new(
        say!("\"{}\" is not the registration", form.text("confirm")),
        say!("type {registration} to sign, or leave with Esc", registration),
    ))
}
