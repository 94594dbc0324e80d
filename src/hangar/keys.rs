//! People's keys: made, entered into the register, ended, unlocked to sign.

use std::path::{Path, PathBuf};

use super::records::edit_by;
use super::{Hangar, HangarError};
use crate::airframe::edit::{Change, Edit, Written};
use crate::airframe::sheet::RecordFile;
use crate::airframe::{Person, read_people};
use crate::seal::{KeyId, SealFault, SecretKey, key_id, public_key_line};
use crate::store::keys::{read_key, write_key};

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
        return Err(HangarError::declined(
            say!("{} has a key file already: {}", person.name, file.display()),
            say!("end that key first (spanwise key end), and move its file away; old signatures stay good"),
        ));
    }
    let key =
        SecretKey::new().map_err(|error| HangarError::declined(error.to_string(), say!("try again")))?;
    let locked = key.lock(passphrase, &person.id).map_err(|error| {
        HangarError::declined(error.to_string(), say!("choose a passphrase, then try again"))
    })?;
    // Tried before the register names it: a key that cannot be opened again would be worse than none.
    SecretKey::unlock(locked.as_bytes(), passphrase).map_err(|error| {
        HangarError::declined(error.to_string(), say!("report this: it is a fault of the program"))
    })?;
    write_key(&file, &locked).map_err(|error| HangarError::disk(error, say!("nothing was changed")))?;
    let id = enter(hangar, person, key.public_line())?;
    Ok(EnteredKey { id, file: Some(file) })
}

/// Enters a public key that the person made elsewhere.
pub fn add_key(hangar: &Hangar, person: &Person, public: &str) -> Result<EnteredKey, HangarError> {
    let line = public_key_line(public).map_err(|error| {
        HangarError::declined(
            error.to_string(),
            say!("name the .pub file of an Ed25519 key (ssh-keygen -t ed25519)"),
        )
    })?;
    Ok(EnteredKey { id: enter(hangar, person, &line)?, file: None })
}

/// Ends every valid key of a person with today; none is removed.
pub fn end_keys(hangar: &Hangar, person: &Person, because: &str) -> Result<usize, HangarError> {
    let today = hangar.today();
    if because.trim().is_empty() {
        return Err(HangarError::declined(
            say!("no reason is given"),
            say!("say why the key ends: lost, replaced, person left"),
        ));
    }
    edit(hangar, &person.id, |held| {
        let valid = held.keys.iter().enumerate().filter(|(_, key)| key.valid_until.is_none());
        let changes = vec![
            ("valid_until".to_string(), Some(Written::Date(today))),
            ("ended_because".to_string(), Some(Written::Text(because.trim().to_string()))),
        ];
        valid.map(|(at, _)| (Some(at), changes.clone())).collect()
    })
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
        true => HangarError::declined(
            say!("{} has no key file {}", person.name, path.display()),
            say!("make one: spanwise key new {}", person.id),
        ),
        false => HangarError::disk(error, say!("name another key file")),
    })?;
    let key = SecretKey::unlock(&bytes, passphrase)
        .map_err(|error| HangarError::declined(error.to_string(), say!("nothing was signed; try again")))?;
    let today = hangar.today();
    match person.keys.iter().find(|held| held.public == key.public_line()) {
        None => Err(HangarError::declined(
            say!("the people register does not name this key for {}", person.name),
            say!("enter it: spanwise key add {} --public {}.pub", person.id, path.display()),
        )),
        Some(held) => match held.objection_on(today) {
            None => Ok(key),
            Some(why) => {
                Err(HangarError::declined(why, say!("nothing was signed; sign with a key that is valid")))
            }
        },
    }
}

fn enter(hangar: &Hangar, person: &Person, public: &str) -> Result<KeyId, HangarError> {
    let id = key_id(public)
        .map_err(|fault: SealFault| HangarError::declined(fault.to_string(), say!("try another key")))?;
    let changes = vec![
        ("public".to_string(), Some(Written::Text(public.to_string()))),
        ("valid_from".to_string(), Some(Written::Date(hangar.today()))),
    ];
    edit(hangar, &person.id, |_| vec![(None, changes)])?;
    Ok(id)
}

/// Changes a person's keys in the register: each by its place, a new one without. `change` sees the person as the file has
/// them now. Returns how many keys were changed.
fn edit(
    hangar: &Hangar,
    person: &str,
    change: impl FnOnce(&Person) -> Vec<(Option<usize>, Vec<Change>)>,
) -> Result<usize, HangarError> {
    edit_by(hangar, &RecordFile::People, |source| {
        let people = read_people(source).map_err(HangarError::Files)?;
        let Some((at, held)) = people.0.iter().enumerate().find(|(_, held)| held.id == person) else {
            return Err(HangarError::not_found(
                say!("{} has no [[person]] with the id \"{person}\"", source.name, person = person),
                say!("enter the person first"),
            ));
        };
        let (list, below) = ("key".to_string(), Some(("person".to_string(), at)));
        let edits = change(held).into_iter().map(|(key, changes)| match key {
            Some(at) => Edit::Alter { list: list.clone(), at, below: below.clone(), changes },
            None => Edit::Add { list: list.clone(), below: below.clone(), changes },
        });
        let edits: Vec<Edit> = edits.collect();
        let count = edits.len();
        Ok((edits, count))
    })
}
