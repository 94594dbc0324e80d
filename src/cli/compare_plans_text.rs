//! Two plans beside each other as text.

use std::fmt::Write as _;

use super::compare_text::put;
use crate::audit::compare::{PlanDifference, StepChange};
use crate::plan::Plan;
use crate::words::of_checklist;

pub fn text(
    before_words: &str,
    before: &Plan,
    after_words: &str,
    after: &Plan,
    difference: &PlanDifference,
) -> String {
    let mut out = String::new();
    put(&mut out, 0, &say!("before: {before_words}", before_words));
    put(&mut out, 0, &say!("after:  {after_words}", after_words));
    if before.airframe.type_id != after.airframe.type_id {
        put(&mut out, 0, say!("WARNING: different types: steps of the same id may ask for different things"));
    }
    if difference.is_empty() {
        put(&mut out, 0, say!("No difference."));
        return out;
    }
    around(&mut out, difference);
    let (reopens, rest): (Vec<&StepChange>, Vec<&StepChange>) =
        difference.changed.iter().partition(|change| change.reopens);
    changes(&mut out, say!("Changed: an answer already given no longer answers it"), &reopens);
    ids(&mut out, say!("New steps"), after, before, &difference.added);
    ids(&mut out, say!("Steps that are gone"), before, after, &difference.gone);
    changes(&mut out, say!("Changed: an answer already given still holds"), &rest);
    let all = difference.added.len() + difference.gone.len() + difference.changed.len();
    let _ = writeln!(out, "\n{}", say!("1 step differs" | "{n} steps differ" % all));
    out
}

fn around(out: &mut String, difference: &PlanDifference) {
    for edition in &difference.editions {
        put(out, 2, &say!("edition {}", edition.words()));
    }
    if !difference.reports_added.is_empty() {
        put(out, 2, &say!("new reports: {}", difference.reports_added.join(", ")));
    }
    if !difference.reports_gone.is_empty() {
        put(out, 2, &say!("reports that are gone: {}", difference.reports_gone.join(", ")));
    }
    for section in &difference.sections {
        let words = match (&section.from, &section.to) {
            (Some(from), Some(to)) => say!(
                "section {}: \"{from}\", now \"{to}\"",
                section.id,
                from = of_checklist(from),
                to = of_checklist(to)
            ),
            (None, Some(to)) => say!("new section {}: \"{to}\"", section.id, to = of_checklist(to)),
            _ => say!("section {} is gone", section.id),
        };
        put(out, 2, &words);
    }
    for words in &difference.type_data {
        put(out, 2, words);
    }
    if difference.reordered {
        put(out, 2, say!("the steps stand in another order"));
    }
}

fn ids(out: &mut String, title: &str, of: &Plan, other: &Plan, ids: &[String]) {
    if ids.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}");
    for id in ids {
        let step = of.step(id);
        let because = step.filter(|step| !step.because.is_empty());
        let because =
            because.map(|step| say!(" (because of {})", step.because.join(", "))).unwrap_or_default();
        let withdrawn = other.withdrawn.iter().find(|step| step.id == *id);
        let withdrawn = withdrawn
            .map(|step| say!(" (withdrawn by {}: {})", step.by, of_checklist(&step.reason)))
            .unwrap_or_default();
        let title = step.map(|step| of_checklist(&step.step.title)).unwrap_or_default();
        put(out, 2, &format!("{id}: {title}{because}{withdrawn}"));
    }
}

fn changes(out: &mut String, title: &str, changed: &[&StepChange]) {
    if changed.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}");
    for change in changed {
        put(out, 2, &format!("{}: {}", change.id, of_checklist(&change.title)));
        for what in &change.what {
            put(out, 4, &what.words);
        }
    }
}
