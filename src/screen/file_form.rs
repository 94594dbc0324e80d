//! Forms of records and registers, made from the table of their keys; and back from a filled form to changes of the text.

use super::desk::{Desk, Passphrase, ShownFile, Wish};
use super::field::{Entry as Typed, Field};
use super::form::{Form, OnFile, Problem};
use super::purpose::Purpose;
use crate::airframe::edit::{Change, Edit, as_typed, parse_spoken};
use crate::airframe::fields::{AIRFRAME, Field as Key, Form as Written, List, kinds_of_reports};
use crate::airframe::sheet::{Entry, RecordFile, Sheet};
use crate::words::said;

/// What a new file's hash is: there was none.
const NO_FILE: &str = "";

pub fn new_airframe(desk: &dyn Desk) -> Form {
    let form = Form::new(Purpose::NewAirframe, say!("New airframe"))
        .intro(say!("Its record is written into the hangar's folder; reports, directives and papers are added to it afterwards."));
    filled(form, AIRFRAME, &vec![String::new(); AIRFRAME.len()], NO_FILE, desk)
}

pub fn head(shown: &ShownFile, desk: &dyn Desk) -> Form {
    let registration = match &shown.sheet.file {
        RecordFile::Airframe(name) => name.clone(),
        other => other.words(),
    };
    let title = say!("Airframe {registration}", registration);
    let form = Form::new(Purpose::RecordHead { registration }, title);
    filled(form, shown.sheet.file.head(), &shown.sheet.head, &shown.hash, desk)
}

pub fn add(shown: &ShownFile, list: &List, below: Option<&Entry>, desk: &dyn Desk) -> Form {
    let purpose = Purpose::AddEntry {
        file: shown.sheet.file.clone(),
        list: list.key,
        below: below.map(|entry| (entry.spot.list.to_string(), entry.spot.at)),
        of: below.map_or(String::new(), |entry| entry.name().to_string()),
    };
    let blank = vec![String::new(); list.fields.len()];
    let mut form = Form::new(purpose, title_of_new(list, below));
    form = filled(form, list.fields, &blank, &shown.hash, desk);
    let id = shown.sheet.free_id(list);
    if let Some(Typed::Text(input)) =
        form.fields.iter_mut().find(|field| field.name == "id").map(|field| &mut field.entry)
        && !id.is_empty()
    {
        *input = tui_input::Input::new(id);
        // The proposed id may be kept: typing begins behind it.
        form.at = usize::from(form.fields.len() > 1);
    }
    form
}

fn title_of_new(list: &List, below: Option<&Entry>) -> String {
    match below {
        Some(entry) => say!("Add {} of {}", said(list.one), entry.name()),
        None => say!("Add {}", said(list.one)),
    }
}

pub fn change(shown: &ShownFile, list: &List, entry: &Entry, desk: &dyn Desk) -> Form {
    let purpose = Purpose::ChangeEntry {
        file: shown.sheet.file.clone(),
        spot: entry.spot.clone(),
        name: entry.name().to_string(),
    };
    let form = Form::new(purpose, say!("Change {}: {}", said(list.one), entry.name()));
    filled(form, list.fields, &entry.values, &shown.hash, desk)
}

pub fn new_key(person: &str, name: &str) -> Form {
    Form::new(Purpose::NewKey { person: person.to_string() }, say!("Key of {name}", name))
        .intro(say!("Only its owner types here. The key is kept in a file that this passphrase opens; nobody can recover a forgotten one."))
        .field(Field::secret("passphrase", say!("passphrase, at least 8 characters")).hint(say!("several words are good")))
        .field(Field::secret("again", say!("the same once more")))
}

fn filled(mut form: Form, keys: &'static [Key], values: &[String], hash: &str, desk: &dyn Desk) -> Form {
    form.fields = keys.iter().zip(values).map(|(key, value)| field(key, value, desk)).collect();
    // As the fields give it back: an order or a word that a field does not know is then no difference.
    let was = keys.iter().zip(&form.fields).map(|(key, field)| typed(key, field)).collect();
    form.on_file = Some(Box::new(OnFile { hash: hash.to_string(), was }));
    form
}

fn field(key: &'static Key, value: &str, desk: &dyn Desk) -> Field {
    let star = if key.needed { " *" } else { "" };
    let unit = match key.form {
        Written::Number(unit) if !unit.is_empty() => format!(" ({unit})"),
        _ => String::new(),
    };
    let label = format!("{}{unit}{star}", key.words());
    // What a person sees follows the language; what the file holds is found by its place.
    let shown = |words: &[&str]| words.iter().map(|word| said(word).to_string()).collect::<Vec<_>>();
    let place = |words: &[&str]| words.iter().position(|word| *word == value);
    let made = match key.form {
        Written::Flag | Written::Choice(_) => {
            let words = words_of(key.form);
            Field::choice(key.key, label, shown(words), place(words))
        }
        Written::Texts(words) if !words.is_empty() => {
            let on: Vec<&str> = value.split(',').map(|word| said(word.trim())).collect();
            Field::ticks(key.key, label, shown(words)).ticked(&on)
        }
        Written::ReportKind => {
            let at = kinds_of_reports().position(|(id, _)| id == value);
            let options = kinds_of_reports().map(|(id, words)| format!("{id}: {}", said(words))).collect();
            Field::find(key.key, label, options, at)
        }
        _ => Field::text(key.key, label, as_typed(key, value)),
    };
    let hint = hint(key, desk);
    let is_lost = !value.is_empty() && !matches!(made.entry, Typed::Text(_)) && typed(key, &made).is_empty();
    if is_lost {
        made.hint(say!("the file says \"{value}\", which is not known; {hint}", value, hint))
    } else {
        made.hint(hint)
    }
}

/// How it is written, then what it is for.
fn hint(key: &Key, desk: &dyn Desk) -> String {
    let form = match key.form {
        Written::Date => say!("a date as 2026-11-25"),
        Written::Number(_) => say!("a number as 12.5"),
        Written::Whole => say!("a whole number"),
        Written::Flag | Written::Choice(_) => say!("digits choose, Backspace takes it back"),
        Written::Texts([]) => say!("several are parted by commas"),
        Written::Texts(_) => say!("Left, Right, or a letter goes to one; Space ticks it"),
        Written::Text | Written::ReportKind => "",
    };
    let types = if key.key == "type" { desk.types().join(", ") } else { String::new() };
    let types = if types.is_empty() { types } else { say!("known: {types}", types) };
    let needed = if key.needed { say!("* needed") } else { "" };
    let parts = [form, said(key.hint), &types, needed].into_iter().filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join("; ")
}

/// The words between which a form lets choose, as the file has them.
fn words_of(form: Written) -> &'static [&'static str] {
    match form {
        Written::Flag => &[mark!("yes"), mark!("no")],
        Written::Choice(words) | Written::Texts(words) => words,
        _ => &[],
    }
}

/// What stands in a field, as it would be typed.
fn typed(key: &Key, field: &Field) -> String {
    match (&field.entry, key.form) {
        (Typed::Text(input), _) => input.value().trim().to_string(),
        (Typed::Choice { at, .. }, form) => {
            at.and_then(|at| words_of(form).get(at)).map_or(String::new(), |word| (*word).to_string())
        }
        (Typed::Ticks { on, .. }, form) => {
            let ticked = words_of(form).iter().zip(on).filter(|(_, on)| **on);
            ticked.map(|(word, _)| *word).collect::<Vec<_>>().join(", ")
        }
        (Typed::Find { at, .. }, _) => {
            at.and_then(|at| kinds_of_reports().nth(at)).map_or(String::new(), |(id, _)| id.to_string())
        }
    }
}

/// The keys that the form asks for, in its order.
fn keys_of(purpose: &Purpose) -> Option<&'static [Key]> {
    match purpose {
        Purpose::NewAirframe | Purpose::RecordHead { .. } => Some(AIRFRAME),
        Purpose::AddEntry { file, list, .. } => file.list(list).map(|list| list.fields),
        Purpose::ChangeEntry { file, spot, .. } => file.list(spot.list).map(|list| list.fields),
        _ => None,
    }
}

/// What the form asks for; else the field that is wrong, and why.
pub fn wish(form: &Form) -> Result<Wish, (usize, Problem)> {
    if let Purpose::NewKey { person } = &form.purpose {
        return Ok(Wish::MakeKey { person: person.clone(), passphrase: same_twice(form)? });
    }
    let changes = changes(form)?;
    let was = form.on_file.as_ref().map_or(String::new(), |file| file.hash.clone());
    let edit = |file: &RecordFile, edit| Wish::EditFile { file: file.clone(), edits: vec![edit], was };
    Ok(match &form.purpose {
        Purpose::RecordHead { registration } => {
            edit(&RecordFile::Airframe(registration.clone()), Edit::Head(changes))
        }
        Purpose::AddEntry { file, list, below, .. } => {
            edit(file, Edit::Add { list: (*list).to_string(), below: below.clone(), changes })
        }
        Purpose::ChangeEntry { file, spot, .. } => {
            let (list, below) = (spot.list.to_string(), spot.below.clone());
            edit(file, Edit::Alter { list, at: spot.at, below, changes })
        }
        _ => Wish::CreateAirframe { head: changes },
    })
}

/// The keys that differ from what was shown; what is needed must be there in any case.
fn changes(form: &Form) -> Result<Vec<Change>, (usize, Problem)> {
    let (Some(keys), Some(file)) = (keys_of(&form.purpose), &form.on_file) else { return Ok(Vec::new()) };
    let mut changes = Vec::new();
    for (at, ((key, field), was)) in keys.iter().zip(&form.fields).zip(&file.was).enumerate() {
        if let Typed::Find { typed: filter, at: None, .. } = &field.entry
            && !filter.value().trim().is_empty()
        {
            let why = say!("\"{}\" is typed, and nothing is chosen", filter.value().trim());
            return Err((
                at,
                Problem::new(why, say!("choose one with Left and Right, or type on until one is left")),
            ));
        }
        let now = typed(key, field);
        if now == *was && !(key.needed && now.is_empty()) {
            continue;
        }
        let written = parse_spoken(key, &now).map_err(|fault| (at, Problem::new(fault.why, fault.next)))?;
        changes.push((key.key.to_string(), written));
    }
    Ok(changes)
}

fn same_twice(form: &Form) -> Result<Passphrase, (usize, Problem)> {
    let (first, again) = (form.secret("passphrase"), form.secret("again"));
    if first.reveal().is_empty() {
        return Err((
            0,
            Problem::new(say!("no passphrase is typed"), say!("type one, then the same once more")),
        ));
    }
    if first != again {
        return Err((
            0,
            Problem::new(say!("the two do not agree; nothing was made"), say!("type both again")),
        ));
    }
    Ok(first)
}

/// After the file was changed by another hand: the same form on the file as it is now. What was typed stays, what was
/// not touched follows the file. The problem tells where both differ.
///
/// # Errors
/// The entry is no longer there.
pub fn on_newer_file(form: &Form, sheet: &Sheet, hash: &str, desk: &dyn Desk) -> Result<Form, Problem> {
    let (Some(keys), Some(file)) = (keys_of(&form.purpose), &form.on_file) else { return Ok(form.clone()) };
    let values = match &form.purpose {
        Purpose::ChangeEntry { spot, name, .. } => {
            match sheet.entry(spot).filter(|entry| entry.name() == name) {
                Some(entry) => entry.values.clone(),
                None => return Err(moved(name)),
            }
        }
        Purpose::AddEntry { below: Some((list, at)), of, .. } => {
            let mut owners = sheet.entries_of(list);
            if !owners.any(|entry| entry.spot.at == *at && entry.name() == of) {
                return Err(moved(of));
            }
            vec![String::new(); keys.len()]
        }
        Purpose::AddEntry { .. } => vec![String::new(); keys.len()],
        _ => sheet.head.clone(),
    };
    let mut fresh = filled(Form { fields: Vec::new(), ..form.clone() }, keys, &values, hash, desk);
    let mut differ = Vec::new();
    for (at, key) in keys.iter().enumerate() {
        let (Some(mine), Some(was)) = (form.fields.get(at), file.was.get(at)) else { continue };
        let now = typed(key, mine);
        if now == *was {
            continue;
        }
        if let (Some(field), Some(value)) = (fresh.fields.get_mut(at), values.get(at)) {
            let value = as_typed(key, value);
            if value != now && value != *was {
                differ.push(say!("{}: here \"{now}\", in the file \"{value}\"", key.words(), now, value));
            }
            field.entry = mine.entry.clone();
        }
    }
    let told = if differ.is_empty() { String::new() } else { format!(". {}", differ.join("; ")) };
    fresh.problem = Some(Problem::new(
        say!("the file was changed by another hand meanwhile; nothing was written{told}", told),
        say!("look at it; Ctrl-S once more writes what you typed, Ctrl-X twice drops it"),
    ));
    Ok(fresh)
}

fn moved(name: &str) -> Problem {
    Problem::new(
        say!("the file was changed by another hand meanwhile, and {name} is no longer where it was", name),
        say!("leave with Esc and open it again; what you typed is kept"),
    )
}
