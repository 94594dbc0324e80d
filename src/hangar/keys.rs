//! People's keys: made, entered into the register, ended, unlocked to sign.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, value};

use super::{Hangar, HangarError};
use crate::airframe::{Person, read_people};
use crate::diagnostic::Source;
use crate::seal::{KeyId, SealFault, SecretKey, key_id, public_key_line};
use crate::session::Declined;
use crate::store::keys::{read_key, write_key};
use crate::store::replace::replace;
use crate::store::texts::read_text;

/// A key that now stands in the register.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EnteredKey {
    pub id: KeyId,
    /// The encrypted key file, where the program made it.
    pub file: Option<PathBuf>,
}

/// Makes a key for a person: encrypted file first, then the register's line.
pub fn new_key(hangar: &Hangar, person: &Person, passphrase: &str) -> Result<EnteredKey, HangarError> {
    let file = hangar.folder.key(&person.id);
    if file.exists() {
        return Err(declined(
            format!("{} has a key file already: {}", person.name, file.display()),
            "end that key first (spanwise key end), and move its file away; old signatures stay good",
        ));
    }
    let key = SecretKey::new().map_err(|error| declined(error.to_string(), "try again"))?;
    let locked = key
        .lock(passphrase, &person.id)
        .map_err(|error| declined(error.to_string(), "choose a passphrase, then try again"))?;
    // Tried before the register names it: a key that cannot be opened again would be worse than none.
    SecretKey::unlock(locked.as_bytes(), passphrase)
        .map_err(|error| declined(error.to_string(), "report this: it is a fault of the program"))?;
    write_key(&file, &locked).map_err(|error| HangarError::disk(error, "nothing was changed"))?;
    let id = enter(hangar, person, key.public_line())?;
    Ok(EnteredKey { id, file: Some(file) })
}

/// Enters a public key that the person made elsewhere.
pub fn add_key(hangar: &Hangar, person: &Person, public: &str) -> Result<EnteredKey, HangarError> {
    let line = public_key_line(public).map_err(|error| {
        declined(error.to_string(), "name the .pub file of an Ed25519 key (ssh-keygen -t ed25519)")
    })?;
    Ok(EnteredKey { id: enter(hangar, person, &line)?, file: None })
}

/// Ends every valid key of a person with today; none is removed.
pub fn end_keys(hangar: &Hangar, person: &Person, because: &str) -> Result<usize, HangarError> {
    let today = hangar.today();
    if because.trim().is_empty() {
        return Err(declined("no reason is given", "say why the key ends: lost, replaced, person left"));
    }
    let mut ended = 0;
    edit(hangar, &person.id, |table| {
        let keys = table.get_mut("key").and_then(Item::as_array_of_tables_mut);
        for key in keys.into_iter().flat_map(ArrayOfTables::iter_mut) {
            if !key.contains_key("valid_until") {
                key.insert("valid_until", date(today));
                key.insert("ended_because", value(because.trim()));
                ended += 1;
            }
        }
    })?;
    Ok(ended)
}

/// Opens a person's key to sign with. It must be one that the register names for this person today.
pub fn unlock(
    hangar: &Hangar,
    person: &Person,
    file: Option<&Path>,
    passphrase: &str,
) -> Result<SecretKey, HangarError> {
    let path = file.map_or_else(|| hangar.folder.key(&person.id), Path::to_path_buf);
    let bytes = read_key(&path).map_err(|error| match error.is_not_found() {
        true => declined(
            format!("{} has no key file {}", person.name, path.display()),
            format!("make one: spanwise key new {}", person.id),
        ),
        false => HangarError::disk(error, "name another key file"),
    })?;
    let key = SecretKey::unlock(&bytes, passphrase)
        .map_err(|error| declined(error.to_string(), "nothing was signed; try again"))?;
    let today = hangar.today();
    match person.keys.iter().find(|held| held.public == key.public_line()) {
        None => Err(declined(
            format!("the people register does not name this key for {}", person.name),
            format!("enter it: spanwise key add {} --public {}.pub", person.id, path.display()),
        )),
        Some(held) => match held.objection_on(today) {
            None => Ok(key),
            Some(why) => Err(declined(why, "nothing was signed; sign with a key that is valid")),
        },
    }
}

fn declined(why: impl Into<String>, next: impl Into<String>) -> HangarError {
    HangarError::Declined(Declined { why: why.into(), next: next.into() })
}

fn enter(hangar: &Hangar, person: &Person, public: &str) -> Result<KeyId, HangarError> {
    let id = key_id(public).map_err(|fault: SealFault| declined(fault.to_string(), "try another key"))?;
    let today = hangar.today();
    edit(hangar, &person.id, |table| {
        let mut key = Table::new();
        key.insert("public", value(public));
        key.insert("valid_from", date(today));
        let keys = table.entry("key").or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
        if let Some(keys) = keys.as_array_of_tables_mut() {
            keys.push(key);
        }
    })?;
    Ok(id)
}

fn date(day: NaiveDate) -> Item {
    // A day of the calendar is always a TOML date.
    day.to_string().parse::<toml_edit::Datetime>().map_or(Item::None, value)
}

/// Changes one person's table of `people.toml`; comments and order of the rest stay. What would come of it is read
/// by the register's own reader before it is written.
fn edit(hangar: &Hangar, person: &str, change: impl FnOnce(&mut Table)) -> Result<(), HangarError> {
    let _lock = super::records::lock(hangar)?;
    let path = hangar.folder.people();
    let name = path.to_string_lossy().into_owned();
    let source = read_text(&path, &name).map_err(|fault| HangarError::Files(vec![fault]))?;
    let mut document: DocumentMut = source
        .text
        .parse()
        .map_err(|error: toml_edit::TomlError| declined(error.to_string(), "correct the file first"))?;
    let people = document.get_mut("person").and_then(Item::as_array_of_tables_mut);
    let found = people
        .into_iter()
        .flat_map(ArrayOfTables::iter_mut)
        .find(|table| table.get("id").and_then(Item::as_str) == Some(person));
    let Some(table) = found else {
        return Err(HangarError::not_found(
            format!("{name} has no [[person]] with the id \"{person}\""),
            "enter the person first",
        ));
    };
    change(table);
    let text = document.to_string();
    read_people(&Source::new(&name, &text)).map_err(HangarError::Files)?;
    replace(hangar.disk.as_ref(), &path, text.as_bytes())
        .map_err(|error| HangarError::store(&error, "nothing was changed"))
}
