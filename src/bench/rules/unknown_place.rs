//! What a step looks at is one of the known places.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-place",
    weight: Weight::Error,
    doc: mark!("What a step looks at is one of the known places."),
    why: mark!("Only for a known place is it known how the airframe must stand to lay it open."),
    bad: r#"looks_at = ["tail-plane-fittings"]
configuration = { tailplane = "off" }
"#,
    good: r#"looks_at = ["tailplane-fittings"]
configuration = { tailplane = "off" }
"#,
    found_by: FoundBy::Reader,
};
