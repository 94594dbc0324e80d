//! Two plans, step by step: what is new, gone or changed, and whether an answer already given still answers it.

use serde::Serialize;

use crate::checklist::{Section, Step, TypeData};
use crate::edition::{FieldChange, compare_steps};
use crate::plan::{Edition, Plan};
use crate::words::{figure, number, said};

/// What the second plan has that the first has not, and the other way round.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct PlanDifference {
    /// Ids of new steps, in the order of the second plan.
    pub added: Vec<String>,
    /// Steps of both plans that differ, in the order of the second plan.
    pub changed: Vec<StepChange>,
    /// Ids of steps that the second plan no longer has, in the order of the first.
    pub gone: Vec<String>,
    /// Steps of both plans stand in another order. It changes no demand by itself.
    pub reordered: bool,
    pub editions: Vec<EditionChange>,
    /// Ids of reports and occurrences that only the second plan knows.
    pub reports_added: Vec<String>,
    pub reports_gone: Vec<String>,
    pub sections: Vec<SectionChange>,
    /// What the type's data say otherwise, in plain words. It touches every step that is judged by them.
    pub type_data: Vec<String>,
}

/// One step of both plans that differs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StepChange {
    pub id: String,
    /// The title in the second plan.
    pub title: String,
    pub what: Vec<FieldChange>,
    /// An answer given to the step as it was does not answer the step as it is.
    pub reopens: bool,
}

/// A checklist that took part in another edition, or in only one of the plans.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct EditionChange {
    pub id: String,
    pub from: Option<String>,
    pub to: Option<String>,
}

/// A section by its id, with the title in each plan that has it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SectionChange {
    pub id: String,
    pub from: Option<String>,
    pub to: Option<String>,
}

impl PlanDifference {
    pub fn is_empty(&self) -> bool {
        *self == PlanDifference::default()
    }

    /// Ids of the changed steps whose answers no longer hold.
    pub fn reopened(&self) -> impl Iterator<Item = &str> {
        self.changed.iter().filter(|change| change.reopens).map(|change| change.id.as_str())
    }
}

impl EditionChange {
    pub fn words(&self) -> String {
        match (&self.from, &self.to) {
            (Some(from), Some(to)) if from == to => {
                say!("{}: {to} in both, but the files differ", self.id, to)
            }
            (Some(from), Some(to)) => say!("{}: {from}, now {to}", self.id, from, to),
            (None, Some(to)) => say!("{} {to} is new", self.id, to),
            (Some(from), None) => say!("{} {from} is gone", self.id, from),
            (None, None) => self.id.clone(),
        }
    }
}

/// Compares two plans by step id. `before` is the earlier one.
pub fn compare_plans(before: &Plan, after: &Plan) -> PlanDifference {
    let ids = |plan: &Plan| plan.steps.iter().map(|planned| planned.step.id.clone()).collect::<Vec<_>>();
    let reports = |plan: &Plan| plan.reports.iter().map(|report| report.id.clone()).collect::<Vec<_>>();
    let (old, new) = (ids(before), ids(after));
    let both = |these: &[String], others: &[String]| -> Vec<String> {
        these.iter().filter(|id| others.contains(id)).cloned().collect()
    };
    let changed = after.steps.iter().filter_map(|planned| {
        before.step(&planned.step.id).and_then(|was| step_change(&was.step, &planned.step))
    });
    PlanDifference {
        added: only_in(&new, &old),
        changed: changed.collect(),
        gone: only_in(&old, &new),
        reordered: both(&old, &new) != both(&new, &old),
        editions: editions(&before.editions, &after.editions),
        reports_added: only_in(&reports(after), &reports(before)),
        reports_gone: only_in(&reports(before), &reports(after)),
        sections: sections(&before.sections, &after.sections),
        type_data: type_data(before.of_type.as_ref(), after.of_type.as_ref()),
    }
}

/// One step then and now; nothing where the two ask for the same in the same words.
pub fn step_change(before: &Step, after: &Step) -> Option<StepChange> {
    let what = compare_steps(before, after);
    (!what.is_empty()).then(|| StepChange {
        id: after.id.clone(),
        title: after.title.clone(),
        reopens: what.iter().any(|field| field.reopens),
        what,
    })
}

fn only_in(these: &[String], others: &[String]) -> Vec<String> {
    these.iter().filter(|id| !others.contains(id)).cloned().collect()
}

fn editions(before: &[Edition], after: &[Edition]) -> Vec<EditionChange> {
    let find = |among: &[Edition], id: &str| among.iter().find(|edition| edition.id == id).cloned();
    let gone = before.iter().filter(|was| find(after, &was.id).is_none()).map(|was| EditionChange {
        id: was.id.clone(),
        from: Some(was.version.clone()),
        to: None,
    });
    let there = after.iter().filter_map(|edition| match find(before, &edition.id) {
        Some(was) if was.version == edition.version && was.sha256 == edition.sha256 => None,
        was => Some(EditionChange {
            id: edition.id.clone(),
            from: was.map(|was| was.version),
            to: Some(edition.version.clone()),
        }),
    });
    there.chain(gone).collect()
}

fn sections(before: &[Section], after: &[Section]) -> Vec<SectionChange> {
    let title = |among: &[Section], id: &str| {
        among.iter().find(|section| section.id == id).map(|section| section.title.clone())
    };
    let gone = before.iter().filter(|was| title(after, &was.id).is_none());
    after
        .iter()
        .chain(gone)
        .map(|section| SectionChange {
            id: section.id.clone(),
            from: title(before, &section.id),
            to: title(after, &section.id),
        })
        .filter(|change| change.from != change.to)
        .collect()
}

/// The figures of the type that a judgement rests on.
fn type_data(before: Option<&TypeData>, after: Option<&TypeData>) -> Vec<String> {
    let (was, is) = match (before, after) {
        (None, None) => return Vec::new(),
        (Some(was), None) => return vec![say!("no type supplement; it was {}", was.name)],
        (None, Some(is)) => return vec![say!("type supplement {}; there was none", is.name)],
        (Some(was), Some(is)) => (was, is),
    };
    let mut words = Vec::new();
    let mut told = |name: &str, was: String, is: String| {
        if was != is {
            words.push(say!("{name}: {was}, now {is}", name = said(name), was, is));
        }
    };
    let or_none = |text: Option<String>| text.unwrap_or_else(|| say!("none").to_string());
    told(mark!("type"), format!("{} ({})", was.name, was.id), format!("{} ({})", is.name, is.id));
    told(mark!("seats"), was.seats.to_string(), is.seats.to_string());
    told(mark!("datum"), was.datum.clone(), is.datum.clone());
    let ceiling = |of: &TypeData| or_none(of.fin_side_load_ceiling.map(figure));
    told(mark!("ceiling of a hand load on the fin top"), ceiling(was), ceiling(is));
    let standards = |of: &TypeData| {
        let ids: Vec<&str> = of.build_standards.iter().map(|standard| standard.id.as_str()).collect();
        or_none((!ids.is_empty()).then(|| ids.join(", ")))
    };
    told(mark!("build standards"), standards(was), standards(is));
    let variation = |of: &TypeData| {
        or_none(of.stated_variation.as_ref().map(|stated| {
            say!(
                "{} % between airframes (in doubt by {} % of it), {} % of one measurement, stated by {}",
                figure(stated.percent),
                figure(stated.doubt_percent),
                figure(stated.measurement_percent),
                stated.by
            )
        }))
    };
    told(mark!("stated variation of stiffness"), variation(was), variation(is));
    told(mark!("height datum"), or_none(was.height_datum.clone()), or_none(is.height_datum.clone()));
    let margin =
        |of: &TypeData| or_none(of.opening_margin_mm.map(|mm| number(&format!("{mm} mm")).into_owned()));
    told(mark!("margin of an opening"), margin(was), margin(is));
    words.extend(hidden_items(was, is));
    words
}

/// What was learnt about what lies behind the skin.
fn hidden_items(was: &TypeData, is: &TypeData) -> Vec<String> {
    let find = |of: &TypeData, id: &str| of.hidden_items.iter().find(|item| item.id == id).cloned();
    let mut words = Vec::new();
    for item in &is.hidden_items {
        match find(was, &item.id) {
            None => words.push(say!("hidden item {}: new", item.id)),
            Some(before) if before != *item => words.push(say!("hidden item {}: changed", item.id)),
            Some(_) => {}
        }
    }
    let gone = was.hidden_items.iter().filter(|item| find(is, &item.id).is_none());
    words.extend(gone.map(|item| say!("hidden item {}: gone", item.id)));
    if was.mapped_areas != is.mapped_areas {
        words.push(say!("mapped areas: {}, now {}", was.mapped_areas.len(), is.mapped_areas.len()));
    }
    words
}
