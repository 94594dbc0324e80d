//! One airframe against reference airframes of the same type and build standard.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::judged::as_entered;
use super::report::{Figures, Outcome, Report};
use crate::measure::compare::{
    Comparison, METHOD, Provenance, Question, Reference, Scale, SofterWhen, StatedVariation, TestIdentity,
    Verdict, Withdrawal, compare,
};
use crate::measure::estimate::Estimate;
use crate::measure::noncentral_t::Sides;
use crate::quantity::Unit;

pub const KIND: Kind = Kind {
    name: "compare",
    about: mark!("An airframe against sound ones of the same type and build standard"),
    schema: Schema {
        settings: &[
            key("airframe", mark!("serial number of the airframe under inspection")),
            key("type", mark!("its type")),
            key("build_standard", mark!("its build standard with the modification state of the tested part")),
            key("card", mark!("test card")),
            key("rig_position", mark!("how it stands")),
            key("load_levels", mark!("nominal load levels of the card")),
            key("value", mark!("the value with its unit, such as a stiffness")),
            key("uncertainty", mark!("its standard uncertainty")),
            key("degrees_of_freedom", mark!("of that uncertainty")),
            key("scale", mark!("ratio (stiffness, frequency) or difference (lost motion, residual set)")),
            key("softer_when", mark!("lower (stiffness, frequency) or higher (lost motion, compliance)")),
            key("sides", mark!("two, or one when only softening matters")),
            key("alpha", mark!("risk of a false alarm (5 %)")),
            key("power", mark!("with which the smallest loss is found (80 %)")),
            key(
                "loss_that_matters",
                mark!("a share (15 %) for ratios, with the value's unit for differences"),
            ),
            key(
                "variation",
                mark!("stated spread between sound airframes: a share for ratios, else with the unit"),
            ),
            key("variation_doubt", mark!("relative doubt of that statement (25 %)")),
            key("variation_measurement_u", mark!("standard uncertainty of the measurement behind it")),
            key("variation_stated_by", mark!("who states it")),
        ],
        tables: &[Rows {
            name: "reference",
            what: mark!("a reference"),
            keys: &[
                key("airframe", mark!("serial number")),
                key("type", mark!("its type")),
                key("build_standard", mark!("its build standard")),
                key("card", mark!("test card")),
                key("rig_position", mark!("how it stood")),
                key("load_levels", mark!("nominal load levels of the card")),
                key("value", mark!("the value with its unit")),
                key("uncertainty", mark!("its standard uncertainty")),
                key("record", mark!("session, report or file where the readings stand")),
                key("measured_on", mark!("date")),
                key("measured_by", mark!("who measured")),
                key("believed_sound_because", mark!("why it counts as sound")),
                key("withdrawn_on", mark!("date on which the reference was taken back")),
                key("withdrawn_by", mark!("who took it back")),
                key("withdrawn_reason", mark!("why")),
            ],
        }],
    },
    example: include_str!("../../demo/compute/compare.toml"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let s = &input.settings;
    let (unit, value) = complete(as_entered(s, "value"))?;
    let u = s.required_value("uncertainty", unit);
    let nu = s.or("degrees_of_freedom", f64::INFINITY, s.number("degrees_of_freedom"));
    let airframe = s.required_text("airframe").map(|cell| cell.text.clone());
    let test = identity(s);
    let question = question(s, unit);
    let mut references = Vec::new();
    let mut failed = false;
    for row in input.rows("reference") {
        match reference(row, unit) {
            Some(reference) => references.push(reference),
            None => failed = true,
        }
    }
    let question = complete(question)?;
    let stated = complete(stated(s, unit, question.scale))?;
    let value = Estimate::new(value, complete(u)?, complete(nu)?);
    let (airframe, test) = (complete(airframe)?, complete(test)?);
    if failed {
        return Err(Failed);
    }
    let found = compare(&airframe, &test, value, &references, stated.as_ref(), &question)
        .map_err(|error| s.refuse_key("value", error))?;
    Ok(report(&found, unit.symbol()))
}

/// Type, card and place are needed; a build standard that is not recorded is an answer of the comparison.
fn identity(record: &Record) -> Option<TestIdentity> {
    let text = |key: &'static str| record.required_text(key).map(|cell| cell.text.clone());
    let (airframe_type, card) = (text("type"), text("card"));
    let levels = record.values("load_levels", Unit::Newton);
    Some(TestIdentity {
        airframe_type: airframe_type?,
        build_standard: record.text_or("build_standard", ""),
        card: card?,
        load_levels_n: levels?,
        rig_position: record.text_or("rig_position", ""),
    })
}

fn question(s: &Record, unit: Unit) -> Option<Question> {
    let own = Question::stiffness();
    let scale = s.or(
        "scale",
        own.scale,
        s.choice("scale", &[("ratio", Scale::Logarithmic), ("difference", Scale::Plain)]),
    )?;
    let softer = s.choice("softer_when", &[("lower", SofterWhen::Lower), ("higher", SofterWhen::Higher)]);
    let softer_when = s.or("softer_when", own.softer_when, softer)?;
    let sides = s.or("sides", own.sides, s.choice("sides", &[("two", Sides::Two), ("one", Sides::One)]))?;
    let loss_that_matters = match scale {
        Scale::Logarithmic => {
            s.or("loss_that_matters", own.loss_that_matters, s.share("loss_that_matters"))?
        }
        Scale::Plain => s.required_value("loss_that_matters", unit)?,
    };
    Some(Question {
        scale,
        softer_when,
        sides,
        alpha: s.or("alpha", own.alpha, s.share("alpha"))?,
        power: s.or("power", own.power, s.share("power"))?,
        loss_that_matters,
    })
}

fn reference(row: &Record, unit: Unit) -> Option<Reference> {
    let identity = identity(row);
    let airframe = row.required_text("airframe").map(|cell| cell.text.clone());
    let value = row.required_value("value", unit);
    let u = row.required_value("uncertainty", unit);
    let because = row.required_text("believed_sound_because").map(|cell| cell.text.clone());
    let record = row.required_text("record").map(|cell| cell.text.clone());
    let withdrawn = row.has("withdrawn_on") || row.has("withdrawn_reason") || row.has("withdrawn_by");
    Some(Reference {
        airframe: airframe?,
        identity: identity?,
        value: value?,
        standard_uncertainty: u?,
        provenance: Provenance {
            record: record?,
            measured_on: row.text_or("measured_on", say!("not stated")),
            measured_by: row.text_or("measured_by", say!("not stated")),
            believed_sound_because: because?,
        },
        withdrawn: withdrawn.then(|| Withdrawal {
            on: row.text_or("withdrawn_on", say!("a day not stated")),
            by: row.text_or("withdrawn_by", say!("a person not stated")),
            reason: row.text_or("withdrawn_reason", say!("no reason stated")),
        }),
    })
}

fn stated(s: &Record, unit: Unit, scale: Scale) -> Option<Option<StatedVariation>> {
    if !s.has("variation") {
        return Some(None);
    }
    let of_scale = |key: &str| match scale {
        Scale::Logarithmic => s.share(key),
        Scale::Plain => s.value(key, unit),
    };
    let by = s.required_text("variation_stated_by")?.text.clone();
    Some(Some(StatedVariation {
        spread: of_scale("variation")?,
        relative_doubt: s.or(
            "variation_doubt",
            crate::measure::compare::DEFAULT_RELATIVE_DOUBT,
            s.share("variation_doubt"),
        )?,
        measurement_u: s.or("variation_measurement_u", 0.0, of_scale("variation_measurement_u"))?,
        stated_by: by,
    }))
}

fn report(found: &Comparison, unit: &str) -> Report {
    let mut report = Report::new(KIND.name, METHOD);
    report.outcome = match found.verdict {
        Verdict::Consistent => Outcome::Within,
        Verdict::Stiffer => Outcome::Computed,
        Verdict::Softer => Outcome::Outside,
        Verdict::CannotTell(_) => Outcome::CannotDecide,
    };
    report.say(found.summary());
    if found.verdict == Verdict::Stiffer {
        report.caution(say!("stiffer than the references is no fault by itself, but it is unlike them: check build standard, rig and readings"));
    }
    let figures = &mut report.figures;
    figures.told("comparison", say!("Comparison"), || found.verdict.to_string());
    figures.estimate("value", say!("Value"), &found.value, unit);
    figures.whole("references_used", say!("Reference airframes used"), found.n as u64);
    if let Some(mean) = found.reference_mean {
        figures.value("reference_mean", say!("Mean of the references"), mean, unit);
    }
    if let Some(difference) = found.relative_difference() {
        match found.question.scale {
            Scale::Logarithmic => {
                figures.share("difference", say!("Difference from the references"), difference)
            }
            Scale::Plain => {
                figures.value("difference", say!("Difference from the references"), difference, unit)
            }
        }
    }
    if let Some(interval) = &found.prediction_interval {
        figures.interval("prediction", say!("One more sound airframe would lie from"), interval, unit);
    }
    if let Some(spread) = found.spread {
        figures.value("spread_on_scale", say!("Spread used, on the scale of the comparison"), spread, "");
    }
    if let Some(nu) = found.degrees_of_freedom {
        figures.value("degrees_of_freedom", say!("Degrees of freedom"), nu, "");
    }
    if let Some(loss) = found.smallest_loss {
        match found.question.scale {
            Scale::Logarithmic => {
                figures.share("smallest_loss", say!("Smallest loss it would have shown"), loss)
            }
            Scale::Plain => {
                figures.value("smallest_loss", say!("Smallest loss it would have shown"), loss, unit)
            }
        }
    }
    if let Some(band) = &found.fleet_band {
        figures.interval(
            "fleet_band",
            say!("95 % of the type lie from (95 % confidence)"),
            &band.interval,
            unit,
        );
    }
    figures.flag(
        "spread_from_measurement",
        say!("References agree better than they were measured"),
        found.spread_from_measurement,
    );
    figures.flag(
        "statement_contradicted",
        say!("Stated variation contradicted"),
        found.statement_contradicted,
    );
    for airframe in &found.used {
        let mut row = Figures::new();
        let u = airframe.standard_uncertainty;
        row.estimate("value", say!("Value"), &Estimate::new(airframe.value, u, f64::INFINITY), unit);
        for measurement in &airframe.measurements {
            provenance(&measurement.provenance, &mut row);
        }
        report.row("used", airframe.airframe.clone(), row);
    }
    for beside in &found.shown_beside {
        let mut row = Figures::new();
        let (value, u) = (beside.reference.value, beside.reference.standard_uncertainty);
        row.estimate("value", say!("Value"), &Estimate::new(value, u, f64::INFINITY), unit);
        row.text("build_standard", say!("Build standard"), beside.reference.identity.build_standard.clone());
        row.told("not_used_because", say!("Not used because"), || {
            beside.reasons.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
        });
        provenance(&beside.reference.provenance, &mut row);
        report.row("shown_beside", beside.reference.airframe.clone(), row);
    }
    if found.n == 0 {
        report.caution(say!(
            "without a reference there is no verdict; the type's manual and the licensed person decide"
        ));
    }
    report
}

fn provenance(of: &Provenance, row: &mut Figures) {
    row.text("record", say!("Record"), of.record.clone());
    row.text("measured_on", say!("Measured on"), of.measured_on.clone());
    row.text("measured_by", say!("Measured by"), of.measured_by.clone());
    row.text("believed_sound_because", say!("Believed sound because"), of.believed_sound_because.clone());
}
