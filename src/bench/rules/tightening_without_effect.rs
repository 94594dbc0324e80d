//! Every key of a tightening changes something: figures fit the kind of the measurement, and figures stand with a
//! measurement.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Kind, MeasureKind, Tightening};
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "tightening-without-effect",
    weight: Weight::Error,
    doc: mark!(
        "Every key of a tightening changes something: figures fit the kind of the measurement, and figures \
          stand with a measurement."
    ),
    why: mark!("A limit that is read and never applied is worse than none: somebody relies on it."),
    bad: r#"[[tighten]]
step = "wing.pins-play"
measure = "play"
limit_source = "type manual (invented)"
reason = "the type wears here"
min_stiffness = "20"
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
        let change = &tightening.value;
        let Some(step) = subject.reach(&change.step.value) else { continue };
        let measure = change.measure.as_ref().and_then(|wanted| step.value.measure(&wanted.value));
        if change.measure.is_some() && measure.is_none() {
            continue;
        }
        let kind = measure.map(|measure| &measure.kind);
        for (key, fits) in keys(change, kind) {
            if !fits {
                let message = match measure {
                    Some(measure) => {
                        say!("\"{key}\" changes nothing for a {} measurement", measure.kind_word(), key = key)
                    }
                    None => say!("\"{key}\" changes nothing without a measurement", key = key),
                };
                found.push(
                    subject
                        .fault(RULE.code, subject.of_tightening(tightening, key), message)
                        .hint(say!("take it out, or tighten the measurement that it is meant for")),
                );
            }
        }
    }
}

/// The given keys with whether the measurement has such a thing. Bare limits without a measurement are told by the
/// reader.
fn keys(change: &Tightening, kind: Option<&MeasureKind>) -> Vec<(&'static str, bool)> {
    let is_number = matches!(kind, None | Some(MeasureKind::Number { .. } | MeasureKind::Pair { .. }));
    let is_limited = is_number || matches!(kind, Some(MeasureKind::Count { .. }));
    let is_series = matches!(kind, Some(MeasureKind::LoadDeflection(_)));
    let given = [
        ("min", change.min.is_some(), is_limited),
        ("max", change.max.is_some(), is_limited),
        ("nominal", change.nominal.is_some(), is_number),
        ("max_difference", change.max_difference.is_some(), matches!(kind, Some(MeasureKind::Pair { .. }))),
        ("min_stiffness", change.min_stiffness.is_some(), is_series),
        ("max_load", change.max_load.is_some(), is_series),
        ("readings", change.readings.is_some(), kind.is_some()),
        ("instrument", change.instrument.is_some(), kind.is_some()),
    ];
    given.into_iter().filter(|(_, is_given, _)| *is_given).map(|(key, _, fits)| (key, fits)).collect()
}
