//! Beginning an annual, continuing a closed one, and taking up another plan.

use super::args::{BeginArgs, Cli, TakeUpArgs};
use super::intake::before_beginning;
use super::output::{Failure, Output, exit};
use super::require_person;
use crate::audit::compare::PlanDifference;
use crate::hangar::{
    Begun, Hangar, Offer, Work, begin as begin_annual, continue_session, find_session, summaries,
    unfinished_annual,
};
use crate::words::said;

pub(super) fn begin(cli: &Cli, hangar: &Hangar, args: &BeginArgs, out: &mut Output) -> Result<u8, Failure> {
    let by = hangar.actor(require_person(cli)?)?;
    let begun = match (&args.continues, &args.reason) {
        (Some(earlier), Some(reason)) => {
            let sid = find_session(hangar, earlier)?;
            let view = crate::hangar::Viewing::open(hangar, &sid)?;
            if !view.plan.airframe.registration.eq_ignore_ascii_case(&args.registration) {
                return Err(Failure::refused(say!(
                    "session {sid} is of {}, not of {}",
                    view.plan.airframe.registration,
                    args.registration,
                    sid = format_args!("{:.12}", sid)
                )));
            }
            // That it is continued already is told by the attempt.
            let is_continued =
                summaries(hangar).iter().any(|one| one.sid == sid && one.continued_by.is_some());
            if !args.another && !is_continued {
                no_other_annual(hangar, &args.registration, Some(&sid))?;
            }
            let begun = continue_session(hangar, &sid, &by, reason)?;
            if !args.json {
                out.line(&say!(
                    "it continues session {sid}; everything that holds there was carried over",
                    sid = sid
                ));
            }
            begun
        }
        _ => {
            if !args.another {
                no_other_annual(hangar, &args.registration, None)?;
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
    out.line(&say!("session {} begun: {} steps, plan {}", begun.sid, begun.steps, &begun.plan_hash[..12]));
    if begun.from_record > 0 {
        out.line(&say!(
            "{} of the airframe's record stand open in it, to be decided anew: spanwise carried {}",
            say!("1 defect" | "{n} defects" % begun.from_record),
            args.registration
        ));
    }
    out.line(&say!("work it: spanwise work {} --by {by}", args.registration, by = by));
}

/// Two records of one annual would hide each other's findings. The one that is to be continued is no other one.
fn no_other_annual(hangar: &Hangar, registration: &str, but: Option<&str>) -> Result<(), Failure> {
    match unfinished_annual(hangar, registration).filter(|session| but != Some(session.sid.as_str())) {
        None => Ok(()),
        Some(session) => Err(Failure::refused(say!(
            "an annual of {} is {} already, begun {} by {}; work it: spanwise work {}; --another begins a second one",
            session.registration,
            said(&session.standing),
            session.begun,
            session.by,
            &session.sid[..session.sid.len().min(12)]
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
        let word = |version: &Option<String>| version.clone().unwrap_or_else(|| say!("none").to_string());
        lines.push(say!("checklist {}: {} -> {}", edition.id, word(&edition.from), word(&edition.to)));
    }
    for id in &difference.reports_added {
        let told = plan.reports.iter().find(|report| report.id == *id);
        let why = told.map_or(String::new(), |report| {
            let modules = report.modules.join(", ");
            let modules = if modules.is_empty() { say!("no module").to_string() } else { modules };
            say!(
                ": {} of {}, \"{}\" selects {modules}",
                report.kind,
                crate::words::date(report.date),
                report.text,
                modules = modules
            )
        });
        lines.push(say!("report {id} came in{why}", id = id, why = why));
    }
    for id in &difference.added {
        let because = plan.step(id).map(|planned| planned.because.join(", ")).unwrap_or_default();
        let because = if because.is_empty() {
            String::new()
        } else {
            format!(" {}", say!("(because of {because})", because = because))
        };
        lines.push(say!("new      {id}: {}{because}", title(id), id = id, because = because));
    }
    for change in &difference.changed {
        let again = if change.reopens { say!(" (to be worked again)") } else { say!(" (the answer holds)") };
        lines.push(say!("changed  {}: {}{again}", change.id, change.title, again = again));
        lines.extend(change.what.iter().map(|what| format!("           {}", what.words)));
    }
    lines.extend(difference.gone.iter().map(|id| say!("gone     {id}", id = id)));
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
        if args.json {
            out.json(&PlanDifference::default());
        } else {
            out.line(say!("the plan would be the same as now: nothing to take up"));
        }
        return Ok(exit::DONE);
    };
    if args.json {
        out.json(&offer.difference);
    } else {
        tell_difference(&offer, out);
    }
    let Some(why) = &args.why else {
        out.error(say!("nothing was recorded; take it up with --why \"reason\""));
        return Ok(exit::DONE);
    };
    let by = hangar.actor(require_person(cli)?)?;
    let recorded = work.take_up(hangar, &by, &offer, why)?;
    let reopened = offer.difference.reopened().count();
    if !args.json {
        out.line(&say!("taken up, entry {}: answers to unchanged steps hold; {reopened} changed steps are to be worked again", recorded.entry, reopened = reopened));
    }
    Ok(exit::DONE)
}
