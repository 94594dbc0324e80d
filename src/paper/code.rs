//! The short code of a printed sheet: where in the record it was printed, and what it says.

use std::fmt;

use super::lines::{Line, LineOf};
use crate::journal::hash::tagged;
use crate::journal::short_code::{base32, check_value_of};
use crate::plan::Plan;

const TAG: &str = "spanwise/sheet/v1";
/// Letters of each of the two groups: 20 bits.
const GROUP: usize = 4;

/// `K7Q2-M3XD-07`: four letters of the place in the record, four of everything that the lines say, two check digits. It
/// tells sheets apart; it proves nothing, as the paper itself is the proof.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetCode {
    place: String,
    lines: String,
}

impl SheetCode {
    /// `place` is the hash of the last entry at printing, or what stands for it before an annual begins.
    pub(super) fn new(place: &str, plan: &Plan, lines: &[Line]) -> SheetCode {
        let of_place = place_letters(place);
        let mut said = format!("{place}\n");
        for line in lines {
            said.push_str(&line.label);
            said.push(' ');
            match &line.of {
                LineOf::Block { configuration } => said.push_str(&configuration.to_string()),
                LineOf::Step { step } => said.push_str(&step_text(plan, step)),
                LineOf::Measure { measure, .. } => said.push_str(measure),
            }
            said.push('\n');
        }
        SheetCode { place: of_place, lines: letters(said.as_bytes()) }
    }

    /// Whether the place in the record may be this one: cheap, before any order is computed.
    pub(super) fn may_be_at(&self, place: &str) -> bool {
        self.place == place_letters(place)
    }

    fn check(&self) -> u8 {
        check_value_of(self.place.bytes().chain(self.lines.bytes()))
    }

    /// Reads a typed code: spaces, hyphens and case do not count, and 0, 1, 8 are read as O, I, B where letters stand.
    ///
    /// # Errors
    /// What is wrong with it, in words.
    pub fn read(typed: &str) -> Result<SheetCode, String> {
        let kept: Vec<char> = typed.chars().filter(|c| c.is_ascii_alphanumeric()).collect();
        if kept.len() != 2 * GROUP + 2 {
            return Err(say!(
                "\"{}\" has {} letters and digits, and the code of a sheet has 10, such as K7Q2-M3XD-07",
                typed.trim(),
                kept.len()
            ));
        }
        let letter = |c: &char| match c.to_ascii_uppercase() {
            '0' => 'O',
            '1' => 'I',
            '8' => 'B',
            other => other,
        };
        let digit = |c: &char| match c.to_ascii_uppercase() {
            'O' => '0',
            'I' => '1',
            'B' => '8',
            other => other,
        };
        let place: String = kept[..GROUP].iter().map(letter).collect();
        let lines: String = kept[GROUP..2 * GROUP].iter().map(letter).collect();
        let check: String = kept[2 * GROUP..].iter().map(digit).collect();
        let code = SheetCode { place, lines };
        if check.parse::<u8>() != Ok(code.check()) {
            return Err(say!(
                "\"{}\" is mistyped: its check digits do not fit; type it again from the foot of the sheet",
                typed.trim()
            ));
        }
        Ok(code)
    }
}

impl fmt::Display for SheetCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}-{:02}", self.place, self.lines, self.check())
    }
}

fn letters(bytes: &[u8]) -> String {
    base32(&tagged(TAG, bytes).0).chars().take(GROUP).collect()
}

fn place_letters(place: &str) -> String {
    letters(format!("place {place}").as_bytes())
}

/// Everything that the step demands: a sheet printed before an edition changed it says something else.
fn step_text(plan: &Plan, id: &str) -> String {
    let step = plan.step(id).and_then(|planned| serde_json::to_string(&planned.step).ok());
    format!("{id} {}", step.unwrap_or_default())
}
