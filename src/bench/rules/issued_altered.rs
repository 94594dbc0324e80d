//! An edition that was issued stays byte for byte as it was.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "issued-altered",
    weight: Weight::Error,
    doc: mark!(
        "An edition that was issued stays byte for byte as it was: its SHA-256 is the one that the register issued.toml \
          has of it."
    ),
    why: mark!(
        "People worked by what was issued. A change is a new edition, so that everybody can tell which one they have."
    ),
    bad: r#"# file: issued.toml
[[edition]]
id = "example-module"
version = "1.0.0"
sha256 = "0000000000000000000000000000000000000000000000000000000000000000"
on = 2026-03-01
by = "Ada Venn (invented)"

# file: example-module/1.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    good: r#"# file: issued.toml
[[edition]]
id = "example-module"
version = "1.0.0"
sha256 = "2e5ede076c6b576cd3fca3a59d351c792b94c5093a80d84b1736cce953cb532b"
on = 2026-03-01
by = "Ada Venn (invented)"

# file: example-module/1.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    found_by: FoundBy::Reader,
};
