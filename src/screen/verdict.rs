//! A judgement by one word, one sign and one sentence; its figures follow elsewhere.

use ratatui::style::Style;

use super::look::{Look, sign_of_verdict};
use crate::measure::compare::{CannotTell, Verdict};
use crate::state::{Judgement, ReadingVerdict};
use crate::words::said;

/// How much a judgement asks for a person's decision; 0 asks for none.
pub fn weight(judgement: &Judgement) -> u8 {
    match (judgement.verdict, judgement.comparison) {
        (ReadingVerdict::Outside, _) => 4,
        (_, Some(Verdict::Softer)) => 3,
        (ReadingVerdict::CannotDecide, _) => 2,
        (_, Some(Verdict::Stiffer | Verdict::CannotTell(_))) => 1,
        _ => 0,
    }
}

/// One or two words for a list.
pub fn word(judgement: &Judgement) -> &'static str {
    match (judgement.verdict, judgement.comparison) {
        (ReadingVerdict::Outside | ReadingVerdict::CannotDecide, _) | (_, None) => {
            said(judgement.verdict.word())
        }
        (_, Some(Verdict::Softer)) => say!("softer"),
        (_, Some(Verdict::Stiffer)) => say!("stiffer"),
        (_, Some(Verdict::Consistent)) => say!("consistent"),
        (_, Some(Verdict::CannotTell(_))) => say!("cannot tell"),
    }
}

pub fn sign(judgement: &Judgement) -> &'static str {
    match weight(judgement) {
        4 | 3 => "✗",
        2 | 1 => "?",
        _ if judgement.comparison == Some(Verdict::Consistent) => "✓",
        _ => sign_of_verdict(judgement.verdict),
    }
}

pub fn style(judgement: &Judgement, look: Look) -> Style {
    match weight(judgement) {
        4 | 3 => look.bad(),
        2 | 1 => look.doubt(),
        _ if judgement.comparison == Some(Verdict::Consistent) => look.good(),
        _ => look.of_verdict(judgement.verdict),
    }
}

/// The verdict in plain words, without a figure.
pub fn plain(judgement: &Judgement) -> String {
    let compared = judgement.comparison.map(|comparison| match comparison {
        Verdict::Softer => say!("Softer than sound airframes of the same build standard."),
        Verdict::Stiffer => say!("Stiffer than sound airframes of the same build standard."),
        Verdict::Consistent => {
            say!("Like sound airframes of the same build standard; a loss that matters would have shown.")
        }
        Verdict::CannotTell(CannotTell::NoReference) => {
            say!("Cannot tell: no sound airframe of this type and build standard to compare with.")
        }
        Verdict::CannotTell(CannotTell::InsufficientData) => {
            say!("Cannot tell: one airframe alone does not say how much sound ones differ.")
        }
        Verdict::CannotTell(CannotTell::LossTooSmallToShow) => {
            say!("Cannot tell: no difference shows, but a loss that matters could hide in it.")
        }
    });
    let limited = match judgement.verdict {
        ReadingVerdict::Within => Some(say!("Within its limit.")),
        ReadingVerdict::Outside => Some(say!("Outside its limit.")),
        ReadingVerdict::CannotDecide => Some(say!("It cannot be decided yet.")),
        ReadingVerdict::Recorded if compared.is_none() => Some(say!("Recorded; nothing to judge it by.")),
        ReadingVerdict::Recorded => None,
    };
    // What asks for a decision comes first.
    let limit_first = judgement.verdict == ReadingVerdict::Outside;
    let parts = if limit_first { [limited, compared] } else { [compared, limited] };
    parts.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

/// The verdict with its figures, in one run of words. A comparison's figures begin with its verdict already.
pub fn with_figures(judgement: &Judgement) -> String {
    match (judgement.comparison, judgement.verdict) {
        (None, _) => format!("{}: {}", plain(judgement).trim_end_matches('.'), judgement.words),
        (Some(_), ReadingVerdict::Outside) => say!("Outside its limit. {}", judgement.words),
        (Some(_), _) => judgement.words.clone(),
    }
}
