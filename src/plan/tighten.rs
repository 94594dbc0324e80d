//! Applies a supplement's tightenings to the programme's steps, and catches two supplements that fight.

use std::collections::BTreeMap;

use super::Change;
use super::compose::Draft;
use crate::checklist::{Checklist, MeasureKind, Tightening};
use crate::diagnostic::{Diagnostic, Place, suggest};
use crate::quantity::{Limit, Number, Quantity, Unit};
use crate::source::Located;

/// Who changed which field of which measurement already.
pub(super) type Claims = BTreeMap<(String, String, &'static str), (String, Place)>;

pub(super) fn tighten(
    drafts: &mut [Draft],
    supplement: &Checklist,
    tightening: &Located<Tightening>,
    claims: &mut Claims,
) -> Vec<Diagnostic> {
    let change = &tightening.value;
    let place = Place::new(&supplement.source, tightening.span.clone());
    let known: Vec<String> = drafts.iter().map(|draft| draft.step.id.clone()).collect();
    let Some(draft) = drafts.iter_mut().find(|draft| draft.step.id == change.step.value) else {
        return vec![
            Diagnostic::new("unknown-step", place, say!("the step \"{}\" does not exist", change.step.value))
                .maybe_hint(suggest(&change.step.value, known.iter().map(String::as_str))),
        ];
    };
    let mut faults = fights(supplement, change, &place, claims);
    if let Some(measure) = &change.measure {
        faults.extend(tighten_measure(draft, supplement, change, measure));
    }
    tighten_step(draft, change);
    draft.changes.push(Change {
        by: supplement.id.value.clone(),
        what: describe(change),
        reason: change.reason.clone(),
        line: u32::try_from(place.line()).ok(),
    });
    faults
}

/// The same field changed by two supplements has no right answer, so nothing is guessed.
fn fights(
    supplement: &Checklist,
    change: &Tightening,
    place: &Place,
    claims: &mut Claims,
) -> Vec<Diagnostic> {
    let measure = change.measure.as_ref().map(|measure| measure.value.clone()).unwrap_or_default();
    let mut faults = Vec::new();
    for field in change.fields() {
        let key = (change.step.value.clone(), measure.clone(), field);
        match claims.get(&key) {
            Some((by, first)) if *by != supplement.id.value => faults.push(
                Diagnostic::new(
                    "supplements-fight",
                    place.clone(),
                    say!(
                        "\"{}\" and \"{by}\" both change {field} of \"{}\"",
                        supplement.id.value,
                        change.step.value,
                        by = by,
                        field = field
                    ),
                )
                .label(say!("changed here"))
                .related(first.clone(), say!("and here"))
                .hint(say!("let one supplement decide, and withdraw the change from the other")),
            ),
            _ => {
                claims.insert(key, (supplement.id.value.clone(), place.clone()));
            }
        }
    }
    faults
}

fn tighten_step(draft: &mut Draft, change: &Tightening) {
    let step = &mut draft.step;
    step.mandatory = change.mandatory.unwrap_or(step.mandatory);
    step.may_be_not_applicable = change.may_be_not_applicable.unwrap_or(step.may_be_not_applicable);
    step.independent = change.independent.unwrap_or(step.independent);
    step.minutes = change.minutes.unwrap_or(step.minutes);
    step.people = change.people.unwrap_or(step.people);
    step.configuration.overlay(&change.configuration);
    for item in change.kit.iter().filter(|item| !draft.step.kit.contains(item)).cloned().collect::<Vec<_>>() {
        draft.step.kit.push(item);
    }
    if let Some(more) = &change.caution {
        let step = &mut draft.step;
        step.caution = Some(match step.caution.take() {
            Some(before) => format!("{before} {more}"),
            None => more.clone(),
        });
    }
}

fn tighten_measure(
    draft: &mut Draft,
    supplement: &Checklist,
    change: &Tightening,
    wanted: &Located<String>,
) -> Vec<Diagnostic> {
    let place = Place::new(&supplement.source, wanted.span.clone());
    let known: Vec<String> = draft.step.measures.iter().map(|measure| measure.id.clone()).collect();
    let Some(measure) = draft.step.measures.iter_mut().find(|measure| measure.id == wanted.value) else {
        let message = say!("the step \"{}\" has no measurement \"{}\"", draft.step.id, wanted.value);
        let hint = if known.is_empty() {
            Some(say!("that step demands no measurement; tighten another step, or add one").to_string())
        } else {
            suggest(&wanted.value, known.iter().map(String::as_str))
        };
        return vec![Diagnostic::new("unknown-measure", place, message).maybe_hint(hint)];
    };
    measure.readings = change.readings.unwrap_or(measure.readings);
    measure.instrument = change.instrument.unwrap_or(measure.instrument);
    if change.limit_source.is_some() {
        measure.limit_source.clone_from(&change.limit_source);
    }
    match new_limits(&mut measure.kind, change) {
        Ok(()) => Vec::new(),
        Err(message) => {
            vec![
                Diagnostic::new("limit-form", place, message)
                    .hint(say!("correct the figures of this tightening")),
            ]
        }
    }
}

fn new_limits(kind: &mut MeasureKind, change: &Tightening) -> Result<(), String> {
    match kind {
        MeasureKind::Number { unit, limit } => set_limit(limit, *unit, change),
        MeasureKind::Pair { unit, limit, max_difference } => {
            if change.max_difference.is_some() {
                max_difference.clone_from(&change.max_difference);
            }
            set_limit(limit, *unit, change)
        }
        MeasureKind::LoadDeflection(series) => {
            if change.min_stiffness.is_some() {
                series.min_stiffness.clone_from(&change.min_stiffness);
            }
            if let Some(load) = &change.max_load {
                if load > &series.max_load {
                    return Err(say!(
                        "a ceiling of {load} would allow more load than {}",
                        series.max_load,
                        load = load
                    ));
                }
                series.max_load = *load;
            }
            Ok(())
        }
        MeasureKind::Count { min, max, .. } => {
            let whole = |number: &Number| {
                number
                    .to_string()
                    .parse::<u32>()
                    .map_err(|_| say!("\"{number}\" is no whole number", number = number))
            };
            if let Some(number) = &change.min {
                *min = Some(whole(number)?);
            }
            if let Some(number) = &change.max {
                *max = Some(whole(number)?);
            }
            Ok(())
        }
        MeasureKind::Choice { .. }
        | MeasureKind::Text
        | MeasureKind::Date { .. }
        | MeasureKind::Table { .. } => {
            if change.min.is_some() || change.max.is_some() || change.nominal.is_some() {
                return Err(say!("a figure cannot limit a choice, a text or a date").to_string());
            }
            Ok(())
        }
    }
}

fn set_limit(limit: &mut Option<Limit>, unit: Unit, change: &Tightening) -> Result<(), String> {
    let quantity = |number: &Number| Quantity::new(*number, unit);
    let made = if let (Some(nominal), Some(tolerance)) = (&change.nominal, &change.tolerance) {
        let by = quantity(tolerance);
        Limit::around(&quantity(nominal), &by, &by)
    } else {
        let old = limit.as_ref();
        let min = change.min.as_ref().map(quantity).or(old.and_then(|old| old.min().copied()));
        let max = change.max.as_ref().map(quantity).or(old.and_then(|old| old.max().copied()));
        if min.is_none() && max.is_none() {
            return Ok(());
        }
        Limit::new(min, max)
    };
    *limit = Some(made.map_err(|error| error.to_string())?);
    Ok(())
}

/// The change in an inspector's words, as the plan keeps it in every language; [`super::Change::words`] shows it.
fn describe(change: &Tightening) -> String {
    let mut words = Vec::new();
    let mut number = |name: &str, value: &Option<Number>| {
        words.extend(value.as_ref().map(|value| format!("{name} {value}")));
    };
    number("at least", &change.min);
    number("at most", &change.max);
    number("nominal", &change.nominal);
    number("tolerance", &change.tolerance);
    number("left and right apart at most", &change.max_difference);
    number("stiffness at least N/mm", &change.min_stiffness);
    number("load at most", &change.max_load);
    words.extend(change.readings.map(|readings| format!("{readings} readings")));
    words.extend((change.instrument == Some(true)).then(|| "with a named instrument".to_string()));
    words.extend((change.mandatory == Some(true)).then(|| "mandatory".to_string()));
    words.extend((change.may_be_not_applicable == Some(false)).then(|| "may not be left out".to_string()));
    words.extend((change.independent == Some(true)).then(|| "with an independent inspection".to_string()));
    words.extend(
        (!change.configuration.is_empty()).then(|| format!("in configuration {}", change.configuration)),
    );
    words.extend(change.caution.as_ref().map(|_| "with a further caution".to_string()));
    words.extend(change.people.map(|people| format!("{people} people")));
    words.extend(change.minutes.map(|minutes| format!("{minutes} minutes")));
    words.extend((!change.kit.is_empty()).then(|| format!("with {}", change.kit.join(", "))));
    match &change.measure {
        Some(measure) => format!("{}: {}", measure.value, words.join(", ")),
        None => words.join(", "),
    }
}
