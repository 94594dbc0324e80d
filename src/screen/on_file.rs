//! Commands on records and registers: the Airframe and Registers screens, and the ways to them from the hangar.

use super::app::{App, Overlay, Tone};
use super::book::{Book, Item};
use super::desk::{Desk, Wish};
use super::file_form;
use super::form::Form;
use super::hangar;
use super::pick::{Pick, Then};
use super::purpose::Purpose;
use crate::airframe::edit::Edit;
use crate::airframe::fields::{AUTHORISATIONS, PEOPLE};
use crate::airframe::sheet::{RecordFile, Spot};
use crate::command::{Id, Place};
use crate::words::said;

/// The screens of the hangar's files.
pub fn is_of_files(place: Place) -> bool {
    matches!(place, Place::Airframe | Place::Registers)
}

impl App {
    /// True when the command was one of these.
    pub(super) fn on_file(&mut self, desk: &mut dyn Desk, id: Id) -> bool {
        match id {
            Id::NewAirframe => self.open_form(file_form::new_airframe(desk)),
            Id::GoAirframe => self.show_airframe(desk),
            Id::GoRegisters => self.show_registers(desk),
            Id::ChangeEntry => self.change_entry(desk),
            Id::AddEntry => self.add_entry(desk),
            Id::Authorise => self.authorise(desk),
            Id::MakeKey => self.make_key(),
            Id::TakeOut => self.ask_to_take_out(),
            Id::NextSection | Id::PreviousSection if is_of_files(self.place) => {
                let at = self.book.other_section(self.cursor().at, id == Id::NextSection);
                self.go_to(desk, at);
            }
            Id::Back if is_of_files(self.place) => self.leave_files(desk),
            _ => return false,
        }
        true
    }

    fn show_airframe(&mut self, desk: &dyn Desk) {
        let at = self.cursor().at;
        let registration = match hangar::items(desk.hangar()).get(at) {
            Some(hangar::Item::Airframe(row)) => row.registration.clone(),
            Some(hangar::Item::Session(row)) => row.registration.clone(),
            _ => return self.say(Tone::Plain, say!("select an airframe; n enters a new one")),
        };
        self.open_book(desk, Place::Airframe, vec![RecordFile::Airframe(registration)]);
    }

    fn show_registers(&mut self, desk: &dyn Desk) {
        self.open_book(desk, Place::Registers, vec![RecordFile::People, RecordFile::Instruments]);
    }

    fn open_book(&mut self, desk: &dyn Desk, place: Place, files: Vec<RecordFile>) {
        let book = Book::read(desk, &files);
        if let ([], Some(why)) = (&book.files[..], book.unread.first()) {
            let why = why.clone();
            return self.say(Tone::Bad, why);
        }
        if self.place == Place::Airframe && place == Place::Registers {
            self.files_before = Some(std::mem::take(&mut self.book_files));
        }
        if self.book_files != files {
            self.cursors.remove(&place);
        }
        self.book = book;
        self.book_files = files;
        self.go(desk, place);
    }

    /// Reads the files of the screen again.
    pub(super) fn read_book(&mut self, desk: &dyn Desk) {
        if is_of_files(self.place) {
            self.book = Book::read(desk, &self.book_files);
            let at = self.cursor().at;
            if at >= self.book.len() {
                self.go_to(desk, at);
            }
        }
    }

    fn leave_files(&mut self, desk: &mut dyn Desk) {
        let before = self.back.pop().unwrap_or(Place::Hangar);
        self.place = before;
        if before == Place::Airframe {
            // Its files were shown before the registers were.
            if let Some(files) = self.files_before.take() {
                self.book_files = files;
                self.read_book(desk);
            }
        }
        let at = self.cursor().at;
        if at >= self.count(desk, before) {
            self.go_to(desk, at);
        }
    }

    fn change_entry(&mut self, desk: &dyn Desk) {
        let form = match self.book.items().get(self.cursor().at) {
            Some(Item::Head(shown)) if shown.sheet.can_edit => Some(file_form::head(shown, desk)),
            Some(Item::Entry(shown, list, entry)) if shown.sheet.can_edit => {
                Some(file_form::change(shown, list, entry, desk))
            }
            Some(Item::Section(..)) => return self.add_entry(desk),
            _ => None,
        };
        self.open_or_tell(form);
    }

    fn add_entry(&mut self, desk: &dyn Desk) {
        let form = match self.book.items().get(self.cursor().at) {
            Some(Item::Section(shown, section)) if shown.sheet.can_edit => {
                Some(file_form::add(shown, section.list, None, desk))
            }
            Some(Item::Entry(shown, list, entry)) if shown.sheet.can_edit => {
                let below =
                    entry.spot.below.as_ref().and_then(|(list, at)| {
                        shown.sheet.entries_of(list).find(|entry| entry.spot.at == *at)
                    });
                Some(file_form::add(shown, list, below, desk))
            }
            Some(Item::Head(_)) => {
                return self.say(Tone::Plain, say!("select the list to add to: ] goes to the next one"));
            }
            _ => None,
        };
        self.open_or_tell(form);
    }

    fn open_or_tell(&mut self, form: Option<Form>) {
        match form {
            Some(form) => self.open_form(form),
            None => self.say(Tone::Bad, say!("the file must be corrected with an editor of texts first")),
        }
    }

    fn authorise(&mut self, desk: &dyn Desk) {
        static LIST: crate::airframe::fields::List = AUTHORISATIONS;
        let items = self.book.items();
        let form = match items.get(self.cursor().at) {
            Some(Item::Entry(shown, list, entry)) if list.key == PEOPLE.key => {
                Some(file_form::add(shown, &LIST, Some(entry), desk))
            }
            Some(Item::Entry(_, list, _)) if list.key == AUTHORISATIONS.key => {
                drop(items);
                return self.add_entry(desk);
            }
            _ => None,
        };
        match form {
            Some(form) => self.open_form(form),
            None => self.say(Tone::Plain, say!("select the person first")),
        }
    }

    fn make_key(&mut self) {
        let form = match self.book.items().get(self.cursor().at) {
            Some(Item::Entry(shown, list, entry)) => {
                // On an authorisation it is the key of its person.
                let owner =
                    entry.spot.below.as_ref().and_then(|(list, at)| {
                        shown.sheet.entries_of(list).find(|entry| entry.spot.at == *at)
                    });
                let person = if list.key == PEOPLE.key { Some(*entry) } else { owner };
                if person.is_some() && !shown.sheet.faults.is_empty() {
                    return self.say(Tone::Bad, say!("the register has a fault; correct that first"));
                }
                person.map(|person| {
                    let name = person.value(&PEOPLE, "name").unwrap_or(person.name());
                    file_form::new_key(person.name(), name)
                })
            }
            _ => None,
        };
        match form {
            Some(form) => self.open_form(form),
            None => self.say(Tone::Plain, say!("select the person first")),
        }
    }

    fn ask_to_take_out(&mut self) {
        let pick = match self.book.items().get(self.cursor().at) {
            Some(Item::Entry(shown, list, entry)) if shown.sheet.can_edit => {
                let mut pick = Pick::new(say!("Take {} out: {}?", said(list.one), entry.name())).intro(say!(
                    "The file's earlier text is gone then; annuals that were begun keep theirs."
                ));
                if let Some(instead) = instead(list.key) {
                    pick = pick.intro(instead);
                }
                Some(pick.option(say!("keep it"), Then::Nothing).option(
                    say!("take it out"),
                    Then::TakeOut {
                        file: shown.sheet.file.clone(),
                        spot: entry.spot.clone(),
                        was: shown.hash.clone(),
                    },
                ))
            }
            _ => None,
        };
        match pick {
            Some(pick) => self.overlays.push(Overlay::Pick(pick)),
            None => self
                .say(Tone::Plain, say!("select an entry; what stands above the lists is changed with Enter")),
        }
    }

    pub(super) fn take_out(&mut self, desk: &mut dyn Desk, file: RecordFile, spot: Spot, was: String) {
        let edit = Edit::Remove { list: spot.list.to_string(), at: spot.at, below: spot.below };
        // What came of it stands in the message.
        let _ = self.carry(desk, Wish::EditFile { file, edits: vec![edit], was });
        self.read_book(desk);
    }

    /// After a form on a file was saved: the screen shows what is written now, and selects it.
    pub(super) fn after_file(&mut self, desk: &dyn Desk, form: &Form) {
        match &form.purpose {
            Purpose::NewAirframe => {
                let registration = form.text("registration");
                let at = hangar::items(desk.hangar()).iter().position(
                    |item| matches!(item, hangar::Item::Airframe(row) if row.registration == registration),
                );
                if let (Some(at), Place::Hangar) = (at, self.place) {
                    self.go_to(desk, at);
                }
            }
            Purpose::RecordHead { .. } => {
                self.book_files = vec![RecordFile::Airframe(form.text("registration"))];
                self.read_book(desk);
            }
            Purpose::AddEntry { list, below, .. } => {
                self.read_book(desk);
                let is_there = |item: &Item<'_>| matches!(item, Item::Entry(_, found, entry) if found.key == *list && entry.spot.below == *below);
                if let Some(at) = self.book.items().iter().rposition(is_there) {
                    self.go_to(desk, at);
                }
            }
            _ => self.read_book(desk),
        }
    }

    /// After a form was refused: where the file was changed by another hand, the form is put onto the file as it is now.
    pub(super) fn on_newer_file(&mut self, desk: &dyn Desk, form: &mut Form) {
        let Some(was) = form.on_file.as_ref().map(|file| file.hash.clone()) else { return };
        let file = match &form.purpose {
            Purpose::RecordHead { registration } => RecordFile::Airframe(registration.clone()),
            Purpose::AddEntry { file, .. } | Purpose::ChangeEntry { file, .. } => file.clone(),
            _ => return,
        };
        let Ok(now) = desk.file(&file) else { return };
        if now.hash == was {
            return;
        }
        match file_form::on_newer_file(form, &now.sheet, &now.hash, desk) {
            Ok(fresh) => *form = fresh,
            Err(problem) => form.problem = Some(problem),
        }
        self.read_book(desk);
    }
}

/// What is better than taking history out.
fn instead(list: &str) -> Option<&'static str> {
    Some(match list {
        "report" => {
            say!(
                "A report is history: rather change it (Enter) and say which annual dealt with it. Take out only what was never so."
            )
        }
        "defect" => {
            say!(
                "A defect is history: rather change it (Enter) and say when and how it was closed. Take out only what was never so."
            )
        }
        "directive" => {
            say!(
                "A directive is history: rather change it (Enter), with a note. Take out only what was never so."
            )
        }
        "person" => {
            say!(
                "Whoever appears in a session or holds a key stays: names and signatures are checked against the register. An authorisation that ended is told by its date."
            )
        }
        "compliance" | "annual" => say!("It is history. Take out only what was never so."),
        _ => return None,
    })
}
