//! A version that exists is never issued again with other content.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "edition-changed",
    weight: Weight::Error,
    doc: mark!("A version that exists is never issued again with other content."),
    why: mark!(
        "Two files of one name would say different things, and nobody could tell by which of them an annual was \
          worked. A frozen plan keeps its own text; people keep the version in mind."
    ),
    bad: r#"# file: mine/example-module/1.0.0.toml
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

# file: theirs/example-module/1.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "Another example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    good: r#"# file: mine/example-module/1.0.0.toml
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

# file: mine/example-module/1.0.1.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.1"
title = "Another example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let own = subject.checklist;
    if own.version.span.is_empty() {
        return;
    }
    let first = subject.world.issued(&own.id.value, &own.version.value);
    let Some(other) = first.iter().find(|other| other.source.text != subject.reading.source.text) else {
        return;
    };
    // Among files under check it is told at the later one.
    if !other.is_library && other.source.name > subject.reading.source.name {
        return;
    }
    let message = say!(
        "\"{}\" {} exists already with other content: {}",
        own.id.value,
        own.version.value,
        other.source.name
    );
    found.push(
        subject
            .fault(RULE.code, own.version.span.clone(), message)
            .hint(say!("an issued edition is never edited: give this one the next version")),
    );
}
