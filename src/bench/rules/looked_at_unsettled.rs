//! A step that looks at a place which only some configuration lays open says how the airframe must stand.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Aspect, Step};
use crate::diagnostic::{Diagnostic, Weight};
use crate::source::Located;

pub const RULE: Rule = Rule {
    code: "looked-at-unsettled",
    weight: Weight::Advice,
    doc: mark!(
        "A step that looks at a place which only some configuration lays open says how the airframe must stand."
    ),
    why: mark!(
        "Without it the order in the hangar and the refusal to sign work out of configuration know nothing of \
          it."
    ),
    bad: r#"looks_at = ["lift-pins"]
"#,
    good: r#"looks_at = ["lift-pins"]
configuration = { wings = "derigged" }
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for (index, place) in step.value.looks_at.iter().enumerate() {
            let missing: Vec<String> = place
                .needs()
                .iter()
                .filter(|(aspect, _)| {
                    step.value.configuration.get(*aspect).is_none() && !is_given(subject, step, *aspect)
                })
                .map(|(aspect, setting)| format!("{} = \"{}\"", aspect.word(), setting.word()))
                .collect();
            if !missing.is_empty() {
                let message = say!("the configuration does not say what lays open {}", place.words());
                found.push(
                    subject
                        .fault(RULE.code, subject.item(step, "looks_at", index), message)
                        .advice()
                        .hint(say!("add to configuration: {}", missing.join(", "))),
                );
            }
        }
    }
}

/// Given and not understood is told elsewhere.
fn is_given(subject: &Subject<'_>, step: &Located<Step>, aspect: Aspect) -> bool {
    subject.within(step, "configuration", aspect.word()) != subject.at(step, "configuration")
}
