//! Two supplements of one type do not change the same thing, and none tightens what another withdraws.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::bench::world::Edition;
use crate::checklist::{Kind, Supplement, Tightening};
use crate::diagnostic::{Diagnostic, Place, Weight};
use crate::source::Located;

pub const RULE: Rule = Rule {
    code: "supplements-fight",
    weight: Weight::Error,
    doc: mark!(
        "Two supplements of one type do not change the same thing, and none tightens what another withdraws."
    ),
    why: mark!("There is no right answer, and the program does not guess one."),
    bad: r#"[[withdraw]]
step = "wing.pins-play"
reason = "the type has no pins (invented)"

[[tighten]]
step = "wing.pins-play"
measure = "play"
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
        for edition in subject.scope() {
            let Some(other) = edition.supplement() else { continue };
            let is_self = std::ptr::eq(edition.checklist, subject.checklist);
            against(subject, tightening, (edition, other), is_self, found);
        }
    }
}

fn against(
    subject: &Subject<'_>,
    tightening: &Located<Tightening>,
    (edition, other): (&Edition<'_>, &Supplement),
    is_self: bool,
    found: &mut Vec<Diagnostic>,
) {
    let change = &tightening.value;
    let there = |span: &std::ops::Range<usize>| Place::new(&edition.reading.source, span.clone());
    let step = &change.step.value;
    if let Some(withdrawal) = other.withdraw.iter().find(|withdrawal| withdrawal.value.step.value == *step) {
        let message = say!("\"{step}\" is tightened here and withdrawn elsewhere", step = step);
        found.push(
            subject
                .fault(RULE.code, tightening.span.clone(), message)
                .related(there(&withdrawal.span), say!("withdrawn here"))
                .hint(say!("a withdrawn step cannot be tightened; take one of the two out")),
        );
    }
    let measure_of = |change: &Tightening| change.measure.as_ref().map(|measure| measure.value.clone());
    let same = other.tighten.iter().filter(|twin| {
        // Within one file only what stands above counts, so that a pair is told once.
        let is_other = if is_self { twin.span.start < tightening.span.start } else { true };
        is_other && twin.value.step.value == *step && measure_of(&twin.value) == measure_of(change)
    });
    for twin in same {
        let fields = twin.value.fields();
        for field in change.fields().into_iter().filter(|field| fields.contains(field)) {
            let message = say!(
                "{field} of \"{step}\" is changed here and by \"{}\"",
                edition.id(),
                field = field,
                step = step
            );
            found.push(
                subject
                    .fault(RULE.code, tightening.span.clone(), message)
                    .related(there(&twin.span), say!("and here"))
                    .hint(say!("let one supplement decide, and withdraw the change from the other")),
            );
        }
    }
}
