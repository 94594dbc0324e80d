//! What a step demands to be measured.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::quantity::{Limit, Number, Unit};
use crate::words::{all_of_checklist, date};

/// One demanded (or offered) measurement of a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Measure {
    pub id: String,
    pub title: String,
    pub kind: MeasureKind,
    /// How many readings are demanded.
    pub readings: u32,
    /// An instrument from the register must be named.
    pub instrument: bool,
    pub demanded: bool,
    /// How the measurement's uncertainty is taken into account at the limit.
    #[serde(default)]
    pub guard: Guard,
    /// Where the limit comes from: a manual with its chapter, or "common practice, no source".
    pub limit_source: Option<String>,
}

/// The decision rule at the limit (JCGM 106:2012; ISO 14253-1:2017 for the default, from a secondary text).
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Guard {
    /// Within or outside only where that holds with 95 %; between, it cannot be decided.
    #[default]
    Conformance95,
    /// The guard band is the expanded uncertainty, k = 2 (ILAC-G8:09/2019).
    Expanded2,
    /// The limit already allows for the measurement's uncertainty, and the checklist says so.
    AllowanceInLimit,
}

impl Guard {
    pub const WORDS: [(&'static str, Guard); 3] = [
        ("conformance-95", Guard::Conformance95),
        ("expanded-2", Guard::Expanded2),
        ("allowance-in-limit", Guard::AllowanceInLimit),
    ];
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum MeasureKind {
    Number {
        unit: Unit,
        limit: Option<Limit>,
    },
    /// Left and right, each within `limit`, and not further apart than `max_difference` (in `unit`).
    Pair {
        unit: Unit,
        limit: Option<Limit>,
        max_difference: Option<Number>,
    },
    Count {
        unit: Unit,
        min: Option<u32>,
        max: Option<u32>,
    },
    /// Every choice that is not in `accept` is outside.
    Choice {
        choices: Vec<String>,
        accept: Vec<String>,
    },
    Text,
    Date {
        not_before_today: bool,
        not_before: Option<NaiveDate>,
    },
    LoadDeflection(SeriesDemand),
    /// A whole table of readings as text (CSV or TOML), judged by the computation of this name.
    Table {
        compute: String,
    },
}

/// A load–deflection series: load against deflection, both ways, up and back down.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeriesDemand {
    pub load_unit: Unit,
    pub deflection_unit: Unit,
    /// Names of the directions, such as left and right. The first counts as positive.
    pub directions: Vec<String>,
    /// Different load levels demanded in each direction.
    pub min_levels: u32,
    /// Ceiling in `load_unit`: a higher load is refused, with the caution.
    pub max_load: Number,
    /// Below this load (in `load_unit`) play is not taken up and a point is not fitted.
    pub take_up: Option<Number>,
    /// Readings on the way back down are demanded too.
    pub unloading: bool,
    /// In N/mm.
    pub min_stiffness: Option<Number>,
    /// Largest difference between the directions' stiffnesses, in per cent of their mean.
    pub max_side_difference_percent: Option<Number>,
}

impl Measure {
    /// The limit in words, in the language that is spoken, or nothing where the checklist gives none.
    pub fn limit_words(&self) -> Option<String> {
        let range = |min: &Option<u32>, max: &Option<u32>| match (min, max) {
            (Some(min), Some(max)) => Some(say!("{} to {}", min, max)),
            (Some(min), None) => Some(say!("at least {}", min)),
            (None, Some(max)) => Some(say!("at most {}", max)),
            (None, None) => None,
        };
        match &self.kind {
            MeasureKind::Number { limit, .. } => limit.as_ref().map(Limit::shown),
            MeasureKind::Pair { unit, limit, max_difference } => {
                let each = limit.as_ref().map(|limit| say!("each {limit}", limit = limit.shown()));
                let apart = max_difference.as_ref().map(|most| {
                    say!(
                        "left and right at most {most} {unit} apart",
                        most = most.shown(),
                        unit = unit.symbol()
                    )
                });
                let words: Vec<String> = each.into_iter().chain(apart).collect();
                (!words.is_empty()).then(|| words.join("; "))
            }
            MeasureKind::Count { min, max, .. } => range(min, max),
            MeasureKind::Choice { accept, .. } => {
                (!accept.is_empty()).then(|| say!("good: {accepted}", accepted = all_of_checklist(accept)))
            }
            MeasureKind::Text => None,
            MeasureKind::Table { compute } => {
                Some(say!("judged by the {compute} computation, with the limits of the table", compute))
            }
            MeasureKind::Date { not_before_today, not_before } => match (not_before_today, not_before) {
                (true, _) => Some(say!("not before today").to_string()),
                (_, Some(day)) => Some(say!("not before {day}", day = date(*day))),
                _ => None,
            },
            MeasureKind::LoadDeflection(series) => Some(series_words(series)),
        }
    }

    /// The unit in which a bare number would be meant.
    pub fn unit(&self) -> Option<Unit> {
        match &self.kind {
            MeasureKind::Number { unit, .. }
            | MeasureKind::Pair { unit, .. }
            | MeasureKind::Count { unit, .. } => Some(*unit),
            _ => None,
        }
    }

    /// Units of the quantities that an instrument for this measurement can measure; empty where it has none.
    pub fn instrument_units(&self) -> Vec<Unit> {
        match &self.kind {
            MeasureKind::LoadDeflection(demand) => vec![demand.load_unit, demand.deflection_unit],
            MeasureKind::Count { .. } => Vec::new(),
            _ => self.unit().into_iter().collect(),
        }
    }

    /// Whether an instrument with this unit measures this kind of thing; any does where there is no unit.
    pub fn is_measured_in(&self, unit: Unit) -> bool {
        let units = self.instrument_units();
        units.is_empty() || units.iter().any(|wanted| wanted.dimension() == unit.dimension())
    }

    pub fn kind_word(&self) -> &'static str {
        match self.kind {
            MeasureKind::Number { .. } => "number",
            MeasureKind::Pair { .. } => "pair",
            MeasureKind::Count { .. } => "count",
            MeasureKind::Choice { .. } => "choice",
            MeasureKind::Text => "text",
            MeasureKind::Date { .. } => "date",
            MeasureKind::LoadDeflection(_) => "load-deflection",
            MeasureKind::Table { .. } => "table",
        }
    }
}

fn series_words(series: &SeriesDemand) -> String {
    let (most, unit) = (series.max_load.shown(), series.load_unit.symbol());
    let mut words = vec![say!("load at most {most} {unit}", most, unit)];
    if let Some(min) = &series.min_stiffness {
        words.push(say!("stiffness at least {min} N/mm", min = min.shown()));
    }
    if let Some(percent) = &series.max_side_difference_percent {
        words.push(say!("directions at most {percent} % apart", percent = percent.shown()));
    }
    words.join("; ")
}
