//! Pressure for an indicated speed, and the errors of an indicator.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::report::{Figures, Outcome, Report};
use crate::measure::airspeed::{
    IndicatorReading, METHOD, WaterColumn, impact_pressure_pa, indicator_errors, speed_mps,
};
use crate::quantity::Unit;

pub const KIND: Kind = Kind {
    name: "airspeed",
    about: mark!("Pressure for an indicated speed and back; errors of an indicator"),
    schema: Schema {
        settings: &[
            key("error_max", mark!("largest error of the indicator that the manual or programme allows")),
            key("water", mark!("what a water column in mmH2O or inH2O stands for: conventional, or 20C")),
        ],
        tables: &[Rows {
            name: "point",
            what: mark!("a point"),
            keys: &[
                key("pressure", mark!("pressure applied (Pa, hPa, mmH2O, inH2O)")),
                key(
                    "indicated",
                    mark!("speed shown (km/h, kt, m/s); alone: the pressure for it is computed"),
                ),
            ],
        }],
    },
    example: include_str!("../../demo/compute/airspeed.csv"),
    takes_recording: false,
    run,
};

struct Point {
    pressure_pa: Option<f64>,
    indicated: Option<(Unit, f64)>,
}

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("point")?;
    let s = &input.settings;
    let known = [("conventional", WaterColumn::Conventional), ("20c", WaterColumn::At20Celsius)];
    let water = complete(s.or("water", WaterColumn::Conventional, s.choice("water", &known)));
    let limit = s.optional("error_max", s.value("error_max", Unit::MetrePerSecond));
    let water = water?;
    let points: Vec<Option<Point>> = rows.iter().map(|row| point(row, water)).collect();
    let points: Vec<Point> = complete(points.into_iter().collect())?;
    let limit = complete(limit)?;
    let mut report = Report::new(KIND.name, METHOD);
    let mut columns = false;
    for (index, (row, point)) in rows.iter().zip(&points).enumerate() {
        let mut figures = Figures::new();
        let found = figures_of(row, point, limit, water, &mut figures)?;
        report.outcome = report.outcome.graver(found);
        columns |= row.text("pressure").is_some_and(|cell| cell.text.contains("H2O"));
        report.row("points", say!("point {}", index + 1), figures);
    }
    let most = s.text_or("error_max", "");
    report.say(match report.outcome {
        Outcome::Within => say!("Within: no error above {most}.", most),
        Outcome::Outside => say!("Outside: at least one error is above {most}.", most),
        _ => say!("Computed: no indicator was judged.").to_string(),
    });
    if columns && !s.has("water") {
        report.caution(say!("a water column was read as conventional water; at 20 °C it stands for 0.18 % less pressure, state which with water"));
    }
    report.caution(say!("never blow into a pitot-static system or apply more than the instrument's range; the type's manual governs"));
    Ok(report)
}

fn point(row: &Record, water: WaterColumn) -> Option<Point> {
    let pressure = row.optional("pressure", pressure(row, water));
    let indicated = row.optional("indicated", row.quantity("indicated", Unit::KilometrePerHour));
    let (pressure_pa, indicated) = (pressure?, indicated?);
    if pressure_pa.is_none() && indicated.is_none() {
        row.refuse(say!("there is neither pressure nor indicated speed; give at least one"));
        return None;
    }
    let indicated = match indicated {
        Some(quantity) => Some((quantity.unit, row.value("indicated", Unit::MetrePerSecond)?)),
        None => None,
    };
    Some(Point { pressure_pa, indicated })
}

fn pressure(row: &Record, water: WaterColumn) -> Option<f64> {
    let quantity = row.quantity("pressure", Unit::Pascal)?;
    if !matches!(quantity.unit, Unit::MillimetreOfWater | Unit::InchOfWater) {
        return row.value("pressure", Unit::Pascal);
    }
    // The column's height is what was read; which water it was decides the pressure.
    let mm = row.value("pressure", Unit::MillimetreOfWater)?;
    match water.pressure_pa(mm) {
        Ok(pa) => Some(pa),
        Err(error) => {
            row.refuse_key("pressure", error);
            None
        }
    }
}

fn speeds(figures: &mut Figures, key: &str, label: &str, mps: f64) {
    figures.value(key, label, mps * 3.6, "km/h");
    figures.value(key, label, mps * 3600.0 / 1852.0, "kt");
}

fn figures_of(
    row: &Record,
    point: &Point,
    limit: Option<f64>,
    water: WaterColumn,
    figures: &mut Figures,
) -> Result<Outcome, Failed> {
    match (point.pressure_pa, point.indicated) {
        (Some(applied_pa), None) => {
            let mps = speed_mps(applied_pa).map_err(|error| row.refuse_key("pressure", error))?;
            figures.value("pressure", say!("Pressure applied"), applied_pa, "Pa");
            speeds(figures, "speed", say!("Speed for it"), mps);
            Ok(Outcome::Computed)
        }
        (None, Some((_, mps))) => {
            let pa = impact_pressure_pa(mps).map_err(|error| row.refuse_key("indicated", error))?;
            speeds(figures, "indicated", say!("Speed"), mps);
            figures.value("pressure", say!("Pressure for it"), pa, "Pa");
            let column = water.height_mm(pa).map_err(|error| row.refuse_key("indicated", error))?;
            figures.value("column", say!("Water column"), column, "mmH2O");
            Ok(Outcome::Computed)
        }
        (Some(applied_pa), Some((_, indicated_mps))) => {
            let reading = IndicatorReading { applied_pa, indicated_mps };
            // Without a limit the errors are still wanted; any limit gives the same errors.
            let judged =
                indicator_errors(&[reading], limit.unwrap_or(1.0)).map_err(|error| row.refuse(error))?;
            let Some(found) = judged.first() else { return Err(row.refuse(say!("no point"))) };
            figures.value("pressure", say!("Pressure applied"), applied_pa, "Pa");
            speeds(figures, "applied", say!("Speed for it"), found.applied_mps);
            speeds(figures, "indicated", say!("Speed shown"), found.indicated_mps);
            speeds(figures, "error", say!("Error"), found.error_mps);
            let Some(limit) = limit else { return Ok(Outcome::Computed) };
            speeds(figures, "error_max", say!("Largest error allowed"), limit);
            let outcome = if found.within { Outcome::Within } else { Outcome::Outside };
            figures.outcome(outcome, if found.within { say!("within") } else { say!("outside") });
            Ok(outcome)
        }
        (None, None) => Ok(Outcome::Computed),
    }
}
