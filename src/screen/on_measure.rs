//! Commands of the Readings screen's selected measurement.

use super::app::{App, Overlay, Tone};
use super::body;
use super::desk::Desk;
use super::list::Cursor;
use super::pick::{Pick, Then};
use super::readings::{Filter, items};
use crate::command::{Id, Place};
use crate::session::value_words;
use crate::words::of_checklist;

impl App {
    pub(super) fn on_measure(&mut self, desk: &dyn Desk, id: Id) {
        let filter = match id {
            Id::FilterAll => Filter::All,
            Id::FilterMissing => Filter::Missing,
            Id::FilterUnsettled => Filter::Unsettled,
            Id::FilterTargeted => Filter::Targeted,
            Id::Correct => return self.correct_reading(desk),
            _ => return self.read_selected(desk),
        };
        self.filter_readings(desk, filter);
    }

    /// The measurement that was selected stays selected where the new list holds it.
    fn filter_readings(&mut self, desk: &dyn Desk, filter: Filter) {
        let Some(view) = desk.session() else { return };
        let key = |item: &super::readings::Item<'_>| (item.planned.step.id.clone(), item.measure.id.clone());
        let selected = items(&view, self.readings).get(self.cursor().at).map(key);
        self.readings = filter;
        let listed = items(&view, filter);
        let at = listed.iter().position(|item| Some(key(item)) == selected).unwrap_or(0);
        *self.cursor_mut() = Cursor { at, scroll: 0 };
        let text =
            format!("{}: {}", filter.words(), say!("{n} measurement" | "{n} measurements" % listed.len()));
        self.say(Tone::Plain, text);
    }

    fn read_selected(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let listed = items(&view, self.readings);
        let Some(item) = listed.get(self.cursor().at) else { return };
        self.open_reading(desk, &item.planned.step.id, &item.measure.id, None);
    }

    fn correct_reading(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let listed = items(&view, self.readings);
        let Some(item) = listed.get(self.cursor().at) else { return };
        let mut pick = Pick::new(say!("What is to be corrected?"))
            .intro(say!("The earlier entry stays in the record, struck through, with who, when and why."));
        for reading in &item.readings {
            let entry = reading.stamp.entry;
            let value = value_words(&reading.taken.value);
            let what = say!(
                "the reading {} {value} (entry {entry})",
                of_checklist(&item.measure.title),
                value,
                entry
            );
            let (step, measure) = (item.planned.step.id.clone(), item.measure.id.clone());
            pick = pick
                .option(say!("correct {what}", what), Then::Read { step, measure, corrects: Some(entry) });
            pick = pick.option(say!("take back {what}", what), Then::TakeBack { entry, what });
        }
        self.overlays.push(Overlay::Pick(pick));
    }

    /// A reading that was just saved may have left the list: the next one is selected then.
    pub(super) fn keep_selection(&mut self, desk: &dyn Desk) {
        if self.place == Place::Readings {
            let last = body::count(desk, self.place, self.readings).saturating_sub(1);
            let cursor = self.cursor_mut();
            cursor.at = cursor.at.min(last);
        }
    }
}
