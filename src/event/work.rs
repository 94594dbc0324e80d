//! What was done at a step: answers, readings, evidence.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Actor, EntryNumber};
use crate::quantity::Quantity;
use crate::words::said;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StepResult {
    Passed,
    Failed,
    NotApplicable,
}

impl StepResult {
    pub fn word(self) -> &'static str {
        match self {
            StepResult::Passed => mark!("passed"),
            StepResult::Failed => mark!("failed"),
            StepResult::NotApplicable => mark!("not applicable"),
        }
    }
}

/// How the work of a helper's initials begins where it was ticked on paper. It stands in records: it stays as it is.
pub const TICKED: &str = mark!("ticked on paper");

/// The work of initials that were ticked on paper, as the record keeps it in every language: "ticked on paper: passed; dry".
pub fn ticked_work(result: StepResult, remark: Option<&str>) -> String {
    let remark = remark.map(|remark| format!("; {remark}")).unwrap_or_default();
    format!("{TICKED}: {}{remark}", result.word())
}

/// The work of initials as it is shown: the words of [`ticked_work`] in the language that is spoken, what a person typed as it
/// is.
pub fn initialled_words(work: &str) -> String {
    let ticked = || {
        let (result, remark) = match work.strip_prefix(TICKED)?.strip_prefix(": ")?.split_once("; ") {
            Some((result, remark)) => (result, Some(remark)),
            None => (work.strip_prefix(TICKED)?.strip_prefix(": ")?, None),
        };
        let all = [StepResult::Passed, StepResult::Failed, StepResult::NotApplicable];
        let result = said(all.into_iter().find(|known| known.word() == result)?.word());
        let remark = remark.map(|remark| format!("; {remark}")).unwrap_or_default();
        Some(format!("{}: {result}{remark}", said(TICKED)))
    };
    ticked().unwrap_or_else(|| work.to_string())
}

/// An earlier entry that this one replaces, and why. The earlier one stays, struck through.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Correction {
    pub entry: EntryNumber,
    pub why: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answered {
    pub by: Actor,
    pub step: String,
    pub result: StepResult,
    /// Demanded for "not applicable"; otherwise free.
    pub reason: Option<String>,
    pub corrects: Option<Correction>,
    /// The rectified defect after which the step was worked again.
    pub reinspects: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingTaken {
    pub by: Actor,
    pub step: String,
    pub measure: String,
    pub value: ReadingValue,
    pub instrument: Option<InstrumentUse>,
    /// Of a load–deflection series: what the load was read with; `instrument` is then that of the deflection.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_instrument: Option<InstrumentUse>,
    pub corrects: Option<Correction>,
}

/// What a reading was taken with.
#[derive(Debug, Clone, Copy, Default)]
pub struct Used<'a> {
    pub instrument: Option<&'a InstrumentUse>,
    /// What the load of a series was read with.
    pub load: Option<&'a InstrumentUse>,
}

impl Used<'_> {
    /// The ids, where an instrument was named.
    pub fn ids(&self) -> Option<String> {
        let ids: Vec<&str> =
            [self.instrument, self.load].into_iter().flatten().map(|used| used.id.as_str()).collect();
        (!ids.is_empty()).then(|| ids.join(say!(" and ")))
    }
}

impl ReadingTaken {
    pub fn used(&self) -> Used<'_> {
        Used { instrument: self.instrument.as_ref(), load: self.load_instrument.as_ref() }
    }
}

/// A reading as entered, with the unit as entered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ReadingValue {
    Number {
        quantity: Quantity,
    },
    Pair {
        left: Quantity,
        right: Quantity,
    },
    Count {
        count: u32,
    },
    Choice {
        choice: String,
    },
    Text {
        text: String,
    },
    Date {
        date: NaiveDate,
    },
    Series {
        points: Vec<SeriesPoint>,
    },
    /// A table of readings exactly as it was taken in.
    Table {
        text: String,
    },
}

/// One line of a load–deflection table, in the order in which it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeriesPoint {
    pub direction: String,
    /// True while the load grows, false on the way back down.
    pub loading: bool,
    /// Without sign: the direction tells it.
    pub load: Quantity,
    pub deflection: Quantity,
}

/// The instrument as the register described it on the day of the reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct InstrumentUse {
    pub id: String,
    pub title: String,
    pub calibration_due: Option<NaiveDate>,
    pub resolution: Option<Quantity>,
    /// Expanded uncertainty of the certificate, k = 2.
    pub uncertainty: Option<Quantity>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct EvidenceAdded {
    pub by: Actor,
    pub step: Option<String>,
    /// Id of the step's evidence demand that it answers.
    pub demand: Option<String>,
    pub defect: Option<String>,
    pub sha256: String,
    pub bytes: u64,
    pub name: String,
}

/// What a person did of a step, in their own words: the record shows whose hands it was and who accepted it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Initialled {
    pub by: Actor,
    pub step: String,
    /// What was done and seen.
    pub work: String,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, with_language};

    #[test]
    fn what_was_ticked_on_paper_is_kept_in_english_and_shown_in_the_chosen_language() {
        let german = |work: &str| with_language(Language::German, || initialled_words(work));
        let kept =
            with_language(Language::German, || ticked_work(StepResult::Passed, Some("all dry; twice")));
        assert_eq!(kept, "ticked on paper: passed; all dry; twice");
        assert_eq!(initialled_words(&kept), kept);
        assert_eq!(german(&kept), "auf Papier angekreuzt: bestanden; all dry; twice");
        assert_eq!(german(&ticked_work(StepResult::NotApplicable, None)), "auf Papier angekreuzt: entfällt");
        for typed in ["read the plates", "ticked on paper", "ticked on paper: later; dry"] {
            assert_eq!(german(typed), typed);
        }
    }
}
