//! The hangar's own checklists as a signed pack.

use std::path::Path;

use semver::Version;

use super::origin::origins;
use super::refusal::Refusal;
use crate::airframe::Person;
use crate::checklist::{Checklist, Library, builtin_sources};
use crate::diagnostic::suggest;
use crate::edition::is_draft;
use crate::hangar::Hangar;
use crate::pack::{Author, Draft, make, open};
use crate::seal::SecretKey;
use crate::store::texts::read_toml_files;

/// One checklist, or one edition of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    pub id: String,
    pub version: Option<Version>,
}

#[derive(Debug)]
pub struct Exported {
    pub bytes: Vec<u8>,
    /// SHA-256 of the pack.
    pub sha256: String,
    pub editions: Vec<String>,
    /// What the pack requires and does not hold itself.
    pub requires: Vec<String>,
}

/// Packs the hangar's own editions: all of them, or those that are wanted. What was installed from another pack is
/// left out; it bears its own author's signature. A draft is left out, too: it was not issued.
///
/// # Errors
/// Faults in the hangar's own checklists, something wanted that is not there, or a key that cannot sign.
pub fn export(
    hangar: &Hangar,
    name: &str,
    wanted: &[Wanted],
    author: &Person,
    key: &SecretKey,
) -> Result<Exported, Refusal> {
    let (mut sources, unreadable) = read_toml_files(&hangar.folder.checklists());
    sources.retain(|source| !is_draft(source));
    let from_packs: Vec<_> = origins(&hangar.folder).into_iter().map(|(folder, _)| folder).collect();
    let is_installed = |edition: &Checklist| {
        from_packs.iter().any(|folder| Path::new(&edition.source.name).starts_with(folder))
    };
    let library = Library::read(&sources);
    let mut faults = library.faults.clone();
    faults.extend(unreadable);
    if !faults.is_empty() {
        return Err(Refusal::OwnFaults(faults));
    }
    let (installed, own): (Vec<&Checklist>, Vec<&Checklist>) =
        library.all().map(|edition| &**edition).partition(|edition| is_installed(edition));
    let chosen = choose(&own, &installed, wanted)?;
    let requires = outside(&chosen);
    let editions = chosen.iter().map(|edition| shown(edition)).collect();
    let author = Author { id: author.id.clone(), name: author.name.clone() };
    let draft = Draft { name, made_on: hangar.today(), author, editions: chosen };
    let failed = |faults: Vec<crate::pack::PackFault>| {
        let text: Vec<String> = faults.iter().map(ToString::to_string).collect();
        Refusal::declined(text.join("; "), "pack fewer or smaller editions, or take another name")
    };
    let bytes = make(draft, key).map_err(failed)?;
    let pack = open(&bytes).map_err(failed)?;
    Ok(Exported { bytes, sha256: pack.sha256, editions, requires })
}

fn shown(edition: &Checklist) -> String {
    format!("{} {}", edition.id.value, edition.version.value)
}

fn choose<'l>(
    own: &[&'l Checklist],
    installed: &[&'l Checklist],
    wanted: &[Wanted],
) -> Result<Vec<&'l Checklist>, Refusal> {
    if own.is_empty() {
        return Err(Refusal::declined(
            "the hangar has no checklists of its own",
            "write one into checklists/<id>/<version>.toml; what is built in is at hand everywhere",
        ));
    }
    if wanted.is_empty() {
        return Ok(own.to_vec());
    }
    let mut chosen: Vec<&Checklist> = Vec::new();
    for one in wanted {
        let found: Vec<_> = own.iter().copied().filter(|edition| one.fits(edition)).collect();
        if found.is_empty() {
            return Err(not_found(one, own, installed));
        }
        chosen.extend(found);
    }
    chosen.sort_by(|a, b| (&a.id.value, &a.version.value).cmp(&(&b.id.value, &b.version.value)));
    chosen.dedup_by(|a, b| a.id.value == b.id.value && a.version.value == b.version.value);
    Ok(chosen)
}

fn not_found(one: &Wanted, own: &[&Checklist], installed: &[&Checklist]) -> Refusal {
    let what = match &one.version {
        Some(version) => format!("{} {version}", one.id),
        None => one.id.clone(),
    };
    if let Some(edition) = installed.iter().find(|edition| one.fits(edition)) {
        return Refusal::declined(
            format!("{what} was installed from a pack: {}", edition.source.name),
            "hand on the pack that is kept there: it bears its own author's signature",
        );
    }
    let file = format!("{}/", one.id);
    if builtin_sources().iter().any(|source| source.name.contains(&file)) {
        return Refusal::declined(
            format!("the hangar has no {what} of its own; it is built in"),
            "everybody with this program has it; copy it to a new version to change it",
        );
    }
    let hint = suggest(&one.id, own.iter().map(|edition| edition.id.value.as_str()));
    Refusal::declined(
        format!("the hangar has no {what} of its own"),
        hint.unwrap_or_else(|| {
            let list: Vec<String> = own.iter().map(|edition| shown(edition)).collect();
            format!("it has {}", list.join(", "))
        }),
    )
}

impl Wanted {
    fn fits(&self, edition: &Checklist) -> bool {
        edition.id.value == self.id
            && self.version.as_ref().is_none_or(|version| *version == edition.version.value)
    }
}

/// Requirements that no edition of the pack meets: they must be at hand where it is installed.
fn outside(chosen: &[&Checklist]) -> Vec<String> {
    let mut found: Vec<String> = chosen
        .iter()
        .flat_map(|edition| &edition.requires)
        .filter(|wanted| {
            !chosen
                .iter()
                .any(|other| other.id.value == wanted.id.value && wanted.range.matches(&other.version.value))
        })
        .map(|wanted| format!("{} {}", wanted.id.value, wanted.range))
        .collect();
    found.sort();
    found.dedup();
    found
}
