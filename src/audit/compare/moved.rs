//! One value then and now: how far it moved, whether toward its limit, and how much room is left.

use std::cmp::Ordering;

use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Serialize, Serializer};

use crate::event::InstrumentUse;
use crate::quantity::{Limit, Number, Quantity, Unit};
use crate::words::{number, of_checklist};

/// Which way a value moved as seen from the end of its limit that is nearest now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Toward {
    Limit,
    Away,
    Neither,
}

/// A value then and now. Every value is text with its unit, as it is shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Moved {
    /// Which of several values it is: "left", "right", "apart", "mean of 3", a direction.
    pub of: Option<Part>,
    pub then: String,
    pub now: String,
    /// Now less then, in the unit now. Exact, but for units that do not convert exactly.
    pub difference: String,
    pub unchanged: bool,
    /// In per cent of the earlier value; nothing at zero, or for a scale whose zero is a convention.
    pub relative_percent: Option<String>,
    /// Nothing where there is no limit.
    pub toward: Option<Toward>,
    /// How much is left to the limit that holds now, or how far beyond it is.
    pub room: Option<String>,
    pub beyond: bool,
    /// The difference is no larger than what both instruments leave open; nothing where one states no uncertainty.
    pub within_uncertainty: Option<bool>,
    /// Share of the earlier room that is used up, for putting the most urgent first.
    #[serde(skip)]
    pub used_up: Decimal,
}

/// What of a reading moved, where it is not the one value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    Left,
    Right,
    /// How far the sides are apart.
    Apart,
    /// Mean of this many readings.
    Mean(usize),
    /// Stiffness in a direction, named by the checklist.
    Stiffness(String),
}

impl Part {
    pub fn words(&self) -> String {
        match self {
            Part::Left => say!("left").to_string(),
            Part::Right => say!("right").to_string(),
            Part::Apart => say!("apart").to_string(),
            Part::Mean(count) => say!("mean of {}", count),
            Part::Stiffness(direction) => say!("stiffness {direction}", direction = of_checklist(direction)),
        }
    }
}

/// As JSON the same words in every language.
impl Serialize for Part {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Part::Left => serializer.serialize_str("left"),
            Part::Right => serializer.serialize_str("right"),
            Part::Apart => serializer.serialize_str("apart"),
            Part::Mean(count) => serializer.collect_str(&format_args!("mean of {count}")),
            Part::Stiffness(direction) => serializer.collect_str(&format_args!("stiffness {direction}")),
        }
    }
}

impl Moved {
    /// Nearer to its limit by more than the instruments leave open, or beyond it.
    pub fn needs_a_look(&self) -> bool {
        self.beyond || (self.toward == Some(Toward::Limit) && self.within_uncertainty != Some(true))
    }

    /// `0.20 mm, now 0.30 mm: +0.10 mm, +50.0 %, toward its limit; 0.20 mm left to 0.50 mm`.
    pub fn words(&self) -> String {
        let of = self.of.as_ref().map(|of| format!("{} ", of.words())).unwrap_or_default();
        let number = |neutral: &str| number(neutral).into_owned();
        if self.unchanged {
            let room = self.room.as_ref().map(|room| format!("; {room}")).unwrap_or_default();
            return say!("{of}{}, as before{room}", number(&self.now), of, room);
        }
        let mut words =
            say!("{of}{}, now {}: {}", number(&self.then), number(&self.now), number(&self.difference), of);
        if let Some(percent) = &self.relative_percent {
            words.push_str(&format!(", {} %", number(percent)));
        }
        match self.toward {
            Some(Toward::Limit) => words.push_str(say!(", toward its limit")),
            Some(Toward::Away) => words.push_str(say!(", away from its limit")),
            _ => {}
        }
        if self.within_uncertainty == Some(true) {
            words.push_str(say!(" (no more than the instruments leave open)"));
        }
        if let Some(room) = &self.room {
            words.push_str(&format!("; {room}"));
        }
        words
    }
}

/// Both values with what they were taken with.
#[derive(Clone, Copy)]
pub struct Then<'a> {
    pub value: Quantity,
    pub instrument: Option<&'a InstrumentUse>,
}

/// Compares in the unit now. Nothing where the kinds of unit differ or the digits do not fit.
pub fn moved(then: Then<'_>, now: Then<'_>, limit: Option<&Limit>) -> Option<Moved> {
    let unit = now.value.unit;
    let was = then.value.to(unit).ok()?.value.decimal();
    let is = now.value.value.decimal();
    let difference = is.checked_sub(was)?;
    let room_now = limit.and_then(|limit| room(is, unit, limit));
    let room_then = limit.and_then(|limit| room(was, unit, limit));
    let toward =
        room_now.as_ref().zip(room_then.as_ref()).map(|(now, then)| match now.left.cmp(&then.left) {
            Ordering::Less => Toward::Limit,
            Ordering::Greater => Toward::Away,
            Ordering::Equal => Toward::Neither,
        });
    let used_up = room_now
        .as_ref()
        .zip(room_then.as_ref())
        .and_then(|(now, then)| then.left.checked_sub(now.left)?.checked_div(then.left.abs()));
    let exact = then.value.converts_exactly(unit);
    Some(Moved {
        of: None,
        then: then.value.to_string(),
        now: now.value.to_string(),
        difference: signed(difference, unit, exact),
        unchanged: difference.is_zero(),
        relative_percent: relative(was, difference, unit),
        toward,
        beyond: room_now.as_ref().is_some_and(|room| room.left.is_sign_negative() && !room.left.is_zero()),
        room: room_now.map(|room| room.words(unit)),
        within_uncertainty: within_uncertainty(difference, unit, then.instrument, now.instrument),
        used_up: used_up.unwrap_or(Decimal::MAX),
    })
}

/// With its sign; a conversion that does not end is cut to six places and says so.
fn signed(difference: Decimal, unit: Unit, exact: bool) -> String {
    let shown = if exact {
        difference
    } else {
        difference.round_dp_with_strategy(6, RoundingStrategy::MidpointNearestEven).normalize()
    };
    let about = if shown == difference { "" } else { say!("about ") };
    let sign = if shown.is_sign_positive() && !shown.is_zero() { "+" } else { "" };
    format!("{about}{sign}{}", Quantity::new(Number::from(shown), unit))
}

fn relative(was: Decimal, difference: Decimal, unit: Unit) -> Option<String> {
    if was.is_zero() || !unit.offset().is_zero() {
        return None;
    }
    let percent = difference.checked_mul(Decimal::ONE_HUNDRED)?.checked_div(was.abs())?;
    Some(format!("{:+.1}", percent.round_dp_with_strategy(1, RoundingStrategy::MidpointNearestEven)))
}

/// How far a value stands from the nearest end; negative beyond it.
struct Room {
    left: Decimal,
    end: Quantity,
}

impl Room {
    fn words(&self, unit: Unit) -> String {
        let size = Quantity::new(Number::from(self.left.abs()), unit).to_string();
        let (size, end) = (number(&size), self.end.to_string());
        let end = number(&end);
        if self.left.is_sign_negative() && !self.left.is_zero() {
            say!("{size} beyond {}", end, size)
        } else if self.left.is_zero() {
            say!("at its limit of {}", end)
        } else {
            say!("{size} left to {}", end, size)
        }
    }
}

fn room(value: Decimal, unit: Unit, limit: &Limit) -> Option<Room> {
    let above = limit.min().and_then(|end| {
        Some(Room { left: value.checked_sub(end.to(unit).ok()?.value.decimal())?, end: *end })
    });
    let below = limit.max().and_then(|end| {
        Some(Room { left: end.to(unit).ok()?.value.decimal().checked_sub(value)?, end: *end })
    });
    above.into_iter().chain(below).min_by(|a, b| a.left.cmp(&b.left))
}

/// Whether |d| is at most the root of the sum of both squared expanded uncertainties (k = 2), as a score of
/// comparison between two measurements has it (En number, ISO 13528; from memory). Squared, it stays exact.
fn within_uncertainty(
    difference: Decimal,
    unit: Unit,
    then: Option<&InstrumentUse>,
    now: Option<&InstrumentUse>,
) -> Option<bool> {
    let squared = |used: Option<&InstrumentUse>| {
        let expanded = used?.uncertainty?;
        // An uncertainty is a difference: the zero of the scale plays no part in it.
        if !unit.offset().is_zero() && expanded.unit != unit {
            return None;
        }
        let expanded = expanded.to(unit).ok()?.value.decimal();
        expanded.checked_mul(expanded)
    };
    let both = squared(then)?.checked_add(squared(now)?)?;
    Some(difference.checked_mul(difference)? <= both)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> Then<'static> {
        Then { value: Quantity::parse(text).unwrap_or_else(|error| panic!("{error}")), instrument: None }
    }

    fn at_most(text: &str) -> Limit {
        Limit::new(None, Some(at(text).value)).unwrap_or_else(|error| panic!("{error}"))
    }

    #[test]
    fn the_difference_is_an_exact_decimal() {
        let found = moved(at("0.20 mm"), at("0.30 mm"), Some(&at_most("0.50 mm"))).expect("lengths");
        assert_eq!(
            found.words(),
            "0.20 mm, now 0.30 mm: +0.10 mm, +50.0 %, toward its limit; 0.20 mm left to 0.50 mm"
        );
        assert!(found.needs_a_look());
    }

    /// 1 in is 25.4 mm exactly (international yard and pound agreement 1959; ISO 80000-3, from memory).
    #[test]
    fn units_are_converted_to_the_one_now() {
        let found = moved(at("1 in"), at("25.0 mm"), Some(&at_most("2.6 cm"))).expect("lengths");
        assert_eq!(
            found.words(),
            "1 in, now 25.0 mm: -0.4 mm, -1.6 %, away from its limit; 1.0 mm left to 2.6 cm"
        );
        assert!(!found.needs_a_look());
    }

    #[test]
    fn beyond_and_at_the_limit() {
        let found = moved(at("0.50 mm"), at("0.55 mm"), Some(&at_most("0.50 mm"))).expect("lengths");
        assert_eq!(found.room.as_deref(), Some("0.05 mm beyond 0.50 mm"));
        assert!(found.beyond);
        let found = moved(at("0.50 mm"), at("0.50 mm"), Some(&at_most("0.50 mm"))).expect("lengths");
        assert_eq!(found.words(), "0.50 mm, as before; at its limit of 0.50 mm");
        assert!(!found.needs_a_look());
    }

    #[test]
    fn the_nearest_end_counts() {
        let both = Limit::new(Some(at("10 mm").value), Some(at("20 mm").value)).expect("a limit");
        let found = moved(at("18 mm"), at("11 mm"), Some(&both)).expect("lengths");
        assert_eq!(found.toward, Some(Toward::Limit));
        assert_eq!(found.room.as_deref(), Some("1 mm left to 10 mm"));
    }

    #[test]
    fn without_a_limit_nothing_is_said_of_one() {
        let found = moved(at("3 N"), at("4 N"), None).expect("forces");
        assert_eq!(found.words(), "3 N, now 4 N: +1 N, +33.3 %");
        assert!(moved(at("3 N"), at("4 mm"), None).is_none());
    }

    #[test]
    fn what_the_instruments_leave_open_is_no_movement() {
        let used = InstrumentUse {
            id: "g".to_string(),
            title: "Gauge".to_string(),
            calibration_due: None,
            resolution: None,
            uncertainty: Some(at("0.03 mm").value),
        };
        let with = |text: &str| Then { instrument: Some(&used), ..at(text) };
        // sqrt(0.03^2 + 0.03^2) = 0.0424
        let limit = at_most("1 mm");
        let small = moved(with("0.20 mm"), with("0.24 mm"), Some(&limit)).expect("lengths");
        assert_eq!((small.within_uncertainty, small.needs_a_look()), (Some(true), false));
        let large = moved(with("0.20 mm"), with("0.25 mm"), Some(&limit)).expect("lengths");
        assert_eq!((large.within_uncertainty, large.needs_a_look()), (Some(false), true));
    }
}
