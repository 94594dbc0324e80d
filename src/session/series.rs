//! What a load–deflection table must be before it is recorded.

use std::cmp::Ordering;

use super::Declined;
use crate::checklist::SeriesDemand;
use crate::event::SeriesPoint;
use crate::plan::Plan;
use crate::quantity::Quantity;

/// Shown with every refusal that concerns a load.
pub const LOAD_CAUTION: &str =
    "a push test can damage a sound structure: the type's manual limits come first, and nobody exceeds them";

/// Units fit, directions are known, no value is negative, and no load is above a ceiling.
pub(super) fn check_series(
    plan: &Plan,
    demand: &SeriesDemand,
    points: &[SeriesPoint],
) -> Result<(), Declined> {
    let decline = |why: String, next: String| Err(Declined { why, next });
    if points.is_empty() {
        return decline(
            "the table is empty".to_string(),
            "enter load and deflection line by line".to_string(),
        );
    }
    let ceiling = Quantity::new(demand.max_load, demand.load_unit);
    let type_ceiling = plan.of_type.as_ref().and_then(|of_type| of_type.fin_side_load_ceiling);
    for (index, point) in points.iter().enumerate() {
        let line = index + 1;
        if !demand.directions.contains(&point.direction) {
            return decline(
                format!("line {line}: \"{}\" is no direction of this test", point.direction),
                format!("use one of: {}", demand.directions.join(", ")),
            );
        }
        for (quantity, unit, what) in [
            (&point.load, demand.load_unit, "load"),
            (&point.deflection, demand.deflection_unit, "deflection"),
        ] {
            if let Err(error) = quantity.in_unit_f64(unit) {
                return decline(
                    format!("line {line}: the {what}: {error}"),
                    format!("enter it in {}", unit.symbol()),
                );
            }
        }
        if point.load.value.decimal().is_sign_negative() && !point.load.value.decimal().is_zero() {
            return decline(
                format!("line {line}: the load {} is negative", point.load),
                "enter it without sign; the direction tells which way it pushed".to_string(),
            );
        }
        for (most, whose) in [(Some(ceiling), "this step's"), (type_ceiling, "the type's")] {
            let Some(most) = most else { continue };
            if matches!(point.load.compare(&most), Ok(Ordering::Greater)) {
                return decline(
                    format!("line {line}: {} is above {whose} ceiling of {most}", point.load),
                    format!(
                        "{LOAD_CAUTION}; correct the entry if it was mistyped, else stop and write a note"
                    ),
                );
            }
        }
    }
    Ok(())
}
