//! 10: a report or occurrence has neither targeted steps nor a written reason.

use super::{Context, Refusal, Subject};
use crate::vocabulary::kind_words;
use crate::words::date;

pub const NAME: &str = mark!("report not dealt with");
pub const DOC: &str = mark!(
    "A report is never just noted. It selects targeted steps, or the certifier sets it aside in \
writing with a reason."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for report in &context.plan.reports {
        let targeted = context.plan.steps.iter().any(|step| step.because.contains(&report.id));
        if targeted || context.state.set_aside.contains_key(&report.id) {
            continue;
        }
        found.push(Refusal {
            number: 10,
            name: NAME,
            subject: Subject::Report(report.id.clone()),
            why: say!(
                "{} of {}: \"{}\" selected no step",
                kind_words(&report.kind),
                date(report.date),
                report.text
            ),
            clears: say!("set it aside with a written reason, or add a module that answers it").to_string(),
            release_only: false,
        });
    }
}
