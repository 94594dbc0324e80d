//! No two pieces of evidence of a step have the same id.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "duplicate-evidence",
    weight: Weight::Error,
    doc: mark!("No two pieces of evidence of a step have the same id."),
    why: mark!("Files are filed under the id: one film would answer two demands."),
    bad: r#"evidence = [ { id = "film", kind = "film", what = "left side" }, { id = "film", kind = "film", what = "right side" } ]
"#,
    good: r#"evidence = [ { id = "film-left", kind = "film", what = "left side" }, { id = "film-right", kind = "film", what = "right side" } ]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| step.value.evidence.len() > 1) {
        for (index, demand) in step.value.evidence.iter().enumerate() {
            if step.value.evidence[..index].iter().any(|earlier| earlier.id == demand.id) {
                let message = say!("\"{}\" demands the evidence \"{}\" twice", step.value.id, demand.id);
                found.push(
                    subject
                        .fault(RULE.code, subject.item(step, "evidence", index), message)
                        .hint(say!("give each its own id, or one of them a higher count")),
                );
            }
        }
    }
}
