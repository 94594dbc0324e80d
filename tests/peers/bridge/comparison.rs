//! One airframe against references, and against its other side or its own past.

use super::args::{Answer, Args, maybe, number, refused};
use super::distributions::sides;
use serde_json::{Value, json};
use spanwise::measure::compare::{
    PairSettings, Provenance, Question, Reference, Scale, SofterWhen, StatedVariation, TestIdentity, Verdict,
    compare, compare_pair,
};
use spanwise::measure::estimate::{Estimate, Interval};
use spanwise::measure::multiplicity::holm;

pub const ALL: &[super::Statistic] =
    &[("compare", compared), ("compare_pair", pair), ("holm", holm_adjusted)];

fn question(a: &Args) -> Result<Question, String> {
    let scale = if a.truth("logarithmic")? { Scale::Logarithmic } else { Scale::Plain };
    let softer_when = if a.truth("softer_when_lower")? { SofterWhen::Lower } else { SofterWhen::Higher };
    Ok(Question {
        scale,
        softer_when,
        sides: sides(a)?,
        alpha: a.number("alpha")?,
        power: a.number("power")?,
        loss_that_matters: a.number("loss_that_matters")?,
    })
}

fn estimate(a: &Args, key: &str) -> Result<Estimate, String> {
    match a.numbers(key)?[..] {
        [value, u, nu] => Ok(Estimate::new(value, u, nu)),
        _ => Err(format!("\"{key}\" needs value, uncertainty and degrees of freedom")),
    }
}

fn verdict(verdict: Verdict) -> Value {
    Value::String(match verdict {
        Verdict::CannotTell(why) => format!("cannot tell {why:?}"),
        other => other.to_string(),
    })
}

fn identity(build_standard: &str) -> TestIdentity {
    TestIdentity {
        airframe_type: "invented type".to_owned(),
        build_standard: build_standard.to_owned(),
        card: "invented card".to_owned(),
        load_levels_n: vec![50.0, 100.0, 150.0],
        rig_position: "fin top".to_owned(),
    }
}

fn references(a: &Args) -> Result<Vec<Reference>, String> {
    let mut found = Vec::new();
    for r in a.tables("references")? {
        found.push(Reference {
            airframe: r.text("airframe")?,
            identity: identity(&r.text("build_standard")?),
            value: r.number("value")?,
            standard_uncertainty: r.number("u")?,
            provenance: Provenance {
                record: "invented".to_owned(),
                measured_on: "invented".to_owned(),
                measured_by: "invented".to_owned(),
                believed_sound_because: "invented".to_owned(),
            },
            withdrawn: None,
        });
    }
    Ok(found)
}

fn stated(a: &Args) -> Result<Option<StatedVariation>, String> {
    if !a.has("stated") {
        return Ok(None);
    }
    let s = a.table("stated")?;
    Ok(Some(StatedVariation {
        spread: s.number("spread")?,
        relative_doubt: s.number("doubt")?,
        measurement_u: s.number("measurement_u")?,
        stated_by: "invented".to_owned(),
    }))
}

fn ends(interval: &Interval) -> Value {
    json!([number(interval.lower), number(interval.upper)])
}

fn compared(a: &Args) -> Answer {
    let (value, question, stated) = (estimate(a, "value")?, question(a)?, stated(a)?);
    let references = references(a)?;
    let found = compare("the one inspected", &identity("B"), value, &references, stated.as_ref(), &question)
        .map_err(refused)?;
    Ok(json!({
        "n": found.n,
        "verdict": verdict(found.verdict),
        "reference_mean": maybe(found.reference_mean),
        "spread": maybe(found.spread),
        "nu": maybe(found.degrees_of_freedom),
        "difference": maybe(found.difference),
        "relative_difference": maybe(found.relative_difference()),
        "half_width": maybe(found.half_width),
        "prediction": found.prediction_interval.as_ref().map(ends),
        "smallest_shift": maybe(found.smallest_shift),
        "smallest_loss": maybe(found.smallest_loss),
        "fleet_band": found.fleet_band.as_ref().map(|b| ends(&b.interval)),
        "contradicted": found.statement_contradicted,
        "from_measurement": found.spread_from_measurement,
    }))
}

fn pair(a: &Args) -> Answer {
    let settings = PairSettings { question: question(a)?, set_up_u: a.number("set_up_u")? };
    let found = compare_pair(estimate(a, "value")?, estimate(a, "other")?, &settings).map_err(refused)?;
    Ok(json!({
        "difference": number(found.difference.value),
        "u": number(found.difference.standard_uncertainty),
        "nu": number(found.difference.degrees_of_freedom),
        "interval": ends(&found.interval),
        "smallest_loss": number(found.smallest_loss),
        "verdict": verdict(found.verdict),
    }))
}

fn holm_adjusted(a: &Args) -> Answer {
    let found = holm(&a.numbers("p")?, a.number("alpha")?).map_err(refused)?;
    Ok(json!({
        "adjusted": found.iter().map(|h| number(h.adjusted_p)).collect::<Vec<_>>(),
        "stands": found.iter().map(|h| h.stands).collect::<Vec<_>>(),
    }))
}
