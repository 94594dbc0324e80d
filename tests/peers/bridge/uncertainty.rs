//! Repeated readings, combined uncertainty and the guard band.

use super::args::{Answer, Args, number, refused};
use serde_json::json;
use spanwise::measure::estimate::Estimate;
use spanwise::measure::limits::{GuardRule, Limit, Verdict, judge, p_conform};
use spanwise::measure::repeats::{
    Component, certificate, combine, degrees_of_freedom_of_doubt, digital_step, pooled_repeatability,
    rectangular, repeats, triangular,
};

pub const ALL: &[super::Statistic] = &[
    ("repeats", |a| {
        let found = repeats(&a.numbers("readings")?, a.number("resolution")?, None).map_err(refused)?;
        Ok(json!({
            "mean": number(found.mean.value),
            "u": number(found.mean.standard_uncertainty),
            "nu": number(found.mean.degrees_of_freedom),
            "sd": found.standard_deviation.map(number),
            "range": number(found.range),
        }))
    }),
    ("pooled_repeatability", |a| {
        let pooled = pooled_repeatability(&a.rows("sets")?).map_err(refused)?;
        Ok(json!({ "sd": number(pooled.standard_deviation), "nu": number(pooled.degrees_of_freedom) }))
    }),
    ("type_b", |a| {
        let half = a.number("half_width")?;
        Ok(json!({
            "rectangular": number(rectangular(half)),
            "triangular": number(triangular(half)),
            "digital_step": number(digital_step(half)),
            "certificate": number(certificate(half, a.number("coverage")?)),
            "nu_of_doubt": number(degrees_of_freedom_of_doubt(a.number("doubt")?)),
        }))
    }),
    ("combine", combined),
    ("p_conform", |a| {
        let (y, u) = (a.number("y")?, a.number("u")?);
        Ok(number(p_conform(y, u, a.number("lower")?, a.number("upper")?)))
    }),
    ("judge", judged),
];

fn combined(a: &Args) -> Answer {
    let mut components = Vec::new();
    for row in a.rows("components")? {
        let [u, sensitivity, nu] = row[..] else { return Err("a component has three numbers".to_owned()) };
        components.push(Component { sensitivity, ..Component::new("part", u, nu) });
    }
    let found = combine(&components, a.number("confidence")?).map_err(refused)?;
    Ok(json!({
        "u": number(found.standard_uncertainty),
        "nu": number(found.effective_degrees_of_freedom),
        "coverage": number(found.coverage_factor),
        "expanded": number(found.expanded_uncertainty),
    }))
}

fn judged(a: &Args) -> Answer {
    let (lower, upper) = (a.number("lower")?, a.number("upper")?);
    let limit = match (lower.is_finite(), upper.is_finite()) {
        (true, true) => Limit::Both { lower, upper },
        (true, false) => Limit::Lower(lower),
        _ => Limit::Upper(upper),
    };
    let rule = match a.text("rule")?.as_str() {
        "conformance" => GuardRule::Conformance(a.number("factor")?),
        "expanded" => GuardRule::Expanded { coverage_factor: a.number("factor")? },
        _ => GuardRule::AllowanceInLimit,
    };
    let value = Estimate::new(a.number("y")?, a.number("u")?, a.number("nu")?);
    let found = judge(value, limit, rule).map_err(refused)?;
    Ok(json!({
        "guard": number(found.guard),
        "accept_from": number(found.accept_from),
        "accept_to": number(found.accept_to),
        "p_conform": number(found.p_conform),
        "verdict": match found.verdict {
            Verdict::Within => "within",
            Verdict::Outside => "outside",
            Verdict::CannotDecide(_) => "cannot decide",
        },
    }))
}
