//! An edition stands in the register of issued editions once.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "issued-twice",
    weight: Weight::Error,
    doc: mark!("An edition stands in the register of issued editions once."),
    why: mark!("With two hashes nobody knows which content was issued."),
    bad: r#"# file: issued.toml
[[edition]]
id = "example-module"
version = "1.0.0"
sha256 = "2e5ede076c6b576cd3fca3a59d351c792b94c5093a80d84b1736cce953cb532b"
on = 2026-03-01
by = "Ada Venn (invented)"
[[edition]]
id = "example-module"
version = "1.0.0"
sha256 = "2e5ede076c6b576cd3fca3a59d351c792b94c5093a80d84b1736cce953cb532b"
on = 2026-03-01
by = "Ada Venn (invented)"
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
