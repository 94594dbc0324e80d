//! Where a mark belongs: from component, side and station as somebody wrote them.

use super::region::{Region, recognise, words_of};
use super::shape::AirframeShape;
use crate::words::{figure, said};

/// What is to be marked. Component and side are free text.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mark {
    /// Such as `d1`; the last number of it becomes the sign.
    pub id: String,
    pub component: Option<String>,
    pub side: Option<String>,
    /// From the type's datum, positive aft.
    pub station_mm: Option<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    Left,
    Right,
    Both,
    Centre,
    NotTold,
}

impl Sides {
    /// Letter beside a mark in the side view, where left and right lie upon each other.
    pub fn letter(self) -> Option<char> {
        match self {
            Sides::Left => Some('L'),
            Sides::Right => Some('R'),
            Sides::Both => Some('B'),
            Sides::Centre | Sides::NotTold => None,
        }
    }

    /// Which way from the plane of symmetry, right positive.
    pub(super) fn directions(self, is_paired: bool) -> &'static [f64] {
        match self {
            Sides::Left => &[-1.0],
            Sides::Right => &[1.0],
            Sides::Both => &[-1.0, 1.0],
            Sides::NotTold if is_paired => &[-1.0, 1.0],
            Sides::Centre | Sides::NotTold => &[0.0],
        }
    }

    fn of(text: &str) -> Option<Sides> {
        let words = words_of(text);
        let has = |wanted: &[&str]| words.iter().any(|word| wanted.contains(&word.as_str()));
        let left = has(&["left", "port", "lh"]);
        let right = has(&["right", "starboard", "rh"]);
        match (left, right) {
            (true, true) => Some(Sides::Both),
            (true, false) => Some(Sides::Left),
            (false, true) => Some(Sides::Right),
            (false, false) if has(&["both"]) => Some(Sides::Both),
            (false, false) if has(&["centre", "center", "middle"]) => Some(Sides::Centre),
            _ => None,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum At {
    /// At this station, on the region or, where that is not known, on the fuselage.
    Station(f64),
    /// Somewhere on the region.
    Whole,
    Nowhere,
}

/// A mark with its place found.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// One character that stands for it in the picture.
    pub sign: char,
    pub id: String,
    /// The place as it was written.
    pub words: String,
    /// What cannot be drawn as it was written, and why.
    pub notes: Vec<String>,
    pub region: Option<Region>,
    pub sides: Sides,
    pub at: At,
}

/// The number at the end of an id as one character: 1 to 9, then a for 10 to z for 35; `*` for everything else.
pub fn sign_of_id(id: &str) -> char {
    let digits = id.trim_start_matches(|c: char| !c.is_ascii_digit());
    match digits.parse::<u32>() {
        Ok(number @ 1..=35) => char::from_digit(number, 36).unwrap_or('*'),
        _ => '*',
    }
}

/// Finds the place of a mark. Never fails: what cannot be placed says so in its notes.
pub fn place_mark(shape: &AirframeShape, mark: &Mark) -> Placed {
    let component = mark.component.as_deref().map(str::trim).filter(|text| !text.is_empty());
    let side = mark.side.as_deref().map(str::trim).filter(|text| !text.is_empty());
    let region = component.and_then(recognise);
    let mut notes = Vec::new();
    let sides = sides_of(component, side, &mut notes);
    if let (Some(component), None) = (component, region) {
        notes.push(say!("component \"{component}\" is not recognised", component));
    }
    let at = match mark.station_mm.filter(|station| station.is_finite()) {
        Some(station) => at_station(shape, region, station, &mut notes),
        None if region.is_some() => {
            notes.push(say!("no station").to_string());
            At::Whole
        }
        None => {
            notes.push(say!("not drawn: neither a station nor a known component").to_string());
            At::Nowhere
        }
    };
    if at != At::Nowhere && sides == Sides::NotTold && region.is_some_and(Region::is_paired) {
        notes.push(say!("side not recorded: marked on both").to_string());
    }
    let station = mark.station_mm.map(|station| say!("station {mm} mm", mm = figure(station)));
    let words: Vec<String> = component
        .map(ToString::to_string)
        .into_iter()
        .chain(side.map(|side| said(side).to_string()))
        .chain(station)
        .collect();
    let words = if words.is_empty() { say!("no place recorded").to_string() } else { words.join(", ") };
    Placed { sign: sign_of_id(&mark.id), id: mark.id.clone(), words, notes, region, sides, at }
}

/// The side as told by its own field, else by the component's words ("left wing").
fn sides_of(component: Option<&str>, side: Option<&str>, notes: &mut Vec<String>) -> Sides {
    let by_component = component.and_then(Sides::of);
    let by_side = side.and_then(Sides::of);
    if let (Some(side), None) = (side, by_side) {
        notes.push(say!("side \"{side}\" is not recognised", side));
    }
    if let (Some(one), Some(other)) = (by_component, by_side)
        && one != other
    {
        notes.push(say!("component and side name different sides: marked by the side").to_string());
    }
    by_side.or(by_component).unwrap_or(Sides::NotTold)
}

fn at_station(shape: &AirframeShape, region: Option<Region>, station: f64, notes: &mut Vec<String>) -> At {
    if !shape.is_to_scale {
        // The legend says once for all marks that no station can be drawn.
        if region.is_some() {
            return At::Whole;
        }
        notes.push(say!("not drawn").to_string());
        return At::Nowhere;
    }
    if let Some(outside) = outside(shape, station) {
        notes.push(outside);
        return if region.is_some() { At::Whole } else { At::Nowhere };
    }
    match region {
        Some(region) => notes.extend(off_component(shape, region, station)),
        None => notes.push(say!("marked by its station only").to_string()),
    }
    At::Station(station)
}

/// Told when a station lies on no part of the airframe.
fn outside(shape: &AirframeShape, station: f64) -> Option<String> {
    if station < shape.nose {
        return Some(say!(
            "station {station} mm lies ahead of the nose ({nose} mm)",
            station = figure(station),
            nose = figure(shape.nose)
        ));
    }
    let behind = station > shape.tail_end;
    behind.then(|| {
        say!(
            "station {station} mm lies behind the tail end ({end} mm)",
            station = figure(station),
            end = figure(shape.tail_end)
        )
    })
}

fn off_component(shape: &AirframeShape, region: Region, station: f64) -> Option<String> {
    let (first, last) = region.stations(shape);
    let is_off = station < first || station > last;
    is_off.then(|| {
        say!(
            "station {station} mm lies off the {region} ({first} to {last} mm)",
            station = figure(station),
            region = said(region.word()),
            first = figure(first),
            last = figure(last)
        )
    })
}

/// What a station means on this airframe, for whoever is typing it; whether it is doubtful. `None` where the type
/// has no outline.
pub fn station_words(
    shape: &AirframeShape,
    component: Option<&str>,
    station_mm: f64,
) -> Option<(String, bool)> {
    if !shape.is_to_scale || !station_mm.is_finite() {
        return None;
    }
    if let Some(outside) = outside(shape, station_mm) {
        return Some((outside, true));
    }
    let component = component.map(str::trim).filter(|text| !text.is_empty());
    let Some(region) = component.and_then(recognise) else {
        let here = say!(
            "station {station} mm: {place}",
            station = figure(station_mm),
            place = parts_at(shape, station_mm)
        );
        let what = component.map_or(String::new(), |component| {
            format!("; {}", say!("component \"{component}\" is not recognised", component))
        });
        return Some((here + &what, false));
    };
    if let Some(off) = off_component(shape, region, station_mm) {
        return Some((say!("{off}, at the {place}", off, place = parts_at(shape, station_mm)), true));
    }
    let (from, name) = region.told_from(shape);
    let distance = station_mm - from;
    let told = if distance == 0.0 {
        say!("at {name}", name)
    } else if distance > 0.0 {
        say!("{distance} mm behind {name}", distance = figure(distance), name)
    } else {
        say!("{distance} mm ahead of {name}", distance = figure(-distance), name)
    };
    let place = format!("{}, {told}", said(region.word()));
    Some((say!("station {station} mm: {place}", station = figure(station_mm), place), false))
}

/// The parts that have this station.
fn parts_at(shape: &AirframeShape, station: f64) -> String {
    use Region::{Cockpit, Fin, Fuselage, Nose, Rudder, TailBoom, Tailplane, Wing};
    let has = |region: &Region| {
        let (first, last) = region.stations(shape);
        (first..=last).contains(&station)
    };
    let parts = [Nose, Cockpit, Wing, TailBoom, Fin, Rudder, Tailplane];
    let here: Vec<&str> =
        parts.iter().filter(|region| has(region)).map(|region| said(region.word())).collect();
    if here.is_empty() {
        said(Fuselage.word()).to_string()
    } else {
        here.join(say!("between parts" => " or "))
    }
}
