//! Many answers at once after the fact.

use super::pace::{Act, MINUTE_MS, acts, answers, duration, name_of, within};
use super::{About, Context, Seen};

pub const NAME: &str = "burst-after-gap";
pub const TITLE: &str = mark!("Many answers at once after a gap");
pub const DOC: &str = mark!(
    "Told where a person recorded nothing for 60 minutes or more and then gave at least 8 answers \
within 5 minutes of the first of them, for steps planned with at least twice that time. Worth a look because the \
times of such answers do not tell when the work was done, and details fade. Corrections, \"not applicable\" and \
entries carried over do not count. From: the wall clock of the entries and the plan's minutes. Thresholds: common \
practice, no source."
);
pub const MAY_BE: &[&str] = &[
    mark!("entered from paper after the work"),
    mark!("the computer stayed in the warm while the work was done in the hangar"),
    mark!("the battery was empty meanwhile"),
];

const GAP_MS: i64 = 60 * MINUTE_MS;
const WINDOW_MS: i64 = 5 * MINUTE_MS;
const ANSWERS: usize = 8;

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let mut found = Vec::new();
    for (person, acts) in acts(&context.session) {
        for (at, pair) in acts.windows(2).enumerate() {
            let gap_ms = pair[1].at_ms - pair[0].at_ms;
            if gap_ms >= GAP_MS && !pair[1].after_unknown {
                found.extend(burst(name_of(&context.session, &person), &acts[at + 1..], gap_ms));
            }
        }
    }
    found
}

fn burst(person: &str, after: &[Act], gap_ms: i64) -> Option<Seen> {
    let first = after.iter().find(|act| act.worked.is_some())?;
    let given: Vec<&Act> = after
        .iter()
        .take_while(|act| act.at_ms - first.at_ms <= WINDOW_MS)
        .filter(|act| act.worked.is_some())
        .collect();
    let spread_ms = given.last()?.at_ms - first.at_ms;
    let worked: Vec<&(String, i64)> = given.iter().filter_map(|act| act.worked.as_ref()).collect();
    let planned: i64 = worked.iter().map(|(_, minutes)| minutes).sum();
    if given.len() < ANSWERS || planned * MINUTE_MS < 2 * WINDOW_MS {
        return None;
    }
    Some(Seen {
        about: worked.iter().map(|(step, _)| About::step(step)).collect(),
        entries: given.iter().map(|act| act.entry).collect(),
        words: say!(
            "{} of {person} within {} after {} without an entry; the checklist plans {} for these steps",
            answers(given.len()),
            within(spread_ms),
            duration(gap_ms),
            duration(planned * MINUTE_MS),
            person
        ),
    })
}
