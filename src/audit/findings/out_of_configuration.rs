//! Work recorded while the configuration that the step needs was not confirmed.

use super::flawed::flawed_answers;
use super::{Context, Seen};

pub const NAME: &str = "out-of-configuration";
pub const TITLE: &str = mark!("Answered out of configuration");
pub const DOC: &str = mark!(
    "Tells every step that was passed or failed while a configuration that it needs was not \
confirmed at that moment, also where the answer was corrected or taken back later. Worth a look because some damage \
shows only in one configuration. From: the step's configuration in the plan and the confirmations before the answer."
);
pub const MAY_BE: &[&str] = &[
    mark!("the airframe stood as needed and only the confirmation was forgotten"),
    mark!("looked at once more after the configuration was confirmed"),
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    flawed_answers(context, |answer| {
        (!answer.unmet.is_empty()).then(|| say!("open at an answer" => "without: {}", answer.unmet))
    })
}
