//! An edition lies in <id>/<version>.toml, as it says of itself.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "file-name",
    weight: Weight::Error,
    doc: mark!("An edition lies in <id>/<version>.toml, as it says of itself."),
    why: mark!("Two editions could be mistaken for each other."),
    bad: r#"# file: example-module/1.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.1"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    good: r#"# file: example-module/1.0.1.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.1"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    found_by: FoundBy::Reader,
};
