//! What a supplement does to the programme, then and now: tightenings and withdrawals. Its type data: `of_type.rs`.

use super::compare::{EditionDifference, Part};
use super::head::text;
use super::measures::{Told, figure_change};
use super::nature::{Nature, VersionStep};
use super::of_type::of_type;
use super::steps::{FieldChange, caution_change, configuration_change, new_and_gone};
use super::wording::nature_of_text;
use crate::checklist::{Supplement, Tightening, Withdrawal};
use crate::quantity::Number;
use crate::source::Located;
use crate::words::figure;

pub(super) fn supplements(found: &mut EditionDifference, was: &Supplement, is: &Supplement) {
    of_type(found, &was.of_type, &is.of_type);
    tightenings(found, &was.tighten, &is.tighten);
    withdrawals(found, &was.withdraw, &is.withdraw);
}

/// Step, measurement, and the how manieth of these it is.
fn keys(list: &[Located<Tightening>]) -> Vec<(String, String, usize)> {
    let mut seen: Vec<(String, String, usize)> = Vec::new();
    for tightening in list.iter().map(|tightening| &tightening.value) {
        let step = tightening.step.value.clone();
        let measure = tightening.measure.as_ref().map(|measure| measure.value.clone()).unwrap_or_default();
        let nth = seen.iter().filter(|(of, by, _)| *of == step && *by == measure).count();
        seen.push((step, measure, nth));
    }
    seen
}

fn title(tightening: &Tightening) -> String {
    match &tightening.measure {
        Some(measure) => say!("tightening of {}, {}", tightening.step.value, measure.value),
        None => say!("tightening of {}", tightening.step.value),
    }
}

fn tightenings(found: &mut EditionDifference, was: &[Located<Tightening>], is: &[Located<Tightening>]) {
    let (old, new) = (keys(was), keys(is));
    for (key, tightening) in new.iter().zip(is.iter().map(|tightening| &tightening.value)) {
        let changes = match old.iter().position(|known| known == key).and_then(|at| was.get(at)) {
            Some(before) => tightening_changes(&before.value, tightening),
            None => {
                let words = say!("the programme's demand is tightened ({})", tightening.reason);
                vec![FieldChange::new("tighten", true, Nature::Tightened, words)]
            }
        };
        found.add(Part::Tightening(key.0.clone()), title(tightening), changes);
    }
    for (key, gone) in old.iter().zip(was).filter(|(key, _)| !new.contains(key)) {
        let words = say!("no longer tightened: the programme's own demand holds").to_string();
        let change = FieldChange::new("tighten", true, Nature::Loosened, words);
        found.add(Part::Tightening(key.0.clone()), title(&gone.value), vec![change]);
    }
    // Each changes a field of its own, so their order says nothing; it is told all the same.
    let both = |these: &[(String, String, usize)], others: &[(String, String, usize)]| {
        these.iter().filter(|key| others.contains(key)).cloned().collect::<Vec<_>>()
    };
    if both(&old, &new) != both(&new, &old) {
        let change = FieldChange::new("tighten", false, Nature::Reordered, say!("in another order"));
        let change = change.demanding(VersionStep::Patch);
        found.add(Part::Head, say!("the tightenings").to_string(), vec![change]);
    }
}

fn tightening_changes(was: &Tightening, is: &Tightening) -> Vec<FieldChange> {
    let mut found = Vec::new();
    let tell = |field: &'static str, (nature, words): Told| FieldChange::new(field, true, nature, words);
    let ends = [
        ("min", say!("at least"), was.min, is.min, true),
        ("max", say!("at most"), was.max, is.max, false),
        ("tolerance", say!("tolerance"), was.tolerance, is.tolerance, false),
        (
            "max_difference",
            say!("left and right apart at most"),
            was.max_difference,
            is.max_difference,
            false,
        ),
        ("min_stiffness", say!("stiffness at least, N/mm"), was.min_stiffness, is.min_stiffness, true),
        ("max_load", say!("load at most"), was.max_load, is.max_load, false),
    ];
    for (field, name, old, new, is_lower) in ends {
        found.extend(figure_change(name, "", old, new, is_lower).map(|told| tell(field, told)));
    }
    if was.nominal != is.nominal {
        let words = |of: Option<Number>| of.map_or(say!("none").to_string(), figure);
        let words = say!("nominal value: {}, now {}", words(was.nominal), words(is.nominal));
        found.push(tell("nominal", (Nature::Changed, words)));
    }
    found.extend(count("readings", was.readings, is.readings));
    for (field, name, old, new) in [
        ("instrument", say!("a named instrument"), was.instrument, is.instrument),
        ("mandatory", say!("mandatory"), was.mandatory, is.mandatory),
        ("independent", say!("an independent inspection"), was.independent, is.independent),
        (
            "may_be_not_applicable",
            say!("may not be left out"),
            was.may_be_not_applicable.map(|may| !may),
            is.may_be_not_applicable.map(|may| !may),
        ),
    ] {
        found.extend(flag(field, name, old, new));
    }
    found.extend(text("limit_source", or_empty(&was.limit_source), or_empty(&is.limit_source)));
    found.extend(caution(was.caution.as_deref(), is.caution.as_deref()));
    found.extend(configuration_change(&was.configuration, &is.configuration));
    for (field, old, new) in [("minutes", was.minutes, is.minutes), ("people", was.people, is.people)] {
        found.extend(count(field, old, new).map(|change| {
            FieldChange { nature: Nature::Changed, reopens: false, ..change }.demanding(VersionStep::Minor)
        }));
    }
    found.extend(kit(&was.kit, &is.kit));
    found.extend(text("reason", &was.reason, &is.reason));
    found
}

fn or_empty(text: &Option<String>) -> &str {
    text.as_deref().unwrap_or_default()
}

fn caution(was: Option<&str>, is: Option<&str>) -> Option<FieldChange> {
    let spaced = || {
        (was != is).then(|| {
            FieldChange::new(
                "caution",
                false,
                Nature::Reworded,
                say!("caution: spaced or broken into lines otherwise"),
            )
        })
    };
    caution_change(was, is).or_else(spaced)
}

fn kit(was: &[String], is: &[String]) -> Option<FieldChange> {
    if let Some((nature, words)) = new_and_gone(was, is) {
        let change = FieldChange::new("kit", false, nature, say!("kit: {words}", words));
        return Some(change.demanding(VersionStep::Minor));
    }
    (was != is).then(|| {
        FieldChange::new("kit", false, Nature::Reordered, say!("kit: the same in another order"))
            .demanding(VersionStep::Patch)
    })
}

/// A number that overrides the programme's; without one the programme's holds, which is not known here.
fn count(field: &'static str, was: Option<u32>, is: Option<u32>) -> Option<FieldChange> {
    let words =
        |number: Option<u32>| number.map_or(say!("the programme's").to_string(), |number| number.to_string());
    (was != is).then(|| {
        let words = say!("{field}: {}, now {}", words(was), words(is), field);
        FieldChange::new(field, true, Nature::of_figures(was, is), words)
    })
}

fn flag(field: &'static str, name: &str, was: Option<bool>, is: Option<bool>) -> Option<FieldChange> {
    // Said not to be is less than nothing said, where the programme may still demand it.
    let rank = |flag: Option<bool>| match flag {
        Some(false) => 0,
        None => 1,
        Some(true) => 2,
    };
    let word = |flag: Option<bool>| match flag {
        Some(false) => say!("no"),
        None => say!("as in the programme"),
        Some(true) => say!("yes"),
    };
    (was != is).then(|| {
        let words = say!("{name}: {}, now {}", word(was), word(is), name);
        FieldChange::new(field, true, Nature::of_figures(rank(was), rank(is)), words)
    })
}

fn withdrawals(found: &mut EditionDifference, was: &[Located<Withdrawal>], is: &[Located<Withdrawal>]) {
    let find = |among: &[Located<Withdrawal>], id: &str| {
        among.iter().find(|known| known.value.step.value == id).map(|known| known.value.reason.clone())
    };
    for withdrawal in is.iter().map(|withdrawal| &withdrawal.value) {
        let id = &withdrawal.step.value;
        let changes = match find(was, id) {
            None => {
                let words = say!("taken out of the programme ({})", withdrawal.reason);
                vec![FieldChange::new("withdraw", true, Nature::Withdrawn, words)]
            }
            Some(before) if before != withdrawal.reason => reason(&before, &withdrawal.reason),
            Some(_) => Vec::new(),
        };
        found.add(Part::Withdrawal(id.clone()), say!("withdrawal of {id}", id), changes);
    }
    for gone in was.iter().filter(|known| find(is, &known.value.step.value).is_none()) {
        let id = &gone.value.step.value;
        let words = say!("the programme's step stands again").to_string();
        let change = FieldChange::new("withdraw", true, Nature::Added, words);
        found.add(Part::Withdrawal(id.clone()), say!("withdrawal of {id}", id), vec![change]);
    }
    let ids = |these: &[Located<Withdrawal>], others: &[Located<Withdrawal>]| -> Vec<String> {
        let both = these.iter().filter(|known| find(others, &known.value.step.value).is_some());
        both.map(|known| known.value.step.value.clone()).collect()
    };
    if ids(was, is) != ids(is, was) {
        let change = FieldChange::new("withdraw", false, Nature::Reordered, say!("in another order"));
        found.add(
            Part::Head,
            say!("the withdrawals").to_string(),
            vec![change.demanding(VersionStep::Patch)],
        );
    }
}

/// Why a step is out is what a certifier relies on; another figure in it is another reason.
fn reason(was: &str, is: &str) -> Vec<FieldChange> {
    let nature = nature_of_text(was, is);
    text("reason", was, is)
        .map(|change| FieldChange { nature, ..change }.demanding(nature.version_step()))
        .into_iter()
        .collect()
}
