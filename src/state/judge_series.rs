//! A load–deflection series against the checklist's demands.

use super::{Judgement, ReadingVerdict};
use crate::checklist::SeriesDemand;
use crate::event::{InstrumentUse, SeriesPoint};

pub(super) fn judge_series(
    _demand: &SeriesDemand,
    points: &[SeriesPoint],
    _instrument: Option<&InstrumentUse>,
) -> Judgement {
    Judgement::new(ReadingVerdict::Recorded, format!("{} points", points.len()))
}
