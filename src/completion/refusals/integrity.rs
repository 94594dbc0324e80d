//! 12: the journal or the frozen plan does not verify.

use super::{Context, Refusal, Subject};

pub const NAME: &str = mark!("record does not verify");
pub const DOC: &str = mark!(
    "Before signing, journal and plan are read from the disk again and every hash is recomputed. \
A record that does not verify can be shown, but never signed."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for why in context.integrity {
        found.push(Refusal {
            number: 12,
            name: NAME,
            subject: Subject::Record,
            why: why.clone(),
            clears: say!("keep this record as it is, and begin a new session that cites it").to_string(),
            release_only: false,
        });
    }
}
