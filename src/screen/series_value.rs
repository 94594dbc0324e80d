//! What stands in a load–deflection table, as points, as a judgement, as a request.

use tui_input::Input;

use super::desk::{Desk, SessionView};
use super::field::{Entry, Field};
use super::form::Problem;
use super::reading::reading_in;
use super::series::{Series, SeriesRow};
use crate::airframe::Instrument;
use crate::event::{InstrumentUse, ReadingValue, SeriesPoint, Used};
use crate::quantity::read_typed;
use crate::session::{Request, as_used};
use crate::state::{Card, Judgement, judge_in_plan};

impl Series {
    /// The points typed so far. Empty rows at the end do not count.
    pub fn points(&self) -> Result<Vec<SeriesPoint>, Problem> {
        let filled = self.rows.iter().rposition(|row| !row.is_empty()).map_or(0, |last| last + 1);
        self.rows.iter().take(filled).enumerate().map(|(index, row)| self.point(index, row)).collect()
    }

    /// Both cells are filled, and one of them is no number of its kind: the row would count for nothing so far.
    pub(super) fn is_unreadable(&self, row: &SeriesRow) -> bool {
        let is_filled = |input: &Input| !input.value().trim().is_empty();
        is_filled(&row.load) && is_filled(&row.deflection) && self.point(0, row).is_err()
    }

    fn point(&self, index: usize, row: &SeriesRow) -> Result<SeriesPoint, Problem> {
        let cell = |input: &Input, unit: crate::quantity::Unit, what: &str| {
            read_typed(input.value(), unit, false).map_err(|error| {
                Problem::new(
                    say!("row {}: the {what}: {error}", index + 1, what, error),
                    say!("type it like 12.5 {}, or take the row out with Ctrl-D", unit.symbol()),
                )
            })
        };
        Ok(SeriesPoint {
            direction: self.demand.directions.get(row.direction).cloned().unwrap_or_default(),
            loading: row.loading,
            load: cell(&row.load, self.demand.load_unit, say!("load"))?,
            deflection: cell(&row.deflection, self.demand.deflection_unit, say!("deflection"))?,
        })
    }

    /// The points of every row that can be read, wherever a half-typed one stands.
    pub fn readable_points(&self) -> Vec<SeriesPoint> {
        self.rows.iter().enumerate().filter_map(|(index, row)| self.point(index, row).ok()).collect()
    }

    pub fn card<'a>(&'a self, view: &SessionView<'a>) -> Card<'a> {
        Card { plan: view.plan, step: &self.step, measure: &self.measure.id }
    }

    /// What the deflection and what the load was read with, as the record would keep them.
    pub fn instruments_used(&self, desk: &dyn Desk) -> (Option<InstrumentUse>, Option<InstrumentUse>) {
        let [deflection, load] = self.chosen(desk).map(|chosen| chosen.map(as_used));
        (deflection, load)
    }

    fn tail_field(&self, name: &str) -> Option<&Field> {
        self.tail.iter().find(|field| field.name == name)
    }

    /// The instruments of deflection and load, where they are chosen.
    fn chosen<'d>(&self, desk: &'d dyn Desk) -> [Option<&'d Instrument>; 2] {
        let at = |name: &str| match self.tail_field(name)?.entry {
            Entry::Choice { at, .. } => at,
            _ => None,
        };
        let pick = |name: &str, unit| reading_in(desk, unit).get(at(name)?).copied();
        [pick("instrument", self.demand.deflection_unit), pick("load_instrument", self.demand.load_unit)]
    }

    fn why(&self) -> Option<String> {
        match &self.tail_field("why")?.entry {
            Entry::Text(input) => Some(input.value().trim().to_string()).filter(|why| !why.is_empty()),
            _ => None,
        }
    }

    /// The judgement of the rows as far as they are typed; the last, half-typed one is left out.
    pub fn live(&self, desk: &dyn Desk) -> Option<Judgement> {
        let points = self.points().ok().or_else(|| {
            let mut shorter = self.clone();
            shorter.rows.pop();
            shorter.points().ok()
        })?;
        if points.is_empty() {
            return None;
        }
        let (instrument, load) = self.instruments_used(desk);
        let used = Used { instrument: instrument.as_ref(), load: load.as_ref() };
        let value = ReadingValue::Series { points };
        let view = desk.session()?;
        Some(judge_in_plan(self.card(&view), &self.measure, &value, used, Some(desk.today())))
    }

    pub fn request(&self, desk: &dyn Desk) -> Result<Request, Problem> {
        Ok(Request::Read {
            step: self.step.clone(),
            measure: self.measure.id.clone(),
            value: ReadingValue::Series { points: self.points()? },
            instrument: self.instrument_ids(desk),
            corrects: self.corrects,
            why: self.why(),
        })
    }

    /// Id of the instrument that is chosen, to be offered first next time.
    pub fn instrument_id(&self, desk: &dyn Desk) -> Option<String> {
        self.chosen(desk).into_iter().flatten().next().map(|instrument| instrument.id.clone())
    }

    /// As a request names them: parted by a plus sign.
    fn instrument_ids(&self, desk: &dyn Desk) -> Option<String> {
        let ids: Vec<&str> = self.chosen(desk).into_iter().flatten().map(|found| found.id.as_str()).collect();
        (!ids.is_empty()).then(|| ids.join(" + "))
    }
}
