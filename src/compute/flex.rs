//! Push or pull test: a load–deflection series.

use super::Kind;
use super::input::{Failed, Input, Key, Record, Rows, Schema, complete, key};
use super::judged::{ALLOWANCE_IN_LIMIT, GUARD_COVERAGE_FACTOR, judged, read_rule};
use super::report::{Figures, Outcome, Picture, Report, shown};
use crate::measure::estimate::Estimate;
use crate::measure::limits::Limit;
use crate::measure::load_deflection::{
    Branch, Direction, LeftOutReason, Linearity, LoadDeflection, LoadDeflectionError, METHOD, Reading,
    Settings, Stiffness, analyse, check_ceiling,
};
use crate::plot::flex_plot;
use crate::quantity::Unit;

const SETTINGS: &[Key] = &[
    key("resolution", mark!("step of the deflection gauge; needed")),
    key("support_resolution", mark!("step of the second gauge at the support (that of the first)")),
    key("ceiling", mark!("largest load that the type's manual allows; a reading above it is refused")),
    key("take_up", mark!("load below which readings are not fitted")),
    key("take_up_share", mark!("the same as a share of the largest load (10 %)")),
    key(
        "unloading_limit",
        mark!("unloading readings above this share of the peak are not fitted (80 %; \"none\" fits all)"),
    ),
    key("pull_angle", mark!("angle between the pull and the square direction (0 °)")),
    key("load_scale_u", mark!("relative standard uncertainty of the load scale")),
    key("confidence", mark!("of the intervals (95 %)")),
    key("stiffness_min", mark!("smallest stiffness that the type's data allow")),
    key("conformance", mark!("decision rule for that limit: probability at the acceptance limit (95 %)")),
    GUARD_COVERAGE_FACTOR,
    ALLOWANCE_IN_LIMIT,
];

pub const KIND: Kind = Kind {
    name: "flex",
    about: mark!("Load-deflection series: stiffness, lost motion, hysteresis, residual set"),
    schema: Schema {
        settings: SETTINGS,
        tables: &[Rows {
            name: "reading",
            what: mark!("a reading"),
            keys: &[
                key("load", mark!("load along the pull (N, kgf, daN, lbf)")),
                key("deflection", mark!("reading of the gauge")),
                key("support", mark!("second gauge at the support, subtracted")),
                key(
                    "direction",
                    mark!(
                        "such as left, right: load and deflection are then without sign; the first named is positive"
                    ),
                ),
                key("branch", mark!("loading or unloading; else taken from the order of the loads")),
            ],
        }],
    },
    example: include_str!("../../demo/compute/flex.csv"),
    takes_recording: false,
    run,
};

struct Asked {
    settings: Settings,
    ceiling_n: Option<f64>,
    stiffness_min: Option<f64>,
}

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("reading")?;
    let asked = asked(&input.settings);
    let readings = readings(rows);
    let (asked, readings) = (complete(asked)?, readings?);
    if let Some(report) = asked.ceiling_n.and_then(|ceiling_n| above_ceiling(rows, &readings, ceiling_n)) {
        return Ok(report);
    }
    let found = match analyse(&readings, &asked.settings) {
        Ok(found) => found,
        Err(LoadDeflectionError::Insufficient(why)) => {
            let mut report = Report::new(KIND.name, METHOD);
            report.outcome = Outcome::CannotDecide;
            report.say(say!("Cannot tell: {why}.", why));
            return Ok(report);
        }
        Err(error) => return Err(refused(input, rows, &error)),
    };
    let mut report = Report::new(KIND.name, METHOD);
    figures(&found, &mut report);
    for left_out in &found.left_out {
        let why = match left_out.reason {
            LeftOutReason::BelowTakeUp => mark!("below the take-up load"),
            LeftOutReason::UnloadingNearPeak => mark!("unloading too close to the peak"),
        };
        let mut row = Figures::new();
        row.word("reason", say!("Not fitted"), why);
        report.row("left_out", say!("reading {}", left_out.index + 1), row);
    }
    match asked.stiffness_min {
        Some(least) => judge_stiffness(input, &found, least, &mut report)?,
        None => report.say(say!("Computed: no smallest stiffness to judge against.")),
    }
    report.say(found.summary());
    report.pictures.push(Picture::Plot(flex_plot(&readings, Some(&found), None)));
    if asked.ceiling_n.is_none() {
        report.caution(say!(
            "no ceiling was stated: the loads were not held against the type's manual; state it with ceiling"
        ));
    }
    report.caution(say!("a push test can damage a sound structure; the type's manual limits come first, and a clean result does not clear the structure"));
    Ok(report)
}

fn asked(s: &Record) -> Option<Asked> {
    let resolution_mm = s.required_value("resolution", Unit::Millimetre);
    let mut settings = Settings::for_resolution(resolution_mm.unwrap_or(0.0));
    let own = settings.clone();
    let support = s.or(
        "support_resolution",
        own.support_resolution_mm,
        s.value("support_resolution", Unit::Millimetre),
    );
    let take_up = s.or("take_up", own.take_up_min_n, s.value("take_up", Unit::Newton));
    let take_up_share = s.or("take_up_share", own.take_up_fraction, s.share("take_up_share"));
    let none = s.text("unloading_limit").is_some_and(|cell| cell.text == "none");
    let unloading = if none {
        Some(None)
    } else {
        s.or("unloading_limit", own.unloading_limit_fraction, s.share("unloading_limit").map(Some))
    };
    let angle = s.or("pull_angle", own.pull_angle_deg, s.value("pull_angle", Unit::Degree));
    let scale = s.or("load_scale_u", own.load_scale_relative_u, s.share("load_scale_u"));
    let confidence = s.or("confidence", own.confidence, s.share("confidence"));
    let ceiling_n = s.optional("ceiling", s.value("ceiling", Unit::Newton));
    let stiffness_min = s.optional("stiffness_min", s.value("stiffness_min", Unit::NewtonPerMillimetre));
    settings.resolution_mm = resolution_mm?;
    settings.support_resolution_mm = support?;
    settings.take_up_min_n = take_up?;
    settings.take_up_fraction = take_up_share?;
    settings.unloading_limit_fraction = unloading?;
    settings.pull_angle_deg = angle?;
    settings.load_scale_relative_u = scale?;
    settings.confidence = confidence?;
    Some(Asked { settings, ceiling_n: ceiling_n?, stiffness_min: stiffness_min? })
}

fn readings(rows: &[Record]) -> Result<Vec<Reading>, Failed> {
    let named = rows.iter().any(|row| row.has("direction"));
    let mut words: Vec<String> = Vec::new();
    let mut readings = Vec::with_capacity(rows.len());
    let mut failed = false;
    for row in rows {
        match reading(row, named, &mut words) {
            Some(reading) => readings.push(reading),
            None => failed = true,
        }
    }
    if failed { Err(Failed) } else { Ok(readings) }
}

fn reading(row: &Record, named: bool, words: &mut Vec<String>) -> Option<Reading> {
    let load = row.required_value("load", Unit::Newton);
    let deflection = row.required_value("deflection", Unit::Millimetre);
    let support = row.optional("support", row.value("support", Unit::Millimetre));
    let branch = row.optional(
        "branch",
        row.choice(
            "branch",
            &[
                ("loading", Branch::Loading),
                ("up", Branch::Loading),
                ("unloading", Branch::Unloading),
                ("down", Branch::Unloading),
            ],
        ),
    );
    let direction = if named { Some(direction(row, words)?) } else { None };
    let (load, deflection) = (load?, deflection?);
    if direction.is_some() && load < 0.0 {
        row.refuse_key(
            "load",
            say!("the load has a sign though the direction is named; enter it without the sign"),
        );
        return None;
    }
    let sign = if direction == Some(Direction::Negative) { -1.0 } else { 1.0 };
    Some(Reading {
        load_n: sign * load,
        deflection_mm: sign * deflection,
        support_mm: support?.map(|mm| sign * mm),
        direction,
        branch: branch?,
    })
}

/// The first direction named is positive, the second negative; a third is a slip.
fn direction(row: &Record, words: &mut Vec<String>) -> Option<Direction> {
    let word = row.required_text("direction")?.text.to_lowercase();
    let at = words.iter().position(|known| *known == word).unwrap_or_else(|| {
        words.push(word.clone());
        words.len() - 1
    });
    match at {
        0 => Some(Direction::Positive),
        1 => Some(Direction::Negative),
        _ => {
            row.refuse_key(
                "direction",
                say!("\"{word}\" is a third direction beside {} and {}; name two", words[0], words[1], word),
            );
            None
        }
    }
}

fn above_ceiling(rows: &[Record], readings: &[Reading], ceiling_n: f64) -> Option<Report> {
    let mut report = Report::new(KIND.name, METHOD);
    for (row, reading) in rows.iter().zip(readings) {
        let Err(above) = check_ceiling(reading.load_n, ceiling_n) else { continue };
        if report.outcome != Outcome::Refused {
            report.outcome = Outcome::Refused;
            let place = row.text("load").map_or(&row.place, |cell| &cell.place);
            let why = above.why();
            report.say(say!("Refused, at {place}: {why}", place, why));
            report.say(say!("Nothing was computed. Correct the entry if it was mistyped; else stop the test and look for damage."));
        }
        let mut figures = Figures::new();
        figures.value("load", say!("Load"), reading.load_n.abs(), "N");
        figures.value("ceiling", say!("Ceiling"), ceiling_n, "N");
        report.row("above_ceiling", say!("line {}", row.place.line()), figures);
    }
    (report.outcome == Outcome::Refused).then_some(report)
}

fn refused(input: &Input, rows: &[Record], error: &LoadDeflectionError) -> Failed {
    let row = |index: usize| {
        rows.get(index).map_or_else(|| input.refuse("refused", error), |row| row.refuse(error))
    };
    match error {
        LoadDeflectionError::NotFinite { index }
        | LoadDeflectionError::DirectionAgainstSign { index, .. }
        | LoadDeflectionError::SupportMissing { index } => row(*index),
        LoadDeflectionError::Setting { name, .. } => input.settings.refuse_key(setting_of(name), error),
        _ => input.refuse("refused", error),
    }
}

/// The key of the file for a setting of the method.
fn setting_of(name: &str) -> &'static str {
    match name {
        "support_resolution_mm" => "support_resolution",
        "take_up_fraction" => "take_up_share",
        "take_up_min_n" => "take_up",
        "unloading_limit_fraction" => "unloading_limit",
        "pull_angle_deg" => "pull_angle",
        "load_scale_relative_u" => "load_scale_u",
        "confidence" => "confidence",
        _ => "resolution",
    }
}

fn stiffness(figures: &mut Figures, key: &str, label: &str, found: &Stiffness) {
    figures.estimate(key, label, &found.estimate_n_per_mm, "N/mm");
    figures.interval(&format!("{key}_interval"), say!("  interval"), &found.interval_n_per_mm, "N/mm");
}

fn figures(found: &LoadDeflection, report: &mut Report) {
    let figures = &mut report.figures;
    if let Ok(k) = found.stiffness() {
        stiffness(figures, "stiffness", say!("Stiffness"), k);
    }
    if let Ok(slopes) = &found.slopes {
        for (side, key, label) in [
            (&slopes.positive, "stiffness_positive", say!("Stiffness, positive direction")),
            (&slopes.negative, "stiffness_negative", say!("Stiffness, negative direction")),
        ] {
            if let Ok(k) = side {
                stiffness(figures, key, label, k);
            }
        }
        figures.share("direction_difference", say!("Positive against negative"), slopes.relative_difference);
        figures.value("direction_p", say!("p of the difference"), slopes.p_value, "");
    }
    figures.estimate("compliance", say!("Compliance"), &found.compliance_mm_per_n, "mm/N");
    if let Ok(lost) = &found.lost_motion {
        figures.estimate("lost_motion", say!("Lost motion"), &lost.estimate_mm, "mm");
        figures.interval("lost_motion_interval", say!("  interval"), &lost.interval_mm, "mm");
    }
    if let Ok(width) = &found.hysteresis_width {
        figures.estimate("hysteresis", say!("Hysteresis width"), &width.estimate_mm, "mm");
        figures.interval("hysteresis_interval", say!("  interval"), &width.interval_mm, "mm");
    }
    if let Ok(area) = &found.loop_area {
        figures.estimate("loop_area", say!("Energy lost in the loop"), &area.area_n_mm, "N mm");
    }
    if let Ok(set) = &found.residual_set {
        figures.estimate("residual_set", say!("Residual set"), &set.set_mm, "mm");
    }
    figures.estimate("zero", say!("Zero offset"), &found.zero_mm, "mm");
    figures.value("residual_sd", say!("Scatter about the lines"), found.residual_sd_mm, "mm");
    figures.value("scatter_used", say!("Scatter used"), found.s_used_mm, "mm");
    figures.whole("points_used", say!("Readings fitted"), found.points_used as u64);
    figures.whole("degrees_of_freedom", say!("Degrees of freedom"), found.degrees_of_freedom as u64);
    figures.word(
        "linearity",
        say!("Straight lines fit"),
        match found.linearity {
            Linearity::NotJudged => mark!("not judged: too few load levels"),
            Linearity::NoBendSeen => mark!("no bend seen"),
            Linearity::NotLinear => mark!("not linear: every branch bends the same way"),
        },
    );
    figures.flag("weak", say!("Weak: too few degrees of freedom"), found.weak);
    figures.share("confidence", say!("Confidence of the intervals"), found.settings.confidence);
    figures.value(
        "take_up_share",
        say!("Take-up share of the largest load"),
        found.settings.take_up_fraction,
        "",
    );
    figures.value("pull_angle", say!("Angle of the pull"), found.settings.pull_angle_deg, "°");
}

fn judge_stiffness(
    input: &Input,
    found: &LoadDeflection,
    least: f64,
    report: &mut Report,
) -> Result<(), Failed> {
    report.method(crate::measure::limits::METHOD);
    let rule = complete(read_rule(&input.settings))?;
    let values: Vec<Estimate> = match (found.stiffness(), &found.slopes) {
        (Ok(k), _) => vec![k.estimate_n_per_mm],
        (Err(_), Ok(slopes)) => {
            [&slopes.positive, &slopes.negative].into_iter().flatten().map(|k| k.estimate_n_per_mm).collect()
        }
        _ => Vec::new(),
    };
    if values.is_empty() {
        report.outcome = Outcome::CannotDecide;
    }
    for value in values {
        let mut figures = Figures::new();
        figures.estimate("value", say!("Stiffness"), &value, "N/mm");
        let outcome = judged(&input.settings, value, Limit::Lower(least), rule, "N/mm", &mut figures)?;
        report.outcome = report.outcome.graver(outcome);
        report.row("judged", say!("against the smallest stiffness"), figures);
    }
    let least = shown(least);
    report.say(match report.outcome {
        Outcome::Within => say!("Within: not softer than {least} N/mm.", least),
        Outcome::Outside => say!("Outside: softer than {least} N/mm.", least),
        _ => say!("Cannot decide whether it keeps {least} N/mm; repeat, or measure better.", least),
    });
    Ok(())
}
