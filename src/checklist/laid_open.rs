//! Places that can be inspected only while the airframe stands in a certain way.
//!
//! A step names them in `looks_at`, so that a check need not guess from its words whether its configuration lets
//! anybody see what it asks for. Which setting lays a place open is common practice, without a published source; the
//! type's manual governs.

use serde::{Deserialize, Serialize};

use super::{Aspect, Setting};
use crate::words::said;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LaidOpen {
    TailplaneFittings,
    ElevatorConnection,
    WingRoot,
    LiftPins,
    SparStub,
    DragPins,
    WingRootControls,
    HingeAlone,
    WholeCircuit,
    UnderSeatPan,
    BehindPanels,
    TailWheelAxle,
    MainWheelFree,
    RiggedSymmetry,
    FinFlex,
    LiveElectrics,
    BareWiring,
}

type Row = (LaidOpen, &'static str, &'static str, &'static [(Aspect, Setting)]);

const ROWS: &[Row] = &[
    (
        LaidOpen::TailplaneFittings,
        "tailplane-fittings",
        mark!("the fittings between tailplane and fin"),
        &[(Aspect::Tailplane, Setting::Off)],
    ),
    (
        LaidOpen::ElevatorConnection,
        "elevator-connection",
        mark!("the elevator's connection, made"),
        &[(Aspect::Tailplane, Setting::On)],
    ),
    (
        LaidOpen::WingRoot,
        "wing-root",
        mark!("the root rib and its bushings"),
        &[(Aspect::Wings, Setting::Derigged)],
    ),
    (
        LaidOpen::LiftPins,
        "lift-pins",
        mark!("the lift pins and their bores"),
        &[(Aspect::Wings, Setting::Derigged)],
    ),
    (
        LaidOpen::SparStub,
        "spar-stub",
        mark!("the spar stub or tongue"),
        &[(Aspect::Wings, Setting::Derigged)],
    ),
    (
        LaidOpen::DragPins,
        "drag-pins",
        mark!("the drag pins and their bores"),
        &[(Aspect::Wings, Setting::Derigged)],
    ),
    (
        LaidOpen::WingRootControls,
        "wing-root-controls",
        mark!("the control connections at the wing root, made"),
        &[(Aspect::Wings, Setting::Rigged), (Aspect::Controls, Setting::Connected)],
    ),
    (
        LaidOpen::HingeAlone,
        "hinge-alone",
        mark!("a surface's hinge by itself, without its circuit"),
        &[(Aspect::Controls, Setting::Disconnected)],
    ),
    (
        LaidOpen::WholeCircuit,
        "whole-circuit",
        mark!("a control circuit from stick to surface"),
        &[(Aspect::Controls, Setting::Connected)],
    ),
    (
        LaidOpen::UnderSeatPan,
        "under-seat-pan",
        mark!("what lies under the seat pan"),
        &[(Aspect::Panels, Setting::Out)],
    ),
    (
        LaidOpen::BehindPanels,
        "behind-panels",
        mark!("what lies behind the panels"),
        &[(Aspect::Panels, Setting::Out)],
    ),
    (
        LaidOpen::TailWheelAxle,
        "tail-wheel-axle",
        mark!("the tail wheel's axle and bearing, turning free"),
        &[(Aspect::TailWheel, Setting::Clear)],
    ),
    (
        LaidOpen::MainWheelFree,
        "main-wheel-free",
        mark!("the main wheel, free of the ground"),
        &[(Aspect::Support, Setting::Trestles)],
    ),
    (
        LaidOpen::RiggedSymmetry,
        "rigged-symmetry",
        mark!("the lengths and angles of the rigged airframe"),
        &[(Aspect::Wings, Setting::Rigged), (Aspect::Tailplane, Setting::On)],
    ),
    (
        LaidOpen::FinFlex,
        "fin-flex",
        mark!("the fin's give under a side load, its own noises heard"),
        &[
            (Aspect::Wings, Setting::Rigged),
            (Aspect::Support, Setting::Trestles),
            (Aspect::Tailplane, Setting::Off),
            (Aspect::TailWheel, Setting::Clear),
        ],
    ),
    (LaidOpen::LiveElectrics, "live-electrics", mark!("electrics at work"), &[(Aspect::Power, Setting::On)]),
    (
        LaidOpen::BareWiring,
        "bare-wiring",
        mark!("wiring and terminals, by hand"),
        &[(Aspect::Power, Setting::Off)],
    ),
];

impl LaidOpen {
    pub const ALL: [LaidOpen; 17] = [
        LaidOpen::TailplaneFittings,
        LaidOpen::ElevatorConnection,
        LaidOpen::WingRoot,
        LaidOpen::LiftPins,
        LaidOpen::SparStub,
        LaidOpen::DragPins,
        LaidOpen::WingRootControls,
        LaidOpen::HingeAlone,
        LaidOpen::WholeCircuit,
        LaidOpen::UnderSeatPan,
        LaidOpen::BehindPanels,
        LaidOpen::TailWheelAxle,
        LaidOpen::MainWheelFree,
        LaidOpen::RiggedSymmetry,
        LaidOpen::FinFlex,
        LaidOpen::LiveElectrics,
        LaidOpen::BareWiring,
    ];

    fn row(self) -> Option<&'static Row> {
        ROWS.iter().find(|row| row.0 == self)
    }

    /// The word in a checklist.
    pub fn word(self) -> &'static str {
        self.row().map_or("", |row| row.1)
    }

    /// In plain words, in the language that is spoken.
    pub fn words(self) -> &'static str {
        self.row().map_or("", |row| said(row.2))
    }

    /// The settings that lay it open.
    pub fn needs(self) -> &'static [(Aspect, Setting)] {
        self.row().map_or(&[], |row| row.3)
    }

    pub fn parse(word: &str) -> Option<LaidOpen> {
        ROWS.iter().find(|row| row.1 == word).map(|row| row.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_place_has_a_word_of_its_own_and_a_setting_that_its_aspect_knows() {
        for place in LaidOpen::ALL {
            assert_eq!(LaidOpen::parse(place.word()), Some(place));
            assert!(!place.needs().is_empty() && !place.words().is_empty());
            assert!(place.needs().iter().all(|(aspect, setting)| aspect.settings().contains(setting)));
        }
        assert_eq!(ROWS.len(), LaidOpen::ALL.len());
    }
}
