//! A build standard in a condition is one that the type has; in a module or programme one that some type of the
//! library has.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Condition, Kind};
use crate::diagnostic::{Diagnostic, Weight, suggest};

pub const RULE: Rule = Rule {
    code: "unknown-build-standard",
    weight: Weight::Error,
    doc: mark!(
        "A build standard in a condition is one that the type has; in a module or programme one that some type \
          of the library has."
    ),
    why: mark!("No airframe record could name it, so the step would never be in a plan, or always."),
    bad: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
build_standards = [ { id = "A", title = "first" }, { id = "B", title = "second" } ]

[[section]]
id = "example"
title = "Example"

[[step]]
when = [ { build_standard = "C" } ]
"#,
    good: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
build_standards = [ { id = "A", title = "first" }, { id = "B", title = "second" } ]

[[section]]
id = "example"
title = "Example"

[[step]]
when = [ { build_standard = "B" } ]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let mut named = Vec::new();
    for step in subject.steps() {
        for (index, row) in step.value.when.iter().enumerate() {
            standards(row, &mut |id| named.push((step, index, id.to_string())));
        }
    }
    if named.is_empty() {
        return;
    }
    let known: Vec<&str> = match &subject.checklist.kind {
        Kind::Supplement(own) => {
            own.of_type.build_standards.iter().map(|standard| standard.id.as_str()).collect()
        }
        _ => subject
            .world
            .supplements()
            .flat_map(|(_, of)| of.of_type.build_standards.iter().map(|standard| standard.id.as_str()))
            .collect(),
    };
    for (step, index, id) in named.iter().filter(|(_, _, id)| !known.contains(&id.as_str())) {
        found.push(
            subject
                .fault(
                    RULE.code,
                    subject.item(step, "when", *index),
                    say!("no type has a build standard \"{id}\"", id = id),
                )
                .hint(
                    suggest(id, known.iter().copied())
                        .unwrap_or_else(|| say!("name it among build_standards of [type]").to_string()),
                ),
        );
    }
}

fn standards(row: &Condition, name: &mut impl FnMut(&str)) {
    match row {
        Condition::BuildStandard(id) | Condition::WithoutBuildStandard(id) => name(id),
        Condition::Any(rows) => rows.iter().for_each(|row| standards(row, &mut *name)),
        _ => {}
    }
}
