//! What is selected on the Airframe and Registers screens, with all its keys and what can be done with it.

use chrono::NaiveDate;
use ratatui::style::Style;
use ratatui::text::Line;

use super::book::{Book, Item, standing, value_words};
use super::desk::ShownFile;
use super::look::Look;
use super::text::Page;
use crate::airframe::fields::{Field, List, PEOPLE};
use crate::airframe::sheet::{Entry, RecordFile};
use crate::words::said;

pub fn detail(book: &Book, at: usize, today: NaiveDate, look: Look, width: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    match book.items().get(at) {
        Some(Item::Fault(fault)) => {
            page.hanging(look.bad(), "✗ ", fault);
            page.plain(
                say!("No annual is begun with it. Where the entry stands in the list below, Enter puts it right; else correct the file with an editor of texts."),
            );
        }
        Some(Item::Head(shown)) => head(&mut page, shown),
        Some(Item::Section(shown, section)) => {
            page.text(look.strong(), said(section.list.title));
            page.field(say!("entries"), &section.entries.len().to_string());
            page.plain(&say!("Enter or a adds {}.", said(section.list.one)));
            if section.list.key == PEOPLE.key && section.entries.is_empty() {
                page.plain(say!(
                    "First the inspector: who signs needs the role, an authorisation (t) and a key (k)."
                ));
            }
            file(&mut page, shown);
        }
        Some(Item::Entry(shown, list, entry)) => {
            entry_detail(&mut page, list, entry, today);
            file(&mut page, shown);
        }
        None => page.plain(say!("Nothing is here yet.")),
    }
    page.lines
}

fn head(page: &mut Page, shown: &ShownFile) {
    let sheet = &shown.sheet;
    page.text(page.look.strong(), &say!("Airframe {}", sheet.head_value("registration")));
    keys(page, sheet.file.head(), &sheet.head);
    page.gap();
    page.plain(say!("Enter changes it."));
    file(page, shown);
}

fn keys(page: &mut Page, fields: &[Field], values: &[String]) {
    for (field, value) in fields.iter().zip(values).filter(|(_, value)| !value.is_empty()) {
        page.field(field.words(), &value_words(field.form, value));
    }
    let missing: Vec<&str> = fields
        .iter()
        .zip(values)
        .filter(|(_, value)| value.is_empty())
        .map(|(field, _)| field.words())
        .collect();
    if !missing.is_empty() {
        page.text(page.look.quiet(), &say!("not given: {}", missing.join(", ")));
    }
}

fn entry_detail(page: &mut Page, list: &List, entry: &Entry, today: NaiveDate) {
    page.text(page.look.strong(), &format!("{} · {}", said(list.title), entry.name()));
    if let Some((sign, words, style)) = standing(list, entry, today, page.look) {
        page.text(style, &format!("{sign} {words}"));
    }
    keys(page, list.fields, &entry.values);
    page.gap();
    if list.key == PEOPLE.key {
        let authorised = say!("{n} authorisation" | "{n} authorisations" % entry.inner.len());
        let keys = say!("{n} key" | "{n} keys" % entry.keys);
        page.field(say!("below"), &format!("{authorised}, {keys}"));
        page.plain(say!("Enter changes it, t adds an authorisation, k makes the key to sign with, a adds another person, x takes out."));
        if entry.keys == 0 {
            page.text(page.look.quiet(), say!("Without a key nothing can be signed."));
        }
    } else {
        page.plain(&say!("Enter changes it, a adds {}, x takes it out.", said(list.one)));
    }
}

fn file(page: &mut Page, shown: &ShownFile) {
    page.gap();
    page.field(say!("file"), &shown.sheet.name);
    if !shown.sheet.can_edit {
        let words =
            say!("It is no TOML, so nothing can be changed here: correct it with an editor of texts first.");
        page.text(page.look.bad(), words);
    }
    if matches!(shown.sheet.file, RecordFile::Airframe(_)) {
        page.text(Style::new(), say!("An annual that is begun keeps the record as it was then."));
    }
}
