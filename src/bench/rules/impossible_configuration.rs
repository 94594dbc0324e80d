//! The settings of a configuration can be had at the same time.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Aspect, Kind, Setting, Tightening};
use crate::diagnostic::{Diagnostic, Weight};
use crate::source::Located;
use crate::words::said;

pub const RULE: Rule = Rule {
    code: "impossible-configuration",
    weight: Weight::Error,
    doc: mark!(
        "The settings of a configuration can be had at the same time. Wings derigged and supported on trestles: \
          the trestles of this format stand under the wings. Tail wheel loaded with wings on trestles is \
          possible: the tail can still stand on its wheel."
    ),
    why: mark!("The step could never be worked in its configuration, so it could never be signed."),
    bad: r#"configuration = { wings = "derigged", support = "trestles" }
"#,
    good: r#"configuration = { wings = "derigged", support = "belly-dolly" }
"#,
    found_by: FoundBy::Bench(find),
};

/// Two settings, why they exclude each other, what to do.
type Pair = ((Aspect, Setting), (Aspect, Setting), &'static str, &'static str);

/// Common practice, no source: what stands under what.
const IMPOSSIBLE: &[Pair] = &[(
    (Aspect::Wings, Setting::Derigged),
    (Aspect::Support, Setting::Trestles),
    mark!("the trestles stand under the wings, and the wings are off"),
    mark!("a bare fuselage stands on its wheel or on a belly dolly"),
)];

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.configuration.is_empty()) {
        let has =
            |(aspect, setting): (Aspect, Setting)| step.value.configuration.get(aspect) == Some(setting);
        for (one, other, why, hint) in IMPOSSIBLE.iter().filter(|(one, other, _, _)| has(*one) && has(*other))
        {
            found.push(
                subject
                    .fault(
                        RULE.code,
                        subject.within(step, "configuration", other.0.word()),
                        say!("this cannot be: {why}", why = said(why)),
                    )
                    .related(
                        subject.place(subject.within(step, "configuration", one.0.word())),
                        say!("with this"),
                    )
                    .hint(said(hint)),
            );
        }
    }
    if let Kind::Supplement(own) = &subject.checklist.kind {
        own.tighten.iter().for_each(|tightening| tightened(subject, tightening, found));
    }
}

/// A tightening can make a configuration impossible that the programme has well.
fn tightened(subject: &Subject<'_>, tightening: &Located<Tightening>, found: &mut Vec<Diagnostic>) {
    let change = &tightening.value;
    let Some(step) = subject.reach(&change.step.value).filter(|_| !change.configuration.is_empty()) else {
        return;
    };
    let mut configuration = step.value.configuration.clone();
    configuration.overlay(&change.configuration);
    let has = |(aspect, setting): (Aspect, Setting)| configuration.get(aspect) == Some(setting);
    for (_, _, why, hint) in IMPOSSIBLE.iter().filter(|(one, other, _, _)| has(*one) && has(*other)) {
        let message = say!(
            "with the programme's own this makes {configuration}, which cannot be: {why}",
            configuration = configuration,
            why = said(why)
        );
        found.push(
            subject
                .fault(RULE.code, subject.of_tightening(tightening, "configuration"), message)
                .hint(said(hint)),
        );
    }
}
