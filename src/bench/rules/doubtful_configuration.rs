//! The settings of a configuration go together as the trade knows it: wings rigged do not stand on a belly dolly, a
//! side load is not put on a bare fuselage on its dolly, controls are not connected across a joint that is apart.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Aspect, Setting};
use crate::diagnostic::{Diagnostic, Weight};
use crate::words::said;

pub const RULE: Rule = Rule {
    code: "doubtful-configuration",
    weight: Weight::Advice,
    doc: mark!(
        "The settings of a configuration go together as the trade knows it: wings rigged do not stand on a \
          belly dolly, a side load is not put on a bare fuselage on its dolly, controls are not connected across \
          a joint that is apart. Common practice, no source."
    ),
    why: mark!(
        "On a belly dolly the bare fuselage rolls under a push and the flex goes unseen. With the wings or the \
          tailplane off, part of the circuits is open."
    ),
    bad: r#"configuration = { wings = "rigged", support = "belly-dolly" }
"#,
    good: r#"configuration = { wings = "rigged", support = "trestles" }
"#,
    found_by: FoundBy::Bench(find),
};

type Pair = ((Aspect, Setting), (Aspect, Setting), &'static str, &'static str);

const DOUBTFUL: &[Pair] = &[
    (
        (Aspect::Wings, Setting::Rigged),
        (Aspect::Support, Setting::BellyDolly),
        mark!("a belly dolly carries a bare fuselage; with the wings on, nothing holds it level"),
        mark!("support the wings on trestles, or let it stand on its wheel"),
    ),
    (
        (Aspect::Wings, Setting::Derigged),
        (Aspect::Controls, Setting::Connected),
        mark!("with the wings off, the circuits into the wings are open at the root"),
        mark!(
            "rig the wings, or leave the controls out of the configuration and name the circuit in the instruction"
        ),
    ),
    (
        (Aspect::Tailplane, Setting::Off),
        (Aspect::Controls, Setting::Connected),
        mark!("with the tailplane off, the elevator is not connected"),
        mark!(
            "fit the tailplane, or leave the controls out of the configuration and name the circuit in the instruction"
        ),
    ),
];

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.configuration.is_empty()) {
        let configuration = &step.value.configuration;
        let has = |(aspect, setting): (Aspect, Setting)| configuration.get(aspect) == Some(setting);
        for (one, other, why, hint) in DOUBTFUL.iter().filter(|(one, other, _, _)| has(*one) && has(*other)) {
            found.push(
                subject
                    .fault(RULE.code, subject.within(step, "configuration", other.0.word()), said(why))
                    .advice()
                    .related(
                        subject.place(subject.within(step, "configuration", one.0.word())),
                        say!("with this"),
                    )
                    .hint(said(hint)),
            );
        }
        let is_on_dolly =
            has((Aspect::Support, Setting::BellyDolly)) && !has((Aspect::Wings, Setting::Rigged));
        if step.value.loads && is_on_dolly {
            found.push(
                subject
                    .fault(
                        RULE.code,
                        subject.within(step, "configuration", Aspect::Support.word()),
                        say!("a bare fuselage rolls in its dolly under a side load, and what gives goes unseen"),
                    )
                    .advice()
                    .hint(say!("rig the wings and support them on trestles; where the load is no side load, let it stand")),
            );
        }
    }
}
