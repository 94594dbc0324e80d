//! The lists of rule ids, each row with how far it was compared with a text.

use serde::{Deserialize, Serialize};

/// One list as it stands in its file, with the name that a person knows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleList {
    pub name: &'static str,
    pub rows: Vec<RuleRow>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RuleRow {
    /// As steps name it in `basis`.
    pub id: String,
    /// What is to be looked at, paraphrased.
    pub item: String,
    pub applies: Applies,
    #[serde(rename = "status")]
    pub compared: Compared,
    pub source: String,
}

/// Whether a row concerns an unpowered sailplane.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Applies {
    #[serde(rename = "Y")]
    Always,
    #[serde(rename = "F")]
    IfFitted,
    #[serde(rename = "N")]
    Never,
}

impl Applies {
    pub fn words(self) -> &'static str {
        match self {
            Applies::Always => mark!("applies"),
            Applies::IfFitted => mark!("only if fitted"),
            Applies::Never => mark!("does not apply to an unpowered sailplane"),
        }
    }
}

/// How far a row was compared with a text: letters as in the list's file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Compared(String);

impl Compared {
    fn has(&self, letter: &str) -> bool {
        self.0.split(',').any(|known| known.trim() == letter)
    }

    pub fn words(&self) -> &'static str {
        match (self.has("S"), self.has("P"), self.has("R")) {
            (true, _, false) => mark!("seen"),
            (true, _, true) => mark!("seen, wording to be compared"),
            (_, true, false) => mark!("partly seen"),
            (_, true, true) => mark!("partly seen, rest from memory, to be compared"),
            (_, _, true) => mark!("from memory, to be compared"),
            _ => mark!("from memory"),
        }
    }

    /// No text of the row was read.
    pub fn is_from_memory(&self) -> bool {
        !self.has("S") && !self.has("P")
    }
}

#[derive(Deserialize)]
struct Rows {
    row: Vec<RuleRow>,
}

const LISTS: [(&str, &str); 2] = [
    (mark!("14 CFR part 43, Appendix D"), include_str!("appendix-d.toml")),
    (
        mark!("minimum inspection programme, AMC1 ML.A.302(d), sailplanes"),
        include_str!("minimum-inspection-programme.toml"),
    ),
];

/// Every list that the program holds a plan to.
///
/// # Errors
/// A list built into the program cannot be read: a fault of the program.
pub fn lists() -> Result<Vec<RuleList>, String> {
    LISTS
        .into_iter()
        .map(|(name, text)| {
            let rows: Rows = toml::from_str(text).map_err(|error| format!("{name}: {error}"))?;
            Ok(RuleList { name, rows: rows.row })
        })
        .collect()
}
