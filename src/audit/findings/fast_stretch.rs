//! Long stretches worked well below the planned time, answer by answer not remarkable.

use super::haste::{Haste, hasty};
use super::pace::MINUTE_MS;
use super::{Context, Seen};

pub const NAME: &str = "fast-stretch";
pub const TITLE: &str = mark!("A long stretch below the planned time");
pub const DOC: &str = mark!(
    "Adds up the checklist's minutes over one person's answers in a row and compares them with the \
time that passed, at twice the planned speed; up to 30 minutes not used up are carried on. Told once a stretch is \
short of that by more than 30 minutes, although each answer alone may look unremarkable. Worth a look because \
steady haste misses what a slow look finds. From: the same values as fast-answers, with the same exceptions. Thresholds: common \
practice, no source."
);
pub const MAY_BE: &[&str] = &[
    mark!("several people worked in parallel and one entered for all"),
    mark!("entered from paper afterwards"),
    mark!("an airframe that this team knows well"),
    mark!("the checklist's minutes are generous for this airframe"),
];

const SPEED: i64 = 2;
const SLACK_MS: i64 = 30 * MINUTE_MS;

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    hasty(context, SPEED, SLACK_MS, |Haste { answers, who, time, planned, .. }| {
        say!(
            "{answers} of {who} in a row within {time}; the checklist plans {planned} for these steps",
            answers,
            who,
            time,
            planned
        )
    })
}
