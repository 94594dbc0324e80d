//! A step stands in a section that the checklist or its programme has.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight, nearest, suggest};

pub const RULE: Rule = Rule {
    code: "unknown-section",
    weight: Weight::Error,
    doc: mark!("A step stands in a section that the checklist or its programme has."),
    why: mark!("The worksheet would have no place for it."),
    bad: r#"section = "fuselaje"
"#,
    good: r#"section = "fuselage"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let known: Vec<&str> = subject
        .scope()
        .iter()
        .flat_map(|edition| edition.checklist.sections.iter().map(|section| section.value.id.as_str()))
        .collect();
    for step in subject.steps() {
        let wanted = &step.value.section;
        if wanted.value.is_empty() || known.contains(&wanted.value.as_str()) {
            continue;
        }
        let near = nearest(&wanted.value, known.iter().copied());
        if subject.is_written("section", &wanted.value) || near.is_none() && subject.has_nameless("section") {
            continue;
        }
        let message = say!("the section \"{}\" does not exist", wanted.value);
        let hint = suggest(&wanted.value, known.iter().copied());
        found.push(subject.fault(RULE.code, wanted.span.clone(), message).maybe_hint(hint));
    }
}
