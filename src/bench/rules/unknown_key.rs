//! Every key is one that the format knows.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-key",
    weight: Weight::Error,
    doc: mark!("Every key is one that the format knows."),
    why: mark!(
        "A misspelt key would be a demand that nobody hears: a limit that is never judged, a caution that is \
          never shown."
    ),
    bad: r#"titel = "Skin at the root"
minuts = 10
"#,
    good: r#"title = "Skin at the root"
minutes = 10
"#,
    found_by: FoundBy::Reader,
};
