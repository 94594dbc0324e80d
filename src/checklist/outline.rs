//! The outline of a type: enough measures to draw it and to say on which part a station lies.

use serde::{Deserialize, Serialize};

use crate::quantity::{LengthRange, Number};

/// Stations in mm from the type's datum, positive aft; lengths in mm, above 0.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outline {
    pub nose_mm: Number,
    pub tail_end_mm: Number,
    /// Front to rear end of the canopy.
    pub cockpit: LengthRange,
    pub fuselage_width_mm: Number,
    pub fuselage_height_mm: Number,
    /// Leading to trailing edge.
    pub wing_root: LengthRange,
    pub wing_tip: LengthRange,
    pub semi_span_mm: Number,
    /// Leading edge of the fin at its root and at its top.
    pub fin_root_mm: Number,
    pub fin_top_mm: Number,
    /// From the centre line of the tail boom to the top of the fin.
    pub fin_height_mm: Number,
    pub rudder_hinge_mm: Number,
    /// Leading to trailing edge at the root.
    pub tailplane: LengthRange,
    pub tailplane_place: TailplanePlace,
    pub tailplane_semi_span_mm: Number,
    pub main_wheel_mm: Number,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nose_wheel_mm: Option<Number>,
    pub tail_wheel_mm: Number,
    pub source: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum TailplanePlace {
    /// On top of the fin (T-tail).
    Top,
    /// On the tail boom.
    Low,
}

impl TailplanePlace {
    pub const WORDS: [(&'static str, TailplanePlace); 2] =
        [("top", TailplanePlace::Top), ("low", TailplanePlace::Low)];
}
