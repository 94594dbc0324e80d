//! The state of the screens: where one is, what is selected, what lies open, what was typed.
//!
//! Keys and mouse change it, drawing does not. What is recorded lives behind the [`Desk`] alone.

use std::collections::BTreeMap;

use crossterm::event::KeyEvent;

use super::book::Book;
use super::desk::{Desk, Stage};
use super::form::Form;
use super::kept_form::KeptForm;
use super::keys::key_of;
use super::list::Cursor;
use super::look::Look;
use super::on_handover::HandoverScreen;
use super::on_order::OrderScreen;
use super::pick::Pick;
use super::readings::Filter;
use super::replay::Replay;
use super::seen::Seen;
use super::series::Series;
use crate::airframe::sheet::RecordFile;
use crate::command::{self, Id, Key, Place};
use crate::plot::Prefer;
use crate::words::said;

/// What lies over a screen and takes the keys.
#[derive(Debug, Clone)]
pub enum Overlay {
    Form(Form),
    Series(Box<Series>),
    Pick(Pick),
}

/// Where the program begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    Hangar,
    /// With the session that is open at the desk.
    Worksheet,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    Good,
    Plain,
    Bad,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    pub tone: Tone,
    pub text: String,
}

/// What the loop around the app has to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum After {
    Goes,
    Quit,
    Suspend,
}

pub struct App {
    pub(super) look: Look,
    pub(super) place: Place,
    pub(super) back: Vec<Place>,
    pub(super) cursors: BTreeMap<Place, Cursor>,
    pub(super) overlays: Vec<Overlay>,
    /// Typed and left; found again by the same command.
    pub(super) drafts: Vec<Overlay>,
    /// What is typed and not recorded, as it was kept last.
    pub(super) kept_text: String,
    /// Forms that an earlier run kept and that were not opened since.
    pub(super) kept_forms: Vec<KeptForm>,
    pub(super) message: Option<Message>,
    pub(super) seen: Seen,
    pub(super) last_search: String,
    /// Entries that the session had when it came into view.
    pub(super) had: usize,
    /// Which of its hits was gone to last.
    pub(super) hit: usize,
    /// Which measurements the Readings screen lists.
    pub(super) readings: Filter,
    /// Which view of the airframe is drawn where there is no room for both.
    pub(super) view: Prefer,
    /// The record as it was when the replay was opened.
    pub(super) replay: Option<Box<Replay>>,
    /// The hangar order that was computed last, and the hands for it.
    pub(super) order: OrderScreen,
    /// What is handed over, and the openings proposed.
    pub(super) handover: HandoverScreen,
    /// Record or registers as they were read for their screen, and which files those are.
    pub(super) book: Book,
    pub(super) book_files: Vec<RecordFile>,
    /// The files of the Airframe screen while the registers lie over it.
    pub(super) files_before: Option<Vec<RecordFile>>,
    /// What is typed into forms of the hangar's files, as it was kept last.
    pub(super) kept_here: String,
    /// Instrument used last for a measurement, to be offered first.
    pub(super) instruments: BTreeMap<String, String>,
    /// A write failed in this run.
    pub(super) failed: bool,
    /// The last write found the disk full, and there is ballast to give back.
    pub(super) full: bool,
    pub(super) after: After,
}

impl App {
    pub fn new(start: Start, look: Look, desk: &dyn Desk) -> App {
        let has_session = desk.session().is_some();
        let place = if start == Start::Worksheet && has_session { Place::Worksheet } else { Place::Hangar };
        let mut app = App {
            look,
            place,
            back: Vec::new(),
            cursors: BTreeMap::new(),
            overlays: Vec::new(),
            drafts: Vec::new(),
            kept_text: String::new(),
            kept_forms: Vec::new(),
            message: None,
            seen: Seen::default(),
            last_search: String::new(),
            had: 0,
            hit: 0,
            readings: Filter::default(),
            view: Prefer::Marks,
            replay: None,
            order: OrderScreen::default(),
            handover: HandoverScreen::default(),
            book: Book::default(),
            book_files: Vec::new(),
            files_before: None,
            kept_here: String::new(),
            instruments: BTreeMap::new(),
            failed: false,
            full: false,
            after: After::Goes,
        };
        // Whoever comes back goes on with what is under way.
        let under_way = super::hangar::items(desk.hangar()).iter().position(
            |item| matches!(item, super::hangar::Item::Session(row) if row.stage == Stage::Running),
        );
        if let Some(at) = under_way.filter(|_| place == Place::Hangar) {
            app.cursors.insert(Place::Hangar, Cursor { at, scroll: 0 });
        }
        app.restore_here(desk);
        if place == Place::Worksheet {
            app.back.push(Place::Hangar);
            app.arrive(desk);
        }
        app
    }

    /// Notices of the session, and the first open step, when a session comes into view.
    pub(super) fn arrive(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        self.cursors.retain(|place, _| *place == Place::Hangar || super::on_file::is_of_files(*place));
        self.readings = Filter::default();
        self.replay = None;
        self.had = view.entries.len();
        self.forget_order();
        self.handover = HandoverScreen::default();
        let last = view.plan.steps.len().saturating_sub(1);
        let at = desk.begins_at().or_else(|| super::worksheet::next_open(&view, last)).unwrap_or(0);
        self.cursors.insert(Place::Worksheet, Cursor { at, scroll: 0 });
        if !view.notices.is_empty() {
            self.say(Tone::Plain, view.notices.join("; "));
        }
        self.restore_typed(desk);
    }

    /// After the desk looked again: no cursor stands behind the last step, and what it has to say is said.
    pub(super) fn stay_within(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let last = view.plan.steps.len().saturating_sub(1);
        match self.cursors.get_mut(&Place::Worksheet) {
            Some(cursor) => cursor.at = cursor.at.min(last),
            // It began with faults, and now there is something to see.
            None => {
                self.place = Place::Worksheet;
                self.back = vec![Place::Hangar];
                self.arrive(desk);
            }
        }
        self.say(Tone::Plain, view.notices.join("; "));
    }

    pub fn place(&self) -> Place {
        self.place
    }

    /// Which keys count now.
    pub fn key_place(&self) -> Place {
        match self.overlays.last() {
            Some(Overlay::Form(_)) => Place::Form,
            Some(Overlay::Series(_)) => Place::Series,
            Some(Overlay::Pick(_)) => Place::Choose,
            None => self.place,
        }
    }

    pub fn message(&self) -> Option<&str> {
        self.message.as_ref().map(|message| message.text.as_str())
    }

    pub fn selected(&self) -> usize {
        self.cursor().at
    }

    /// What was typed and neither saved nor thrown away, in this run.
    pub fn drafts(&self) -> Vec<String> {
        self.drafts.iter().chain(&self.overlays).filter(|overlay| is_touched(overlay)).map(words_of).collect()
    }

    /// The same, with what an earlier run kept and nobody has opened since.
    pub fn not_recorded(&self) -> Vec<String> {
        let kept = self.kept_forms.iter().map(|kept| kept.words.clone());
        kept.chain(self.drafts()).collect()
    }

    /// What the loop has to do, told once.
    pub fn take_after(&mut self) -> After {
        std::mem::replace(&mut self.after, After::Goes)
    }

    /// What the last drawing showed; kept for the mouse and for scrolling.
    pub fn saw(&mut self, seen: Seen) {
        let end = seen.scroll_end;
        self.seen = seen;
        // What lies over a screen does not scroll it.
        if !self.overlays.is_empty() {
            return;
        }
        let cursor = self.cursor_mut();
        cursor.scroll = cursor.scroll.min(end);
    }

    pub(super) fn cursor(&self) -> Cursor {
        self.cursors.get(&self.place).copied().unwrap_or_default()
    }

    pub(super) fn cursor_mut(&mut self) -> &mut Cursor {
        self.cursors.entry(self.place).or_default()
    }

    pub(super) fn say(&mut self, tone: Tone, text: impl Into<String>) {
        self.message = Some(Message { tone, text: text.into() });
    }

    pub fn key(&mut self, desk: &mut dyn Desk, event: KeyEvent) {
        let Some(key) = key_of(&event) else { return };
        let place = self.key_place();
        match command::find_for(place, key, self.look.hand) {
            Some(command) => self.command(desk, command.id),
            None => self.type_key(desk, key),
        }
        self.keep_typed(desk);
        self.refresh_order(desk);
    }

    fn type_key(&mut self, desk: &mut dyn Desk, key: Key) {
        match self.overlays.last_mut() {
            Some(Overlay::Form(form)) => form.type_key(key),
            Some(Overlay::Series(series)) => series.type_key(key),
            Some(Overlay::Pick(pick)) => {
                if let Some(then) = pick.type_key(key) {
                    self.overlays.pop();
                    self.then(desk, then);
                }
            }
            None => self.say(Tone::Plain, say!("{} does nothing here; ? shows the keys", key.words())),
        }
    }

    pub fn paste(&mut self, text: &str) {
        match self.overlays.last_mut() {
            Some(Overlay::Form(form)) => form.paste(text),
            Some(Overlay::Series(series)) => series.paste(text),
            _ => self.say(Tone::Plain, say!("there is no field to paste into")),
        }
    }

    /// Carries a command out where its need is met; says what is wrong otherwise.
    pub fn command(&mut self, desk: &mut dyn Desk, id: Id) {
        let place = self.key_place();
        let need = command::of(place).find(|command| command.id == id).map(|command| command.need);
        if let Some(objection) = need.and_then(|need| need.objection(&self.circumstances(desk))) {
            let why = desk.session().and_then(|view| view.read_only.map(ToString::to_string));
            let text = match why {
                Some(why) if objection.contains("shown only") => {
                    format!("{}: {}", said(objection), said(&why))
                }
                _ => said(objection).to_string(),
            };
            return self.say(Tone::Bad, text);
        }
        match id {
            _ if self.on_look(desk, id) => return,
            Id::Suspend => return self.after = After::Suspend,
            Id::Quit => return self.ask_to_quit(),
            Id::Rescue => return self.open_form(super::forms::rescue()),
            Id::MakeRoom => return self.ask_for_ballast(),
            _ => {}
        }
        match self.overlays.last_mut() {
            Some(Overlay::Form(form)) => {
                let step = form.command(id);
                self.after_form(desk, step);
            }
            Some(Overlay::Series(series)) => {
                let step = series.command(id);
                self.after_form(desk, step);
            }
            Some(Overlay::Pick(pick)) => {
                if let Some(then) = pick.command(id) {
                    self.overlays.pop();
                    self.then(desk, then);
                }
            }
            None => {
                self.message = None;
                self.perform(desk, id);
            }
        }
    }

    fn ask_to_quit(&mut self) {
        let drafts = self.not_recorded();
        let mut pick = Pick::new(say!("Leave the program?"));
        if drafts.is_empty() {
            pick = pick.intro(say!("Everything that was shown as saved is on the disk."));
        } else {
            let text = say!("These were typed and NOT recorded: {}.", drafts.join("; "));
            pick = pick.intro(text).intro(say!("They are kept and told when this session is opened again."));
        }
        self.overlays.push(Overlay::Pick(
            pick.option(say!("stay"), super::pick::Then::Nothing)
                .option(say!("leave"), super::pick::Then::Quit),
        ));
    }

    /// What lies open stays below the question, with everything typed.
    fn ask_for_ballast(&mut self) {
        let pick = Pick::new(say!("Give the session's ballast back to the full disk?"))
            .intro(say!(
                "It is 1 MiB, kept for this moment: enough to save what is typed, to pause or to sign."
            ))
            .intro(say!(
                "It helps once. Room made by other means is better: delete or move what is no record."
            ))
            .option(say!("no, I make room by other means"), super::pick::Then::Nothing)
            .option(say!("give it back"), super::pick::Then::MakeRoom);
        self.overlays.push(Overlay::Pick(pick));
    }

    pub(super) fn scroll(&mut self, by: isize) {
        let end = self.seen.scroll_end;
        let cursor = self.cursor_mut();
        cursor.scroll = cursor.scroll.saturating_add_signed(by).min(end);
    }

    fn circumstances(&self, desk: &dyn Desk) -> command::Circumstances {
        let now = self.circumstances_here(desk);
        command::Circumstances { full: self.full, ..now }
    }
}

pub(super) fn is_touched(overlay: &Overlay) -> bool {
    match overlay {
        Overlay::Form(form) => form.touched && !form.is_blank() && !form.purpose.asks_the_screen(),
        Overlay::Series(series) => series.touched,
        Overlay::Pick(_) => false,
    }
}

pub(super) fn words_of(overlay: &Overlay) -> String {
    match overlay {
        Overlay::Form(form) => form.purpose.words(),
        Overlay::Series(series) => say!("series of {}", series.step),
        Overlay::Pick(pick) => pick.title.clone(),
    }
}
