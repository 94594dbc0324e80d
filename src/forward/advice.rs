//! Advice before an annual is composed.

use crate::airframe::Airframe;
use crate::words::date;

/// Repairs since the last annual that no report of the kind "repair-done" tells of: they would select no steps.
pub fn repairs_without_report(record: &Airframe) -> Vec<String> {
    let signed = record.annuals.iter().map(|annual| annual.date).max();
    let since = record.last_annual.max(signed);
    let is_told =
        |day| record.reports.iter().any(|report| report.kind.value == "repair-done" && report.date >= day);
    record
        .repairs
        .iter()
        .filter(|repair| since.is_none_or(|since| repair.date > since) && !is_told(repair.date))
        .map(|repair| {
            say!(
                "a repair of {day} (\"{what}\") has no report: enter one of the kind repair-done, so that it selects its steps",
                day = date(repair.date),
                what = repair.what
            )
        })
        .collect()
}
