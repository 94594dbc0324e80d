//! A rule id in basis that looks like one of the known families is in the list of rule ids.

use std::collections::HashSet;

use crate::bench::basis::{COMMON_PRACTICE, FAMILIES, RULE_IDS};
use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight, nearest};

pub const RULE: Rule = Rule {
    code: "basis-unknown",
    weight: Weight::Error,
    doc: mark!("A rule id in basis that looks like one of the known families is in the list of rule ids."),
    why: mark!(
        "The step would answer a rule that does not exist, and the rule that was meant would look unanswered."
    ),
    bad: r#"basis = ["43D(k)"]
"#,
    good: r#"basis = ["43D(j)"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for rule in step.value.basis.iter().filter(|rule| !is_known(&rule.value)) {
            let near = nearest(&rule.value, RULE_IDS.iter().map(|row| row.id).chain([COMMON_PRACTICE]));
            if near.is_none() && !FAMILIES.iter().any(|family| rule.value.starts_with(family)) {
                continue;
            }
            let hint = near.map(|near| say!("did you mean \"{near}\"?", near = near));
            found.push(
                subject
                    .fault(RULE.code, rule.span.clone(), say!("there is no rule id \"{}\"", rule.value))
                    .hint(hint.unwrap_or_else(|| {
                        say!("write the id as the list has it: spanwise check --rule-ids").to_string()
                    })),
            );
        }
    }
}

/// The text in force may have ids that the list does not; which ones are known stands in `basis.rs`.
pub(super) fn is_known(id: &str) -> bool {
    static IDS: std::sync::OnceLock<HashSet<&'static str>> = std::sync::OnceLock::new();
    let ids = IDS.get_or_init(|| RULE_IDS.iter().map(|row| row.id).chain([COMMON_PRACTICE]).collect());
    ids.contains(id)
}
