//! No two steps that can meet in one plan have the same id.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Kind;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "duplicate-step",
    weight: Weight::Error,
    doc: mark!("No two steps that can meet in one plan have the same id."),
    why: mark!("Answers are kept by the id: one of the two would be signed by the other's answer."),
    bad: r#"id = "example-module.skin"

[[step]]
id = "example-module.skin"
"#,
    good: r#"id = "example-module.skin"

[[step]]
id = "example-module.skin-again"
"#,
    found_by: FoundBy::Bench(find),
};

/// Within one file the reader tells it; here it is told across files that can take part in one plan.
fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let own = subject.checklist;
    let Some(edition) = subject.scope().first().filter(|edition| subject.world.is_newest(edition)) else {
        return;
    };
    for step in subject.steps().filter(|step| !step.value.id.is_empty()) {
        let mut others = subject.world.holders(&step.value.id).filter(|other| other.id() != edition.id());
        let Some(other) = others.find(|other| can_meet(&own.kind, &other.checklist.kind)) else { continue };
        // Each pair is told once: where both are under check, in the later file.
        let Some(first) = other.step(&step.value.id) else { continue };
        let message =
            say!("\"{}\" and \"{}\" both have a step \"{}\"", own.id.value, other.id(), step.value.id);
        found.push(
            subject
                .fault(RULE.code, step.span.clone(), message)
                .related(
                    crate::diagnostic::Place::new(&other.reading.source, first.span.clone()),
                    say!("also here"),
                )
                .hint(say!("give one of them another id; a module's steps begin with the module's id")),
        );
    }
}

fn can_meet(one: &Kind, other: &Kind) -> bool {
    match (one, other) {
        (Kind::Programme, Kind::Programme) => false,
        (Kind::Supplement(one), Kind::Supplement(other)) => one.of_type.id == other.of_type.id,
        _ => true,
    }
}
