//! An edition is not older than the one before it.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};
use crate::words::date;

pub const RULE: Rule = Rule {
    code: "issued-before-previous",
    weight: Weight::Error,
    doc: mark!("An edition is not older than the one before it."),
    why: mark!("Which of two editions was in force on a day is told by their dates."),
    bad: r#"# file: example-module/1.0.0.toml
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

# file: example-module/1.0.1.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.1"
title = "An invented example"
issued = 2026-02-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    good: r#"# file: example-module/1.0.0.toml
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

# file: example-module/1.0.1.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.1"
title = "An invented example"
issued = 2026-04-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let own = subject.checklist;
    if own.version.span.is_empty() || own.issued == chrono::NaiveDate::default() {
        return;
    }
    let earlier = |edition: &&crate::bench::world::Edition<'_>| *edition.version() < own.version.value;
    let Some(previous) = subject.world.editions_of(&own.id.value).rfind(earlier) else { return };
    if own.issued < previous.checklist.issued {
        let message = say!(
            "{} was issued {}, before {} of {}",
            own.version.value,
            date(own.issued),
            previous.version(),
            date(previous.checklist.issued)
        );
        found.push(
            subject
                .fault(RULE.code, subject.of_head("issued"), message)
                .hint(say!("correct the date or the version")),
        );
    }
}
