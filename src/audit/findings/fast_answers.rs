//! Answers that came much faster than their steps can be worked.

use super::haste::{Haste, hasty};
use super::pace::MINUTE_MS;
use super::{Context, Seen};

pub const NAME: &str = "fast-answers";
pub const TITLE: &str = mark!("Answers faster than the work");
pub const DOC: &str = mark!(
    "Compares the checklist's minutes for each step passed or failed with the time since the same \
person's entry before, at four times the planned speed; up to 30 minutes not used up are carried on to later \
answers. Told once the answers are short of that by more than a minute. The people of a step work at the same \
time, so its minutes are the time to expect, however many they are. Worth a look because an answer may have \
been given without looking. Corrections, \"not applicable\" and entries carried over do not count. From: the wall \
clock of the entries (over a step of the clock, its running time), and minutes and people of the plan. Thresholds: \
common practice, no source."
);
pub const MAY_BE: &[&str] = &[
    mark!("entered from paper afterwards"),
    mark!("several steps looked at in one walk round and entered together"),
    mark!("a helper worked while the inspector entered"),
    mark!("the checklist's minutes are generous for this airframe"),
];

/// Times the planned speed.
const SPEED: i64 = 4;
const SLACK_MS: i64 = MINUTE_MS;

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    hasty(context, SPEED, SLACK_MS, |Haste { answers, who, time, planned, steps }| match steps {
        1 => say!(
            "{answers} of {who} within {time}; the checklist plans {planned} for this step",
            answers,
            who,
            time,
            planned
        ),
        _ => say!(
            "{answers} of {who} within {time}; the checklist plans {planned} for these steps",
            answers,
            who,
            time,
            planned
        ),
    })
}
