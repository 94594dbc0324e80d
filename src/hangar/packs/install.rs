//! A pack's editions into the hangar's checklists folder: all of them or none, and never over another content.

use std::path::PathBuf;
use std::sync::Arc;

use super::origin::{Origin, origins};
use super::refusal::{Conflict, Refusal};
use crate::airframe::Person;
use crate::checklist::{Checklist, Library, builtin_sources};
use crate::diagnostic::Source;
use crate::event::Actor;
use crate::hangar::{Hangar, HangarError};
use crate::journal::hash::sha256;
use crate::pack::{Listed, Pack, Standing, checklists, standing};
use crate::store::packs::{KEPT, ORIGIN, folder_name, lock, put_folder};
use crate::store::texts::read_toml_files;
use crate::store::wall_text;

/// What the one who installs has decided beforehand, with the reason.
#[derive(Debug, Default, Clone, Copy)]
pub struct Terms<'a> {
    /// Take it although the register does not vouch for the key.
    pub trust_unknown_key: bool,
    /// Take it although a later pack of this name is installed.
    pub older: bool,
    pub why: Option<&'a str>,
}

#[derive(Debug)]
pub struct Installed {
    /// Where the new editions lie; `None` where everything was there already.
    pub folder: Option<PathBuf>,
    pub new: Vec<String>,
    pub already: Vec<String>,
    pub standing: Standing,
}

/// Installs a pack. `bytes` are those that `pack` was read from; they are kept beside its editions.
///
/// # Errors
/// See [`Refusal`]; nothing was changed then.
pub fn install(
    hangar: &Hangar,
    pack: &Pack,
    bytes: &[u8],
    shown_as: &str,
    by: &Person,
    terms: Terms<'_>,
) -> Result<Installed, Refusal> {
    let standing = standing(pack, &hangar.people, hangar.today());
    check_key(pack, &standing, terms)?;
    let editions = checklists(pack, shown_as).map_err(Refusal::Contents)?;
    let failed = |error| {
        HangarError::store(
            &error,
            say!("look with spanwise library whether it is there, then install it again"),
        )
    };
    // Held until the rename: what is not at hand now must not come to be there meanwhile.
    let _lock = lock(&*hangar.disk, &hangar.folder).map_err(failed)?;
    let at_hand = at_hand(hangar)?;
    let (new, already) = sort_out(pack, &at_hand)?;
    if new.is_empty() {
        return Ok(Installed { folder: None, new: Vec::new(), already, standing });
    }
    check_age(hangar, pack, terms)?;
    check_requirements(&at_hand, &editions)?;
    let origin = Origin {
        why: terms.why.filter(|_| terms.trust_unknown_key || terms.older).map(str::to_string),
        installed_at: wall_text(hangar.clock.now()),
        installed_by: Actor { id: by.id.clone(), name: by.name.clone() },
        ..Origin::of(pack, &standing, new.iter().map(|(listed, _)| (*listed).clone()).collect())
    };
    let record = serde_json::to_vec_pretty(&origin).map_err(|error| {
        Refusal::declined(
            say!("its origin cannot be written down: {error}", error = error),
            say!("nothing was installed"),
        )
    })?;
    let names = new.iter().map(|(listed, _)| name(listed)).collect();
    let mut files: Vec<(String, Vec<u8>)> =
        new.into_iter().map(|(listed, bytes)| (listed.path(), bytes.clone())).collect();
    files.push((ORIGIN.to_string(), record));
    files.push((KEPT.to_string(), bytes.to_vec()));
    let folder = folder_name(&pack.header.name, &pack.sha256);
    let folder = put_folder(&*hangar.disk, &hangar.folder, &folder, &files).map_err(failed)?;
    Ok(Installed { folder: Some(folder), new: names, already, standing })
}

fn name(listed: &Listed) -> String {
    format!("{} {}", listed.id, listed.version)
}

fn check_key(pack: &Pack, standing: &Standing, terms: Terms<'_>) -> Result<(), Refusal> {
    let next = match standing {
        Standing::Vouched { .. } => return Ok(()),
        Standing::Unknown | Standing::EndedSince { .. } if terms.trust_unknown_key => return Ok(()),
        Standing::Unknown => {
            say!(
                "if you know from its author by another way that this is their key, enter it (spanwise key add), or install \
             with --trust-unknown-key --why \"…\""
            )
        }
        Standing::EndedSince { .. } => {
            say!(
                "ask its author to sign it anew, or, if you had it before the key ended, install with --trust-unknown-key \
             --why \"…\""
            )
        }
        Standing::NotOnThatDay { .. } => say!("ask its author to sign it with a key that is valid"),
        Standing::AnotherPerson { .. } => say!("the two contradict each other; ask both"),
    };
    Err(Refusal::NotVouched { sentence: standing.sentence(pack), next })
}

/// Everything built in and in the hangar's own folder, read now.
fn at_hand(hangar: &Hangar) -> Result<Vec<Arc<Source>>, Refusal> {
    let (own, unreadable) = read_toml_files(&hangar.folder.checklists());
    let mut faults = Library::read(&own).faults;
    faults.extend(unreadable);
    if !faults.is_empty() {
        return Err(Refusal::OwnFaults(faults));
    }
    let mut sources = builtin_sources();
    sources.extend(own);
    Ok(sources)
}

type New<'p> = Vec<(&'p Listed, &'p Vec<u8>)>;

/// What is new and what is there with the same bytes. A file that reads without fault lies where its id and version
/// say, so that the place tells which edition it is.
fn sort_out<'p>(pack: &'p Pack, at_hand: &[Arc<Source>]) -> Result<(New<'p>, Vec<String>), Refusal> {
    let (mut new, mut already, mut conflicts) = (Vec::new(), Vec::new(), Vec::new());
    for (listed, bytes) in pack.header.editions.iter().zip(&pack.files) {
        let same: Vec<_> = at_hand.iter().filter(|source| is_of(source, listed)).collect();
        let before = conflicts.len();
        for source in &same {
            let found = sha256(source.text.as_bytes()).to_string();
            if found != listed.sha256 {
                conflicts.push(Conflict {
                    edition: name(listed),
                    at_hand: source.name.clone(),
                    sha256_at_hand: found,
                    sha256_in_pack: listed.sha256.clone(),
                });
            }
        }
        match same.is_empty() {
            true => new.push((listed, bytes)),
            false if conflicts.len() == before => already.push(name(listed)),
            false => {}
        }
    }
    if conflicts.is_empty() { Ok((new, already)) } else { Err(Refusal::Conflicts(conflicts)) }
}

fn is_of(source: &Source, listed: &Listed) -> bool {
    let path = source.name.replace('\\', "/");
    let path = path.strip_prefix("built in: ").unwrap_or(&path);
    path.strip_suffix(&listed.path()).is_some_and(|before| before.is_empty() || before.ends_with('/'))
}

fn check_age(hangar: &Hangar, pack: &Pack, terms: Terms<'_>) -> Result<(), Refusal> {
    let of_this_name = |origin: &Origin| {
        origin.pack == pack.header.name
            && (origin.author.id == pack.header.author.id || origin.key == pack.key.to_string())
    };
    let installed = origins(&hangar.folder).into_iter().filter_map(|(_, origin)| origin.ok());
    let newest = installed.filter(of_this_name).map(|origin| origin.made_on).max();
    match newest.filter(|newest| *newest > pack.header.made_on && !terms.older) {
        Some(installed) => Err(Refusal::Older { made_on: pack.header.made_on, installed }),
        None => Ok(()),
    }
}

/// Every requirement of the pack's editions is met by what is at hand or in the pack.
fn check_requirements(at_hand: &[Arc<Source>], editions: &[Checklist]) -> Result<(), Refusal> {
    let mut sources = at_hand.to_vec();
    sources.extend(editions.iter().map(|edition| Arc::clone(&edition.source)));
    let library = Library::read(&sources);
    let faults: Vec<_> = editions
        .iter()
        .flat_map(|edition| (0..edition.requires.len()).map(move |index| (edition, index)))
        .filter_map(|(edition, index)| library.satisfy(edition, index).err())
        .collect();
    if faults.is_empty() { Ok(()) } else { Err(Refusal::Requirements(faults)) }
}
