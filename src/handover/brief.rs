//! The brief: what is broken, where, how it was found, and what lies behind the skin.

use serde::Serialize;

use super::CAUTION;
use super::check::{Check, Margin, check_opening};
use super::layout::WIDTH;
use super::opening::Opening;
use super::questions::questions;
use super::related::related_steps;
use super::steps::{BriefStep, brief_step};
use crate::checklist::{HiddenItem, MappedArea, Severity, component_words, same_component};
use crate::plan::Plan;
use crate::quantity::Number;
use crate::sketch::{self, AirframePicture};
use crate::state::{Defect, Standing, State, instant};

/// Lines of both views of the airframe together.
const PICTURE_LINES: usize = 28;

/// What a brief is made from.
#[derive(Clone, Copy)]
pub struct Material<'a> {
    pub session: &'a str,
    pub plan: &'a Plan,
    pub plan_hash: &'a str,
    pub state: &'a State,
    /// Problems found by reading the record; empty when it is sound.
    pub record_faults: &'a [String],
}

/// Everything that is handed over. Serialises as the JSON form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Brief {
    pub caution: &'static str,
    pub session: String,
    pub plan_hash: String,
    /// Number and hash of the last entry that it is made from.
    pub entries: u64,
    pub head: String,
    pub record_faults: Vec<String>,
    pub airframe: BriefAirframe,
    pub defects: Vec<BriefDefect>,
    /// The airframe with the defects at their places, for the text form.
    #[serde(skip)]
    pub picture: AirframePicture,
    pub steps: Vec<BriefStep>,
    /// Of the components concerned.
    pub hidden_items: Vec<HiddenItem>,
    pub mapped_areas: Vec<MappedArea>,
    /// A defect names no component of the type's data: the items of all components are listed.
    pub all_components: bool,
    pub questions: Vec<String>,
    pub openings: Vec<Check>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BriefAirframe {
    pub registration: String,
    pub type_id: String,
    pub type_name: Option<String>,
    pub serial: String,
    pub build_standard: Vec<String>,
    pub manufactured: Option<chrono::NaiveDate>,
    pub hours: Number,
    pub launches: u32,
    pub station_datum: Option<String>,
    pub height_datum: Option<String>,
    /// Checklist edition that holds the type's data.
    pub type_data: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BriefDefect {
    pub id: String,
    pub what: String,
    pub component: Option<String>,
    pub side: Option<String>,
    pub station_mm: Option<Number>,
    pub severity: Severity,
    pub standing: &'static str,
    pub raised: String,
    pub decisions: Vec<String>,
    /// The step that found it.
    pub step: Option<String>,
    pub evidence: Vec<BriefEvidence>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BriefEvidence {
    pub name: String,
    pub bytes: u64,
    pub sha256: String,
    pub entry: u64,
}

/// Why there is nothing to hand over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotChosen {
    Unknown {
        id: String,
        known: Vec<String>,
    },
    Struck(String),
    /// None is referred or keeps the airframe on the ground; these others stand.
    NoneGrounds {
        standing: Vec<String>,
    },
}

impl std::fmt::Display for NotChosen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let list = |ids: &[String]| if ids.is_empty() { "none".to_string() } else { ids.join(", ") };
        match self {
            NotChosen::Unknown { id, known } => {
                write!(f, "there is no defect \"{id}\"; the session has: {}", list(known))
            }
            NotChosen::Struck(id) => write!(f, "defect \"{id}\" was taken back; choose one that stands"),
            NotChosen::NoneGrounds { standing } => write!(
                f,
                "no defect is referred to a repairer or keeps the airframe on the ground; name what is to be handed \
                 over by --defect (there are: {})",
                list(standing)
            ),
        }
    }
}

impl std::error::Error for NotChosen {}

/// The named defects, or without names all that are referred or keep the airframe on the ground.
///
/// # Errors
/// An unknown or struck defect; nothing to hand over.
pub fn choose_defects<'a>(state: &'a State, ids: &[String]) -> Result<Vec<&'a Defect>, NotChosen> {
    if ids.is_empty() {
        let chosen: Vec<&Defect> =
            state.standing_defects().filter(|defect| is_chosen_at_first(defect)).collect();
        let standing = || state.standing_defects().map(|defect| defect.id.clone()).collect();
        return if chosen.is_empty() {
            Err(NotChosen::NoneGrounds { standing: standing() })
        } else {
            Ok(chosen)
        };
    }
    let mut chosen: Vec<&Defect> = Vec::new();
    for id in ids {
        let known = || state.defects.iter().map(|defect| defect.id.clone()).collect();
        let defect = state.defect(id).ok_or_else(|| NotChosen::Unknown { id: id.clone(), known: known() })?;
        if defect.struck.is_some() {
            return Err(NotChosen::Struck(id.clone()));
        }
        if !chosen.iter().any(|one| one.id == defect.id) {
            chosen.push(defect);
        }
    }
    Ok(chosen)
}

/// Whether a defect is handed over where none is named: it is referred, or keeps the airframe on the ground.
pub fn is_chosen_at_first(defect: &Defect) -> bool {
    defect.grounds() || defect.standing() == Standing::Referred
}

/// An opening that somebody proposes, with the room that is to be kept around it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    pub opening: Opening,
    pub margin: Margin,
}

/// Gathers the brief, one margin for all openings.
pub fn brief(material: &Material<'_>, defects: &[&Defect], openings: &[Opening], margin: &Margin) -> Brief {
    let propose = |opening: &Opening| Proposal { opening: opening.clone(), margin: margin.clone() };
    let proposals: Vec<Proposal> = openings.iter().map(propose).collect();
    brief_of(material, defects, &proposals)
}

/// Gathers the brief.
pub fn brief_of(material: &Material<'_>, defects: &[&Defect], proposals: &[Proposal]) -> Brief {
    let Material { plan, state, .. } = *material;
    let of_type = plan.of_type.as_ref();
    let all_items = of_type.map_or(&[][..], |data| &data.hidden_items);
    let all_areas = of_type.map_or(&[][..], |data| &data.mapped_areas);
    let known: Vec<&str> = all_items
        .iter()
        .map(|item| item.component.as_str())
        .chain(all_areas.iter().map(|area| area.component.as_str()))
        .collect();
    // A defect whose place the data do not know could concern any of them.
    let all_components = defects.iter().any(|defect| !known.iter().any(|component| is_at(defect, component)));
    let is_concerned = |component: &str| {
        defects.iter().any(|defect| is_at(defect, component))
            || proposals.iter().any(|one| same_component(&one.opening.component, component))
    };
    let hidden_items: Vec<HiddenItem> =
        all_items.iter().filter(|item| all_components || is_concerned(&item.component)).cloned().collect();
    let mapped_areas: Vec<MappedArea> =
        all_areas.iter().filter(|area| all_components || is_concerned(&area.component)).cloned().collect();
    let openings: Vec<Check> =
        proposals.iter().map(|one| check_opening(&one.opening, &one.margin, of_type)).collect();
    let steps = related_steps(plan, state, defects).into_iter();
    Brief {
        caution: CAUTION,
        session: material.session.to_string(),
        plan_hash: material.plan_hash.to_string(),
        entries: state.entries,
        head: state.head.clone(),
        record_faults: material.record_faults.to_vec(),
        airframe: airframe(plan),
        defects: defects.iter().map(|defect| brief_defect(state, defect)).collect(),
        picture: airframe_picture(plan, defects),
        steps: steps.filter_map(|(step, relation)| brief_step(step, relation, state)).collect(),
        questions: questions(plan, defects, &hidden_items, &openings),
        hidden_items,
        mapped_areas,
        all_components,
        openings,
    }
}

/// A defect's component is free text: "fin root" is at the fin.
fn is_at(defect: &Defect, component: &str) -> bool {
    let named = component_words(defect.raised.component.as_deref().unwrap_or_default());
    component_words(component).iter().all(|word| named.contains(word))
}

fn airframe(plan: &Plan) -> BriefAirframe {
    let frame = &plan.airframe;
    let of_type = plan.of_type.as_ref();
    let supplements = plan.editions.iter().filter(|edition| edition.kind == "supplement");
    let editions: Vec<String> =
        supplements.map(|edition| format!("{} {}", edition.id, edition.version)).collect();
    BriefAirframe {
        registration: frame.registration.clone(),
        type_id: frame.type_id.clone(),
        type_name: of_type.map(|data| data.name.clone()),
        serial: frame.serial.clone(),
        build_standard: frame.build_standard.clone(),
        manufactured: frame.manufactured,
        hours: frame.hours,
        launches: frame.launches,
        station_datum: of_type.map(|data| data.datum.clone()),
        height_datum: of_type.and_then(|data| data.height_datum.clone()),
        type_data: (!editions.is_empty()).then(|| editions.join(", ")),
    }
}

/// Drawn for a page; the signs are those that pictures of readings use on it.
fn airframe_picture(plan: &Plan, defects: &[&Defect]) -> AirframePicture {
    let marks: Vec<_> = defects.iter().map(|defect| sketch::mark_of(defect)).collect();
    let mut picture = sketch::picture_of_both(plan, &marks, WIDTH, PICTURE_LINES, false);
    picture.legend.push(sketch::source_words(plan));
    picture
}

/// When, by whom, in which entry; and where it stood on paper first.
fn raised_words(defect: &Defect) -> String {
    let stamp = &defect.stamp;
    let paper = stamp.paper_words().map(|words| format!(", {words}")).unwrap_or_default();
    format!("{} by {}, entry {}{paper}", stamp.short(), defect.raised.by.name, stamp.entry)
}

fn brief_defect(state: &State, defect: &Defect) -> BriefDefect {
    let raised = &defect.raised;
    let evidence = state.evidence.iter().filter(|told| {
        told.struck.is_none()
            && (told.what.defect.as_deref() == Some(&defect.id)
                || (told.what.step.is_some() && told.what.step == raised.step))
    });
    let decisions = defect.dispositions.iter().map(|told| {
        let until = told.what.until.map(|until| format!(" until {until}")).unwrap_or_default();
        let (day, by) = (told.stamp.short(), &told.stamp.by.name);
        let note = told.what.note.trim();
        let note = if note.is_empty() { String::new() } else { format!(": {note}") };
        format!("{day} {}{until} by {by}{note}", told.what.disposition.word())
    });
    let repairs = defect.rectifications.iter().map(|told| {
        format!("{} rectified by {}: {}", told.stamp.short(), told.stamp.by.name, told.what.work)
    });
    let seen_on = instant(&state.last_wall).map(|wall| wall.date_naive());
    let before = seen_on.and_then(|day| defect.record_words(day));
    BriefDefect {
        id: defect.id.clone(),
        what: raised.what.clone(),
        component: raised.component.clone(),
        side: raised.side.clone(),
        station_mm: raised.station_mm,
        severity: raised.severity,
        standing: defect.standing().word(),
        raised: raised_words(defect),
        decisions: before.into_iter().chain(decisions).chain(repairs).collect(),
        step: raised.step.clone(),
        evidence: evidence
            .map(|told| BriefEvidence {
                name: told.what.name.clone(),
                bytes: told.what.bytes,
                sha256: told.what.sha256.clone(),
                entry: told.stamp.entry,
            })
            .collect(),
    }
}
