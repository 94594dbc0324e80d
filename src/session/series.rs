//! What a load–deflection table must be before it is recorded.

use std::cmp::Ordering;

use super::Declined;
use crate::checklist::SeriesDemand;
use crate::event::SeriesPoint;
use crate::plan::Plan;
use crate::quantity::Quantity;
use crate::words::{all_of_checklist, figure, number, of_checklist, said};

/// Shown, through `said`, with every refusal that concerns a load.
pub const LOAD_CAUTION: &str = mark!(
    "a push test can damage a sound structure: the type's manual limits come first, and nobody exceeds them"
);

/// Units fit, directions are known, no value is negative, and no load is above a ceiling.
pub(super) fn check_series(
    plan: &Plan,
    demand: &SeriesDemand,
    points: &[SeriesPoint],
) -> Result<(), Declined> {
    let decline = |why: String, next: String| Err(Declined { why, next });
    if points.is_empty() {
        return decline(
            say!("the table is empty").to_string(),
            say!("enter load and deflection line by line").to_string(),
        );
    }
    let ceiling = Quantity::new(demand.max_load, demand.load_unit);
    let type_ceiling = plan.of_type.as_ref().and_then(|of_type| of_type.fin_side_load_ceiling);
    for (index, point) in points.iter().enumerate() {
        let line = index + 1;
        if !demand.directions.contains(&point.direction) {
            return decline(
                say!(
                    "line {line}: \"{}\" is no direction of this test",
                    of_checklist(&point.direction),
                    line = line
                ),
                say!("use one of: {}", all_of_checklist(&demand.directions)),
            );
        }
        for (quantity, unit, what) in [
            (&point.load, demand.load_unit, say!("load")),
            (&point.deflection, demand.deflection_unit, say!("deflection")),
        ] {
            if let Err(error) = quantity.in_unit_f64(unit) {
                return decline(
                    say!("line {line}: the {what}: {error}", line = line, what = what, error = error),
                    say!("enter it in {}", unit.symbol()),
                );
            }
        }
        if point.load.value.decimal().is_sign_negative() && !point.load.value.decimal().is_zero() {
            return decline(
                say!("line {line}: the load {} is negative", figure(point.load), line = line),
                say!("enter it without sign; the direction tells which way it pushed").to_string(),
            );
        }
        for (most, is_of_step) in [(Some(ceiling), true), (type_ceiling, false)] {
            let Some(most) = most else { continue };
            if matches!(point.load.compare(&most), Ok(Ordering::Greater)) {
                let (load, most) = (point.load.to_string(), most.to_string());
                let (load, most) = (number(&load), number(&most));
                let why = match is_of_step {
                    true => say!("line {line}: {} is above this step's ceiling of {most}", load, line, most),
                    false => say!("line {line}: {} is above the type's ceiling of {most}", load, line, most),
                };
                let next = say!(
                    "{caution}; correct the entry if it was mistyped, else stop and write a note",
                    caution = said(LOAD_CAUTION)
                );
                return decline(why, next);
            }
        }
    }
    Ok(())
}
