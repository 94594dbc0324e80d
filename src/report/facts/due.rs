//! What falls due next, with the answers of this annual taken into account.

use serde::Serialize;

use super::neutral;
use crate::completion::answered::{after_this_annual, airframe_after};
use crate::due::{DueLine, Horizon, due_list, part_words};
use crate::plan::Plan;
use crate::state::State;

#[derive(Debug, Clone, Default, Serialize)]
pub struct DueFacts {
    /// The day from which it is seen: that of the sign-off, else of the last entry.
    pub seen_from: Option<String>,
    /// The expected next annual.
    pub next_annual: Option<String>,
    /// Why it cannot be told.
    pub trouble: Option<String>,
    pub rows: Vec<DueRow>,
}

#[derive(Debug, Clone, Serialize)]
pub struct DueRow {
    pub kind: String,
    pub id: String,
    pub title: String,
    pub standing: String,
    /// Every limit that counts; whichever comes first governs.
    pub limits: Vec<String>,
    /// The same in the language that is spoken.
    #[serde(skip)]
    pub limits_shown: Vec<String>,
    /// The limit that is expected to be reached first, and when at the expected use.
    pub first: Option<String>,
    pub expected: Option<String>,
    pub trouble: Option<String>,
}

/// From a signed session as its annual leaves the record; from a draft as it would stand with the answers so far.
pub(super) fn due(plan: &Plan, state: &State) -> DueFacts {
    let signed = state.signed.as_ref().map(|told| told.what.date);
    let Some(day) = super::day_of(state) else {
        return DueFacts {
            trouble: Some(say!("the record names no day").to_string()),
            ..DueFacts::default()
        };
    };
    let seen = match signed {
        Some(day) => after_this_annual(plan, state, day, None),
        None => {
            let after = airframe_after(plan, state, day);
            Horizon::of(&after, day, after.hours, after.launches, None).map(|horizon| (after, horizon))
        }
    };
    match seen {
        Err(error) => DueFacts {
            seen_from: Some(day.to_string()),
            trouble: Some(error.to_string()),
            ..DueFacts::default()
        },
        Ok((airframe, horizon)) => DueFacts {
            seen_from: Some(day.to_string()),
            next_annual: Some(horizon.next.date.to_string()),
            trouble: None,
            rows: due_list(&airframe, &horizon).into_iter().map(row).collect(),
        },
    }
}

fn row(line: DueLine) -> DueRow {
    DueRow {
        kind: line.kind.word().to_string(),
        id: line.id,
        title: line.title,
        standing: line.standing.word().to_string(),
        limits: neutral(|| line.parts.iter().map(part_words).collect()),
        limits_shown: line.parts.iter().map(part_words).collect(),
        first: neutral(|| line.first.as_ref().map(|(part, _)| part_words(part))),
        expected: line.first.map(|(_, day)| day.to_string()),
        trouble: line.trouble,
    }
}
