//! What a type supplement does to the programme besides adding steps.

use serde::{Deserialize, Serialize};

use super::Configuration;
use super::hidden::{HiddenItem, MappedArea};
use super::outline::Outline;
use crate::quantity::{Number, Quantity};
use crate::source::Located;

#[derive(Debug, Clone)]
pub struct Supplement {
    pub of_type: TypeData,
    pub tighten: Vec<Located<Tightening>>,
    pub withdraw: Vec<Located<Withdrawal>>,
}

/// Facts of the type that steps are checked against.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TypeData {
    pub id: String,
    pub name: String,
    pub seats: u32,
    /// From where stations are counted, and which way.
    pub datum: String,
    /// The type's ceiling for a hand load on the fin top.
    pub fin_side_load_ceiling: Option<Quantity>,
    pub build_standards: Vec<BuildStandard>,
    pub stated_variation: Option<StatedVariation>,
    /// From where heights are counted, and which way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_datum: Option<String>,
    /// Least room between an opening and a hidden item, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub opening_margin_mm: Option<Number>,
    /// Plans frozen before these were known have none of them, and keep their hash.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hidden_items: Vec<HiddenItem>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub mapped_areas: Vec<MappedArea>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub outline: Option<Outline>,
}

/// How much sound airframes of one build standard differ in stiffness, stated beforehand by a named person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StatedVariation {
    /// Coefficient of variation between airframes, per cent.
    pub percent: Number,
    /// How far that figure may itself be wrong, per cent of it.
    pub doubt_percent: Number,
    /// Standard uncertainty of one measurement, per cent.
    pub measurement_percent: Number,
    pub by: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BuildStandard {
    pub id: String,
    pub title: String,
}

/// A stricter or more exact demand on a programme step. Only the given fields change.
#[derive(Debug, Clone, Default)]
pub struct Tightening {
    pub step: Located<String>,
    pub measure: Option<Located<String>>,
    pub min: Option<Number>,
    pub max: Option<Number>,
    pub nominal: Option<Number>,
    pub tolerance: Option<Number>,
    pub max_difference: Option<Number>,
    pub min_stiffness: Option<Number>,
    pub max_load: Option<Number>,
    pub readings: Option<u32>,
    pub instrument: Option<bool>,
    pub limit_source: Option<String>,
    pub mandatory: Option<bool>,
    pub may_be_not_applicable: Option<bool>,
    pub independent: Option<bool>,
    /// Added below the programme's caution.
    pub caution: Option<String>,
    pub configuration: Configuration,
    pub minutes: Option<u32>,
    pub people: Option<u32>,
    /// Added to the programme's kit.
    pub kit: Vec<String>,
    pub reason: String,
}

impl Tightening {
    /// The fields that it changes, for telling whether two supplements fight over one of them.
    pub fn fields(&self) -> Vec<&'static str> {
        let given = [
            ("min", self.min.is_some() || self.nominal.is_some()),
            ("max", self.max.is_some() || self.nominal.is_some()),
            ("max_difference", self.max_difference.is_some()),
            ("min_stiffness", self.min_stiffness.is_some()),
            ("max_load", self.max_load.is_some()),
            ("readings", self.readings.is_some()),
            ("instrument", self.instrument.is_some()),
            ("mandatory", self.mandatory.is_some()),
            ("may_be_not_applicable", self.may_be_not_applicable.is_some()),
            ("independent", self.independent.is_some()),
            ("configuration", !self.configuration.is_empty()),
            ("minutes", self.minutes.is_some()),
            ("people", self.people.is_some()),
        ];
        given.into_iter().filter(|(_, is_given)| *is_given).map(|(field, _)| field).collect()
    }
}

#[derive(Debug, Clone)]
pub struct Withdrawal {
    pub step: Located<String>,
    pub reason: String,
}
