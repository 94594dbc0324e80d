//! Trends across annuals, counted events, and robust outliers.

use super::args::{Answer, Args, number, numbers, refused};
use serde_json::{Value, json};
use spanwise::measure::burst_comparison::{Answer as BurstAnswer, Recording, compare_bursts};
use spanwise::measure::rates::{
    Count, RateRatio, clustered_ratio, clustering, fewest_events, mean_interval, p_not_above, rate_ratio,
    upper_rate_without_event,
};
use spanwise::measure::robust::{ScaleFrom, median, robust_z};
use spanwise::measure::tap_map;
use spanwise::measure::trend::{Annual, mann_kendall, theil_sen, trend};

pub const ALL: &[super::Statistic] = &[
    ("mann_kendall", |a| {
        let found = mann_kendall(&a.numbers("values")?);
        Ok(json!({
            "s": found.s,
            "tau": number(found.tau),
            "p": number(found.p_value),
            "exact": found.exact,
        }))
    }),
    ("theil_sen", |a| {
        let found =
            theil_sen(&a.numbers("t")?, &a.numbers("y")?, a.number("confidence")?).map_err(refused)?;
        Ok(json!({
            "slope": number(found.slope),
            "intercept": number(found.intercept),
            "interval": [number(found.slope_interval.lower), number(found.slope_interval.upper)],
        }))
    }),
    ("trend", trend_answer),
    ("rate_ratio", |a| {
        let found = rate_ratio(count(a, "first")?, count(a, "second")?, a.number("confidence")?);
        found.map(|r| ratio(&r)).map_err(refused)
    }),
    ("p_not_above", |a| p_not_above(count(a, "first")?, count(a, "second")?).map(number).map_err(refused)),
    ("poisson_interval", |a| {
        let found = mean_interval(a.whole("events")?, a.number("confidence")?);
        Ok(json!([number(found.lower), number(found.upper)]))
    }),
    ("upper_rate_without_event", |a| {
        upper_rate_without_event(a.number("exposure")?, a.number("confidence")?).map(number).map_err(refused)
    }),
    ("fewest_events", |a| {
        let found = fewest_events(a.number("first")?, a.number("second")?, a.number("alpha")?);
        found.map(|k| json!(k)).map_err(refused)
    }),
    ("dispersion", |a| {
        let found = clustering(&a.counts("counts")?).map_err(refused)?;
        Ok(json!({ "index": number(found.index), "phi": number(found.phi), "p": number(found.p_value) }))
    }),
    ("clustered_ratio", |a| {
        let (phi, confidence) = (a.number("phi")?, a.number("confidence")?);
        let found = clustered_ratio(count(a, "first")?, count(a, "second")?, phi, confidence);
        found.map(|r| ratio(&r)).map_err(refused)
    }),
    ("burst_comparison", bursts),
    ("robust_z", |a| {
        let found = robust_z(&a.numbers("values")?, a.number("floor")?).ok_or("no robust z")?;
        Ok(json!({
            "median": number(found.median),
            "scale": number(found.scale),
            "by_median": found.scale_from == ScaleFrom::MedianDeviation,
            "z": numbers(&found.z),
        }))
    }),
    ("median", |a| median(&a.numbers("values")?).map(number).ok_or_else(|| "no median".to_owned())),
    ("tap_outliers", |a| {
        let found = tap_map::outliers(&a.cells("hz")?, a.number("u_ln")?).map_err(refused)?;
        Ok(json!({ "z": cells(&found.z), "flagged": found.flagged }))
    }),
    ("tap_mirror", |a| {
        let found = tap_map::mirror(&a.cells("left")?, &a.cells("right")?, a.number("s_tap")?);
        let found = found.map_err(refused)?;
        Ok(json!({
            "z": cells(&found.z),
            "flagged": found.flagged,
            "offset": number(found.side_offset),
            "whole_side": found.whole_side_differs,
        }))
    }),
];

fn cells(values: &[Option<f64>]) -> Value {
    values.iter().map(|v| super::args::maybe(*v)).collect()
}

fn count(a: &Args, key: &str) -> Result<Count, String> {
    let c = a.table(key)?;
    Ok(Count { events: c.whole("events")?, exposure: c.number("exposure")? })
}

fn ratio(r: &RateRatio) -> Value {
    json!({
        "ratio": number(r.ratio),
        "interval": [number(r.interval.lower), number(r.interval.upper)],
        "p": number(r.p_value),
    })
}

fn trend_answer(a: &Args) -> Answer {
    let (years, values, u) = (a.numbers("years")?, a.numbers("values")?, a.numbers("u")?);
    let starts_at = if a.has("break_at") { Some(a.size("break_at")?) } else { None };
    let annual = |i: usize| Annual {
        year: years[i],
        value: values[i],
        standard_uncertainty: u[i],
        starts_new_series: (starts_at == Some(i)).then(|| "repair".to_owned()),
    };
    let annuals: Vec<Annual> = (0..years.len()).map(annual).collect();
    let found = trend(&annuals).map_err(refused)?;
    let answer = format!("{:?}", found.answer);
    let kind: String = answer.chars().take_while(|c| c.is_alphanumeric()).collect();
    Ok(json!({
        "annuals": found.annuals,
        "answer": kind,
        "p": found.mann_kendall.map(|m| number(m.p_value)),
        "slope": found.theil_sen.map(|t| number(t.slope)),
    }))
}

fn recording(a: &Args) -> Result<Recording, String> {
    Ok(Recording {
        counts_per_cycle: a.counts("counts")?,
        exposure_cycles: a.number("exposure")?,
        masked_share: a.number("masked")?,
        quiet_floor_db: a.number("quiet_db")?,
        set_up: a.text("set_up")?,
        control: if a.has("control") { Some(count(a, "control")?) } else { None },
    })
}

fn bursts(a: &Args) -> Answer {
    let (first, second) = (recording(&a.table("first")?)?, recording(&a.table("second")?)?);
    let found = compare_bursts(&first, &second).map_err(refused)?;
    let answer = match found.answer {
        BurstAnswer::More => "more".to_owned(),
        BurstAnswer::Fewer => "fewer".to_owned(),
        BurstAnswer::NoDifferenceShown => "no difference".to_owned(),
        BurstAnswer::CannotTell(doubt) => {
            format!("{doubt:?}").chars().take_while(|c| c.is_alphanumeric()).collect()
        }
    };
    Ok(json!({ "answer": answer, "phi": number(found.phi), "ratio": ratio(&found.ratio) }))
}
