//! 6: a step was answered before one that it depends on.

use super::{Context, Refusal, about_step, worked_steps};
use crate::plan::PlanStep;
use crate::state::StepState;
use crate::words::{of_checklist, said};

pub const NAME: &str = mark!("answered before its turn");
pub const DOC: &str = mark!(
    "Where a step depends on another (first clean, then look; first the run with the tailplane \
on, then the decisive one), the order is part of the method."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in worked_steps(context) {
        if let Some(answer) = state.answer().filter(|answer| !answer.before_its_turn.is_empty()) {
            found.push(Refusal {
                number: 6,
                name: NAME,
                subject: about_step(planned),
                why: say!(
                    "\"{}\" was answered before: {}",
                    of_checklist(&planned.step.title),
                    some_of(&answer.before_its_turn)
                ),
                clears: say!("answer those steps, look again, and correct this answer").to_string(),
                release_only: false,
            });
        }
    }
    found.extend(worked_steps(context).filter_map(|(planned, state)| changed_after(context, planned, state)));
}

/// What comes last looks at the airframe as it is handed over: changed afterwards, it is another airframe. On the ground
/// it may stay apart.
fn changed_after(context: &Context<'_>, planned: &PlanStep, state: &StepState) -> Option<Refusal> {
    let answer = state.answer().filter(|_| planned.step.last)?;
    let needs = &planned.step.configuration;
    let (aspect, setting, stamp) = context.state.undone_since(needs, answer.stamp.entry)?;
    // What stood when it was answered is told by refusal 5.
    (stamp.entry > answer.stamp.entry).then(|| Refusal {
        number: 6,
        name: NAME,
        subject: about_step(planned),
        why: say!(
            "\"{}\" comes last, and after its answer {} {} was confirmed ({}, entry {})",
            of_checklist(&planned.step.title),
            said(aspect.word()),
            said(setting.word()),
            stamp.short(),
            stamp.entry
        ),
        clears: say!(
            "bring the airframe back ({needs}), confirm it, look again, and correct this answer",
            needs = needs
        ),
        release_only: true,
    })
}

/// A step that comes last may have been answered before a hundred others.
fn some_of(ids: &[String]) -> String {
    const SHOWN: usize = 12;
    match ids.get(SHOWN..).map(<[String]>::len) {
        Some(others) if others > 0 => say!("{} and {others} more", ids[..SHOWN].join(", "), others = others),
        _ => ids.join(", "),
    }
}
