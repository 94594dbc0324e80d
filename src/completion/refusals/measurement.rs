//! 2: a demanded measurement, reading count or evidence is missing.

use super::{Context, Refusal, about_step, worked_steps};
use crate::words::{of_checklist, said};

pub const NAME: &str = mark!("measurement or evidence missing");
pub const DOC: &str = mark!(
    "A step that demands a figure, a number of readings, a film or a photo is not done by a \
word. Missing readings and evidence of every passed or failed step are named one by one."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in worked_steps(context) {
        let mut refuse = |why: String, clears: String| {
            found.push(Refusal {
                number: 2,
                name: NAME,
                subject: about_step(planned),
                why,
                clears,
                release_only: false,
            });
        };
        for measure in &planned.step.measures {
            let missing = state.missing(measure);
            if missing > 0 {
                refuse(
                    say!(
                        "\"{}\" lacks {missing} of {} readings",
                        of_checklist(&measure.title),
                        measure.readings,
                        missing = missing
                    ),
                    say!("take and enter the reading").to_string(),
                );
            }
        }
        for demand in &planned.step.evidence {
            let given = context.state.evidence_for(&planned.step.id, &demand.id).count();
            let wanted = usize::try_from(demand.count).unwrap_or(usize::MAX);
            if given < wanted {
                refuse(
                    say!(
                        "{} \"{}\" is missing ({given} of {wanted})",
                        said(demand.kind.word()),
                        of_checklist(&demand.what),
                        given = given,
                        wanted = wanted
                    ),
                    say!("add the {} as evidence \"{}\"", said(demand.kind.word()), demand.id),
                );
            }
        }
    }
}
