//! A step's measurements then and now: new, gone, limits tightened or loosened from and to.

use std::cmp::Ordering;

use super::nature::{Nature, VersionStep};
use super::steps::FieldChange;
use crate::checklist::{Guard, Measure, MeasureKind, SeriesDemand};
use crate::quantity::{Limit, Number, Quantity, Unit};
use crate::words::said;

/// A difference in words, with its nature.
pub(super) type Told = (Nature, String);

/// Which way a limit moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Moved {
    /// The same limit, written in another way.
    Not,
    Tighter,
    Looser,
    Otherwise,
}

impl Moved {
    fn word(self) -> &'static str {
        match self {
            Moved::Not => mark!("written otherwise"),
            Moved::Tighter => mark!("tightened"),
            Moved::Looser => mark!("loosened"),
            Moved::Otherwise => mark!("changed"),
        }
    }

    fn nature(self) -> Nature {
        match self {
            Moved::Not => Nature::Reworded,
            Moved::Tighter => Nature::Tightened,
            Moved::Looser => Nature::Loosened,
            Moved::Otherwise => Nature::Changed,
        }
    }

    fn and(self, other: Moved) -> Moved {
        match (self, other) {
            (Moved::Not, one) | (one, Moved::Not) => one,
            (a, b) if a == b => a,
            _ => Moved::Otherwise,
        }
    }
}

pub(super) fn compare_measures(before: &[Measure], after: &[Measure]) -> Vec<FieldChange> {
    let mut found = Vec::new();
    for measure in after {
        match before.iter().find(|was| was.id == measure.id) {
            Some(was) => found.extend(changes(was, measure)),
            None => {
                let words = say!("new measurement {}", described(measure));
                found.push(told(measure, true, Nature::Added, words));
            }
        }
    }
    for measure in before.iter().filter(|was| !after.iter().any(|now| now.id == was.id)) {
        let words = say!("measurement gone: {}", described(measure));
        found.push(told(measure, true, Nature::Withdrawn, words));
    }
    found
}

fn told(measure: &Measure, reopens: bool, nature: Nature, words: impl Into<String>) -> FieldChange {
    FieldChange::new("measure", reopens, nature, words).of(&measure.id)
}

fn described(measure: &Measure) -> String {
    let limit = measure.limit_words().map(|limit| format!(", {limit}")).unwrap_or_default();
    let offered = if measure.demanded { "" } else { say!(" (not demanded)") };
    format!("\"{}\"{limit}{offered}", measure.title)
}

fn changes(was: &Measure, is: &Measure) -> Vec<FieldChange> {
    let Measure { id: _, title, kind, readings, instrument, demanded, guard, limit_source } = is;
    let change = |nature: Nature, words: String| told(is, true, nature, format!("{title}: {words}"));
    let mut found = Vec::new();
    if was.title != *title {
        let words = say!("measurement \"{}\" is now called \"{title}\"", was.title, title);
        found.push(told(is, false, Nature::Reworded, words));
    }
    // Nothing has to be read again for a limit that is only written otherwise.
    found.extend(
        kind_changes(&was.kind, kind, is)
            .into_iter()
            .map(|(nature, words)| told(is, nature != Nature::Reworded, nature, format!("{title}: {words}"))),
    );
    if was.readings != *readings {
        let nature = Nature::of_figures(was.readings, *readings);
        found.push(change(nature, say!("readings: {}, now {readings}", was.readings, readings)));
    }
    if was.instrument != *instrument {
        let words = if *instrument { say!("must now be named") } else { say!("need no longer be named") };
        found.push(change(Nature::of_switch(*instrument), say!("the instrument {words}", words)));
    }
    if was.demanded != *demanded {
        let words = if *demanded { say!("now demanded") } else { say!("no longer demanded") };
        found.push(change(Nature::of_switch(*demanded), words.to_string()));
    }
    if was.guard != *guard {
        let words = say!(
            "decision rule at the limit: {}, now {}",
            said(guard_word(was.guard)),
            said(guard_word(*guard))
        );
        found.push(change(Nature::of_figures(guard_width(was.guard), guard_width(*guard)), words));
    }
    if was.limit_source != *limit_source {
        let or_none = |source: &Option<String>| source.clone().unwrap_or_else(|| say!("none").to_string());
        let words =
            say!("source of the limit: {}, now {}", or_none(&was.limit_source), or_none(limit_source));
        let words = format!("{title}: {words}");
        found.push(told(is, false, Nature::Changed, words).demanding(VersionStep::Minor));
    }
    found
}

/// Rules in the order of their guard band, from none over 1.645 to 2 standard uncertainties (95 % and k = 2): the wider
/// it is, the fewer readings are within.
fn guard_width(guard: Guard) -> u8 {
    match guard {
        Guard::AllowanceInLimit => 0,
        Guard::Conformance95 => 1,
        Guard::Expanded2 => 2,
    }
}

fn guard_word(guard: Guard) -> &'static str {
    Guard::WORDS.iter().find(|(_, known)| *known == guard).map_or(mark!("another"), |(word, _)| word)
}

/// Each difference in words, with its nature.
fn kind_changes(was: &MeasureKind, is: &MeasureKind, measure: &Measure) -> Vec<Told> {
    use MeasureKind as Kind;
    let mut found = Vec::new();
    match (was, is) {
        (Kind::Number { unit: from, limit: old }, Kind::Number { unit: to, limit: new }) => {
            found.extend(unit_change(*from, *to));
            found.extend(limit_change(old.as_ref(), new.as_ref()));
        }
        (
            Kind::Pair { unit: from, limit: old, max_difference: apart },
            Kind::Pair { unit: to, limit: new, max_difference: now_apart },
        ) => {
            found.extend(unit_change(*from, *to));
            found.extend(limit_change(old.as_ref(), new.as_ref()));
            let most = |number: &Option<Number>, unit: Unit| number.map(|number| Quantity::new(number, unit));
            let (apart, now_apart) = (most(apart, *from), most(now_apart, *to));
            found.extend(end_change(say!("left and right apart at most"), apart, now_apart, false));
        }
        (
            Kind::Count { unit: from, min: old_min, max: old_max },
            Kind::Count { unit: to, min: new_min, max: new_max },
        ) => {
            found.extend(unit_change(*from, *to));
            let ends = |number: &Option<u32>, unit: Unit| {
                number.map(|number| Quantity::new(Number::from(i64::from(number)), unit))
            };
            found.extend(end_change(say!("at least"), ends(old_min, *from), ends(new_min, *to), true));
            found.extend(end_change(say!("at most"), ends(old_max, *from), ends(new_max, *to), false));
        }
        (Kind::LoadDeflection(old), Kind::LoadDeflection(new)) => found.extend(series_changes(old, new)),
        (was, is) if was == is => {}
        (Kind::Choice { choices: old, accept: good }, Kind::Choice { choices: new, accept: now_good }) => {
            if old != new {
                let words = say!("choices: {}, now {}", old.join(", "), new.join(", "));
                found.push((choices_nature(old, new), words));
            }
            if good != now_good {
                let words = say!("good: {}, now {}", any(good), any(now_good));
                found.push((accept_nature(good, now_good), words));
            }
        }
        (Kind::Table { compute: old }, Kind::Table { compute: new }) => {
            found.push((Nature::Changed, say!("judged by the {new} computation instead of {old}", new, old)));
        }
        (
            Kind::Date { not_before_today: today, not_before: day },
            Kind::Date { not_before_today: now_today, not_before: now_day },
        ) => {
            let limit = measure.limit_words().unwrap_or_else(|| say!("none").to_string());
            let by_day = if day == now_day { Nature::Reworded } else { Nature::of_figures(day, now_day) };
            let by_today = if today == now_today { Nature::Reworded } else { Nature::of_switch(*now_today) };
            found.push((by_day.and(by_today), say!("limit of the date changed: {limit}", limit)));
        }
        _ => found.push((Nature::Changed, say!("another kind of measurement").to_string())),
    }
    found
}

fn any(good: &[String]) -> String {
    if good.is_empty() { say!("any").to_string() } else { good.join(", ") }
}

/// Nothing in the list means that every choice is good.
fn accept_nature(was: &[String], is: &[String]) -> Nature {
    let within = |these: &[String], others: &[String]| {
        others.is_empty() || (!these.is_empty() && these.iter().all(|choice| others.contains(choice)))
    };
    match (within(was, is), within(is, was)) {
        (true, true) => Nature::Reordered,
        (true, false) => Nature::Loosened,
        (false, true) => Nature::Tightened,
        (false, false) => Nature::Changed,
    }
}

fn choices_nature(was: &[String], is: &[String]) -> Nature {
    let within = |these: &[String], others: &[String]| these.iter().all(|choice| others.contains(choice));
    match (within(was, is), within(is, was)) {
        (true, true) => Nature::Reordered,
        (true, false) => Nature::Added,
        (false, true) => Nature::Withdrawn,
        (false, false) => Nature::Changed,
    }
}

pub(super) fn unit_change(was: Unit, is: Unit) -> Option<Told> {
    (was != is).then(|| (Nature::Changed, say!("in {} instead of {}", is.symbol(), was.symbol())))
}

/// Both ends of a limit at once, from and to.
fn limit_change(was: Option<&Limit>, is: Option<&Limit>) -> Option<Told> {
    let (was, is) = match (was, is) {
        (None, None) => return None,
        (None, Some(is)) => return Some((Nature::Tightened, say!("new limit, {is}", is = is.shown()))),
        (Some(was), None) => {
            return Some((Nature::Loosened, say!("limit gone, it was {was}", was = was.shown())));
        }
        (Some(was), Some(is)) if was == is => return None,
        (Some(was), Some(is)) => (was, is),
    };
    let moved = end_moved(was.min(), is.min(), true).and(end_moved(was.max(), is.max(), false));
    Some((
        moved.nature(),
        say!("limit {} from {was} to {is}", said(moved.word()), was = was.shown(), is = is.shown()),
    ))
}

/// One end by itself.
pub(super) fn end_change(
    name: &str,
    was: Option<Quantity>,
    is: Option<Quantity>,
    is_lower: bool,
) -> Option<Told> {
    match (was, is) {
        (None, None) => None,
        (None, Some(is)) => Some((Nature::Tightened, say!("new limit, {name} {is}", name, is = is.shown()))),
        (Some(was), None) => {
            Some((Nature::Loosened, say!("limit gone, it was {name} {was}", name, was = was.shown())))
        }
        (Some(was), Some(is)) => {
            let moved = end_moved(Some(&was), Some(&is), is_lower);
            (moved != Moved::Not).then(|| {
                (
                    moved.nature(),
                    say!(
                        "limit {} from {name} {was} to {name} {is}",
                        said(moved.word()),
                        name,
                        was = was.shown(),
                        is = is.shown()
                    ),
                )
            })
        }
    }
}

fn end_moved(was: Option<&Quantity>, is: Option<&Quantity>, is_lower: bool) -> Moved {
    match (was, is) {
        (None, None) => Moved::Not,
        (None, Some(_)) => Moved::Tighter,
        (Some(_), None) => Moved::Looser,
        (Some(was), Some(is)) => match (is.compare(was), is_lower) {
            (Ok(Ordering::Equal), _) => Moved::Not,
            (Ok(Ordering::Greater), true) | (Ok(Ordering::Less), false) => Moved::Tighter,
            (Ok(_), _) => Moved::Looser,
            (Err(_), _) => Moved::Otherwise,
        },
    }
}

fn series_changes(was: &SeriesDemand, is: &SeriesDemand) -> Vec<Told> {
    let SeriesDemand {
        load_unit,
        deflection_unit,
        directions,
        min_levels,
        max_load,
        take_up,
        unloading,
        min_stiffness,
        max_side_difference_percent,
    } = is;
    let mut found = Vec::new();
    found.extend(unit_change(was.load_unit, *load_unit));
    found.extend(unit_change(was.deflection_unit, *deflection_unit));
    if was.directions != *directions {
        let words = say!("directions: {}, now {}", was.directions.join(", "), directions.join(", "));
        found.push((Nature::Changed, words));
    }
    if was.min_levels != *min_levels {
        let words = say!("load levels in each direction: {}, now {min_levels}", was.min_levels, min_levels);
        found.push((Nature::of_figures(was.min_levels, *min_levels), words));
    }
    let load = |number: &Number, unit: Unit| Some(Quantity::new(*number, unit));
    let (old, new) = (load(&was.max_load, was.load_unit), load(max_load, *load_unit));
    found.extend(end_change(say!("load at most"), old, new, false));
    if was.take_up != *take_up {
        let words = |number: &Option<Number>, unit: Unit| {
            number.map_or_else(|| say!("none").to_string(), |load| Quantity::new(load, unit).shown())
        };
        let (old, new) = (words(&was.take_up, was.load_unit), words(take_up, *load_unit));
        found.push((Nature::Changed, say!("load that takes up the play: {old}, now {new}", old, new)));
    }
    if was.unloading != *unloading {
        let words = if *unloading { say!("now demanded") } else { say!("no longer demanded") };
        found.push((Nature::of_switch(*unloading), say!("readings on the way back down {words}", words)));
    }
    found.extend(figure_change(say!("stiffness at least"), "N/mm", was.min_stiffness, *min_stiffness, true));
    let (old, new) = (was.max_side_difference_percent, *max_side_difference_percent);
    found.extend(figure_change(say!("directions apart at most"), "%", old, new, false));
    found
}

/// An end whose unit is fixed by the format.
pub(super) fn figure_change(
    name: &str,
    unit: &str,
    was: Option<Number>,
    is: Option<Number>,
    is_lower: bool,
) -> Option<Told> {
    let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
    match (was, is) {
        (None, None) => None,
        (None, Some(is)) => {
            Some((Nature::Tightened, say!("new limit, {name} {is}{unit}", name, is = is.shown(), unit)))
        }
        (Some(was), None) => Some((
            Nature::Loosened,
            say!("limit gone, it was {name} {was}{unit}", name, was = was.shown(), unit),
        )),
        (Some(was), Some(is)) if was == is => None,
        (Some(was), Some(is)) => {
            let moved = if (is > was) == is_lower { Moved::Tighter } else { Moved::Looser };
            Some((
                moved.nature(),
                say!(
                    "limit {} from {name} {was}{unit} to {name} {is}{unit}",
                    said(moved.word()),
                    name,
                    was = was.shown(),
                    unit,
                    is = is.shown()
                ),
            ))
        }
    }
}
