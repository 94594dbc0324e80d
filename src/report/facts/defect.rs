//! Defects from raising to closing.

use serde::Serialize;

use super::{Gather, Mark, StruckFacts};
use crate::report::local;
use crate::state::Defect;
use crate::words::figure;

#[derive(Debug, Clone, Serialize)]
pub struct DefectFacts {
    pub id: String,
    #[serde(flatten)]
    pub mark: Mark,
    pub what: String,
    pub component: Option<String>,
    pub side: Option<String>,
    pub station_mm: Option<String>,
    pub severity: String,
    pub standing: String,
    pub is_open: bool,
    /// It keeps the airframe on the ground.
    pub grounds: bool,
    /// The step that found it.
    pub step: Option<String>,
    /// First found at an earlier annual, on this day.
    pub found: Option<String>,
    pub struck: Option<StruckFacts>,
    /// Dispositions, rectifications and the re-inspection, in the order of their entries.
    pub decisions: Vec<Decision>,
    /// Names of the evidence files that belong to it.
    pub evidence: Vec<String>,
}

/// What was decided or done about a defect.
#[derive(Debug, Clone, Serialize)]
pub struct Decision {
    #[serde(flatten)]
    pub mark: Mark,
    pub what: String,
    pub note: String,
    pub until: Option<String>,
}

impl DefectFacts {
    /// Component, side and station in words; `None` where no place was recorded.
    pub fn place(&self) -> Option<String> {
        let station = self.station_mm.as_ref().map(|station| say!("station {mm} mm", mm = figure(station)));
        let words: Vec<String> = [self.component.clone(), self.side.as_deref().map(local::code), station]
            .into_iter()
            .flatten()
            .collect();
        (!words.is_empty()).then(|| words.join(", "))
    }
}

pub(super) fn defects(gather: &Gather<'_>) -> Vec<DefectFacts> {
    gather.material.state.defects.iter().map(|defect| one(gather, defect)).collect()
}

fn one(gather: &Gather<'_>, defect: &Defect) -> DefectFacts {
    let raised = &defect.raised;
    let evidence = gather
        .material
        .state
        .evidence
        .iter()
        .filter(|told| told.struck.is_none() && told.what.defect.as_deref() == Some(&defect.id));
    DefectFacts {
        id: defect.id.clone(),
        mark: Mark::of(&defect.stamp),
        what: raised.what.clone(),
        component: raised.component.clone(),
        side: raised.side.clone(),
        station_mm: raised.station_mm.map(|station| station.to_string()),
        severity: raised.severity.word().to_string(),
        standing: defect.standing().word().to_string(),
        is_open: defect.is_open(),
        grounds: defect.grounds(),
        step: raised.step.clone(),
        found: raised.from_record.as_ref().map(|from| from.found.to_string()),
        struck: gather.struck(defect.struck.as_ref()),
        decisions: decisions(defect),
        evidence: evidence.map(|told| told.what.name.clone()).collect(),
    }
}

fn decisions(defect: &Defect) -> Vec<Decision> {
    let disposed = defect.dispositions.iter().map(|told| Decision {
        mark: Mark::of(&told.stamp),
        what: told.what.disposition.word().to_string(),
        note: told.what.note.clone(),
        until: told.what.until.map(|day| day.to_string()),
    });
    let rectified = defect.rectifications.iter().map(|told| Decision {
        mark: Mark::of(&told.stamp),
        what: mark!("rectified").to_string(),
        note: match told.what.disturbed_controls {
            true => say!("{work}; a flight-control connection was disturbed", work = told.what.work),
            false => told.what.work.clone(),
        },
        until: None,
    });
    let reinspected = defect.reinspected.iter().map(|stamp| Decision {
        mark: Mark::of(stamp),
        what: mark!("re-inspected").to_string(),
        note: String::new(),
        until: None,
    });
    let mut all: Vec<Decision> = disposed.chain(rectified).chain(reinspected).collect();
    all.sort_by_key(|decision| decision.mark.entry);
    all
}
