//! A step says what it rests on: rule ids, or "common practice" where there is no published source.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "basis-missing",
    weight: Weight::Advice,
    doc: mark!(
        "A step says what it rests on: rule ids, or \"common practice\" where there is no published source."
    ),
    why: mark!("Whoever shortens the checklist later must know what would go unanswered."),
    bad: r#"basis = []
"#,
    good: r#"basis = ["common practice"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| step.value.basis.is_empty()) {
        // A basis that could not be read was told.
        let span = subject.at(step, "basis");
        if subject
            .reading
            .faults
            .iter()
            .any(|fault| span.contains(&fault.place.span.start) && span != step.span)
        {
            continue;
        }
        found.push(
            subject
                .fault(
                    RULE.code,
                    span,
                    say!("\"{}\" names no rule and no practice that it rests on", step.value.id),
                )
                .advice()
                .hint(say!("add basis = [\"…\"], or [\"common practice\"]")),
        );
    }
}
