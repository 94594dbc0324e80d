//! 4: a failed step or a defect has no allowed disposition, or its re-inspection is open.

use super::{Context, Refusal, Subject, about_step, steps};
use crate::state::{Defect, Standing, StepStanding, deferral_objection};
use crate::words::{date, of_checklist, said};

pub const NAME: &str = mark!("defect undecided");
pub const DOC: &str = mark!(
    "Every failed step carries a defect, and every defect a disposition: rectified and inspected \
again by the step, referred to a repairer, deferred with a limit where the checklist and the airframe's own rules allow \
it, or not airworthy. One that an earlier annual left open is decided anew at each annual; a deferral whose limit has \
passed keeps the airframe on the ground."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in steps(context).filter(|(_, state)| state.standing() == StepStanding::Failed) {
        let answered_at = state.answer().map(|answer| answer.stamp.entry);
        let carried = context.state.defects_of(&planned.step.id).any(|defect| {
            defect.is_open() || defect.reinspected.as_ref().map(|stamp| stamp.entry) > answered_at
        });
        if !carried {
            found.push(refusal(
                about_step(planned),
                say!("\"{}\" failed and no open defect stands against it", of_checklist(&planned.step.title)),
                say!("raise a defect, or correct the answer with a reason"),
            ));
        }
    }
    for defect in context.state.standing_defects() {
        if let Some((why, clears)) = undecided(context, defect) {
            found.push(refusal(
                Subject::Defect(defect.id.clone()),
                say!("\"{}\" {why}", defect.raised.what, why = why),
                clears,
            ));
        }
    }
}

fn refusal(subject: Subject, why: String, clears: impl Into<String>) -> Refusal {
    Refusal { number: 4, name: NAME, subject, why, clears: clears.into(), release_only: false }
}

fn undecided(context: &Context<'_>, defect: &Defect) -> Option<(String, String)> {
    match defect.standing() {
        Standing::Undecided => Some((
            undecided_words(context, defect),
            say!("decide: rectify, refer, defer or not airworthy").into(),
        )),
        Standing::Rectifying => Some((
            say!("is to be rectified").into(),
            say!("record the rectification and work the step again, or decide otherwise").into(),
        )),
        Standing::AwaitingReinspection => Some((
            say!("was rectified, and its re-inspection is open").into(),
            say!("work the step again and pass it, or decide otherwise").into(),
        )),
        Standing::Deferred => not_deferrable(context, defect),
        Standing::Closed | Standing::Referred | Standing::NotAirworthy | Standing::Struck => None,
    }
}

/// One that an earlier annual left open is decided anew at each annual.
fn undecided_words(context: &Context<'_>, defect: &Defect) -> String {
    let Some(record) = &defect.raised.from_record else { return say!("has no disposition").to_string() };
    let overdue = defect.overdue_on(context.today).map_or("", |_| say!(", which has passed"));
    let until = record.until.map_or(String::new(), |until| {
        say!(" until {until}{overdue}", until = date(until), overdue = overdue)
    });
    say!(
        "stands in the airframe's record as {}{until}, and is not decided at this annual",
        said(&record.standing),
        until = until
    )
}

fn not_deferrable(context: &Context<'_>, defect: &Defect) -> Option<(String, String)> {
    let until = defect.disposition().and_then(|disposed| disposed.until);
    if let Some(objection) = deferral_objection(context.plan, defect, until) {
        return Some((objection.why, objection.clears));
    }
    match until {
        None => Some((say!("is deferred without a limit").into(), say!("defer it again with a date").into())),
        Some(until) if until < context.today => Some((
            say!(
                "was deferred until {until}, which has passed: the airframe stays on the ground",
                until = date(until)
            ),
            say!("rectify it, or decide otherwise").into(),
        )),
        Some(_) => None,
    }
}
