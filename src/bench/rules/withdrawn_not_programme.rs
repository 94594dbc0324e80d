//! What a supplement withdraws is a step of the programme.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Kind;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "withdrawn-not-programme",
    weight: Weight::Error,
    doc: mark!("What a supplement withdraws is a step of the programme."),
    why: mark!("A supplement can take away only what the programme asks of every type."),
    bad: r#"[[section]]
id = "example"
title = "Example"

[[step]]
id = "example-supplement.pins"

[[withdraw]]
step = "example-supplement.pins"
reason = "not needed"
"#,
    good: r#"[[withdraw]]
step = "wing.struts"
reason = "the type has no struts (invented)"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let Kind::Supplement(own) = &subject.checklist.kind else { return };
    for withdrawal in &own.withdraw {
        let id = &withdrawal.value.step.value;
        let of_programme =
            subject.scope().iter().any(|edition| edition.is_programme() && edition.step(id).is_some());
        if !of_programme && subject.reach(id).is_some() {
            found.push(
                subject
                    .fault(
                        RULE.code,
                        withdrawal.span.clone(),
                        say!("\"{id}\" is no step of the programme", id = id),
                    )
                    .hint(say!("take the step itself out of the supplement that has it")),
            );
        }
    }
}
