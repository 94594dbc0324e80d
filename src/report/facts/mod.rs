//! Everything that a report tells, gathered once: what the JSON form writes out and every other form is drawn from.
//!
//! Quantities stand as they were entered, times as they were recorded. What was struck is here, too, and says so.

mod defect;
mod due;
mod papers;
mod people;
mod sign_off;
mod step;

use serde::Serialize;

use crate::audit::verify::paper_code;
use crate::event::{EvidenceAdded, OnPaper, Outcome};
use crate::plan::Plan;
use crate::state::{Stamp, Stamped, State, Struck, Told, grounding};

pub use defect::DefectFacts;
pub use due::{DueFacts, DueRow};
pub use papers::{RecordFacts, ReportFacts};
pub use sign_off::{Countersignature, SignOffFacts, SignatureFile};
pub use step::{
    AnswerFacts, InspectionFacts, InstrumentFacts, NoteFacts, ReadingFacts, SectionFacts, StepFacts,
};

/// Layout version of the JSON form; its schema is [`super::SCHEMA`].
pub const FORMAT: u32 = 1;

/// What a report is made from. No clock and no file: the same record gives the same report.
#[derive(Clone, Copy)]
pub struct Material<'a> {
    pub session: &'a str,
    pub plan: &'a Plan,
    pub plan_hash: &'a str,
    pub state: &'a State,
    pub entries: &'a [Stamped],
    /// Problems found by reading the record; empty when it is sound.
    pub record_faults: &'a [String],
    /// The record plays in the invented hangar of the demo.
    pub is_invented: bool,
    /// The files under which the signatures are written out for OpenSSH.
    pub signatures: &'a [SignatureFile],
    pub program: &'a str,
}

/// How the session stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    Draft,
    Released,
    NotAirworthy,
}

#[derive(Debug, Clone, Serialize)]
pub struct Facts {
    pub format: u32,
    pub program: String,
    pub session: String,
    pub invented: bool,
    pub status: Status,
    /// A defect keeps the airframe on the ground.
    pub grounded: bool,
    /// What keeps it there, one line for each defect; as of the sign-off, else of the last entry.
    pub grounded_by: Vec<String>,
    pub as_of: AsOf,
    pub record_faults: Vec<String>,
    pub airframe: AirframeFacts,
    pub plan: PlanFacts,
    pub begun: Option<Mark>,
    pub people: Vec<PersonFacts>,
    pub sign_off: Option<SignOffFacts>,
    pub countersignatures: Vec<Countersignature>,
    pub anchors: Vec<AnchorFacts>,
    pub signatures: Vec<SignatureFile>,
    pub sections: Vec<SectionFacts>,
    pub configuration: Vec<ConfigurationFacts>,
    pub defects: Vec<DefectFacts>,
    pub reports: Vec<ReportFacts>,
    pub records: Vec<RecordFacts>,
    pub evidence: Vec<EvidenceFacts>,
    /// Notes that belong to no step.
    pub notes: Vec<NoteFacts>,
    pub due: DueFacts,
}

/// The last entry that the report is made from.
#[derive(Debug, Clone, Serialize)]
pub struct AsOf {
    pub entries: u64,
    pub head: String,
    pub wall: String,
    pub paper_code: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct AirframeFacts {
    pub registration: String,
    pub type_id: String,
    pub type_name: Option<String>,
    pub serial: String,
    pub build_standard: Vec<String>,
    pub manufactured: Option<String>,
    pub owner: Option<String>,
    pub hours: String,
    pub launches: u32,
    pub station_datum: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct PlanFacts {
    pub hash: String,
    pub editions: Vec<EditionFacts>,
    /// Changes of the plan while the session ran.
    pub revisions: Vec<RevisionFacts>,
    pub withdrawn: Vec<WithdrawnFacts>,
}

#[derive(Debug, Clone, Serialize)]
pub struct EditionFacts {
    pub id: String,
    pub version: String,
    pub kind: String,
    pub title: String,
    pub sha256: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct RevisionFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub cause: String,
    pub why: String,
    pub plan: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct WithdrawnFacts {
    pub id: String,
    pub title: String,
    pub by: String,
    pub reason: String,
}

/// Who and when, with the number of the entry.
#[derive(Debug, Clone, Serialize)]
pub struct Mark {
    pub entry: u64,
    /// As recorded, with offset.
    pub wall: String,
    /// `2026-11-25 09:14` on the inspector's clock.
    pub when: String,
    pub by: String,
    pub name: String,
    /// Its number in the earlier session from which it was carried over.
    pub carried_from: Option<u64>,
    /// Where it stood on paper, before it was entered at `when` by `by`.
    pub from_paper: Option<PaperFacts>,
}

/// What stood on a printed sheet first: which one, whose hand, and the day that stands on it.
#[derive(Debug, Clone, Serialize)]
pub struct PaperFacts {
    pub sheet: String,
    pub line: Option<String>,
    /// `2026-11-24`, or with the time of day where the paper tells it.
    pub written: String,
    pub written_by: String,
    pub written_by_name: String,
    /// All of it in words.
    pub words: String,
}

impl PaperFacts {
    fn of(paper: &OnPaper) -> PaperFacts {
        PaperFacts {
            sheet: paper.sheet.clone(),
            line: paper.line.clone(),
            written: paper.written(),
            written_by: paper.written_by.id.clone(),
            written_by_name: paper.written_by.name.clone(),
            words: paper.words(),
        }
    }
}

impl Mark {
    pub fn of(stamp: &Stamp) -> Mark {
        Mark {
            entry: stamp.entry,
            wall: stamp.wall.clone(),
            when: stamp.short(),
            by: stamp.by.id.clone(),
            name: stamp.by.name.clone(),
            carried_from: stamp.carried_from,
            from_paper: stamp.paper.as_ref().map(PaperFacts::of),
        }
    }
}

/// Who took it back or replaced it, when, and why.
#[derive(Debug, Clone, Serialize)]
pub struct StruckFacts {
    pub entry: u64,
    pub when: String,
    pub by: String,
    pub why: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct PersonFacts {
    pub id: String,
    pub name: String,
    /// As they stand in the tables; told apart by a number where two persons share them.
    pub initials: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct AnchorFacts {
    pub entry: u64,
    pub when: String,
    pub by: String,
    pub what: &'static str,
    pub code: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct ConfigurationFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub configuration: String,
    pub struck: Option<StruckFacts>,
}

#[derive(Debug, Clone, Serialize)]
pub struct EvidenceFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub step: Option<String>,
    pub demand: Option<String>,
    pub defect: Option<String>,
    pub name: String,
    pub bytes: u64,
    pub sha256: String,
    pub struck: Option<StruckFacts>,
}

/// What every part of the facts is gathered with.
struct Gather<'a> {
    material: &'a Material<'a>,
}

impl Gather<'_> {
    /// The day and hour of the striking are those of the entry that did it.
    fn struck(&self, struck: Option<&Struck>) -> Option<StruckFacts> {
        let struck = struck?;
        let at = self.material.entries.iter().find(|stamped| stamped.entry == struck.by_entry);
        Some(StruckFacts {
            entry: struck.by_entry,
            when: at.map_or_else(String::new, |stamped| short(&stamped.wall)),
            by: struck.who.clone(),
            why: struck.why.clone(),
        })
    }

    fn evidence(&self, told: &Told<EvidenceAdded>) -> EvidenceFacts {
        EvidenceFacts {
            mark: Mark::of(&told.stamp),
            step: told.what.step.clone(),
            demand: told.what.demand.clone(),
            defect: told.what.defect.clone(),
            name: told.what.name.clone(),
            bytes: told.what.bytes,
            sha256: told.what.sha256.clone(),
            struck: self.struck(told.struck.as_ref()),
        }
    }
}

/// `2026-11-25 09:14`, or the recorded text where it cannot be read.
fn short(wall: &str) -> String {
    crate::state::instant(wall)
        .map_or_else(|| wall.to_string(), |wall| wall.format("%Y-%m-%d %H:%M").to_string())
}

/// Gathers the facts of a session as it stands at its last entry.
pub fn facts(material: &Material<'_>) -> Facts {
    let gather = Gather { material };
    let Material { plan, state, .. } = *material;
    let grounded_by = day_of(state).map(|day| grounding(state, day)).unwrap_or_default();
    Facts {
        format: FORMAT,
        program: material.program.to_string(),
        session: material.session.to_string(),
        invented: material.is_invented,
        status: match state.signed.as_ref().map(|signed| signed.what.outcome) {
            None => Status::Draft,
            Some(Outcome::Release) => Status::Released,
            Some(Outcome::NotAirworthy) => Status::NotAirworthy,
        },
        grounded: !grounded_by.is_empty(),
        grounded_by,
        as_of: AsOf {
            entries: state.entries,
            head: state.head.clone(),
            wall: state.last_wall.clone(),
            paper_code: paper_code(&state.head),
        },
        record_faults: material.record_faults.to_vec(),
        airframe: airframe(plan, state),
        plan: plan_facts(material),
        begun: state.opened.as_ref().map(|told| Mark::of(&told.stamp)),
        people: people::people(material.entries),
        sign_off: sign_off::sign_off(state),
        countersignatures: sign_off::countersignatures(state),
        anchors: people::anchors(material.entries),
        signatures: material.signatures.to_vec(),
        sections: step::sections(&gather),
        configuration: state
            .confirmations
            .iter()
            .map(|told| ConfigurationFacts {
                mark: Mark::of(&told.stamp),
                configuration: told.what.to_string(),
                struck: gather.struck(told.struck.as_ref()),
            })
            .collect(),
        defects: defect::defects(&gather),
        reports: papers::reports(plan, state),
        records: papers::records(plan, state),
        evidence: state.evidence.iter().map(|told| gather.evidence(told)).collect(),
        notes: state
            .notes
            .iter()
            .map(|told| NoteFacts { mark: Mark::of(&told.stamp), text: told.what.clone() })
            .collect(),
        due: due::due(plan, state),
    }
}

/// The day from which the report sees: that of the sign-off, else of the last entry.
fn day_of(state: &State) -> Option<chrono::NaiveDate> {
    let signed = state.signed.as_ref().map(|told| told.what.date);
    signed.or_else(|| crate::state::instant(&state.last_wall).map(|wall| wall.date_naive()))
}

/// The totals are those of the sign-off, once there is one.
fn airframe(plan: &Plan, state: &State) -> AirframeFacts {
    let frame = &plan.airframe;
    let signed = state.signed.as_ref().map(|told| &told.what);
    AirframeFacts {
        registration: frame.registration.clone(),
        type_id: frame.type_id.clone(),
        type_name: plan.of_type.as_ref().map(|data| data.name.clone()),
        serial: frame.serial.clone(),
        build_standard: frame.build_standard.clone(),
        manufactured: frame.manufactured.map(|day| day.to_string()),
        owner: frame.owner.clone(),
        hours: signed.map_or(frame.hours, |signed| signed.hours).to_string(),
        launches: signed.map_or(frame.launches, |signed| signed.launches),
        station_datum: plan.of_type.as_ref().map(|data| data.datum.clone()),
    }
}

fn plan_facts(material: &Material<'_>) -> PlanFacts {
    let plan = material.plan;
    PlanFacts {
        hash: material.plan_hash.to_string(),
        editions: plan
            .editions
            .iter()
            .map(|edition| EditionFacts {
                id: edition.id.clone(),
                version: edition.version.clone(),
                kind: edition.kind.clone(),
                title: edition.title.clone(),
                sha256: edition.sha256.clone(),
            })
            .collect(),
        revisions: material
            .state
            .revisions
            .iter()
            .map(|told| RevisionFacts {
                mark: Mark::of(&told.stamp),
                cause: told.what.cause.word().to_string(),
                why: told.what.why.clone(),
                plan: told.what.plan.clone(),
            })
            .collect(),
        withdrawn: plan
            .withdrawn
            .iter()
            .map(|step| WithdrawnFacts {
                id: step.id.clone(),
                title: step.title.clone(),
                by: step.by.clone(),
                reason: step.reason.clone(),
            })
            .collect(),
    }
}
