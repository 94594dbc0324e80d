//! The fixed words of the checklist format: kinds of report and occurrence, and equipment; how grave a defect is.

use serde::{Deserialize, Serialize};

use crate::words::said;

/// What a pilot says. Id and plain words.
pub const REPORTS: &[(&str, &str)] = &[
    ("odd-yaw", mark!("odd yaw, or the tail feels loose")),
    ("tail-noise", mark!("noise from the tail or the fin")),
    ("structure-noise", mark!("noise from the structure elsewhere")),
    ("controls-stiff", mark!("controls stiff or rough")),
    ("controls-slack", mark!("controls slack or with play")),
    ("vibration", mark!("vibration or buffet")),
    ("airbrake-uneven", mark!("airbrakes open or close unevenly")),
    ("airbrake-force", mark!("airbrakes need unusual force or unlock")),
    ("gear-warning", mark!("undercarriage or its warning misbehaves")),
    ("release-fault", mark!("tow release misbehaves")),
    ("brake-weak", mark!("wheel brake weak or dragging")),
    ("canopy-fault", mark!("canopy or its locks misbehave")),
    ("instrument-doubt", mark!("an instrument reads doubtfully")),
    ("radio-fault", mark!("radio or electrics misbehave")),
    ("wing-heavy", mark!("one wing heavy or flies out of trim")),
    ("smell-or-smoke", mark!("smell or smoke")),
    ("other-report", mark!("another report")),
];

/// What happened to the airframe. Id and plain words.
pub const OCCURRENCES: &[(&str, &str)] = &[
    ("heavy-landing", mark!("heavy landing")),
    ("ground-loop", mark!("ground loop")),
    ("outlanding-crop", mark!("outlanding in crop or rough ground")),
    ("transport-knock", mark!("knock in the trailer or on the road")),
    ("hangar-knock", mark!("knock in the hangar or on the ground")),
    ("launch-overstress", mark!("over-stress on launch")),
    ("overspeed", mark!("flown above a limiting speed")),
    ("hail", mark!("hail")),
    ("wet-storage", mark!("wet storage")),
    ("water-ingress", mark!("water got in")),
    ("lightning", mark!("lightning strike")),
    ("wheel-up-landing", mark!("landing with the wheel up")),
    ("bird-strike", mark!("bird strike")),
    ("repair-done", mark!("repair since the last annual")),
    ("other-occurrence", mark!("another occurrence")),
];

/// What an airframe may carry and a step may depend on.
pub const EQUIPMENT: &[&str] = &[
    "ailerons-cable",
    "battery",
    "brake",
    "cg-hook",
    "drag-chute",
    "electric-system",
    "elt",
    "fin-ballast",
    "flaps",
    "front-skid",
    "hydraulic-brake",
    "hydraulic-lines",
    "nose-hook",
    "nose-wheel",
    "oxygen",
    "parachute-recovery",
    "radio",
    "removable-ballast",
    "retractable-gear",
    "rudder-cable",
    "shock-absorber",
    "struts",
    "tail-skid",
    "tail-wheel",
    "transponder",
    "water-ballast",
];

/// Computations that a table of readings can be judged by, as `spanwise compute` names them. Recordings are
/// left out: the record holds text, and a result must be recomputable from the record alone.
pub const COMPUTATIONS: &[&str] = &[
    "flex",
    "limit",
    "repeats",
    "compare",
    "trend",
    "rates",
    "frequency",
    "deflection",
    "tension",
    "weighing",
    "airspeed",
    "leak",
    "symmetry",
    "tap",
    "life",
];

/// Plain words for a report or occurrence kind, in the language that is spoken; the id itself where it is unknown.
pub fn kind_words(kind: &str) -> &str {
    REPORTS.iter().chain(OCCURRENCES).find(|(id, _)| *id == kind).map_or(kind, |(_, words)| said(words))
}

/// The ids of all kinds, reports first.
pub fn kinds() -> impl Iterator<Item = &'static str> {
    REPORTS.iter().chain(OCCURRENCES).map(|(id, _)| *id)
}

/// Lower-case words joined by the given joints: `wing.lift-pins`.
pub fn is_id(text: &str, joints: &[char]) -> bool {
    !text.is_empty()
        && text.split(|c| joints.contains(&c)).all(|word| {
            !word.is_empty() && word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit())
        })
}

/// How grave a defect is, in checklists, records and sessions alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    Minor,
    Major,
    /// Affects airworthiness: the airframe stays on the ground while the defect is open.
    Grounding,
}

impl Severity {
    pub const WORDS: [(&'static str, Severity); 3] = [
        (mark!("minor"), Severity::Minor),
        (mark!("major"), Severity::Major),
        (mark!("grounding"), Severity::Grounding),
    ];

    /// The word of records and arguments, the same in every language; `said` translates it where it is shown.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Minor => "minor",
            Severity::Major => "major",
            Severity::Grounding => "grounding",
        }
    }
}
