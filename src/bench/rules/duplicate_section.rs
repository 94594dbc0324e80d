//! No two sections of a file have the same id.

use std::collections::BTreeMap;

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "duplicate-section",
    weight: Weight::Error,
    doc: mark!("No two sections of a file have the same id."),
    why: mark!("One of the two titles would never be shown."),
    bad: r#"[[section]]
id = "example"
title = "Example"

[[section]]
id = "example"
title = "Another"
"#,
    good: r#"[[section]]
id = "example"
title = "Example"

[[section]]
id = "another"
title = "Another"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let mut seen: BTreeMap<&str, &std::ops::Range<usize>> = BTreeMap::new();
    for section in &subject.checklist.sections {
        let id = section.value.id.as_str();
        match seen.get(id) {
            Some(first) => found.push(
                subject
                    .fault(
                        RULE.code,
                        section.span.clone(),
                        say!("the section \"{id}\" stands here a second time", id = id),
                    )
                    .related(subject.place((*first).clone()), say!("first here"))
                    .hint(say!("give one of them another id, or take it out")),
            ),
            None => {
                seen.insert(id, &section.span);
            }
        }
    }
}
