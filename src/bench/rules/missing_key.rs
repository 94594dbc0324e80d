//! Every required key is there.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "missing-key",
    weight: Weight::Error,
    doc: mark!("Every required key is there."),
    why: mark!(
        "A step without a title or an instruction cannot be worked, and a reason that is not written cannot be \
          defended later."
    ),
    bad: r#"[[section]]
id = "example"
title = "Example"

[[section]]
id = "second"
"#,
    good: r#"[[section]]
id = "example"
title = "Example"

[[section]]
id = "second"
title = "Second"
"#,
    found_by: FoundBy::Reader,
};
