//! Tap map of one area, against itself or against its mirrored side.

use super::Kind;
use super::input::{Failed, Input, Key, Record, Rows, Schema, complete, key};
use super::report::{Figures, Outcome, Picture, Report};
use crate::measure::tap::{self, Tap, TapPoint, TapSettings, point, point_from_recording};
use crate::measure::tap_map::{METHOD, MirrorMap, TapMap, mirror, outliers};
use crate::measure::wav;
use crate::plot::TapCell;
use crate::quantity::Unit;
use crate::words::{figure, said};

pub const KIND: Kind = Kind {
    name: "tap",
    about: mark!("Tap map: points that ring differently from the area or the mirrored side"),
    schema: Schema {
        settings: &[
            key(
                "area",
                mark!("one area of one lay-up and backing, without spar, rib or change of thickness"),
            ),
            key("point_u", mark!("relative uncertainty of one point's tone (0)")),
        ],
        tables: &[Rows { name: "point", what: mark!("a point"), keys: POINT }],
    },
    example: include_str!("../../demo/compute/tap.csv"),
    takes_recording: false,
    run,
};

const POINT: &[Key] = &[
    key("name", mark!("which point, such as station and height")),
    key("frequency", mark!("tone of the point; empty when there is none")),
    key("taps", mark!("instead: tones of its single taps, 1010 Hz; 1020 Hz; 1015 Hz")),
    key("recording", mark!("instead: WAV file of all its taps")),
    key("second", mark!("second mode of the point")),
    key("mirror_frequency", mark!("tone of the mirrored point of the other side")),
    key("heard", mark!("by ear: clear or dull")),
];

struct Point<'a> {
    row: &'a Record,
    name: String,
    hz: Option<f64>,
    second_hz: Option<f64>,
    mirror_hz: Option<f64>,
    dull: Option<bool>,
    why_empty: Option<String>,
}

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("point")?;
    let s = &input.settings;
    let u = complete(s.or("point_u", 0.0, s.share("point_u")));
    let mut points = Vec::with_capacity(rows.len());
    let mut failed = false;
    for (index, row) in rows.iter().enumerate() {
        match read_point(input, row, index) {
            Ok(point) => points.push(point),
            Err(Failed) => failed = true,
        }
    }
    let u = u?;
    if failed {
        return Err(Failed);
    }
    let mut report = Report::new(KIND.name, METHOD);
    if rows.iter().any(|row| row.has("taps") || row.has("recording")) {
        report.method(tap::METHOD);
    }
    let by_tone = points.iter().any(|point| point.hz.is_some());
    let hz: Vec<Option<f64>> = points.iter().map(|point| point.hz).collect();
    let map = outliers(&hz, u).map_err(|error| s.refuse_key("point_u", error))?;
    let mirrored = if points.iter().any(|point| point.mirror_hz.is_some()) {
        let other: Vec<Option<f64>> = points.iter().map(|point| point.mirror_hz).collect();
        Some(mirror(&hz, &other, u).map_err(|error| input.refuse("refused", error))?)
    } else {
        None
    };
    judge(&points, &map, mirrored.as_ref(), by_tone, &mut report);
    report.caution(say!("a flag asks for a second look, it is no finding; the tapper, a damping hand and paint change the tone"));
    report.caution(say!(
        "one map covers one area of one lay-up and backing, never across a spar, rib or change of thickness"
    ));
    Ok(report)
}

fn read_point<'a>(input: &Input, row: &'a Record, index: usize) -> Result<Point<'a>, Failed> {
    let given = ["frequency", "taps", "recording"].iter().filter(|key| row.has(key)).count();
    if given > 1 {
        return Err(row.refuse(say!("give one of frequency, taps or recording")));
    }
    let second = row.optional("second", row.value("second", Unit::Hertz));
    let mirror_hz = row.optional("mirror_frequency", row.value("mirror_frequency", Unit::Hertz));
    let dull = row.optional("heard", row.choice("heard", &[("clear", false), ("dull", true)]));
    let settings = TapSettings::default();
    let found = if row.has("taps") {
        let tones = complete(row.values("taps", Unit::Hertz))?;
        let tap = |hz: f64| Tap {
            frequency_hz: hz,
            second_hz: None,
            tau_s: None,
            frames_used: 0,
            prominence_db: 0.0,
        };
        point(&tones.into_iter().map(tap).collect::<Vec<_>>(), &settings)
    } else if let Some(cell) = row.text("recording") {
        let bytes = input.fetch(cell)?;
        let recording = wav::read(bytes.as_slice()).map_err(|error| row.refuse_key("recording", error))?;
        point_from_recording(&recording.to_f64(), recording.sample_rate_hz, &settings)
            .map_err(|error| row.refuse_key("recording", error))?
    } else {
        let hz = complete(row.optional("frequency", row.value("frequency", Unit::Hertz)))?;
        match hz {
            Some(frequency_hz) => TapPoint::Tone { frequency_hz, second_hz: None, tau_s: None, taps: 1 },
            None => TapPoint::TooFewTaps { usable: 0, needed: settings.min_taps },
        }
    };
    let why_empty = match &found {
        TapPoint::Tone { .. } => None,
        _ if given == 0 => Some(say!("no tone entered").to_string()),
        TapPoint::NoClearTone { lowest_hz, highest_hz } => Some(say!(
            "its taps differ, {lowest_hz} to {highest_hz} Hz; tap again",
            lowest_hz = figure(format_args!("{:.0}", lowest_hz)),
            highest_hz = figure(format_args!("{:.0}", highest_hz))
        )),
        TapPoint::TooFewTaps { usable, needed } => {
            Some(say!("{usable} usable taps, {needed} are needed", usable, needed))
        }
    };
    let own_second = match &found {
        TapPoint::Tone { second_hz, .. } => *second_hz,
        _ => None,
    };
    let name = row.text_or("name", &say!("point {}", index + 1));
    Ok(Point {
        row,
        name,
        hz: found.frequency_hz(),
        second_hz: complete(second)?.or(own_second),
        mirror_hz: complete(mirror_hz)?,
        dull: complete(dull)?,
        why_empty,
    })
}

/// The points as a grid: names such as A1, A2 … B1 give one row for each letter, other names one row in all.
fn grid(points: &[Point], map: &TapMap, flagged: &[String]) -> Vec<Vec<TapCell>> {
    let row_of = |point: &Point| point.name.chars().take_while(|c| c.is_alphabetic()).collect::<String>();
    let mut rows: Vec<(String, Vec<TapCell>)> = Vec::new();
    for (index, point) in points.iter().enumerate() {
        let is_lower = map.z.get(index).copied().flatten().is_none_or(|z| z < 0.0);
        let cell = match flagged.contains(&point.name) {
            true if point.dull == Some(true) || is_lower => TapCell::Lower,
            true => TapCell::Higher,
            false if point.hz.is_none() && point.dull.is_none() => TapCell::Empty,
            false => TapCell::Even,
        };
        let name = row_of(point);
        match rows.last_mut() {
            Some((last, cells)) if *last == name => cells.push(cell),
            _ => rows.push((name, vec![cell])),
        }
    }
    rows.into_iter().map(|(_, cells)| cells).collect()
}

fn judge(points: &[Point], map: &TapMap, mirrored: Option<&MirrorMap>, by_tone: bool, report: &mut Report) {
    let seconds: Vec<Option<f64>> = points.iter().map(|point| point.second_hz).collect();
    let explained = map.explained_by_second_mode(&seconds);
    let mut flagged = Vec::new();
    for (index, point) in points.iter().enumerate() {
        let mut why = Vec::new();
        if map.flagged.contains(&index) {
            why.push(mark!("differs from the area"));
        }
        if mirrored.is_some_and(|mirrored| mirrored.flagged.contains(&index)) {
            why.push(mark!("differs from the mirrored point"));
        }
        if point.dull == Some(true) {
            why.push(mark!("dull by ear"));
        }
        if !why.is_empty() {
            flagged.push(point.name.clone());
        }
        let mut figures = Figures::new();
        if let Some(hz) = point.hz {
            figures.value("frequency", say!("Tone"), hz, "Hz");
        }
        if let Some(z) = map.z.get(index).copied().flatten() {
            figures.value("z", say!("Robust z"), z, "");
        }
        if let Some(delta) = mirrored.and_then(|mirrored| mirrored.delta.get(index).copied().flatten()) {
            figures.value("mirror_ln_ratio", say!("ln(this/mirrored)"), delta, "");
        }
        if let Some(dull) = point.dull {
            figures.word("heard", say!("By ear"), if dull { mark!("dull") } else { mark!("clear") });
        }
        if let Some(empty) = point
            .why_empty
            .as_ref()
            .filter(|_| by_tone || point.row.has("taps") || point.row.has("recording"))
        {
            figures.text("empty_because", say!("Empty"), empty.clone());
        }
        if !why.is_empty() {
            figures.told("flagged", say!("Flagged"), || {
                why.iter().map(|why| said(why)).collect::<Vec<_>>().join("; ")
            });
            if explained.contains(&index) {
                figures.flag(
                    "explained_by_second_mode",
                    say!("Its second mode fits the area: tap again"),
                    true,
                );
            }
        }
        report.row("points", point.name.clone(), figures);
    }
    report.pictures.push(Picture::Tap(grid(points, map, &flagged)));
    let heard = points.iter().filter(|point| point.dull.is_some()).count();
    let sufficient = map.sufficient || (!by_tone && heard > 0);
    report.outcome = match (flagged.is_empty(), sufficient) {
        (false, _) => Outcome::Outside,
        (true, true) => Outcome::Within,
        (true, false) => Outcome::CannotDecide,
    };
    report.say(match report.outcome {
        Outcome::Outside => say!("Look again: {} rings differently.", flagged.join(", ")),
        Outcome::Within => say!("No point rings differently from the rest.").to_string(),
        _ => say!(
            "Cannot tell: insufficient data: {} points have a tone, {} are needed.",
            map.points,
            crate::measure::tap_map::MIN_POINTS
        ),
    });
    report.figures.whole("points_with_tone", say!("Points with a tone"), map.points as u64);
    report.figures.whole("points_by_ear", say!("Points judged by ear"), heard as u64);
    report.figures.whole("flagged", say!("Points flagged"), flagged.len() as u64);
    if map.sufficient {
        report.figures.value("median", say!("Median tone"), map.median_ln.exp(), "Hz");
        report.figures.value("scale_ln", say!("Scale of ln f"), map.scale_ln, "");
    }
    if let Some(mirrored) = mirrored {
        report.figures.value("side_offset_ln", say!("Median of ln(this/mirrored)"), mirrored.side_offset, "");
        report.figures.flag(
            "whole_side_differs",
            say!("The whole side differs"),
            mirrored.whole_side_differs,
        );
        if mirrored.whole_side_differs {
            report.say(say!("The whole side differs from the other, or was tapped differently."));
        }
    }
}
