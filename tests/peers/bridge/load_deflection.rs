//! The push test, the loop area, and the exact power that the detection study prints.

use super::args::{Answer, Args, maybe, number, refused};
use super::distributions::sides;
use serde_json::{Value, json};
use spanwise::measure::compare::Question;
use spanwise::measure::detection::{Hangar, Study, run};
use spanwise::measure::estimate::{Estimate, Interval};
use spanwise::measure::load_deflection::{
    Branch, Direction, Linearity, LoopBasis, NotGiven, Reading, SetBasis, Settings, Stiffness, analyse,
    loop_area, loop_area_uncertainty,
};

pub const ALL: &[super::Statistic] = &[
    ("load_deflection", load_deflection),
    ("loop_area", |a| {
        let (load, deflection) = (a.numbers("load_n")?, a.numbers("deflection_mm")?);
        let u = loop_area_uncertainty(&load, a.number("u_mm")?);
        Ok(json!({ "area": number(loop_area(&load, &deflection)), "u": number(u) }))
    }),
    ("detection_theory", detection_theory),
];

/// Value and standard uncertainty, with the ends of an interval.
fn with_interval(e: &Estimate, interval: &Interval) -> Value {
    json!([number(e.value), number(e.standard_uncertainty), number(interval.lower), number(interval.upper)])
}

fn or_null<T>(given: &Result<T, NotGiven>, write: impl Fn(&T) -> Value) -> Value {
    given.as_ref().map_or(Value::Null, write)
}

fn stiffness(k: &Result<Stiffness, NotGiven>) -> Value {
    or_null(k, |k| with_interval(&k.estimate_n_per_mm, &k.interval_n_per_mm))
}

fn readings(a: &Args) -> Result<Vec<Reading>, String> {
    let (load, deflection) = (a.numbers("load_n")?, a.numbers("deflection_mm")?);
    let support = if a.has("support_mm") { a.cells("support_mm")? } else { vec![None; load.len()] };
    let tags = if a.has("unloading") { a.counts("unloading")? } else { Vec::new() };
    let read = |i: usize| Reading {
        load_n: load[i],
        deflection_mm: deflection[i],
        support_mm: support[i],
        direction: tags
            .first()
            .map(|_| if load[i] > 0.0 { Direction::Positive } else { Direction::Negative }),
        branch: tags.get(i).map(|u| if *u == 1 { Branch::Unloading } else { Branch::Loading }),
    };
    Ok((0..load.len()).map(read).collect())
}

fn load_deflection(a: &Args) -> Answer {
    let settings = Settings {
        support_resolution_mm: a.number("support_resolution_mm")?,
        take_up_fraction: a.number("take_up_fraction")?,
        take_up_min_n: a.number("take_up_min_n")?,
        unloading_limit_fraction: a.maybe("unloading_limit_fraction")?,
        pull_angle_deg: a.number("pull_angle_deg")?,
        load_scale_relative_u: a.number("load_scale_relative_u")?,
        confidence: a.number("confidence")?,
        ..Settings::for_resolution(a.number("resolution_mm")?)
    };
    let found = analyse(&readings(a)?, &settings).map_err(refused)?;
    Ok(json!({
        "left_out": found.left_out.iter().map(|l| l.index).collect::<Vec<_>>(),
        "points_used": found.points_used,
        "degrees_of_freedom": found.degrees_of_freedom,
        "residual_sd": number(found.residual_sd_mm),
        "s_used": number(found.s_used_mm),
        "zero": [number(found.zero_mm.value), number(found.zero_mm.standard_uncertainty)],
        "compliance": with_interval(&found.compliance_mm_per_n, &found.compliance_interval_mm_per_n),
        "stiffness": stiffness(&found.common_stiffness),
        "lost_motion": or_null(&found.lost_motion, |l| with_interval(&l.estimate_mm, &l.interval_mm)),
        "hysteresis": or_null(&found.hysteresis_width, |h| with_interval(&h.estimate_mm, &h.interval_mm)),
        "slopes": or_null(&found.slopes, |s| json!({
            "f": number(s.f_statistic),
            "p": number(s.p_value),
            "differ": s.differ,
            "relative_difference": number(s.relative_difference),
            "u_positive": number(s.positive_compliance_mm_per_n.standard_uncertainty),
            "u_negative": number(s.negative_compliance_mm_per_n.standard_uncertainty),
            "positive": stiffness(&s.positive),
            "negative": stiffness(&s.negative),
        })),
        "loop_area": or_null(&found.loop_area, |w| json!({
            "area": number(w.area_n_mm.value),
            "u": number(w.area_n_mm.standard_uncertainty),
            "work_in": number(w.work_in_n_mm),
            "loss_fraction": maybe(w.loss_fraction),
            "whole": w.basis == LoopBasis::WholeLoop,
        })),
        "residual_set": or_null(&found.residual_set, |r| json!({
            "set": number(r.set_mm.value),
            "u": number(r.set_mm.standard_uncertainty),
            "real": r.real,
            "same_branch": r.basis == SetBasis::SameBranch,
        })),
        "linearity": match found.linearity {
            Linearity::NotJudged => "not judged",
            Linearity::NoBendSeen => "no bend",
            Linearity::NotLinear => "not linear",
        },
    }))
}

fn detection_theory(a: &Args) -> Answer {
    let hangar = Hangar {
        load_noise_n: a.number("load_noise_n")?,
        gauge_noise_mm: a.number("gauge_noise_mm")?,
        gauge_step_mm: a.number("gauge_step_mm")?,
        set_up_relative: a.number("set_up_relative")?,
        between_airframe_cv: a.number("between_airframe_cv")?,
        hysteresis_mm: 0.5,
        lost_motion_mm: 1.0,
        missing_share: 0.0,
    };
    let study = Study {
        references: vec![a.size("references")?],
        losses: vec![a.number("loss")?],
        question: Question { sides: sides(a)?, alpha: a.number("alpha")?, ..Question::stiffness() },
        repetitions: 1,
        ..Study::of(hangar, a.number("stiffness")?, a.numbers("levels_n")?, 1)
    };
    let outcomes = run(&study).map_err(refused)?;
    let theory = outcomes.first().and_then(|o| o.exact).ok_or("no theoretical power")?;
    Ok(json!({
        "softer": number(theory.softer),
        "alarm": number(theory.alarm),
        "softer_with_floor": number(theory.softer_with_floor),
        "alarm_with_floor": number(theory.alarm_with_floor),
    }))
}
