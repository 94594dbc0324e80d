//! What the last drawing put where: the mouse and the scrolling need it.

use ratatui::layout::{Position, Rect};

use crate::command::Id;

/// Something on the screen that can be clicked or scrolled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    Command(Id),
    /// Row of the list, by its item.
    Item(usize),
    /// Field of a form, or below a table.
    Field(usize),
    /// Cell of a table; columns from 0.
    Cell {
        row: usize,
        column: usize,
    },
    /// One of a few to choose from, within the field at hand.
    Choice(usize),
    List,
    Detail,
}

/// Returned by every drawing; drawing itself changes nothing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Seen {
    targets: Vec<(Rect, Target)>,
    /// How far the details can be scrolled.
    pub scroll_end: usize,
    /// Lines of the details that are visible at once.
    pub page: usize,
}

impl Seen {
    pub fn add(&mut self, area: Rect, target: Target) {
        self.targets.push((area, target));
    }

    /// The smallest thing there: what was added last lies on top.
    pub fn at(&self, column: u16, row: u16) -> Option<Target> {
        let position = Position::new(column, row);
        self.targets.iter().rev().find(|(area, _)| area.contains(position)).map(|(_, target)| *target)
    }

    /// Where a target lies; for tests of the mouse.
    pub fn place_of(&self, wanted: Target) -> Option<Rect> {
        self.targets.iter().find(|(_, target)| *target == wanted).map(|(area, _)| *area)
    }
}
