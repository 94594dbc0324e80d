//! Weighing: empty mass and centre of gravity, loading, cockpit loads, and what a repair mass changes.

use super::Kind;
use super::input::{Failed, Input, Key, Record, Rows, Schema, complete, key};
use super::loads::{Type, cockpit_loads, read_type};
use super::report::{Figures, Outcome, Report, shown};
use crate::measure::input::at_most;
use crate::measure::weighing::{Balance, Item, METHOD, Support, moment_sum, percent_of_chord, weigh};
use crate::quantity::Unit;

const SETTINGS: &[Key] = &[
    key("name", mark!("which glider")),
    key("empty_mass", mark!("instead of supports: the empty mass")),
    key("empty_cg", mark!("with its centre of gravity, aft of the datum")),
    key("empty_forward_limit", mark!("forward limit of the empty centre of gravity")),
    key("empty_aft_limit", mark!("aft limit of the empty centre of gravity")),
    key("forward_limit", mark!("forward limit in flight")),
    key("aft_limit", mark!("aft limit in flight")),
    key("max_mass", mark!("largest mass")),
    key("leading_edge", mark!("leading edge of the mean aerodynamic chord, aft of the datum")),
    key("chord", mark!("mean aerodynamic chord")),
    key("cockpit_arm", mark!("arm of the seat to which the cockpit load belongs")),
    key("seat_min", mark!("the manual's own smallest load of that seat")),
    key("seat_max", mark!("the manual's largest load of that seat")),
    key("lifting_parts", mark!("mass of the lifting parts in the empty mass")),
    key("max_non_lifting", mark!("largest mass of the non-lifting parts, cockpit load included")),
];

pub const KIND: Kind = Kind {
    name: "weighing",
    about: mark!("Empty mass, centre of gravity, loading, cockpit loads, repair mass"),
    schema: Schema {
        settings: SETTINGS,
        tables: &[
            Rows {
                name: "support",
                what: mark!("a support"),
                keys: &[
                    key("name", mark!("which support")),
                    key("gross", mark!("scale reading; negative when the tail is held down")),
                    key("tare", mark!("chocks, blocks and stands on this scale")),
                    key("arm", mark!("place, aft of the datum positive")),
                ],
            },
            Rows {
                name: "item",
                what: mark!("a mass aboard"),
                keys: &[
                    key("name", mark!("what is aboard")),
                    key("mass", mark!("its mass")),
                    key("arm", mark!("its place")),
                ],
            },
            Rows {
                name: "added",
                what: mark!("an added mass"),
                keys: &[
                    key("name", mark!("what a repair added, or took away (negative)")),
                    key("mass", mark!("its mass")),
                    key("arm", mark!("its place")),
                    key("lifting", mark!("yes when it is part of the wing")),
                ],
            },
        ],
    },
    example: include_str!("../../demo/compute/weighing.toml"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let s = &input.settings;
    let (limits, chord, of_type) = (limits(s), chord(s), read_type(s));
    let mut report = Report::new(KIND.name, METHOD);
    let empty = empty(input, &mut report)?;
    let (limits, chord, of_type) = (complete(limits)?, complete(chord)?, complete(of_type)?);
    let items = items(input.rows("item"))?;
    if empty.is_none() && items.is_empty() {
        return Err(input.refuse(
            "no-rows",
            say!("there are neither supports nor an empty mass nor items; add one of them"),
        ));
    }
    if let Some(balance) = empty {
        show_balance(&mut report, "empty", say!("Empty"), &balance, chord, s)?;
        judge_cg(&mut report, "empty", say!("Empty centre of gravity"), balance.cg, limits.empty);
    }
    if !items.is_empty() {
        let all: Vec<Item> =
            empty.iter().map(|b| Item { mass_kg: b.mass_kg, arm: b.cg }).chain(items).collect();
        let loaded = moment_sum(&all).map_err(|error| input.refuse("refused", error))?;
        show_balance(&mut report, "loaded", say!("Loaded"), &loaded, chord, s)?;
        judge_cg(&mut report, "loaded", say!("Loaded centre of gravity"), loaded.cg, limits.flight);
        judge_mass(&mut report, loaded.mass_kg, limits.max_mass_kg);
    }
    repair_and_cockpit(input, &mut report, empty, &limits, of_type)?;
    let first = report.verdict.clone();
    report.verdict = match report.outcome {
        Outcome::Within => say!("Within: every limit given is kept.").to_string(),
        Outcome::Outside => say!("Outside: at least one limit is not kept.").to_string(),
        _ => say!("Computed: no limit to judge against.").to_string(),
    };
    report.say(first);
    report.caution(say!("weigh in the manual's level attitude; placards and the weighing report follow the manual and are signed by whoever may"));
    Ok(report)
}

struct Limits {
    empty: (Option<f64>, Option<f64>),
    flight: (Option<f64>, Option<f64>),
    max_mass_kg: Option<f64>,
}

fn limits(s: &Record) -> Option<Limits> {
    let arm = |key: &'static str| s.optional(key, s.value(key, Unit::Millimetre));
    let (empty_forward, empty_aft) = (arm("empty_forward_limit"), arm("empty_aft_limit"));
    let (forward, aft) = (arm("forward_limit"), arm("aft_limit"));
    let max_mass_kg = s.optional("max_mass", s.value("max_mass", Unit::Kilogram));
    Some(Limits { empty: (empty_forward?, empty_aft?), flight: (forward?, aft?), max_mass_kg: max_mass_kg? })
}

/// Leading edge and chord, both or none, mm.
fn chord(s: &Record) -> Option<Option<(f64, f64)>> {
    if !s.has("chord") && !s.has("leading_edge") {
        return Some(None);
    }
    let edge = s.required_value("leading_edge", Unit::Millimetre);
    let chord = s.required_value("chord", Unit::Millimetre);
    Some(Some((edge?, chord?)))
}

fn empty(input: &Input, report: &mut Report) -> Result<Option<Balance>, Failed> {
    let s = &input.settings;
    let rows = input.rows("support");
    if rows.is_empty() {
        if !s.has("empty_mass") && !s.has("empty_cg") {
            return Ok(None);
        }
        let mass = s.required_value("empty_mass", Unit::Kilogram);
        let cg = s.required_value("empty_cg", Unit::Millimetre);
        let item = Item { mass_kg: complete(mass)?, arm: complete(cg)? };
        return moment_sum(&[item]).map(Some).map_err(|error| s.refuse_key("empty_mass", error));
    }
    for key in ["empty_mass", "empty_cg"] {
        if s.has(key) {
            return Err(s.refuse_key(key, say!("give either supports or the empty mass, not both")));
        }
    }
    let supports: Vec<Option<Support>> = rows
        .iter()
        .map(|row| {
            let gross = row.required_value("gross", Unit::Kilogram);
            let tare = row.or("tare", 0.0, row.value("tare", Unit::Kilogram));
            let arm = row.required_value("arm", Unit::Millimetre);
            Some(Support { gross_kg: gross?, tare_kg: tare?, arm: arm? })
        })
        .collect();
    let supports: Vec<Support> = complete(supports.into_iter().collect())?;
    let (net, balance) = weigh(&supports).map_err(|error| input.refuse("refused", error))?;
    for (index, (row, net)) in rows.iter().zip(net).enumerate() {
        let mut figures = Figures::new();
        figures.value("net", say!("Net"), net, "kg");
        figures.value("arm", say!("Arm"), supports[index].arm, "mm");
        report.row("supports", row.text_or("name", &say!("support {}", index + 1)), figures);
    }
    Ok(Some(balance))
}

fn items(rows: &[Record]) -> Result<Vec<Item>, Failed> {
    let items: Vec<Option<Item>> = rows
        .iter()
        .map(|row| {
            let mass = row.required_value("mass", Unit::Kilogram);
            let arm = row.required_value("arm", Unit::Millimetre);
            Some(Item { mass_kg: mass?, arm: arm? })
        })
        .collect();
    complete(items.into_iter().collect())
}

fn show_balance(
    report: &mut Report,
    key: &str,
    label: &str,
    balance: &Balance,
    chord: Option<(f64, f64)>,
    s: &Record,
) -> Result<(), Failed> {
    let figures = &mut report.figures;
    figures.value(&format!("{key}_mass"), &say!("{label} mass", label), balance.mass_kg, "kg");
    figures.value(&format!("{key}_moment"), say!("  moment"), balance.moment, "kg mm");
    figures.value(&format!("{key}_cg"), &say!("{label} centre of gravity", label), balance.cg, "mm");
    if let Some((edge, chord)) = chord {
        let percent =
            percent_of_chord(balance.cg, edge, chord).map_err(|error| s.refuse_key("chord", error))?;
        figures.value(&format!("{key}_cg_of_chord"), say!("  of the mean aerodynamic chord"), percent, "%");
    }
    report.say(say!(
        "{label}: {} kg, centre of gravity {} mm aft of the datum.",
        shown(balance.mass_kg),
        shown(balance.cg),
        label
    ));
    Ok(())
}

fn judge_cg(
    report: &mut Report,
    key: &str,
    label: &str,
    cg: f64,
    (forward, aft): (Option<f64>, Option<f64>),
) {
    if forward.is_none() && aft.is_none() {
        return;
    }
    let kept =
        forward.is_none_or(|limit| at_most(limit, cg, cg)) && aft.is_none_or(|limit| at_most(cg, limit, cg));
    for (limit, end, words) in [(forward, "forward", say!("Forward limit")), (aft, "aft", say!("Aft limit"))]
    {
        if let Some(limit) = limit {
            report.figures.value(&format!("{key}_{end}_limit"), words, limit, "mm");
        }
    }
    report.figures.flag(&format!("{key}_cg_within"), &say!("{label} within", label), kept);
    report.outcome = report.outcome.graver(if kept { Outcome::Within } else { Outcome::Outside });
}

fn judge_mass(report: &mut Report, mass_kg: f64, most: Option<f64>) {
    let Some(most) = most else { return };
    let kept = at_most(mass_kg, most, mass_kg);
    report.figures.value("max_mass", say!("Largest mass"), most, "kg");
    report.figures.flag("loaded_mass_within", say!("Loaded mass within"), kept);
    report.outcome = report.outcome.graver(if kept { Outcome::Within } else { Outcome::Outside });
}

/// Cockpit loads as weighed, and again with the repair masses.
fn repair_and_cockpit(
    input: &Input,
    report: &mut Report,
    empty: Option<Balance>,
    limits: &Limits,
    of_type: Option<Type>,
) -> Result<(), Failed> {
    let rows = input.rows("added");
    let Some(empty) = empty else {
        if of_type.is_some() || !rows.is_empty() {
            return Err(input.refuse("refused", say!("cockpit loads and repair masses need the empty mass; add supports, or empty_mass and empty_cg")));
        }
        return Ok(());
    };
    let added = items(rows)?;
    if let Some(of_type) = &of_type {
        cockpit_loads(input, report, "cockpit", of_type.loading(&empty))?;
    }
    if rows.is_empty() {
        return Ok(());
    }
    let all: Vec<Item> = std::iter::once(Item { mass_kg: empty.mass_kg, arm: empty.cg })
        .chain(added.iter().copied())
        .collect();
    let after = moment_sum(&all).map_err(|error| rows[0].refuse(error))?;
    show_balance(report, "after", say!("After the repair"), &after, None, &input.settings)?;
    report.figures.value("cg_shift", say!("Shift of the empty centre of gravity"), after.cg - empty.cg, "mm");
    judge_cg(report, "after", say!("Empty centre of gravity after the repair"), after.cg, limits.empty);
    let Some(of_type) = &of_type else { return Ok(()) };
    let mut loading = of_type.loading(&empty);
    for (row, item) in rows.iter().zip(&added) {
        let lifting = complete(row.or("lifting", false, row.flag("lifting")))?;
        loading =
            loading.with_mass_added(item.mass_kg, item.arm, lifting).map_err(|error| row.refuse(error))?;
    }
    cockpit_loads(input, report, "after_cockpit", loading)
}
