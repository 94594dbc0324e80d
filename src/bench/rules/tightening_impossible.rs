//! A tightened limit can be met together with what the programme has, does not exclude its own nominal value, and
//! does not raise a ceiling.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Kind, MeasureKind, Tightening};
use crate::diagnostic::{Diagnostic, Weight};
use crate::quantity::Number;
use crate::source::Located;
use crate::words::figure;

pub const RULE: Rule = Rule {
    code: "tightening-impossible",
    weight: Weight::Error,
    doc: mark!(
        "A tightened limit can be met together with what the programme has, does not exclude its own nominal \
          value, and does not raise a ceiling."
    ),
    why: mark!("The supplement could not be composed into a plan, or its measurement could never be passed."),
    bad: r#"[[tighten]]
step = "wing.pins-play"
measure = "play"
limit_source = "type manual (invented)"
reason = "the type wears here"
min = "0.5"
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
        let change = &tightening.value;
        let zero = Number::from(0);
        if let (Some(nominal), true) = (&change.nominal, change.min.is_some() || change.max.is_some()) {
            let is_outside =
                change.min.is_some_and(|min| *nominal < min) || change.max.is_some_and(|max| *nominal > max);
            let message = match is_outside {
                true => say!("the limit excludes its own nominal value"),
                false => {
                    say!(
                        "give either min and max, or nominal and tolerance: together, nominal alone would count"
                    )
                }
            };
            found.push(told(subject, tightening, "nominal", message));
        } else if change.tolerance.is_some_and(|tolerance| tolerance < zero) {
            found.push(told(subject, tightening, "tolerance", say!("a tolerance cannot be negative")));
        } else if change.max_difference.is_some_and(|most| most < zero) {
            found.push(told(subject, tightening, "max_difference", say!("a difference cannot be negative")));
        } else {
            against_programme(subject, tightening, found);
        }
        for (key, number) in [("readings", change.readings), ("people", change.people)] {
            if number == Some(0) {
                found.push(told(subject, tightening, key, say!("this cannot be 0")));
            }
        }
    }
}

fn told(subject: &Subject<'_>, tightening: &Located<Tightening>, key: &str, message: &str) -> Diagnostic {
    subject
        .fault(RULE.code, subject.of_tightening(tightening, key), message)
        .hint(say!("correct the figures of this tightening"))
}

fn against_programme(subject: &Subject<'_>, tightening: &Located<Tightening>, found: &mut Vec<Diagnostic>) {
    let change = &tightening.value;
    let step = subject.reach(&change.step.value);
    let measure =
        step.zip(change.measure.as_ref()).and_then(|(step, wanted)| step.value.measure(&wanted.value));
    let Some(measure) = measure else { return };
    let (min, max) = match &measure.kind {
        MeasureKind::Number { limit, .. } | MeasureKind::Pair { limit, .. } => {
            let end = |end: Option<&crate::quantity::Quantity>| end.map(|end| end.value);
            (
                end(limit.as_ref().and_then(|limit| limit.min())),
                end(limit.as_ref().and_then(|limit| limit.max())),
            )
        }
        MeasureKind::Count { min, max, .. } => {
            (min.map(|min| Number::from(i64::from(min))), max.map(|max| Number::from(i64::from(max))))
        }
        MeasureKind::LoadDeflection(series) => {
            if change.max_load.is_some_and(|load| load > series.max_load) {
                let message = say!("this would allow more load than {}", figure(series.max_load));
                found.push(told(subject, tightening, "max_load", &message));
            }
            return;
        }
        _ => return,
    };
    if change.nominal.is_some() || change.min.is_none() && change.max.is_none() {
        return;
    }
    let (low, high) = (change.min.or(min), change.max.or(max));
    if let (Some(low), Some(high)) = (low, high)
        && low > high
    {
        let key = if change.max.is_some() { "max" } else { "min" };
        let message =
            say!("nothing is at least {low} and at most {high}", low = figure(low), high = figure(high));
        found.push(told(subject, tightening, key, &message));
    }
}
