//! The mouse: a click selects, a second one takes, the wheel scrolls, the labels of the footer are keys.

use crossterm::event::{MouseButton, MouseEvent, MouseEventKind};

use super::app::{App, Overlay};
use super::desk::Desk;
use super::list::Cursor;
use super::seen::Target;
use super::series::{Column, Spot};
use crate::command::{self, Id, Key};

impl App {
    pub fn mouse(&mut self, desk: &mut dyn Desk, event: MouseEvent) {
        let target = self.seen.at(event.column, event.row);
        match event.kind {
            MouseEventKind::Down(MouseButton::Left) => self.click(desk, target),
            MouseEventKind::ScrollUp => self.wheel(desk, target, false),
            MouseEventKind::ScrollDown => self.wheel(desk, target, true),
            _ => {}
        }
        self.refresh_order(desk);
    }

    fn click(&mut self, desk: &mut dyn Desk, target: Option<Target>) {
        let at = self.cursor().at;
        match (self.overlays.last_mut(), target) {
            (_, Some(Target::Command(id))) => self.command(desk, id),
            (Some(Overlay::Form(form)), Some(target)) => form.click(target),
            (Some(Overlay::Series(series)), Some(Target::Field(row))) => {
                series.spot = Spot::Cell(row, Column::Load);
            }
            (Some(Overlay::Pick(pick)), Some(Target::Choice(index))) if pick.at != index => pick.at = index,
            // A second click on what is marked takes it.
            (Some(Overlay::Pick(_)), Some(Target::Choice(_))) => self.command(desk, Id::Enter),
            (None, Some(Target::Item(index))) if index == at => {
                if let Some(command) = command::find(self.place, Key::Enter) {
                    self.command(desk, command.id);
                }
            }
            (None, Some(Target::Item(index))) => {
                self.message = None;
                *self.cursor_mut() = Cursor { at: index, scroll: 0 };
            }
            _ => {}
        }
    }

    fn wheel(&mut self, desk: &mut dyn Desk, target: Option<Target>, down: bool) {
        if !self.overlays.is_empty() {
            return;
        }
        match target {
            Some(Target::Item(_) | Target::List) => {
                self.perform(desk, if down { Id::Down } else { Id::Up });
            }
            _ => self.scroll(if down { 3 } else { -3 }),
        }
    }
}
