//! One step then and now, field by field, in an inspector's words.

use std::collections::BTreeSet;

use serde::Serialize;

use super::measures::compare_measures;
use super::wording::reworded;
use crate::checklist::{Configuration, EvidenceDemand, OnFailure, Step};

/// One thing that a step asks for otherwise than before.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FieldChange {
    /// Key of the field in a checklist, such as `instruction` or `measure`.
    pub field: &'static str,
    /// Id of the measurement or of the evidence that changed, where it is one.
    pub of: Option<String>,
    pub words: String,
    /// What is demanded, how it is done or how it is judged is no longer what was answered.
    pub reopens: bool,
}

impl FieldChange {
    pub(super) fn new(field: &'static str, reopens: bool, words: impl Into<String>) -> FieldChange {
        FieldChange { field, of: None, words: words.into(), reopens }
    }

    pub(super) fn of(mut self, id: &str) -> FieldChange {
        self.of = Some(id.to_string());
        self
    }
}

/// Every field that differs, in the order in which a step is written. Reads the steps alone: neither the line nor the
/// edition in which they stand, nor the ids by which they are paired.
pub fn compare_steps(before: &Step, after: &Step) -> Vec<FieldChange> {
    // Taken apart whole, so that a new field of a step cannot be forgotten here.
    let Step {
        id: _,
        section,
        title,
        instruction,
        caution,
        mandatory,
        may_be_not_applicable,
        basis,
        configuration,
        after: follows,
        people,
        minutes,
        kit,
        loads,
        independent,
        when,
        evidence,
        measures,
        on_failure,
        looks_at,
    } = after;
    let mut found = Vec::new();
    if before.section.value != section.value {
        let words = format!("moved from section {} to {}", before.section.value, section.value);
        found.push(FieldChange::new("section", false, words));
    }
    if let Some(words) = reworded(&before.title, title) {
        found.push(FieldChange::new("title", false, format!("title reworded: {words}")));
    }
    if let Some(words) = reworded(&before.instruction, instruction) {
        found.push(FieldChange::new("instruction", true, format!("instruction reworded: {words}")));
    }
    found.extend(caution_change(before.caution.as_deref(), caution.as_deref()));
    found.extend(duties(before, *mandatory, *may_be_not_applicable));
    found.extend(list_change(
        "basis",
        "basis",
        &ids(before.basis.iter().map(|at| &at.value)),
        &ids(basis.iter().map(|at| &at.value)),
    ));
    found.extend(configuration_change(&before.configuration, configuration));
    found.extend(order_change(
        &ids(before.after.iter().map(|at| &at.value)),
        &ids(follows.iter().map(|at| &at.value)),
    ));
    found.extend(figure("people", before.people, *people));
    found.extend(figure("minutes", before.minutes, *minutes));
    found.extend(list_change("kit", "kit", &before.kit, kit));
    found.extend(switch(
        "loads",
        before.loads,
        *loads,
        ["a load is now applied to the structure", "no load is applied to the structure any more"],
    ));
    found.extend(switch(
        "independent",
        before.independent,
        *independent,
        ["an independent inspection is now demanded", "no independent inspection is demanded any more"],
    ));
    if before.when != *when {
        found.push(FieldChange::new(
            "when",
            false,
            "the conditions under which it belongs to an annual changed",
        ));
    }
    found.extend(evidence_changes(&before.evidence, evidence));
    found.extend(compare_measures(&before.measures, measures));
    found.extend(on_failure_changes(before.on_failure.as_ref(), on_failure.as_ref()));
    found.extend(list_change(
        "looks_at",
        "what is looked at",
        &before.looks_at.iter().map(|place| place.word().to_string()).collect::<Vec<_>>(),
        &looks_at.iter().map(|place| place.word().to_string()).collect::<Vec<_>>(),
    ));
    found
}

fn ids<'a>(list: impl Iterator<Item = &'a String>) -> Vec<String> {
    list.cloned().collect()
}

/// A caution tells how the work is done, so a new or other one asks for another look.
fn caution_change(before: Option<&str>, after: Option<&str>) -> Option<FieldChange> {
    let words = match (before, after) {
        (Some(was), Some(is)) => format!("caution reworded: {}", reworded(was, is)?),
        (None, Some(is)) => format!("new caution: {is}"),
        (Some(was), None) => format!("caution gone: {was}"),
        (None, None) => return None,
    };
    Some(FieldChange::new("caution", after.is_some(), words))
}

fn duties(before: &Step, mandatory: bool, may_be_not_applicable: bool) -> Vec<FieldChange> {
    let mut found = Vec::new();
    if before.mandatory != mandatory {
        let words = if mandatory { "now mandatory" } else { "now optional" };
        found.push(FieldChange::new("mandatory", mandatory, words));
    }
    if before.may_be_not_applicable != may_be_not_applicable {
        let words = if may_be_not_applicable {
            "may now be answered as not applicable"
        } else {
            "may no longer be answered as not applicable"
        };
        found.push(FieldChange::new("may_be_not_applicable", !may_be_not_applicable, words));
    }
    found
}

fn switch(field: &'static str, was: bool, is: bool, [on, off]: [&str; 2]) -> Option<FieldChange> {
    (was != is).then(|| FieldChange::new(field, true, if is { on } else { off }))
}

fn figure(field: &'static str, was: u32, is: u32) -> Option<FieldChange> {
    (was != is).then(|| FieldChange::new(field, false, format!("{field}: {was}, now {is}")))
}

/// Items new and gone; their order says nothing.
fn list_change(field: &'static str, name: &str, was: &[String], is: &[String]) -> Option<FieldChange> {
    let words = new_and_gone(was, is)?;
    Some(FieldChange::new(field, false, format!("{name}: {words}")))
}

fn new_and_gone(was: &[String], is: &[String]) -> Option<String> {
    let (old, new): (BTreeSet<&String>, BTreeSet<&String>) = (was.iter().collect(), is.iter().collect());
    let list =
        |items: Vec<&&String>| items.iter().map(|item| format!("\"{item}\"")).collect::<Vec<_>>().join(", ");
    let added = list(new.difference(&old).collect());
    let gone = list(old.difference(&new).collect());
    match (added.is_empty(), gone.is_empty()) {
        (true, true) => None,
        (false, true) => Some(format!("new {added}")),
        (true, false) => Some(format!("gone {gone}")),
        (false, false) => Some(format!("new {added}; gone {gone}")),
    }
}

fn configuration_change(was: &Configuration, is: &Configuration) -> Option<FieldChange> {
    let (no_longer, newly) = (was.unmet_in(is), is.unmet_in(was));
    let mut words = Vec::new();
    for (aspect, setting) in newly.iter() {
        words.push(match was.get(aspect) {
            Some(before) => format!("{} {} instead of {}", aspect.word(), setting.word(), before.word()),
            None => format!("now {} {}", aspect.word(), setting.word()),
        });
    }
    for (aspect, setting) in no_longer.iter().filter(|(aspect, _)| is.get(*aspect).is_none()) {
        words.push(format!("{} {} no longer needed", aspect.word(), setting.word()));
    }
    (!words.is_empty())
        .then(|| FieldChange::new("configuration", true, format!("configuration: {}", words.join(", "))))
}

/// A step that must now be answered before may have been open when this one was answered.
fn order_change(was: &[String], is: &[String]) -> Option<FieldChange> {
    let words = new_and_gone(was, is)?;
    let stricter = is.iter().any(|id| !was.contains(id));
    Some(FieldChange::new("after", stricter, format!("steps to be answered before it: {words}")))
}

fn evidence_words(demand: &EvidenceDemand) -> String {
    format!("{} {} of {}", demand.count, demand.kind.word(), demand.what)
}

fn evidence_changes(was: &[EvidenceDemand], is: &[EvidenceDemand]) -> Vec<FieldChange> {
    let mut found = Vec::new();
    for demand in is {
        let words = match was.iter().find(|before| before.id == demand.id) {
            None => format!("evidence now demanded: {}", evidence_words(demand)),
            Some(before) if before != demand => {
                format!("evidence: {}, now {}", evidence_words(before), evidence_words(demand))
            }
            Some(_) => continue,
        };
        found.push(FieldChange::new("evidence", true, words).of(&demand.id));
    }
    for demand in was.iter().filter(|demand| !is.iter().any(|now| now.id == demand.id)) {
        let words = format!("evidence no longer demanded: {}", evidence_words(demand));
        found.push(FieldChange::new("evidence", true, words).of(&demand.id));
    }
    found
}

/// What a failure would mean; it changes nothing about what was looked at.
fn on_failure_changes(was: Option<&OnFailure>, is: Option<&OnFailure>) -> Vec<FieldChange> {
    let changed = |words: String| FieldChange::new("on_failure", false, words);
    let (was, is) = match (was, is) {
        (None, None) => return Vec::new(),
        (None, Some(is)) => {
            return vec![changed(format!("a failure is now usually {}", is.severity.word()))];
        }
        (Some(_), None) => return vec![changed("nothing is said any more about a failure".to_string())],
        (Some(was), Some(is)) => (was, is),
    };
    let mut found = Vec::new();
    if was.severity != is.severity {
        let (was, is) = (was.severity.word(), is.severity.word());
        found.push(changed(format!("a failure was usually {was} and is now usually {is}")));
    }
    if was.may_defer != is.may_defer {
        let words = if is.may_defer { "may now be deferred" } else { "may no longer be deferred" };
        found.push(changed(format!("a defect of it {words}")));
    }
    let hint = |of: &OnFailure| of.hint.clone().unwrap_or_default();
    found
        .extend(reworded(&hint(was), &hint(is)).map(|words| changed(format!("hint for a failure: {words}"))));
    found.extend(
        new_and_gone(&ids(was.follow.iter().map(|at| &at.value)), &ids(is.follow.iter().map(|at| &at.value)))
            .map(|words| changed(format!("steps to pull forward after a failure: {words}"))),
    );
    found
}
