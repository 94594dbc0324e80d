//! No step waits for one that comes after every other step.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "after-the-last",
    weight: Weight::Error,
    doc: mark!(
        "No step waits for one that comes after every other step (last = true), unless it is one of the last itself."
    ),
    why: mark!("Both would wait for each other, and no plan could be composed."),
    bad: r#"id = "example-module.walk"
last = true

[[step]]
id = "example-module.look"
after = ["example-module.walk"]
"#,
    good: r#"id = "example-module.walk"
last = true

[[step]]
id = "example-module.look"
after = ["example-module.walk"]
last = true
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.last) {
        for reference in &step.value.after {
            if !subject.reach(&reference.value).is_some_and(|other| other.value.last) {
                continue;
            }
            let message = say!(
                "\"{}\" waits for \"{}\", which comes after every other step (last = true)",
                step.value.id,
                reference.value
            );
            found.push(
                subject
                    .fault(RULE.code, reference.span.clone(), message)
                    .hint(say!("give this step last = true, too, or take the other out of \"after\"")),
            );
        }
    }
}
