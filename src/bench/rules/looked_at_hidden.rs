//! The configuration of a step lays open what the step looks at: tailplane fittings with the tailplane off, root
//! rib, lift pins and spar stub with the wings derigged, a hinge by itself with the controls disconnected, and so
//! on (looks_at).

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "looked-at-hidden",
    weight: Weight::Error,
    doc: mark!(
        "The configuration of a step lays open what the step looks at: tailplane fittings with the tailplane \
          off, root rib, lift pins and spar stub with the wings derigged, a hinge by itself with the controls \
          disconnected, and so on (looks_at). Common practice, no source; the type's manual governs."
    ),
    why: mark!("A step that asks for a look at what nobody can see gets an answer all the same."),
    bad: r#"looks_at = ["tailplane-fittings"]
configuration = { tailplane = "on" }
"#,
    good: r#"looks_at = ["tailplane-fittings"]
configuration = { tailplane = "off" }
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for (index, place) in step.value.looks_at.iter().enumerate() {
            for (aspect, wanted) in place.needs() {
                let Some(setting) = step.value.configuration.get(*aspect).filter(|setting| setting != wanted)
                else {
                    continue;
                };
                let message =
                    say!("with {} {} nobody gets to see {}", aspect.word(), setting.word(), place.words());
                found.push(
                    subject
                        .fault(RULE.code, subject.within(step, "configuration", aspect.word()), message)
                        .related(subject.place(subject.item(step, "looks_at", index)), say!("looked at here"))
                        .hint(say!(
                            "write {} = \"{}\", or look at it in another step",
                            aspect.word(),
                            wanted.word()
                        )),
                );
            }
        }
    }
}
