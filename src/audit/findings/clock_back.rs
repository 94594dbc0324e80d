//! The clock stepping back.

use super::pace::duration;
use super::{About, Context, Seen};
use crate::event::Event;
use crate::state::instant;

pub const NAME: &str = "clock-back";
pub const TITLE: &str = mark!("The clock stepped back");
pub const DOC: &str = mark!(
    "Tells where the wall clock of an entry lies more than 2 s before that of the entry before it, \
or where the record notes that the clock was set back against the running time. Worth a look because times after it, \
and every finding that rests on times, say less; the order of the entries is not touched by it, since they are \
chained by hash. From: the entries' wall clocks and the notes of a stepped clock. Entries carried over keep the time \
of the earlier session within them and are not compared by it. Threshold: the one at which the record itself notes a \
stepped clock."
);
pub const MAY_BE: &[&str] = &[
    mark!("a wrong clock was put right"),
    mark!("the network set the clock after the machine woke up"),
    mark!("the session went on at another machine, whose clock was not alike"),
];

const TOLERANCE_MS: i64 = 2_000;

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let mut found = Vec::new();
    for pair in context.session.entries.windows(2) {
        let [before, now] = pair else { continue };
        let noted_ms = match &now.event {
            Event::ClockStepped { wall_change_ms, elapsed_ms, .. } => elapsed_ms - wall_change_ms,
            _ => 0,
        };
        let back_ms = match (instant(&before.wall), instant(&now.wall)) {
            (Some(before), Some(now)) => (before - now).num_milliseconds(),
            _ => 0,
        };
        if noted_ms.max(back_ms) <= TOLERANCE_MS {
            continue;
        }
        let words = if noted_ms > TOLERANCE_MS {
            say!("the clock was set back by {} ({} to {})", duration(noted_ms), before.wall, now.wall)
        } else {
            say!(
                "entry {} is {} earlier than the entry before it ({} after {})",
                now.entry,
                duration(back_ms),
                now.wall,
                before.wall
            )
        };
        found.push(Seen::new(About::Record, vec![before.entry, now.entry], words));
    }
    found
}
