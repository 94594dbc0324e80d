//! 3: a value is outside its limit and no defect stands against it.

use super::{Context, Refusal, about_step, steps};

pub const NAME: &str = "value outside its limit";
pub const DOC: &str = "A value outside its limit needs a defect that says what becomes of it, even where the step \
itself was passed.";

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in steps(context) {
        let stands = context.state.defects_of(&planned.step.id).next().is_some();
        for reading in state.outside().filter(|_| !stands) {
            let title =
                planned.step.measure(&reading.taken.measure).map_or("a reading", |measure| &measure.title);
            found.push(Refusal {
                number: 3,
                name: NAME,
                subject: about_step(planned),
                why: format!("\"{title}\": {}", reading.judgement.words),
                clears: "raise a defect against the step, or correct the reading with a reason".to_string(),
                release_only: false,
            });
        }
    }
}
