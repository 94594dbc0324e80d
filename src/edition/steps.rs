//! One step then and now, field by field, in an inspector's words.

use std::collections::BTreeSet;

use serde::Serialize;

use super::measures::compare_measures;
use super::nature::{Nature, VersionStep};
use super::wording::{nature_of_text, reworded};
use crate::checklist::{Condition, Configuration, EvidenceDemand, LaidOpen, OnFailure, Step};
use crate::source::Located;
use crate::words::said;

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
    pub nature: Nature,
    /// The step of the version that it demands.
    pub demands: VersionStep,
}

impl FieldChange {
    pub(super) fn new(
        field: &'static str,
        reopens: bool,
        nature: Nature,
        words: impl Into<String>,
    ) -> FieldChange {
        let demands = nature.version_step();
        FieldChange { field, of: None, words: words.into(), reopens, nature, demands }
    }

    /// For a change that weighs more or less than its nature.
    pub(super) fn demanding(mut self, demands: VersionStep) -> FieldChange {
        self.demands = demands;
        self
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
        last,
        when,
        evidence,
        measures,
        on_failure,
        looks_at,
    } = after;
    let mut found = Vec::new();
    if before.section.value != section.value {
        let words = say!("moved from section {} to {}", before.section.value, section.value);
        found.push(FieldChange::new("section", false, Nature::Reordered, words));
    }
    if let Some(words) = reworded(&before.title, title) {
        found.push(FieldChange::new(
            "title",
            false,
            Nature::Reworded,
            say!("title reworded: {words}", words),
        ));
    }
    if let Some(words) = reworded(&before.instruction, instruction) {
        found.push(FieldChange::new(
            "instruction",
            true,
            nature_of_text(&before.instruction, instruction),
            say!("instruction reworded: {words}", words),
        ));
    }
    found.extend(caution_change(before.caution.as_deref(), caution.as_deref()));
    found.extend(duties(before, *mandatory, *may_be_not_applicable));
    found.extend(list_change("basis", &values(&before.basis), &values(basis)));
    found.extend(configuration_change(&before.configuration, configuration));
    found.extend(order_change(&values(&before.after), &values(follows)));
    found.extend(
        switch(
            "last",
            before.last,
            *last,
            |_| Nature::Reordered,
            [say!("it now comes after every other step"), say!("it no longer comes after every other step")],
        )
        .map(planning),
    );
    found.extend(figure("people", before.people, *people).map(planning));
    found.extend(figure("minutes", before.minutes, *minutes).map(planning));
    found.extend(list_change("kit", &before.kit, kit).map(planning));
    found.extend(switch(
        "loads",
        before.loads,
        *loads,
        |_| Nature::Changed,
        [
            say!("a load is now applied to the structure"),
            say!("no load is applied to the structure any more"),
        ],
    ));
    found.extend(switch(
        "independent",
        before.independent,
        *independent,
        Nature::of_switch,
        [
            say!("an independent inspection is now demanded"),
            say!("no independent inspection is demanded any more"),
        ],
    ));
    if before.when != *when {
        found.push(FieldChange::new(
            "when",
            false,
            nature_of_conditions(&before.when, when),
            say!("the conditions under which it belongs to an annual changed"),
        ));
    }
    found.extend(evidence_changes(&before.evidence, evidence));
    found.extend(compare_measures(&before.measures, measures));
    found.extend(on_failure_changes(before.on_failure.as_ref(), on_failure.as_ref()));
    let places = |of: &[LaidOpen]| of.iter().map(|place| place.word().to_string()).collect::<Vec<_>>();
    found.extend(list_change("looks_at", &places(&before.looks_at), &places(looks_at)).map(planning));
    found
}

pub(super) fn values(list: &[Located<String>]) -> Vec<String> {
    list.iter().map(|item| item.value.clone()).collect()
}

/// What the work needs in the hangar: no answer rests on it.
pub(super) fn planning(change: FieldChange) -> FieldChange {
    change.demanding(VersionStep::Minor)
}

/// All rows must hold: a further row leaves the step out of more annuals.
fn nature_of_conditions(was: &[Condition], is: &[Condition]) -> Nature {
    let within = |these: &[Condition], others: &[Condition]| these.iter().all(|row| others.contains(row));
    match (within(was, is), within(is, was)) {
        (true, true) => Nature::Reordered,
        (true, false) => Nature::Loosened,
        (false, true) => Nature::Tightened,
        (false, false) => Nature::Changed,
    }
}

/// A caution tells how the work is done, so a new or other one asks for another look.
pub(super) fn caution_change(before: Option<&str>, after: Option<&str>) -> Option<FieldChange> {
    let (nature, words) = match (before, after) {
        (Some(was), Some(is)) => {
            let words = reworded(was, is)?;
            (nature_of_text(was, is), say!("caution reworded: {words}", words))
        }
        (None, Some(is)) => (Nature::Added, say!("new caution: {is}", is)),
        (Some(was), None) => (Nature::Withdrawn, say!("caution gone: {was}", was)),
        (None, None) => return None,
    };
    Some(FieldChange::new("caution", after.is_some(), nature, words))
}

fn duties(before: &Step, mandatory: bool, may_be_not_applicable: bool) -> Vec<FieldChange> {
    let mut found = Vec::new();
    if before.mandatory != mandatory {
        let words = if mandatory { say!("now mandatory") } else { say!("now optional") };
        found.push(FieldChange::new("mandatory", mandatory, Nature::of_switch(mandatory), words));
    }
    if before.may_be_not_applicable != may_be_not_applicable {
        let words = if may_be_not_applicable {
            say!("may now be answered as not applicable")
        } else {
            say!("may no longer be answered as not applicable")
        };
        let nature = Nature::of_switch(!may_be_not_applicable);
        found.push(FieldChange::new("may_be_not_applicable", !may_be_not_applicable, nature, words));
    }
    found
}

fn switch(
    field: &'static str,
    was: bool,
    is: bool,
    nature: fn(bool) -> Nature,
    [on, off]: [&str; 2],
) -> Option<FieldChange> {
    (was != is).then(|| FieldChange::new(field, true, nature(is), if is { on } else { off }))
}

fn figure(field: &'static str, was: u32, is: u32) -> Option<FieldChange> {
    (was != is).then(|| {
        FieldChange::new(field, false, Nature::Changed, say!("{field}: {was}, now {is}", field, was, is))
    })
}

/// Items new and gone; their order says nothing.
pub(super) fn list_change(field: &'static str, was: &[String], is: &[String]) -> Option<FieldChange> {
    let (nature, words) = new_and_gone(was, is)?;
    Some(FieldChange::new(field, false, nature, format!("{field}: {words}")))
}

pub(super) fn new_and_gone(was: &[String], is: &[String]) -> Option<(Nature, String)> {
    let (old, new): (BTreeSet<&String>, BTreeSet<&String>) = (was.iter().collect(), is.iter().collect());
    let list =
        |items: Vec<&&String>| items.iter().map(|item| format!("\"{item}\"")).collect::<Vec<_>>().join(", ");
    let added = list(new.difference(&old).collect());
    let gone = list(old.difference(&new).collect());
    match (added.is_empty(), gone.is_empty()) {
        (true, true) => None,
        (false, true) => Some((Nature::Added, say!("new {added}", added))),
        (true, false) => Some((Nature::Withdrawn, say!("gone {gone}", gone))),
        (false, false) => Some((Nature::Changed, say!("new {added}; gone {gone}", added, gone))),
    }
}

pub(super) fn configuration_change(was: &Configuration, is: &Configuration) -> Option<FieldChange> {
    let (no_longer, newly) = (was.unmet_in(is), is.unmet_in(was));
    let mut words = Vec::new();
    for (aspect, setting) in newly.iter() {
        words.push(match was.get(aspect) {
            Some(before) => {
                say!("{} {} instead of {}", said(aspect.word()), said(setting.word()), said(before.word()))
            }
            None => say!("now {} {}", said(aspect.word()), said(setting.word())),
        });
    }
    for (aspect, setting) in no_longer.iter().filter(|(aspect, _)| is.get(*aspect).is_none()) {
        words.push(say!("{} {} no longer needed", said(aspect.word()), said(setting.word())));
    }
    if words.is_empty() {
        return None;
    }
    let dropped = no_longer.iter().any(|(aspect, _)| is.get(aspect).is_none());
    let other = no_longer.iter().any(|(aspect, _)| is.get(aspect).is_some());
    let nature = match (dropped, newly.is_empty()) {
        (true, true) => Nature::Loosened,
        (false, false) if !other => Nature::Tightened,
        _ => Nature::Changed,
    };
    // Another setting asks for the work anew; a setting that no longer matters makes it easier.
    let demands = if dropped { VersionStep::Major } else { VersionStep::Minor };
    let words = say!("configuration: {}", words.join(", "));
    Some(FieldChange::new("configuration", true, nature, words).demanding(demands))
}

/// A step that must now be answered before may have been open when this one was answered.
fn order_change(was: &[String], is: &[String]) -> Option<FieldChange> {
    let (nature, words) = new_and_gone(was, is)?;
    let nature = match nature {
        Nature::Added => Nature::Tightened,
        Nature::Withdrawn => Nature::Loosened,
        other => other,
    };
    let stricter = is.iter().any(|id| !was.contains(id));
    Some(FieldChange::new("after", stricter, nature, say!("steps to be answered before it: {words}", words)))
}

fn evidence_words(demand: &EvidenceDemand) -> String {
    say!("{} {} of {}", demand.count, said(demand.kind.word()), demand.what)
}

fn evidence_changes(was: &[EvidenceDemand], is: &[EvidenceDemand]) -> Vec<FieldChange> {
    let mut found = Vec::new();
    for demand in is {
        let (nature, words) = match was.iter().find(|before| before.id == demand.id) {
            None => (Nature::Added, say!("evidence now demanded: {}", evidence_words(demand))),
            Some(before) if before != demand => (
                nature_of_evidence(before, demand),
                say!("evidence: {}, now {}", evidence_words(before), evidence_words(demand)),
            ),
            Some(_) => continue,
        };
        found.push(FieldChange::new("evidence", true, nature, words).of(&demand.id));
    }
    for demand in was.iter().filter(|demand| !is.iter().any(|now| now.id == demand.id)) {
        let words = say!("evidence no longer demanded: {}", evidence_words(demand));
        found.push(FieldChange::new("evidence", true, Nature::Withdrawn, words).of(&demand.id));
    }
    found
}

fn nature_of_evidence(was: &EvidenceDemand, is: &EvidenceDemand) -> Nature {
    let what = nature_of_text(&was.what, &is.what);
    let count =
        if was.count == is.count { Nature::Reworded } else { Nature::of_figures(was.count, is.count) };
    if was.kind == is.kind { what.and(count) } else { Nature::Changed }
}

/// What a failure would mean; it changes nothing about what was looked at.
fn on_failure_changes(was: Option<&OnFailure>, is: Option<&OnFailure>) -> Vec<FieldChange> {
    let changed = |nature: Nature, words: String| FieldChange::new("on_failure", false, nature, words);
    let (was, is) = match (was, is) {
        (None, None) => return Vec::new(),
        (None, Some(is)) => {
            let words = say!("a failure is now usually {}", said(is.severity.word()));
            return vec![changed(Nature::Added, words)];
        }
        (Some(_), None) => {
            return vec![changed(
                Nature::Withdrawn,
                say!("nothing is said any more about a failure").to_string(),
            )];
        }
        (Some(was), Some(is)) => (was, is),
    };
    let mut found = Vec::new();
    if was.severity != is.severity {
        let nature = Nature::of_figures(was.severity, is.severity);
        let (was, is) = (said(was.severity.word()), said(is.severity.word()));
        found.push(changed(nature, say!("a failure was usually {was} and is now usually {is}", was, is)));
    }
    if was.may_defer != is.may_defer {
        let words =
            if is.may_defer { say!("may now be deferred") } else { say!("may no longer be deferred") };
        found.push(changed(Nature::of_switch(!is.may_defer), say!("a defect of it {words}", words)));
    }
    let hint = |of: &OnFailure| of.hint.clone().unwrap_or_default();
    let hint = reworded(&hint(was), &hint(is));
    found.extend(hint.map(|words| changed(Nature::Reworded, say!("hint for a failure: {words}", words))));
    found.extend(new_and_gone(&values(&was.follow), &values(&is.follow)).map(|(nature, words)| {
        planning(changed(nature, say!("steps to pull forward after a failure: {words}", words)))
    }));
    found
}
