//! 14: a defect that affects airworthiness is open.

use super::{Context, Refusal, Subject};
use crate::words::said;

pub const NAME: &str = mark!("defect affects airworthiness");
pub const DOC: &str = mark!(
    "While a defect that affects airworthiness is open, the airframe cannot be released. The \
inspection can be signed as completed, not airworthy, with the list of discrepancies (14 CFR 43.11(a)(5) and (b))."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for defect in context.state.standing_defects().filter(|defect| defect.grounds()) {
        found.push(Refusal {
            number: 14,
            name: NAME,
            subject: Subject::Defect(defect.id.clone()),
            why: say!("\"{}\" is open ({})", defect.raised.what, said(defect.standing().word())),
            clears: say!(
                "rectify and re-inspect it, or sign as completed, not airworthy, with the list of discrepancies"
            )
                .to_string(),
            release_only: true,
        });
    }
}
