//! 4: a failed step or a defect has no allowed disposition, or its re-inspection is open.

use super::{Context, Refusal, Subject, about_step, steps};
use crate::checklist::Severity;
use crate::state::{Defect, Standing, StepStanding};

pub const NAME: &str = "defect undecided";
pub const DOC: &str = "Every failed step carries a defect, and every defect a disposition: rectified and inspected \
again by the step, referred to a repairer, deferred where the checklist allows it and with a limit, or not \
airworthy.";

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in steps(context).filter(|(_, state)| state.standing() == StepStanding::Failed) {
        let answered_at = state.answer().map(|answer| answer.stamp.entry);
        let carried = context.state.defects_of(&planned.step.id).any(|defect| {
            defect.is_open() || defect.reinspected.as_ref().map(|stamp| stamp.entry) > answered_at
        });
        if !carried {
            found.push(refusal(
                about_step(planned),
                format!("\"{}\" failed and no open defect stands against it", planned.step.title),
                "raise a defect, or correct the answer with a reason",
            ));
        }
    }
    for defect in context.state.standing_defects() {
        if let Some((why, clears)) = undecided(context, defect) {
            found.push(refusal(
                Subject::Defect(defect.id.clone()),
                format!("\"{}\" {why}", defect.raised.what),
                clears,
            ));
        }
    }
}

fn refusal(subject: Subject, why: String, clears: &str) -> Refusal {
    Refusal { number: 4, name: NAME, subject, why, clears: clears.to_string(), release_only: false }
}

fn undecided(context: &Context<'_>, defect: &Defect) -> Option<(String, &'static str)> {
    match defect.standing() {
        Standing::Undecided => {
            Some(("has no disposition".into(), "decide: rectify, refer, defer or not airworthy"))
        }
        Standing::Rectifying => Some((
            "is to be rectified".into(),
            "record the rectification and work the step again, or decide otherwise",
        )),
        Standing::AwaitingReinspection => Some((
            "was rectified, and its re-inspection is open".into(),
            "work the step again and pass it, or decide otherwise",
        )),
        Standing::Deferred => not_deferrable(context, defect),
        Standing::Closed | Standing::Referred | Standing::NotAirworthy | Standing::Struck => None,
    }
}

fn not_deferrable(context: &Context<'_>, defect: &Defect) -> Option<(String, &'static str)> {
    if defect.raised.severity == Severity::Grounding {
        return Some((
            "affects airworthiness and cannot be deferred".into(),
            "rectify, refer, or declare not airworthy",
        ));
    }
    let allowed = match defect.raised.step.as_deref().and_then(|id| context.plan.step(id)) {
        Some(planned) => planned.step.on_failure.as_ref().is_some_and(|failure| failure.may_defer),
        None => defect.raised.severity == Severity::Minor,
    };
    if !allowed {
        return Some((
            "may not be deferred by this checklist".into(),
            "rectify, refer, or declare not airworthy",
        ));
    }
    match defect.disposition().and_then(|disposed| disposed.until) {
        None => Some(("is deferred without a limit".into(), "defer it again with a date")),
        Some(until) if until < context.today => {
            Some((format!("was deferred until {until}, which has passed"), "rectify it, or decide otherwise"))
        }
        Some(_) => None,
    }
}
