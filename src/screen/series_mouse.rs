//! Clicks on a load–deflection table: a cell, and the fields below it.

use ratatui::layout::Rect;

use super::field::Entry;
use super::seen::{Seen, Target};
use super::series::{Column, Series, Spot};
use crate::command::{Id, Key};

impl Series {
    /// Says where the cells of a row lie, by the widths of its columns; the first one is the row's number.
    pub(super) fn see_row(&self, row: usize, area: Rect, widths: [usize; 5], seen: &mut Seen) {
        let mut x = usize::from(area.x) + 1;
        for (column, wide) in widths.into_iter().enumerate() {
            let narrow = |columns: usize| u16::try_from(columns).unwrap_or(u16::MAX);
            let cell = Rect { x: narrow(x), width: narrow(wide + 1), ..area };
            seen.add(cell.intersection(area), Target::Cell { row, column });
            x += wide + 1;
        }
    }

    /// A second click on direction or way changes it.
    pub(super) fn click_cell(&mut self, row: usize, column: usize) {
        if row >= self.rows.len() {
            return;
        }
        let (column, other) = match column {
            1 => (Column::Direction, Some(Id::OtherDirection)),
            2 => (Column::Way, Some(Id::OtherWay)),
            4 => (Column::Deflection, None),
            _ => (Column::Load, None),
        };
        let spot = Spot::Cell(row, column);
        match other {
            Some(id) if self.spot == spot => {
                self.command(id);
            }
            _ => self.spot = spot,
        }
    }

    /// A second click on a choice below the table takes the next one.
    pub(super) fn click_tail(&mut self, at: usize) {
        if at >= self.tail.len() {
            return;
        }
        let is_choice = matches!(self.tail.get(at).map(|field| &field.entry), Some(Entry::Choice { .. }));
        if self.spot == Spot::Tail(at) && is_choice {
            self.type_key(Key::Char(' '));
        } else {
            self.spot = Spot::Tail(at);
        }
    }
}
