//! A step does not wait for one that can never be in the same plan.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::rules::condition_never::can_hold;
use crate::bench::subject::Subject;
use crate::checklist::Condition;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "dependency-never",
    weight: Weight::Error,
    doc: mark!("A step does not wait for one that can never be in the same plan."),
    why: mark!("The order that somebody thought necessary would never be kept."),
    bad: r#"id = "example-module.one"
when = [ { without_equipment = "oxygen" } ]

[[step]]
id = "example-module.two"
when = [ { equipment = "oxygen" } ]
after = ["example-module.one"]
"#,
    good: r#"id = "example-module.one"
when = [ { equipment = "oxygen" } ]

[[step]]
id = "example-module.two"
when = [ { equipment = "oxygen" } ]
after = ["example-module.one"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.when.is_empty() && can_hold(&step.value.when)) {
        for reference in &step.value.after {
            let Some(other) = subject.reach(&reference.value).filter(|other| can_hold(&other.value.when))
            else {
                continue;
            };
            let both: Vec<Condition> = step.value.when.iter().chain(&other.value.when).cloned().collect();
            if !can_hold(&both) {
                let message = say!(
                    "\"{}\" and \"{}\" are never in the same plan: their conditions exclude each other",
                    step.value.id,
                    reference.value
                );
                found.push(
                    subject
                        .fault(RULE.code, reference.span.clone(), message)
                        .hint(say!("take it out of \"after\", or correct one of the conditions")),
                );
            }
        }
    }
}
