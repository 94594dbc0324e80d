//! The result in plain words.

use super::{
    Linearity, LoadDeflection, LostMotionAnswer, LostMotionBasis, SetBasis, SlopeComparison, Stiffness,
};

/// One statement a line.
pub(super) fn in_words(result: &LoadDeflection) -> String {
    let mut lines = slope_lines(result);
    lines.push(lost_motion_line(result));
    lines.push(match &result.hysteresis_width {
        Ok(h) => format!(
            "Hysteresis width {:.2} mm (interval {:.2} to {:.2}).",
            h.estimate_mm.value, h.interval_mm.lower, h.interval_mm.upper
        ),
        Err(why) => sentence(&why.to_string()),
    });
    lines.push(match &result.loop_area {
        Ok(w) => {
            let share =
                w.loss_fraction.map_or(String::new(), |l| format!(", {:.0} % of the work put in", 100.0 * l));
            let area = &w.area_n_mm;
            format!(
                "Energy lost in the loop {:.0} N mm, standard uncertainty {:.0} N mm{share}.",
                area.value, area.standard_uncertainty
            )
        }
        Err(why) => sentence(&why.to_string()),
    });
    lines.push(residual_set_line(result));
    if result.linearity == Linearity::NotLinear {
        lines.push("Not linear in this load range: every branch bends the same way.".to_string());
    }
    if result.weak {
        let df = result.degrees_of_freedom;
        lines.push(format!("Weak: only {df} degree(s) of freedom; take more readings."));
    }
    if !result.left_out.is_empty() {
        let positions: Vec<String> = result.left_out.iter().map(|l| (l.index + 1).to_string()).collect();
        lines.push(format!("Readings not fitted: {}.", positions.join(", ")));
    }
    lines.join("\n")
}

fn slope_lines(result: &LoadDeflection) -> Vec<String> {
    let percent = 100.0 * result.settings.confidence;
    match &result.slopes {
        Ok(slopes) if slopes.differ => two_slopes(slopes),
        other => {
            let mut lines = vec![match &result.common_stiffness {
                Ok(k) => format!("Stiffness {}, {percent:.0} % interval.", value(k)),
                Err(why) => sentence(&why.to_string()),
            }];
            lines.push(match other {
                Ok(slopes) => format!(
                    "Both directions alike within the scatter (difference {:+.1} %, p = {:.2}).",
                    100.0 * slopes.relative_difference,
                    slopes.p_value
                ),
                Err(why) => sentence(&why.to_string()),
            });
            lines
        }
    }
}

fn two_slopes(slopes: &SlopeComparison) -> Vec<String> {
    let side = |name: &str, k: &Result<Stiffness, super::NotGiven>| match k {
        Ok(k) => format!("Stiffness {name} {}.", value(k)),
        Err(why) => sentence(&why.to_string()),
    };
    vec![
        format!(
            "The two directions differ by {:+.1} % (p = {:.3}): no common stiffness.",
            100.0 * slopes.relative_difference,
            slopes.p_value
        ),
        side("in the positive direction", &slopes.positive),
        side("in the negative direction", &slopes.negative),
    ]
}

fn value(k: &Stiffness) -> String {
    let (estimate, interval) = (&k.estimate_n_per_mm, &k.interval_n_per_mm);
    format!("{:.2} N/mm ({:.2} to {:.2})", estimate.value, interval.lower, interval.upper)
}

fn lost_motion_line(result: &LoadDeflection) -> String {
    let lost = match &result.lost_motion {
        Ok(lost) => lost,
        Err(why) => return sentence(&why.to_string()),
    };
    let note = match lost.basis {
        LostMotionBasis::Midway => "",
        LostMotionBasis::LoadingOnly => " Loading only: understates by the hysteresis width.",
        LostMotionBasis::UnloadingOnly => " Unloading only: overstates by the hysteresis width.",
    };
    match lost.answer {
        LostMotionAnswer::Found => format!(
            "Lost motion {:.2} mm (interval {:.2} to {:.2}).{note}",
            lost.estimate_mm.value, lost.interval_mm.lower, lost.interval_mm.upper
        ),
        LostMotionAnswer::NoneLargerThan(upper) => {
            format!(
                "No lost motion larger than {upper:.2} mm (estimate {:.2} mm).{note}",
                lost.estimate_mm.value
            )
        }
    }
}

fn residual_set_line(result: &LoadDeflection) -> String {
    match &result.residual_set {
        Ok(set) => {
            let basis = match set.basis {
                SetBasis::SameBranch => "same branch",
                SetBasis::StartToEnd => "start to end, friction included",
            };
            let (value, u) = (set.set_mm.value, set.set_mm.standard_uncertainty);
            if set.real {
                format!(
                    "Residual set {value:.2} mm ({basis}); repeat the cycle to tell settling from damage."
                )
            } else {
                format!("No residual set larger than {:.2} mm shown ({basis}).", value.abs() + 2.0 * u)
            }
        }
        Err(why) => sentence(&why.to_string()),
    }
}

fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), chars.as_str()),
        None => String::new(),
    }
}
