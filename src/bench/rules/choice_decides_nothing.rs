//! Some choices are accepted and some are not.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::MeasureKind;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "choice-decides-nothing",
    weight: Weight::Advice,
    doc: mark!("Some choices are accepted and some are not."),
    why: mark!("A choice where all is good can find no fault."),
    bad: r#"[[step]]
[[step.measure]]
id = "marks"
title = "Marks"
kind = "choice"
choices = ["none", "a line"]
accept = ["none", "a line"]
"#,
    good: r#"[[step]]
[[step.measure]]
id = "marks"
title = "Marks"
kind = "choice"
choices = ["none", "a line"]
accept = ["none"]
"#,
    found_by: FoundBy::Bench(find),
};

/// Without `accept` a choice is recorded and not judged, which a checklist may want.
fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for measure in &step.value.measures {
            let MeasureKind::Choice { choices, accept } = &measure.kind else { continue };
            let repeated =
                choices.iter().enumerate().find(|(index, choice)| choices[..*index].contains(choice));
            if let Some((_, choice)) = repeated {
                let message = say!("the choice \"{choice}\" stands here twice", choice = choice);
                found.push(
                    subject
                        .fault(RULE.code, subject.of_measure(step, measure, "choices"), message)
                        .advice()
                        .hint(say!("take one of them out")),
                );
            }
            if !accept.is_empty() && choices.iter().all(|choice| accept.contains(choice)) {
                found.push(
                    subject
                        .fault(RULE.code, subject.of_measure(step, measure, "accept"), say!("every choice is accepted"))
                        .advice()
                        .hint(say!("leave accept out where the choice is only to be recorded, or take the bad ones out of it")),
                );
            }
        }
    }
}
