//! A load–deflection table to type into, one row for each point.
//!
//! Enter moves on; direction and way come from the row before; a load below the one before means that the
//! load is coming down, until the row is told otherwise.

use std::cmp::Ordering;

use tui_input::Input;

use super::desk::Desk;
use super::field::{Field, type_into};
use super::form::{FormStep, Problem};
use super::reading::{before, instrument_choice, reading_in, used_id};
use crate::checklist::{Measure, MeasureKind, SeriesDemand};
use crate::command::{Id, Key};
use crate::event::{EntryNumber, ReadingValue, SeriesPoint};
use crate::plan::{Plan, PlanStep};
use crate::quantity::{Quantity, read_typed};
use crate::state::Reading;
use crate::words::of_checklist;

#[derive(Debug, Clone, Default)]
pub struct SeriesRow {
    pub direction: usize,
    pub loading: bool,
    /// The way was set by hand and no longer follows the load.
    pub way_is_set: bool,
    pub load: Input,
    pub deflection: Input,
}

impl SeriesRow {
    pub fn is_empty(&self) -> bool {
        self.load.value().trim().is_empty() && self.deflection.value().trim().is_empty()
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    Direction,
    Way,
    Load,
    Deflection,
}

/// Where the typing goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    Cell(usize, Column),
    Tail(usize),
}

#[derive(Debug, Clone)]
pub struct Series {
    pub step: String,
    pub measure: Measure,
    pub demand: SeriesDemand,
    pub corrects: Option<EntryNumber>,
    pub title: String,
    /// The step's own caution.
    pub caution: Option<String>,
    /// What was read before.
    pub before: Vec<String>,
    /// The highest loads allowed, lowest first, and whose rule each is.
    pub ceilings: Vec<(Quantity, &'static str)>,
    pub rows: Vec<SeriesRow>,
    pub spot: Spot,
    /// Instrument and reason, below the table.
    pub tail: Vec<Field>,
    pub problem: Option<Problem>,
    pub touched: bool,
    pub armed: Option<Id>,
    /// On a small screen: the picture in the table's place.
    pub picture: bool,
}

/// What the deflection and what the load was read with.
fn instrument_fields(
    desk: &dyn Desk,
    measure: &Measure,
    demand: &SeriesDemand,
    of_deflection: Option<&str>,
    of_load: Option<&str>,
) -> Vec<Field> {
    let (deflection, load) = match measure.instrument {
        true => (say!("deflection read with (demanded)"), say!("load read with (demanded)")),
        false => (say!("deflection read with"), say!("load read with")),
    };
    [
        ("instrument", deflection, demand.deflection_unit, of_deflection),
        ("load_instrument", load, demand.load_unit, of_load),
    ]
    .into_iter()
    .filter_map(|(name, label, unit, usual)| {
        let fitting = reading_in(desk, unit);
        let is_asked = measure.instrument || !fitting.is_empty();
        is_asked.then(|| instrument_choice(desk, name, label, &fitting, usual))
    })
    .collect()
}

impl Series {
    /// `None` where the measurement is no series.
    pub fn new(
        desk: &dyn Desk,
        plan: &Plan,
        step: &PlanStep,
        measure: &Measure,
        corrects: Option<&Reading>,
        usual_instrument: Option<&str>,
        needs_why: bool,
    ) -> Option<Series> {
        let MeasureKind::LoadDeflection(demand) = &measure.kind else { return None };
        let mut ceilings = vec![(Quantity::new(demand.max_load, demand.load_unit), say!("this step"))];
        if let Some(ceiling) = plan.of_type.as_ref().and_then(|of_type| of_type.fin_side_load_ceiling) {
            ceilings.push((ceiling, say!("the type")));
        }
        // The lowest first: it is the one that governs.
        ceilings.sort_by(|(a, _), (b, _)| a.compare(b).unwrap_or(Ordering::Equal));
        // A correction begins with what is recorded.
        let (of_deflection, of_load) = match corrects.map(|reading| &reading.taken) {
            Some(taken) => (used_id(taken.instrument.as_ref()), used_id(taken.load_instrument.as_ref())),
            None => (usual_instrument, usual_instrument),
        };
        let mut tail = instrument_fields(desk, measure, demand, of_deflection, of_load);
        if needs_why || corrects.is_some() {
            let label =
                if corrects.is_some() { say!("why it is corrected") } else { say!("why a further series") };
            tail.push(Field::text("why", label, ""));
        }
        let rows = match corrects.map(|reading| &reading.taken.value) {
            Some(ReadingValue::Series { points }) => {
                points.iter().map(|point| row_of(demand, point)).collect()
            }
            _ => vec![SeriesRow { loading: true, ..SeriesRow::default() }],
        };
        Some(Series {
            step: step.step.id.clone(),
            measure: measure.clone(),
            demand: demand.clone(),
            corrects: corrects.map(|reading| reading.stamp.entry),
            title: format!("{}: {}", of_checklist(&step.step.title), of_checklist(&measure.title)),
            caution: step.step.caution.as_deref().map(|caution| of_checklist(caution).to_string()),
            before: before(desk, step, measure),
            ceilings,
            rows,
            spot: Spot::Cell(0, Column::Load),
            tail,
            problem: None,
            touched: false,
            armed: None,
            picture: false,
        })
    }

    pub fn command(&mut self, id: Id) -> FormStep {
        let armed = self.armed.take();
        match id {
            Id::Enter => return self.enter(),
            Id::Save => return FormStep::Save,
            Id::KeepDraft => return FormStep::Leave,
            Id::ThrowAway if armed == Some(Id::ThrowAway) || !self.touched => return FormStep::ThrowAway,
            Id::ThrowAway => self.arm(id, say!("this would throw the whole table away"), "Ctrl-X"),
            Id::RowDelete if armed == Some(Id::RowDelete) => self.delete_row(),
            Id::RowDelete if self.current().is_some_and(|row| !row.is_empty()) => {
                self.arm(id, say!("this would take the row out"), "Ctrl-D");
            }
            Id::RowDelete => self.delete_row(),
            Id::RowInsert => self.insert_row(),
            Id::FieldNext => self.step_column(true),
            Id::FieldPrevious => self.step_column(false),
            Id::Up => self.go_row(false),
            Id::Down => self.go_row(true),
            Id::OtherDirection => self.other_direction(),
            Id::OtherWay => self.other_way(),
            Id::Picture => self.picture = !self.picture,
            _ => {}
        }
        FormStep::Stays
    }

    fn arm(&mut self, id: Id, why: &str, key: &str) {
        self.armed = Some(id);
        self.problem = Some(Problem::new(why, say!("{key} once more does it; any other key goes on", key)));
    }

    /// Where typing goes on after the table came back.
    pub(super) fn go_to_last_row(&mut self) {
        self.spot = Spot::Cell(self.rows.len().saturating_sub(1), Column::Load);
    }

    fn current(&self) -> Option<&SeriesRow> {
        match self.spot {
            Spot::Cell(row, _) => self.rows.get(row),
            Spot::Tail(_) => None,
        }
    }

    fn enter(&mut self) -> FormStep {
        match self.spot {
            Spot::Cell(row, Column::Direction | Column::Way) => self.spot = Spot::Cell(row, Column::Load),
            Spot::Cell(row, Column::Load) => {
                let is_last = row + 1 == self.rows.len();
                if is_last && row > 0 && self.rows[row].is_empty() {
                    if self.tail.is_empty() {
                        return FormStep::Save;
                    }
                    self.spot = Spot::Tail(0);
                } else {
                    self.follow_load(row);
                    self.spot = Spot::Cell(row, Column::Deflection);
                }
            }
            Spot::Cell(row, Column::Deflection) => {
                if row + 1 == self.rows.len() {
                    self.rows.push(self.next_row(row));
                }
                self.spot = Spot::Cell(row + 1, Column::Load);
            }
            Spot::Tail(index) if index + 1 < self.tail.len() => self.spot = Spot::Tail(index + 1),
            Spot::Tail(_) => return FormStep::Save,
        }
        FormStep::Stays
    }

    fn next_row(&self, after: usize) -> SeriesRow {
        self.rows.get(after).map_or(SeriesRow { loading: true, ..SeriesRow::default() }, |row| SeriesRow {
            direction: row.direction,
            loading: row.loading,
            ..SeriesRow::default()
        })
    }

    /// A load below the one before it, in the same direction, is coming down; a higher one goes up.
    fn follow_load(&mut self, row: usize) {
        let Some(before) = row.checked_sub(1).and_then(|index| self.rows.get(index)) else { return };
        let Some(this) = self.rows.get(row) else { return };
        if this.way_is_set || before.direction != this.direction {
            return;
        }
        let order = match (self.load_of(this), self.load_of(before)) {
            (Some(this), Some(before)) => this.compare(&before).ok(),
            _ => None,
        };
        let loading = match order {
            Some(Ordering::Less) => false,
            Some(Ordering::Greater) => true,
            _ => return,
        };
        self.rows[row].loading = loading;
    }

    fn load_of(&self, row: &SeriesRow) -> Option<Quantity> {
        read_typed(row.load.value(), self.demand.load_unit, false).ok()
    }

    /// The ceiling that this row's load is above.
    pub fn above_ceiling(&self, row: &SeriesRow) -> Option<&(Quantity, &'static str)> {
        let load = self.load_of(row)?;
        self.ceilings.iter().find(|(most, _)| matches!(load.compare(most), Ok(Ordering::Greater)))
    }

    fn step_column(&mut self, forward: bool) {
        use Column::{Deflection, Direction, Load, Way};
        self.spot = match (self.spot, forward) {
            (Spot::Cell(row, Direction), true) => Spot::Cell(row, Way),
            (Spot::Cell(row, Way), true) => Spot::Cell(row, Load),
            (Spot::Cell(row, Load), true) => Spot::Cell(row, Deflection),
            (Spot::Cell(row, Deflection), true) if row + 1 < self.rows.len() => {
                Spot::Cell(row + 1, Direction)
            }
            (Spot::Cell(_, Deflection), true) if !self.tail.is_empty() => Spot::Tail(0),
            (Spot::Cell(_, Deflection), true) => Spot::Cell(0, Direction),
            (Spot::Tail(index), true) if index + 1 < self.tail.len() => Spot::Tail(index + 1),
            (Spot::Tail(_), true) => Spot::Cell(0, Direction),
            (Spot::Cell(row, Deflection), false) => Spot::Cell(row, Load),
            (Spot::Cell(row, Load), false) => Spot::Cell(row, Way),
            (Spot::Cell(row, Way), false) => Spot::Cell(row, Direction),
            (Spot::Cell(row, Direction), false) => Spot::Cell(row.saturating_sub(1), Deflection),
            (Spot::Tail(0), false) => Spot::Cell(self.rows.len().saturating_sub(1), Deflection),
            (Spot::Tail(index), false) => Spot::Tail(index - 1),
        };
    }

    fn go_row(&mut self, down: bool) {
        self.spot = match self.spot {
            Spot::Cell(row, column) if down && row + 1 < self.rows.len() => Spot::Cell(row + 1, column),
            Spot::Cell(..) if down && !self.tail.is_empty() => Spot::Tail(0),
            Spot::Cell(row, column) if !down => Spot::Cell(row.saturating_sub(1), column),
            Spot::Tail(index) if down => Spot::Tail((index + 1).min(self.tail.len().saturating_sub(1))),
            Spot::Tail(0) => Spot::Cell(self.rows.len().saturating_sub(1), Column::Load),
            Spot::Tail(index) => Spot::Tail(index - 1),
            spot @ Spot::Cell(..) => spot,
        };
    }

    fn other_direction(&mut self) {
        let count = self.demand.directions.len().max(1);
        let Spot::Cell(row, _) = self.spot else { return };
        let before = row.checked_sub(1).and_then(|index| self.rows.get(index)).map(|row| row.direction);
        if let Some(current) = self.rows.get_mut(row) {
            current.direction = (current.direction + 1) % count;
            // A new direction begins with a growing load.
            if before.is_some_and(|before| before != current.direction) && !current.way_is_set {
                current.loading = true;
            }
            self.touched = true;
        }
    }

    fn other_way(&mut self) {
        let Spot::Cell(row, _) = self.spot else { return };
        if let Some(current) = self.rows.get_mut(row) {
            current.loading = !current.loading;
            current.way_is_set = true;
            self.touched = true;
        }
    }

    fn insert_row(&mut self) {
        let Spot::Cell(row, _) = self.spot else { return };
        self.rows.insert(row + 1, self.next_row(row));
        self.spot = Spot::Cell(row + 1, Column::Load);
    }

    fn delete_row(&mut self) {
        let Spot::Cell(row, column) = self.spot else { return };
        self.problem = None;
        if row < self.rows.len() {
            self.rows.remove(row);
            self.touched = true;
        }
        if self.rows.is_empty() {
            self.rows.push(SeriesRow { loading: true, ..SeriesRow::default() });
        }
        self.spot = Spot::Cell(row.min(self.rows.len() - 1), column);
    }

    pub fn type_key(&mut self, key: Key) {
        self.armed = None;
        let changed = match self.spot {
            Spot::Cell(_, Column::Direction) if matches!(key, Key::Left | Key::Right | Key::Char(' ')) => {
                self.other_direction();
                true
            }
            Spot::Cell(_, Column::Way) if matches!(key, Key::Left | Key::Right | Key::Char(' ')) => {
                self.other_way();
                true
            }
            Spot::Cell(_, Column::Direction | Column::Way) => false,
            Spot::Cell(row, column) => self.rows.get_mut(row).is_some_and(|row| {
                type_into(if column == Column::Load { &mut row.load } else { &mut row.deflection }, key)
            }),
            Spot::Tail(index) => self.tail.get_mut(index).is_some_and(|field| field.key(key)),
        };
        if changed {
            self.touched = true;
            self.problem = None;
        }
    }

    pub fn paste(&mut self, text: &str) {
        for c in text.chars().filter(|c| !c.is_control()) {
            self.type_key(Key::Char(c));
        }
    }
}

fn row_of(demand: &SeriesDemand, point: &SeriesPoint) -> SeriesRow {
    SeriesRow {
        direction: demand.directions.iter().position(|known| *known == point.direction).unwrap_or(0),
        loading: point.loading,
        way_is_set: true,
        load: Input::new(point.load.shown()),
        deflection: Input::new(point.deflection.shown()),
    }
}
