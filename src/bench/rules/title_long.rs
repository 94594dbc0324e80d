//! A title has 60 characters at most.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "title-long",
    weight: Weight::Error,
    doc: mark!("A title has 60 characters at most."),
    why: mark!("It must fit into one line of an 80-column screen and of the worksheet."),
    bad: r#"title = "Look at the skin of the tail boom from one metre ahead of the fin to its end"
"#,
    good: r#"title = "Skin of the tail boom near the fin"
"#,
    found_by: FoundBy::Reader,
};
