//! The result in plain words.

use super::{
    Linearity, LoadDeflection, LostMotionAnswer, LostMotionBasis, SetBasis, SlopeComparison, Stiffness,
};
use crate::measure::sentence;
use crate::words::{figure, said};

/// One statement a line.
pub(super) fn in_words(result: &LoadDeflection) -> String {
    let mut lines = slope_lines(result);
    lines.push(lost_motion_line(result));
    lines.push(match &result.hysteresis_width {
        Ok(h) => say!(
            "Hysteresis width {} mm (interval {} to {}).",
            figure(format_args!("{:.2}", h.estimate_mm.value)),
            figure(format_args!("{:.2}", h.interval_mm.lower)),
            figure(format_args!("{:.2}", h.interval_mm.upper))
        ),
        Err(why) => sentence(&why.to_string()),
    });
    lines.push(match &result.loop_area {
        Ok(w) => {
            let share = w.loss_fraction.map_or(String::new(), |l| {
                say!(", {} % of the work put in", figure(format_args!("{:.0}", 100.0 * l)))
            });
            let area = &w.area_n_mm;
            say!(
                "Energy lost in the loop {} N mm, standard uncertainty {} N mm{share}.",
                figure(format_args!("{:.0}", area.value)),
                figure(format_args!("{:.0}", area.standard_uncertainty)),
                share
            )
        }
        Err(why) => sentence(&why.to_string()),
    });
    lines.push(residual_set_line(result));
    if result.linearity == Linearity::NotLinear {
        lines.push(say!("Not linear in this load range: every branch bends the same way.").to_string());
    }
    if result.weak {
        let df = result.degrees_of_freedom;
        lines.push(say!("Weak: only {df} degree(s) of freedom; take more readings.", df));
    }
    if !result.left_out.is_empty() {
        let positions: Vec<String> = result.left_out.iter().map(|l| (l.index + 1).to_string()).collect();
        lines.push(say!("Readings not fitted: {}.", positions.join(", ")));
    }
    lines.join("\n")
}

fn slope_lines(result: &LoadDeflection) -> Vec<String> {
    let percent = 100.0 * result.settings.confidence;
    match &result.slopes {
        Ok(slopes) if slopes.differ => two_slopes(slopes),
        other => {
            let mut lines = vec![match &result.common_stiffness {
                Ok(k) => say!(
                    "Stiffness {}, {percent} % interval.",
                    value(k),
                    percent = figure(format_args!("{:.0}", percent))
                ),
                Err(why) => sentence(&why.to_string()),
            }];
            lines.push(match other {
                Ok(slopes) => say!(
                    "Both directions alike within the scatter (difference {} %, p = {}).",
                    figure(format_args!("{:+.1}", 100.0 * slopes.relative_difference)),
                    figure(format_args!("{:.2}", slopes.p_value))
                ),
                Err(why) => sentence(&why.to_string()),
            });
            lines
        }
    }
}

fn two_slopes(slopes: &SlopeComparison) -> Vec<String> {
    let side = |name: &str, k: &Result<Stiffness, super::NotGiven>| match k {
        Ok(k) => say!("Stiffness {name} {}.", value(k), name = said(name)),
        Err(why) => sentence(&why.to_string()),
    };
    vec![
        say!(
            "The two directions differ by {} % (p = {}): no common stiffness.",
            figure(format_args!("{:+.1}", 100.0 * slopes.relative_difference)),
            figure(format_args!("{:.3}", slopes.p_value))
        ),
        side(say!("in the positive direction"), &slopes.positive),
        side(say!("in the negative direction"), &slopes.negative),
    ]
}

fn value(k: &Stiffness) -> String {
    let (estimate, interval) = (&k.estimate_n_per_mm, &k.interval_n_per_mm);
    say!(
        "{} N/mm ({} to {})",
        figure(format_args!("{:.2}", estimate.value)),
        figure(format_args!("{:.2}", interval.lower)),
        figure(format_args!("{:.2}", interval.upper))
    )
}

fn lost_motion_line(result: &LoadDeflection) -> String {
    let lost = match &result.lost_motion {
        Ok(lost) => lost,
        Err(why) => return sentence(&why.to_string()),
    };
    let note = match lost.basis {
        LostMotionBasis::Midway => "",
        LostMotionBasis::LoadingOnly => say!(" Loading only: understates by the hysteresis width."),
        LostMotionBasis::UnloadingOnly => say!(" Unloading only: overstates by the hysteresis width."),
    };
    match lost.answer {
        LostMotionAnswer::Found => say!(
            "Lost motion {} mm (interval {} to {}).{note}",
            figure(format_args!("{:.2}", lost.estimate_mm.value)),
            figure(format_args!("{:.2}", lost.interval_mm.lower)),
            figure(format_args!("{:.2}", lost.interval_mm.upper)),
            note
        ),
        LostMotionAnswer::NoneLargerThan(upper) => {
            say!(
                "No lost motion larger than {upper} mm (estimate {} mm).{note}",
                figure(format_args!("{:.2}", lost.estimate_mm.value)),
                upper = figure(format_args!("{:.2}", upper)),
                note
            )
        }
    }
}

fn residual_set_line(result: &LoadDeflection) -> String {
    match &result.residual_set {
        Ok(set) => {
            let basis = match set.basis {
                SetBasis::SameBranch => say!("same branch"),
                SetBasis::StartToEnd => say!("start to end, friction included"),
            };
            let (value, u) = (set.set_mm.value, set.set_mm.standard_uncertainty);
            if set.real {
                say!(
                    "Residual set {value} mm ({basis}); repeat the cycle to tell settling from damage.",
                    value = figure(format_args!("{:.2}", value)),
                    basis
                )
            } else {
                say!(
                    "No residual set larger than {} mm shown ({basis}).",
                    figure(format_args!("{:.2}", value.abs() + 2.0 * u)),
                    basis
                )
            }
        }
        Err(why) => sentence(&why.to_string()),
    }
}
