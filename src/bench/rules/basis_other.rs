//! A basis outside the list of rule ids (a directive, a manual's chapter) is looked at once more.

use crate::bench::basis::{COMMON_PRACTICE, FAMILIES, RULE_IDS};
use crate::bench::rule::{FoundBy, Rule};
use crate::bench::rules::basis_unknown::is_known;
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight, nearest};

pub const RULE: Rule = Rule {
    code: "basis-other",
    weight: Weight::Advice,
    doc: mark!(
        "A basis outside the list of rule ids (a directive, a manual's chapter) is looked at once more."
    ),
    why: mark!("It may be right; the program cannot tell. A misspelt one would go unnoticed."),
    bad: r#"basis = ["manual chapter 4 (invented)"]
"#,
    good: r#"basis = ["common practice"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for rule in step.value.basis.iter().filter(|rule| !is_known(&rule.value)) {
            let is_told = nearest(&rule.value, RULE_IDS.iter().map(|row| row.id).chain([COMMON_PRACTICE]))
                .is_some()
                || FAMILIES.iter().any(|family| rule.value.starts_with(family));
            if !is_told {
                found.push(
                    subject
                        .fault(
                            RULE.code,
                            rule.span.clone(),
                            say!("\"{}\" is on no list of rule ids", rule.value),
                        )
                        .advice()
                        .hint(say!("let it stand where it is a directive or a manual's chapter")),
                );
            }
        }
    }
}
