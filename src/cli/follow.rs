//! Beginning an annual, continuing a closed one, and taking up another plan.

use super::args::{BeginArgs, Cli, TakeUpArgs};
use super::intake::before_beginning;
use super::output::{Failure, Output, exit};
use super::require_person;
use crate::hangar::{
    Begun, Hangar, Offer, Work, begin as begin_annual, continue_session, find_session, unfinished_annual,
};

pub(super) fn begin(cli: &Cli, hangar: &Hangar, args: &BeginArgs, out: &mut Output) -> Result<u8, Failure> {
    let by = hangar.actor(require_person(cli)?)?;
    let begun = match (&args.continues, &args.reason) {
        (Some(earlier), Some(reason)) => {
            let sid = find_session(hangar, earlier)?;
            let view = crate::hangar::Viewing::open(hangar, &sid)?;
            if !view.plan.airframe.registration.eq_ignore_ascii_case(&args.registration) {
                return Err(Failure::refused(format!(
                    "session {sid:.12} is of {}, not of {}",
                    view.plan.airframe.registration, args.registration
                )));
            }
            let begun = continue_session(hangar, &sid, &by, reason)?;
            if !args.json {
                out.line(&format!(
                    "it continues session {sid}; everything that holds there was carried over"
                ));
            }
            begun
        }
        _ => {
            if !args.another {
                no_other_annual(hangar, &args.registration)?;
            }
            before_beginning(hangar, args, out)?;
            begin_annual(hangar, &args.registration, &by)?
        }
    };
    tell(&begun, args, &by.id, out);
    Ok(exit::DONE)
}

fn tell(begun: &Begun, args: &BeginArgs, by: &str, out: &mut Output) {
    if args.json {
        out.json(&serde_json::json!({
            "session": begun.sid, "registration": args.registration, "plan": begun.plan_hash, "steps": begun.steps,
            "defects_from_record": begun.from_record
        }));
        return;
    }
    out.line(&format!("session {} begun: {} steps, plan {}", begun.sid, begun.steps, &begun.plan_hash[..12]));
    if begun.from_record > 0 {
        out.line(&format!(
            "{} of the airframe's record stand open in it, to be decided anew: spanwise carried {}",
            if begun.from_record == 1 {
                "1 defect".to_string()
            } else {
                format!("{} defects", begun.from_record)
            },
            args.registration
        ));
    }
    out.line(&format!("work it: spanwise work {} --by {by}", args.registration));
}

/// Two records of one annual would hide each other's findings.
fn no_other_annual(hangar: &Hangar, registration: &str) -> Result<(), Failure> {
    match unfinished_annual(hangar, registration) {
        None => Ok(()),
        Some(session) => Err(Failure::refused(format!(
            "an annual of {} is {} already, begun {} by {}; work it: spanwise work {}; --another begins a second one",
            session.registration,
            session.standing,
            session.begun,
            session.by,
            &session.sid[..session.sid.len().min(12)],
        ))),
    }
}

pub(super) fn tell_difference(offer: &Offer, out: &mut Output) {
    for line in difference_lines(offer) {
        out.line(&line);
    }
}

/// What would change, and for which report each new step is here.
pub(super) fn difference_lines(offer: &Offer) -> Vec<String> {
    let (plan, difference) = (&offer.plan, &offer.difference);
    let title = |id: &str| plan.step(id).map_or(id, |planned| planned.step.title.as_str()).to_string();
    let mut lines = Vec::new();
    for edition in &difference.editions {
        let word = |version: &Option<String>| version.clone().unwrap_or_else(|| "none".to_string());
        lines.push(format!("checklist {}: {} -> {}", edition.id, word(&edition.from), word(&edition.to)));
    }
    for id in &difference.reports_added {
        let told = plan.reports.iter().find(|report| report.id == *id);
        let why = told.map_or(String::new(), |report| {
            let modules = report.modules.join(", ");
            let modules = if modules.is_empty() { "no module".to_string() } else { modules };
            format!(": {} of {}, \"{}\" selects {modules}", report.kind, report.date, report.text)
        });
        lines.push(format!("report {id} came in{why}"));
    }
    for id in &difference.added {
        let because = plan.step(id).map(|planned| planned.because.join(", ")).unwrap_or_default();
        let because = if because.is_empty() { String::new() } else { format!(" (because of {because})") };
        lines.push(format!("new      {id}: {}{because}", title(id)));
    }
    for change in &difference.changed {
        let again = if change.reopens { " (to be worked again)" } else { " (the answer holds)" };
        lines.push(format!("changed  {}: {}{again}", change.id, change.title));
        lines.extend(change.what.iter().map(|what| format!("           {}", what.words)));
    }
    lines.extend(difference.gone.iter().map(|id| format!("gone     {id}")));
    lines
}

/// Shows what would change; with a reason, takes it up.
pub(super) fn take_up(
    cli: &Cli,
    hangar: &Hangar,
    args: &TakeUpArgs,
    out: &mut Output,
) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session.session)?;
    let mut work = Work::open(hangar, &sid)?;
    let Some(offer) = work.offer(hangar)? else {
        out.line("the plan would be the same as now: nothing to take up");
        return Ok(exit::DONE);
    };
    if args.json {
        out.json(&offer.difference);
    } else {
        tell_difference(&offer, out);
    }
    let Some(why) = &args.why else {
        out.error("nothing was recorded; take it up with --why \"reason\"");
        return Ok(exit::DONE);
    };
    let by = hangar.actor(require_person(cli)?)?;
    let recorded = work.take_up(hangar, &by, &offer, why)?;
    let reopened = offer.difference.reopened().count();
    if !args.json {
        out.line(&format!(
            "taken up, entry {}: answers to unchanged steps hold; {reopened} changed steps are to be worked again",
            recorded.entry
        ));
    }
    Ok(exit::DONE)
}
