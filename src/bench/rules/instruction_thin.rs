//! An instruction says more than that something is to be checked: at least eight words.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::bench::text::words;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "instruction-thin",
    weight: Weight::Error,
    doc: mark!("An instruction says more than that something is to be checked: at least eight words."),
    why: mark!(
        "\"Check the tailplane\" tells nobody how to look, what good looks like and what bad looks like; it is \
          passed without a look."
    ),
    bad: r#"instruction = "Check the tailplane."
"#,
    good: r#"instruction = "How: rock the tailplane at its tip. Good: no click. Bad: play or a knock. Record: play in mm."
"#,
    found_by: FoundBy::Bench(find),
};

/// Common practice, no source: below this no text can say how to look and what good and bad look like.
const FEWEST_WORDS: usize = 8;

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.instruction.is_empty()) {
        if words(&step.value.instruction).take(FEWEST_WORDS).count() == FEWEST_WORDS {
            continue;
        }
        let message = say!("the instruction of \"{}\" does not say how to look", step.value.id);
        found.push(
            subject
                .fault(RULE.code, subject.at(step, "instruction"), message)
                .hint(say!("say how to look, what good and what bad look like, and what to record")),
        );
    }
}
