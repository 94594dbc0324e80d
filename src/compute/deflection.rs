//! Control-surface travel: millimetres against degrees, limit, differential, free play.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::judged::{
    ALLOWANCE_IN_LIMIT, COVERAGE_FACTOR, EXPANDED_UNCERTAINTY, GUARD_COVERAGE_FACTOR, HALF_WIDTH,
    NO_UNCERTAINTY, judged, overall, read_contributions, read_limit, read_rule, together,
};
use super::report::{Figures, Outcome, Report};
use crate::measure::deflection::{Convention, METHOD, angle_deg, differential, free_play_deg, travel_mm};
use crate::measure::estimate::Estimate;
use crate::measure::input::at_most;
use crate::measure::limits::GuardRule;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::words::said;

pub const KIND: Kind = Kind {
    name: "deflection",
    about: mark!("Control deflection in mm and degrees, tolerance, differential, free play"),
    schema: Schema {
        settings: &[
            key(
                "conformance",
                mark!(
                    "decision rule where an uncertainty is stated: probability at the acceptance limit (95 %)"
                ),
            ),
            GUARD_COVERAGE_FACTOR,
            ALLOWANCE_IN_LIMIT,
        ],
        tables: &[
            Rows {
                name: "surface",
                what: mark!("a surface"),
                keys: &[
                    key("name", mark!("which surface, side and way")),
                    key("radius", mark!("hinge line to the place of the rule")),
                    key("travel", mark!("measured travel in mm")),
                    key("angle", mark!("instead of the travel: the measured angle")),
                    key(
                        "convention",
                        mark!(
                            "what the mm mean: chord (straight, as a rule), arc (along the path), perpendicular"
                        ),
                    ),
                    key("lower", mark!("lower limit, in the unit in which the manual prints it")),
                    key("upper", mark!("upper limit")),
                    key("nominal", mark!("nominal value, with tolerance or with minus and plus")),
                    key("tolerance", mark!("allowed either way")),
                    key("minus", mark!("allowed below")),
                    key("plus", mark!("allowed above")),
                    key("uncertainty", mark!("standard uncertainty of the reading")),
                    key("degrees_of_freedom", mark!("of that uncertainty")),
                    EXPANDED_UNCERTAINTY,
                    COVERAGE_FACTOR,
                    HALF_WIDTH,
                    key("resolution", mark!("step of the instrument")),
                    key("against", mark!("name of the surface or way to compare with (differential)")),
                    key("difference_max", mark!("largest difference from it, without sign")),
                ],
            },
            Rows {
                name: "free_play",
                what: mark!("a free play"),
                keys: &[
                    key("name", mark!("which surface")),
                    key("radius", mark!("hinge line to the place of the gauge")),
                    key("play", mark!("play at that place, controls fixed")),
                    key("play_max", mark!("the manual's largest play, in mm or degrees")),
                ],
            },
        ],
    },
    example: include_str!("../../demo/compute/deflection.toml"),
    takes_recording: false,
    run,
};

const CONVENTIONS: &[(&str, Convention)] =
    &[("chord", Convention::Chord), ("arc", Convention::Arc), ("perpendicular", Convention::Perpendicular)];

/// One measured travel.
struct Travel<'a> {
    row: &'a Record,
    /// By which another row names it; the same in every language.
    name: String,
    title: String,
    radius_mm: Option<f64>,
    convention: Convention,
    entered: Unit,
    mm: Option<f64>,
    deg: Option<f64>,
}

impl Travel<'_> {
    /// The travel in a unit of length or angle; a conversion needs the radius.
    fn in_kind(&self, kind: Dimension) -> Result<f64, Failed> {
        let found = if kind == Dimension::Angle { self.deg } else { self.mm };
        found.ok_or_else(|| {
            self.row.refuse(say!("mm and degrees stand side by side, so the radius is needed; add radius"))
        })
    }
}

fn run(input: &Input) -> Result<Report, Failed> {
    let rule = read_rule(&input.settings);
    let travels: Vec<Result<Travel, Failed>> =
        input.rows("surface").iter().enumerate().map(|(i, row)| travel(row, i)).collect();
    let plays = input.rows("free_play");
    if travels.is_empty() && plays.is_empty() {
        return Err(input.refuse("no-rows", say!("there is neither a surface nor a free_play; add one")));
    }
    let travels = travels.into_iter().collect::<Result<Vec<_>, _>>()?;
    let rule = complete(rule)?;
    let mut report = Report::new(KIND.name, METHOD);
    for travel in &travels {
        let mut figures = figures_of(travel);
        let found = judge_travel(travel, rule, &mut figures)?;
        report.outcome = report.outcome.graver(found);
        let found = differential_of(travel, &travels, &mut figures)?;
        report.outcome = report.outcome.graver(found);
        report.row("surfaces", travel.title.clone(), figures);
    }
    for (index, row) in plays.iter().enumerate() {
        let (found, figures) = free_play(row)?;
        report.outcome = report.outcome.graver(found);
        report.row("free_play", row.text_or("name", &say!("free play {}", index + 1)), figures);
    }
    let exact =
        |travel: &&Travel| travel.row.has("lower") || travel.row.has("upper") || travel.row.has("nominal");
    let stated = |row: &Record| {
        ["uncertainty", "expanded_uncertainty", "half_width", "resolution"].iter().any(|key| row.has(key))
    };
    if travels.iter().filter(exact).any(|travel| !stated(travel.row)) {
        report.caution(said(NO_UNCERTAINTY));
    }
    let count = travels.len() + plays.len();
    report.say(overall(report.outcome, &say!("1 measurement" | "{n} measurements" % count)));
    report.caution(say!("a limit is judged in the unit in which the manual prints it; the other unit stands beside for information"));
    report.caution(say!("tolerances are those of the type's manual; a disturbed flight control needs an independent inspection"));
    Ok(report)
}

fn travel(row: &Record, index: usize) -> Result<Travel<'_>, Failed> {
    let radius = row.optional("radius", row.value("radius", Unit::Millimetre));
    let convention = row.or("convention", Convention::Chord, row.choice("convention", CONVENTIONS));
    let measured: Option<(Unit, f64)> = match (row.has("travel"), row.has("angle")) {
        (true, false) => row.value("travel", Unit::Millimetre).map(|mm| (Unit::Millimetre, mm)),
        (false, true) => row.value("angle", Unit::Degree).map(|deg| (Unit::Degree, deg)),
        _ => return Err(row.refuse(say!("give either travel (mm) or angle (degrees)"))),
    };
    let (radius_mm, convention, (entered, value)) =
        (complete(radius)?, complete(convention)?, complete(measured)?);
    let (mut mm, mut deg) = if entered == Unit::Degree { (None, Some(value)) } else { (Some(value), None) };
    if let Some(radius) = radius_mm {
        let refuse = |error| row.refuse_key(if entered == Unit::Degree { "angle" } else { "travel" }, error);
        if entered == Unit::Degree {
            mm = Some(travel_mm(radius, value, convention).map_err(refuse)?);
        } else {
            deg = Some(angle_deg(radius, value, convention).map_err(refuse)?);
        }
    }
    let name = row.text_or("name", &format!("surface {}", index + 1));
    let title = row.text_or("name", &say!("surface {}", index + 1));
    Ok(Travel { row, name, title, radius_mm, convention, entered, mm, deg })
}

fn figures_of(travel: &Travel) -> Figures {
    let mut figures = Figures::new();
    if let Some(mm) = travel.mm {
        figures.value("travel", say!("Travel"), mm, "mm");
    }
    if let Some(deg) = travel.deg {
        figures.value("angle", say!("Angle"), deg, "°");
    }
    if let Some(radius) = travel.radius_mm {
        figures.value("radius", say!("Radius"), radius, "mm");
        let word = CONVENTIONS.iter().find(|(_, c)| *c == travel.convention).map_or("", |(word, _)| word);
        figures.text("convention", say!("The mm mean"), word);
    }
    figures
}

fn judge_travel(travel: &Travel, rule: GuardRule, figures: &mut Figures) -> Result<Outcome, Failed> {
    let row = travel.row;
    let printed = ["nominal", "lower", "upper"].into_iter().find(|key| row.has(key));
    let Some(printed) = printed else {
        return complete(read_limit(row, Unit::Millimetre)).map(|_| Outcome::Computed);
    };
    let kind = complete(row.any_quantity(printed))?.unit.dimension();
    let unit = match kind {
        Dimension::Angle => Unit::Degree,
        Dimension::Length => Unit::Millimetre,
        _ => {
            return Err(row.refuse_key(
                printed,
                say!("a limit of travel is a length or an angle; give it in mm or degrees"),
            ));
        }
    };
    let limit = complete(read_limit(row, unit))?.ok_or(Failed)?;
    let (u, nu) = together(row, &complete(read_contributions(row, travel.entered))?)?;
    let value = travel.in_kind(kind)?;
    let u = if unit == travel.entered || u == 0.0 { u } else { converted(travel, u, unit)? };
    judged(row, Estimate::new(value, u, nu), limit, rule, unit.symbol(), figures)
}

/// A small uncertainty of the reading in the unit of the limit: half the difference that it makes either way.
fn converted(travel: &Travel, u: f64, unit: Unit) -> Result<f64, Failed> {
    let radius = travel.radius_mm.unwrap_or(0.0);
    let at = |value: f64| {
        let found = match unit {
            Unit::Degree => angle_deg(radius, value, travel.convention),
            _ => travel_mm(radius, value, travel.convention),
        };
        found.map_err(|error| travel.row.refuse(error))
    };
    let value = if travel.entered == Unit::Degree { travel.deg } else { travel.mm }.unwrap_or(0.0);
    Ok(((at(value + u)? - at(value - u)?) / 2.0).abs())
}

fn differential_of(travel: &Travel, all: &[Travel], figures: &mut Figures) -> Result<Outcome, Failed> {
    let row = travel.row;
    let largest = match row.any_quantity("difference_max") {
        Some(largest) => Some(largest),
        None if row.has("difference_max") => return Err(Failed),
        None => None,
    };
    let Some(other) = row.text("against") else {
        return match largest {
            Some(_) => Err(row.refuse_key(
                "difference_max",
                say!("a largest difference needs the name of the other; add against"),
            )),
            None => Ok(Outcome::Computed),
        };
    };
    let Some(other) = all.iter().find(|candidate| candidate.name == other.text) else {
        return Err(row.refuse_key("against", say!("there is no surface named \"{}\"", other.text)));
    };
    let kind = largest.map_or(travel.entered.dimension(), |largest| largest.unit.dimension());
    let unit = if kind == Dimension::Angle { Unit::Degree } else { Unit::Millimetre };
    let (first, second) = (travel.in_kind(kind)?, other.in_kind(kind)?);
    let found = differential(first.abs(), second.abs(), unit.symbol())
        .map_err(|error| row.refuse_key("against", error))?;
    figures.text("against", say!("Against"), other.name.clone());
    figures.value("difference", say!("Difference of the travels"), found.difference, unit.symbol());
    figures.value("ratio", say!("Ratio of the travels"), found.ratio, "");
    let Some(largest) = largest else { return Ok(Outcome::Computed) };
    let largest = most(row, "difference_max", largest, unit)?;
    let kept = at_most(found.difference.abs(), largest, first);
    figures.value("difference_max", say!("Largest difference"), largest, unit.symbol());
    figures.flag("difference_within", say!("Difference within"), kept);
    Ok(verdict(kept))
}

/// A largest value without sign, in `unit`.
fn most(row: &Record, key: &'static str, largest: Quantity, unit: Unit) -> Result<f64, Failed> {
    match largest.in_unit_f64(unit) {
        Ok(value) if value >= 0.0 => Ok(value),
        Ok(_) => Err(row.refuse_key(
            key,
            say!("\"{quantity}\" is negative; enter it without the sign", quantity = largest.shown()),
        )),
        Err(error) => Err(row.refuse_key(key, error)),
    }
}

fn verdict(kept: bool) -> Outcome {
    if kept { Outcome::Within } else { Outcome::Outside }
}

fn free_play(row: &Record) -> Result<(Outcome, Figures), Failed> {
    let play = row.required_value("play", Unit::Millimetre);
    let radius = row.required_value("radius", Unit::Millimetre);
    let largest = row.optional("play_max", row.any_quantity("play_max"));
    let (play, radius, largest) = (complete(play)?, complete(radius)?, complete(largest)?);
    let deg = free_play_deg(play, radius).map_err(|error| row.refuse_key("play", error))?;
    let mut figures = Figures::new();
    figures.value("play", say!("Free play"), play, "mm");
    figures.value("play", say!("Free play"), deg, "°");
    figures.value("radius", say!("Radius"), radius, "mm");
    let Some(largest) = largest else { return Ok((Outcome::Computed, figures)) };
    let angle = largest.unit.dimension() == Dimension::Angle;
    let (value, unit) = if angle { (deg, Unit::Degree) } else { (play, Unit::Millimetre) };
    let largest = most(row, "play_max", largest, unit)?;
    let kept = at_most(value, largest, value);
    figures.value("play_max", say!("Largest play"), largest, unit.symbol());
    figures.outcome(verdict(kept), if kept { say!("within") } else { say!("outside") });
    Ok((verdict(kept), figures))
}
