//! A tightened measurement exists in its step.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Kind;
use crate::diagnostic::{Diagnostic, Weight, suggest};

pub const RULE: Rule = Rule {
    code: "unknown-measure",
    weight: Weight::Error,
    doc: mark!("A tightened measurement exists in its step."),
    why: mark!("The stricter limit would be applied to nothing."),
    bad: r#"[[tighten]]
step = "wing.pins-play"
measure = "plai"
limit_source = "type manual (invented)"
reason = "the type wears here"
max = "0.3"
"#,
    good: r#"[[tighten]]
step = "wing.pins-play"
measure = "play"
limit_source = "type manual (invented)"
reason = "the type wears here"
max = "0.3"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let Kind::Supplement(own) = &subject.checklist.kind else { return };
    for tightening in &own.tighten {
        let (Some(wanted), Some(step)) =
            (&tightening.value.measure, subject.reach(&tightening.value.step.value))
        else {
            continue;
        };
        let known = &step.value.measures;
        if known.iter().any(|measure| measure.id == wanted.value)
            || is_written(subject, &step.value.id, &wanted.value)
        {
            continue;
        }
        let message = say!("the step \"{}\" has no measurement \"{}\"", step.value.id, wanted.value);
        let hint = suggest(&wanted.value, known.iter().map(|measure| measure.id.as_str()));
        found.push(subject.fault(RULE.code, wanted.span.clone(), message).hint(hint.unwrap_or_else(|| {
            say!("that step demands no measurement; tighten another step, or add one").to_string()
        })));
    }
}

/// One with a fault of its own is told there.
fn is_written(subject: &Subject<'_>, step: &str, measure: &str) -> bool {
    subject.scope().iter().filter(|edition| !edition.reading.faults.is_empty()).any(|edition| {
        let steps = edition.reading.outline().root.items("step");
        let of_step = steps.iter().filter(|node| node.text("id") == Some(step));
        of_step.flat_map(|node| node.items("measure")).any(|node| node.text("id") == Some(measure))
    })
}
