//! A step whose instruction tells somebody to lift, jack, trestle, cut, drill, grind, saw or sand has a caution.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::bench::text::{sentences, words};
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "caution-advised",
    weight: Weight::Advice,
    doc: mark!(
        "A step whose instruction tells somebody to lift, jack, trestle, cut, drill, grind, saw or sand has a \
          caution."
    ),
    why: mark!(
        "Cutting is for an approved composite repairer; under an airframe that is lifted nobody may be. The one \
          who works the step should read it there."
    ),
    bad: r#"instruction = "How: lift the tail and put it on a stand. Good: the wheel turns free. Bad: it touches. Record: the stand's station."
"#,
    good: r#"instruction = "How: lift the tail and put it on a stand. Good: the wheel turns free. Bad: it touches. Record: the stand's station."
caution = "Lift at the manual's station only; nobody under the airframe."
"#,
    found_by: FoundBy::Bench(find),
};

const WORK: &[&str] = &["lift", "jack", "trestle", "cut", "drill", "grind", "saw", "sand", "hoist"];
/// What is lifted without danger.
const SMALL: &[&str] = &[
    "seat", "cushion", "cover", "tape", "flap", "catch", "lever", "edge", "corner", "boot", "mat", "carpet",
    "off",
];

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| step.value.caution.is_none() && !step.value.loads) {
        let told = sentences(&step.value.instruction).find_map(|sentence| {
            let mut words = words(sentence);
            let first = words.next()?;
            let is_work = WORK.iter().any(|work| work.eq_ignore_ascii_case(first));
            let next: Vec<&str> = words.take(3).collect();
            // "Lift and lower the rudder" moves a part that hangs in its hinges.
            let is_small = next.first() == Some(&"and") || next.iter().any(|word| SMALL.contains(word));
            (is_work && !is_small).then_some(first)
        });
        let Some(word) = told else { continue };
        if subject.has(step, "caution") {
            continue;
        }
        let message =
            say!("\"{}\" tells somebody to {} and has no caution", step.value.id, word.to_lowercase());
        found.push(
            subject
                .fault(RULE.code, subject.words(step, "instruction", word), message)
                .advice()
                .hint(say!("add a caution that names the danger and defers to the type's manual")),
        );
    }
}
