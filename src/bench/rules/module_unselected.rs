//! A targeted module is selected by at least one kind of report or occurrence.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "module-unselected",
    weight: Weight::Error,
    doc: mark!("A targeted module is selected by at least one kind of report or occurrence."),
    why: mark!("Nothing would ever put it into a plan."),
    bad: r#"[selected_by]
reports = []
"#,
    good: r#"[selected_by]
reports = ["odd-yaw"]
"#,
    found_by: FoundBy::Reader,
};
