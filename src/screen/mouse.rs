//! The mouse: a click selects, a second one takes, the wheel scrolls, the labels of the footer are keys.

use crossterm::event::{MouseButton, MouseEvent, MouseEventKind};

use super::app::{App, Overlay};
use super::desk::Desk;
use super::list::Cursor;
use super::seen::Target;
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
        self.keep_typed(desk);
        self.refresh_order(desk);
    }

    fn click(&mut self, desk: &mut dyn Desk, target: Option<Target>) {
        let at = self.cursor().at;
        match (self.overlays.last_mut(), target) {
            (_, Some(Target::Command(id))) => self.command(desk, id),
            (Some(Overlay::Form(form)), Some(target)) => form.click(target),
            (Some(Overlay::Series(series)), Some(Target::Cell { row, column })) => {
                series.click_cell(row, column);
            }
            (Some(Overlay::Series(series)), Some(Target::Field(tail))) => series.click_tail(tail),
            (Some(Overlay::Pick(pick)), Some(Target::Choice(index))) if pick.at != index => pick.at = index,
            // A second click on what is marked takes it.
            (Some(Overlay::Pick(_)), Some(Target::Choice(_))) => self.command(desk, Id::Enter),
            (None, Some(Target::Item(index))) if index == at => {
                // Where Enter means nothing, the menu tells what can be done with it.
                let taken = command::find(self.place, Key::Enter).map_or(Id::Menu, |command| command.id);
                self.command(desk, taken);
            }
            (None, Some(Target::Item(index))) => {
                self.message = None;
                *self.cursor_mut() = Cursor { at: index, scroll: 0 };
            }
            // A finger has no wheel: a tap turns the page, behind the last one the first.
            (None, Some(Target::Detail)) if self.look.big => {
                let is_last = self.cursor().scroll >= self.seen.scroll_end;
                if is_last {
                    self.cursor_mut().scroll = 0;
                } else {
                    self.perform(desk, Id::ScrollDown);
                }
            }
            _ => {}
        }
    }

    fn wheel(&mut self, desk: &mut dyn Desk, target: Option<Target>, down: bool) {
        // What lies over a screen is gone through like a list.
        match self.overlays.last() {
            Some(Overlay::Form(_)) => {
                return self.command(desk, if down { Id::FieldNext } else { Id::FieldPrevious });
            }
            Some(Overlay::Pick(_) | Overlay::Series(_)) => {
                return self.command(desk, if down { Id::Down } else { Id::Up });
            }
            None => {}
        }
        match target {
            Some(Target::Item(_) | Target::List) => {
                self.perform(desk, if down { Id::Down } else { Id::Up });
            }
            _ => self.scroll(if down { 3 } else { -3 }),
        }
    }
}
