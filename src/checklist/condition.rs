//! Conditions: structured tables that say when a step belongs to the plan. No formula language.

use serde::{Deserialize, Serialize};

use crate::quantity::Number;

/// One row of `when`. All rows of a step must hold.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Condition {
    Equipment(String),
    WithoutEquipment(String),
    BuildStandard(String),
    WithoutBuildStandard(String),
    HoursAtLeast(Number),
    LaunchesAtLeast(u32),
    Reported(String),
    Any(Vec<Condition>),
}

/// What conditions are asked about.
pub struct Circumstances<'a> {
    pub equipment: &'a [String],
    pub build_standard: &'a [String],
    pub hours: &'a Number,
    pub launches: u32,
    /// Kinds of all recorded reports and occurrences.
    pub reported: &'a [String],
}

impl Condition {
    pub fn holds(&self, facts: &Circumstances<'_>) -> bool {
        match self {
            Condition::Equipment(id) => facts.equipment.contains(id),
            Condition::WithoutEquipment(id) => !facts.equipment.contains(id),
            Condition::BuildStandard(id) => facts.build_standard.contains(id),
            Condition::WithoutBuildStandard(id) => !facts.build_standard.contains(id),
            Condition::HoursAtLeast(hours) => facts.hours >= hours,
            Condition::LaunchesAtLeast(launches) => facts.launches >= *launches,
            Condition::Reported(kind) => facts.reported.contains(kind),
            Condition::Any(rows) => rows.iter().any(|row| row.holds(facts)),
        }
    }
}
