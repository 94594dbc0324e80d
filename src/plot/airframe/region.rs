//! What people call a component, and which part of the airframe that is.

use super::shape::AirframeShape;

/// A part of the airframe that can be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Region {
    Fuselage,
    Nose,
    Cockpit,
    Canopy,
    TailBoom,
    Wing,
    WingRoot,
    WingTip,
    Aileron,
    Flap,
    Airbrake,
    Fin,
    FinRoot,
    FinTop,
    Rudder,
    Tailplane,
    Elevator,
    MainWheel,
    NoseWheel,
    TailWheel,
}

use Region::{
    Aileron, Airbrake, Canopy, Cockpit, Elevator, Fin, FinRoot, FinTop, Flap, Fuselage, MainWheel, Nose,
    NoseWheel, Rudder, TailBoom, TailWheel, Tailplane, Wing, WingRoot, WingTip,
};

/// All words of a row must occur; the first row that fits counts, so that the particular goes before the general.
const WORDS: &[(&[&str], Region)] = &[
    (&["rudder", "pedal"], Cockpit),
    (&["pedal"], Cockpit),
    (&["fin", "root"], FinRoot),
    (&["fin", "top"], FinTop),
    (&["fin", "tip"], FinTop),
    (&["tail", "wheel"], TailWheel),
    (&["tailwheel"], TailWheel),
    (&["tail", "skid"], TailWheel),
    (&["nose", "wheel"], NoseWheel),
    (&["nosewheel"], NoseWheel),
    (&["wing", "root"], WingRoot),
    (&["wing", "tip"], WingTip),
    (&["wingtip"], WingTip),
    (&["winglet"], WingTip),
    (&["aileron"], Aileron),
    (&["flap"], Flap),
    (&["flaperon"], Flap),
    (&["airbrake"], Airbrake),
    (&["air", "brake"], Airbrake),
    (&["spoiler"], Airbrake),
    (&["elevator"], Elevator),
    (&["tailplane"], Tailplane),
    (&["stabiliser"], Tailplane),
    (&["stabilizer"], Tailplane),
    (&["rudder"], Rudder),
    (&["fin"], Fin),
    (&["boom"], TailBoom),
    (&["tailboom"], TailBoom),
    (&["tail", "cone"], TailBoom),
    (&["canopy"], Canopy),
    (&["canopies"], Canopy),
    (&["cockpit"], Cockpit),
    (&["seat"], Cockpit),
    (&["harness"], Cockpit),
    (&["instrument"], Cockpit),
    (&["wing"], Wing),
    (&["spar"], Wing),
    (&["undercarriage"], MainWheel),
    (&["gear"], MainWheel),
    (&["wheel"], MainWheel),
    (&["nose"], Nose),
    (&["fuselage"], Fuselage),
    (&["keel"], Fuselage),
];

/// Lower-case words without the `s` of a plural.
pub(super) fn words_of(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| {
            let word = word.to_lowercase();
            match word.strip_suffix('s') {
                Some(one) if !one.ends_with('s') && one.chars().count() > 2 => one.to_string(),
                _ => word,
            }
        })
        .collect()
}

/// The part that a component's words name; `None` when they name none that is known.
pub fn recognise(component: &str) -> Option<Region> {
    let named = words_of(component);
    let is_named = |wanted: &[&str]| wanted.iter().all(|word| named.iter().any(|name| name == word));
    WORDS.iter().find(|(wanted, _)| is_named(wanted)).map(|(_, region)| *region)
}

impl Region {
    pub fn word(self) -> &'static str {
        match self {
            Fuselage => mark!("fuselage"),
            Nose => mark!("nose"),
            Cockpit => mark!("cockpit"),
            Canopy => mark!("canopy"),
            TailBoom => mark!("tail boom"),
            Wing => mark!("wing"),
            WingRoot => mark!("wing root"),
            WingTip => mark!("wing tip"),
            Aileron => mark!("aileron"),
            Flap => mark!("flap"),
            Airbrake => mark!("airbrake"),
            Fin => mark!("fin"),
            FinRoot => mark!("fin root"),
            FinTop => mark!("fin top"),
            Rudder => mark!("rudder"),
            Tailplane => mark!("tailplane"),
            Elevator => mark!("elevator"),
            MainWheel => mark!("undercarriage"),
            NoseWheel => mark!("nose wheel"),
            TailWheel => mark!("tail wheel"),
        }
    }

    /// There is one on the left and one on the right.
    pub fn is_paired(self) -> bool {
        matches!(self, Wing | WingRoot | WingTip | Aileron | Flap | Airbrake | Tailplane | Elevator)
    }

    /// Seen best from above.
    pub fn is_flat(self) -> bool {
        self.is_paired()
    }

    /// First and last station of the part, mm.
    pub fn stations(self, of: &AirframeShape) -> (f64, f64) {
        let around = |station: f64| (station - 0.04 * of.length(), station + 0.04 * of.length());
        match self {
            Fuselage => (of.nose, of.tail_end),
            Nose => (of.nose, of.cockpit.0),
            Cockpit | Canopy => of.cockpit,
            TailBoom => (of.wing_root.1, of.rudder_hinge),
            WingRoot => of.wing_root,
            WingTip => of.wing_tip,
            Wing | Aileron | Flap | Airbrake => {
                (of.wing_root.0.min(of.wing_tip.0), of.wing_root.1.max(of.wing_tip.1))
            }
            Fin | FinRoot | FinTop => (of.fin_root.min(of.fin_top), of.rudder_hinge),
            Rudder => (of.rudder_hinge, of.tail_end),
            Tailplane | Elevator => of.tailplane,
            MainWheel => around(of.main_wheel),
            NoseWheel => around(of.nose_wheel.unwrap_or(of.nose)),
            TailWheel => around(of.tail_wheel),
        }
    }

    /// The line from which a place on the part is told, and its name.
    pub(super) fn told_from(self, of: &AirframeShape) -> (f64, &'static str) {
        match self {
            Fin | FinRoot | FinTop => (of.fin_root, say!("its leading edge root")),
            TailBoom => (of.fin_root, say!("the leading edge root of the fin")),
            Rudder => (of.rudder_hinge, say!("the rudder hinge")),
            Wing | WingRoot | WingTip | Aileron | Flap | Airbrake => {
                (of.wing_root.0, say!("the leading edge at the wing root"))
            }
            Tailplane | Elevator => (of.tailplane.0, say!("the leading edge of the tailplane")),
            Cockpit | Canopy => (of.cockpit.0, say!("the front end of the canopy")),
            MainWheel => (of.main_wheel, say!("the axle of the main wheel")),
            NoseWheel => (of.nose_wheel.unwrap_or(of.nose), say!("the axle of the nose wheel")),
            TailWheel => (of.tail_wheel, say!("the axle of the tail wheel")),
            Fuselage | Nose => (of.nose, say!("the nose")),
        }
    }

    /// Height at which a mark at `station` stands in the side view: how high it really is, is not recorded.
    pub(super) fn height(self, of: &AirframeShape, station: f64) -> f64 {
        let (top, bottom) = (of.top_at(station), of.bottom_at(station));
        let up_the_fin = |share: f64| top + share * (of.fin_height - top);
        match self {
            Canopy => top,
            Wing | WingRoot | WingTip | Aileron | Flap | Airbrake => of.wing_height(),
            Fin | Rudder => up_the_fin(0.5),
            FinRoot => up_the_fin(0.12),
            FinTop => up_the_fin(0.92),
            Tailplane | Elevator => of.tailplane_height(),
            MainWheel | NoseWheel | TailWheel => bottom,
            Fuselage | Nose | Cockpit | TailBoom => 0.5 * (top + bottom),
        }
    }

    /// Distance from the plane of symmetry at which a mark on one side stands; `wing_share` shortens the wings.
    pub(super) fn aside(self, of: &AirframeShape, station: f64, wing_share: f64) -> f64 {
        let along_wing = |share: f64| {
            let root = of.half_width_at(of.wing_root.0);
            root + share * (of.semi_span * wing_share - root)
        };
        match self {
            Wing => along_wing(0.5),
            WingRoot => along_wing(0.06),
            WingTip => along_wing(0.96),
            Aileron => along_wing(0.75),
            Flap => along_wing(0.3),
            Airbrake => along_wing(0.42),
            Tailplane | Elevator => 0.5 * of.tailplane_semi_span,
            // Beside the thin parts, so that the side can be seen.
            _ => of.half_width_at(station).max(0.03 * of.length()),
        }
    }
}
