//! A step names each step that it waits for once, and not again one that those wait for anyway.

use std::collections::HashSet;

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "dependency-repeated",
    weight: Weight::Advice,
    doc: mark!(
        "A step names each step that it waits for once, and not again one that those wait for anyway."
    ),
    why: mark!("What changes nothing hides what matters, and is forgotten when the order changes."),
    bad: r#"id = "example-module.one"

[[step]]
id = "example-module.two"
after = ["example-module.one"]

[[step]]
id = "example-module.three"
after = ["example-module.one", "example-module.two"]
"#,
    good: r#"id = "example-module.one"

[[step]]
id = "example-module.two"
after = ["example-module.one"]

[[step]]
id = "example-module.three"
after = ["example-module.two"]
"#,
    found_by: FoundBy::Bench(find),
};

/// A step with a condition may be left out, and then no longer stands in between: it is not followed.
fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| step.value.after.len() > 1) {
        let after = &step.value.after;
        for (index, reference) in after.iter().enumerate() {
            let is_again = after[..index].iter().any(|earlier| earlier.value == reference.value);
            let through = after
                .iter()
                .filter(|other| other.value != reference.value)
                .find(|other| waits_for(subject, &other.value, &reference.value));
            let message = match (is_again, through) {
                (true, _) => say!("\"{}\" names \"{}\" twice", step.value.id, reference.value),
                (_, Some(other)) => say!(
                    "waiting for \"{}\" changes nothing: \"{}\" waits for it already",
                    reference.value,
                    other.value
                ),
                _ => continue,
            };
            found.push(
                subject
                    .fault(RULE.code, reference.span.clone(), message)
                    .advice()
                    .hint(say!("take it out of \"after\", unless the step between may be withdrawn")),
            );
        }
    }
}

fn waits_for(subject: &Subject<'_>, from: &str, wanted: &str) -> bool {
    let mut open = vec![from];
    let mut seen = HashSet::new();
    while let Some(id) = open.pop() {
        let Some(step) = subject.reach(id).filter(|step| step.value.when.is_empty()) else { continue };
        for reference in &step.value.after {
            if reference.value == wanted {
                // In a circle everything waits for everything; that is told as a circle.
                return !reaches(subject, wanted, from);
            }
            if seen.insert(reference.value.as_str()) {
                open.push(&reference.value);
            }
        }
    }
    false
}

fn reaches(subject: &Subject<'_>, from: &str, wanted: &str) -> bool {
    let mut open = vec![from];
    let mut seen = HashSet::new();
    while let Some(id) = open.pop() {
        let after = subject.reach(id).map_or(&[][..], |step| &step.value.after);
        for reference in after {
            if reference.value == wanted {
                return true;
            }
            if seen.insert(reference.value.as_str()) {
                open.push(&reference.value);
            }
        }
    }
    false
}
