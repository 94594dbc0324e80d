//! What was written on a printed worksheet first and typed in afterwards: the record tells the two apart for ever.

use chrono::{NaiveDate, NaiveTime};
use serde::{Deserialize, Serialize};

use super::{Actor, Event};
use crate::words::date;

/// An event that stood on paper before it was entered. Whoever typed it in is the actor of `event`, and the entry's own
/// time is when that was.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FromPaper {
    pub paper: OnPaper,
    pub event: Box<Event>,
}

/// Where it stood on paper, who wrote it, and when by the paper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OnPaper {
    /// Code of the printed sheet.
    pub sheet: String,
    /// Line of that sheet: "17", "17a", "B2"; none for what stood on its first page.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// Who wrote it on the paper: whose hands and eyes it was.
    pub written_by: Actor,
    /// As written on the paper. Calibration and age are judged by it.
    pub written_on: NaiveDate,
    /// Time of day, where the paper tells it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub written_at: Option<NaiveTime>,
}

impl OnPaper {
    /// `2026-11-24 16:30`, or the day alone, in every language.
    pub fn written(&self) -> String {
        match self.written_at {
            Some(at) => format!("{} {}", self.written_on, at.format("%H:%M")),
            None => self.written_on.to_string(),
        }
    }

    pub fn written_words(&self) -> String {
        match self.written_at {
            Some(at) => format!("{} {}", date(self.written_on), at.format("%H:%M")),
            None => date(self.written_on),
        }
    }

    /// "from paper, written 2026-11-24 by Edwin Hask, sheet K7Q2-M3XD-07 line 17".
    pub fn words(&self) -> String {
        let (written, by, sheet) = (self.written_words(), &self.written_by.name, &self.sheet);
        match &self.line {
            Some(line) => say!(
                "from paper, written {written} by {by}, sheet {sheet} line {line}",
                written = written,
                by = by,
                sheet = sheet,
                line = line
            ),
            None => say!(
                "from paper, written {written} by {by}, sheet {sheet}",
                written = written,
                by = by,
                sheet = sheet
            ),
        }
    }
}
