//! An edition's date of issue is not in the future.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};
use crate::words::date;

pub const RULE: Rule = Rule {
    code: "issued-in-future",
    weight: Weight::Error,
    doc: mark!("An edition's date of issue is not in the future."),
    why: mark!(
        "An annual of today would be worked by something that does not exist yet, and an auditor would ask."
    ),
    bad: r#"# file: example-module/1.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "An invented example"
issued = 2099-03-01
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
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let issued = subject.checklist.issued;
    if issued > subject.world.today {
        found.push(
            subject
                .fault(
                    RULE.code,
                    subject.of_head("issued"),
                    say!(
                        "issued {issued} lies after today, {}",
                        date(subject.world.today),
                        issued = date(issued)
                    ),
                )
                .hint(say!("correct the date, or issue it on that day")),
        );
    }
}
