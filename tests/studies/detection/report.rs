//! The study as a table for people and as JSON for programs.

use super::arguments::Arguments;
use serde_json::json;
use spanwise::measure::detection::{METHOD, Outcome};
use std::fmt::Write;

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

/// Share with its Monte-Carlo standard error.
fn with_error((share, error): (f64, f64)) -> String {
    format!("{:.1} ± {:.1} %", 100.0 * share, 100.0 * error)
}

fn or_dash(share: Option<f64>) -> String {
    share.map_or_else(|| "-".to_owned(), percent)
}

/// One line for each number of references and loss.
pub fn table(arguments: &Arguments, outcomes: &[Outcome]) -> String {
    let mut text = format!("{METHOD}, seed {}, {} repetitions\n\n", arguments.seed, arguments.repetitions);
    let head = [
        "n",
        "true loss",
        "softer",
        "t test",
        "floor",
        "any alarm",
        "t test",
        "floor",
        "consistent",
        "cannot tell",
    ];
    let mut line = |cells: [String; 10]| {
        let [n, loss, softer, exact, floored, alarm, exact_alarm, floored_alarm, consistent, cannot_tell] =
            cells;
        // Writing to a text cannot fail.
        let _ = writeln!(
            text,
            "{n:>3} {loss:>10} {softer:>14} {exact:>8} {floored:>8} {alarm:>14} {exact_alarm:>8} {floored_alarm:>8} {consistent:>11} {cannot_tell:>12}"
        );
    };
    line(head.map(str::to_owned));
    for o in outcomes {
        let part = |count: usize| percent(count as f64 / o.repetitions as f64);
        line([
            o.references.to_string(),
            percent(o.true_loss),
            with_error(o.softer_share()),
            or_dash(o.exact.map(|e| e.softer)),
            or_dash(o.exact.map(|e| e.softer_with_floor)),
            with_error(o.alarm_share()),
            or_dash(o.exact.map(|e| e.alarm)),
            or_dash(o.exact.map(|e| e.alarm_with_floor)),
            part(o.consistent),
            part(o.cannot_tell),
        ]);
    }
    text.push_str(
        "\nn references; ± one Monte-Carlo standard error. Exact power for complete readings: by the t test alone, and with the\n\
         floor (no spread below the measurement uncertainty). Any alarm (softer or stiffer) at no loss is the false-alarm\n\
         rate. What is missing to 100 % gave no stiffness.\n",
    );
    text
}

pub fn json(arguments: &Arguments, outcomes: &[Outcome]) -> String {
    let rows: Vec<serde_json::Value> = outcomes
        .iter()
        .map(|o| {
            let ((softer, softer_se), (alarm, alarm_se)) = (o.softer_share(), o.alarm_share());
            json!({
                "references": o.references,
                "true_loss": o.true_loss,
                "repetitions": o.repetitions,
                "softer": o.softer,
                "stiffer": o.stiffer,
                "consistent": o.consistent,
                "cannot_tell": o.cannot_tell,
                "no_result": o.no_result,
                "softer_share": softer,
                "softer_standard_error": softer_se,
                "exact_softer": o.exact.map(|e| e.softer),
                "exact_softer_with_floor": o.exact.map(|e| e.softer_with_floor),
                "alarm_share": alarm,
                "alarm_standard_error": alarm_se,
                "exact_alarm": o.exact.map(|e| e.alarm),
                "exact_alarm_with_floor": o.exact.map(|e| e.alarm_with_floor),
            })
        })
        .collect();
    let hangar = json!({
        "load_noise_n": arguments.load_noise,
        "gauge_noise_mm": arguments.gauge_noise,
        "resolution_mm": arguments.resolution,
        "set_up_relative": arguments.set_up,
        "between_airframe_cv": arguments.between_airframes,
        "hysteresis_mm": arguments.hysteresis,
        "lost_motion_mm": arguments.lost_motion,
        "missing_share": arguments.missing,
        "stated_cv": arguments.stated_cv,
        "stiffness_n_per_mm": arguments.stiffness,
        "load_levels_n": arguments.load_levels,
        "one_sided": arguments.one_sided,
    });
    json!({ "method": METHOD, "seed": arguments.seed, "hangar": hangar, "outcomes": rows }).to_string()
}
