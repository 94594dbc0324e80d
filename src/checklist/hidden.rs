//! What lies behind the skin of a type, and where that is known completely.

use serde::{Deserialize, Serialize};

use crate::quantity::{LengthRange, Number};

/// One part that cannot be seen from outside. Its place is a rectangle in the side view of its component; a slanted
/// part is entered as the rectangle around it, or in several pieces.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HiddenItem {
    pub id: String,
    pub title: String,
    pub kind: HiddenKind,
    /// As people call it: "fin", "tail boom", "left wing".
    pub component: String,
    /// Behind which skin; without it behind both.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    /// From the type's datum.
    pub station: LengthRange,
    /// From the type's height datum.
    pub height: LengthRange,
    /// How well the place is known, mm, not negative.
    pub tolerance_mm: Number,
    pub source: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

/// A part of a component for which every hidden item of the type is entered. Only inside may anything be called clear.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct MappedArea {
    pub component: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub side: Option<Side>,
    pub station: LengthRange,
    pub height: LengthRange,
    pub source: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    Left,
    Right,
}

impl Side {
    pub const WORDS: [(&'static str, Side); 2] = [("left", Side::Left), ("right", Side::Right)];

    pub fn word(self) -> &'static str {
        match self {
            Side::Left => "left",
            Side::Right => "right",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HiddenKind {
    Rib,
    Former,
    Cable,
    PushRod,
    AntennaCable,
    FactoryJoint,
    Spar,
    Hose,
    Other,
}

impl HiddenKind {
    pub const WORDS: [(&'static str, HiddenKind); 9] = [
        ("rib", HiddenKind::Rib),
        ("former", HiddenKind::Former),
        ("cable", HiddenKind::Cable),
        ("push-rod", HiddenKind::PushRod),
        ("antenna-cable", HiddenKind::AntennaCable),
        ("factory-joint", HiddenKind::FactoryJoint),
        ("spar", HiddenKind::Spar),
        ("hose", HiddenKind::Hose),
        ("other", HiddenKind::Other),
    ];

    pub fn word(self) -> &'static str {
        HiddenKind::WORDS.iter().find(|(_, kind)| *kind == self).map_or("other", |(word, _)| word)
    }
}

/// Whether two names mean one component: case, blanks and hyphens do not matter.
pub fn same_component(one: &str, other: &str) -> bool {
    component_words(one) == component_words(other)
}

/// The words of a component's name, in lower case.
pub fn component_words(name: &str) -> Vec<String> {
    name.split(|c: char| c.is_whitespace() || c == '-')
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}
