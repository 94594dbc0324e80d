//! Work recorded before a step that it depends on.

use super::flawed::flawed_answers;
use super::{Context, Seen};

pub const NAME: &str = "before-its-turn";
pub const TITLE: &str = mark!("Answered before its turn");
pub const DOC: &str = mark!(
    "Tells every step that was passed or failed while a step that it depends on was open, also where \
the answer was corrected or taken back later. Worth a look because the order is part of the method: first clean, then \
look. From: the step's dependencies in the plan and the answers before this one."
);
pub const MAY_BE: &[&str] = &[
    mark!("worked in the right order and entered in another"),
    mark!("looked at once more when its turn had come"),
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    flawed_answers(context, |answer| {
        let open = &answer.before_its_turn;
        (!open.is_empty()).then(|| say!("open at an answer" => "before: {}", open.join(", ")))
    })
}
