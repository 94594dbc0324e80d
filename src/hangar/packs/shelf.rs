//! Every edition at hand, where it came from, and whether it still is what was installed.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use semver::Version;

use super::origin::{Origin, origins};
use crate::checklist::{Checklist, Library, builtin_sources, read_checklist};
use crate::diagnostic::{Diagnostic, Source, in_file_order};
use crate::edition::is_draft;
use crate::hangar::Hangar;
use crate::journal::hash::sha256;
use crate::pack::{MAX_BYTES, open};
use crate::store::packs::{KEPT, read_at_most};
use crate::store::texts::read_toml_files;

#[derive(Debug, Clone)]
pub enum CameFrom {
    BuiltIn,
    /// The hangar's own folder.
    Own,
    Pack(Arc<Origin>),
}

/// One file of the library that reads without fault.
#[derive(Debug)]
pub struct Shelved {
    pub edition: Checklist,
    pub sha256: String,
    pub came_from: CameFrom,
    /// Another file of the same id and version goes before it.
    pub is_overridden: bool,
    /// It goes before one that is built in; whether the two have the same content.
    pub overrides_built_in: Option<bool>,
    /// What it was installed as, where that is another content.
    pub installed_sha256: Option<String>,
}

#[derive(Debug, Default)]
pub struct Shelf {
    pub editions: Vec<Shelved>,
    /// Faults of the hangar's own files.
    pub faults: Vec<Diagnostic>,
    /// Installed editions that are altered or gone, and packs whose origin can no longer be told.
    pub troubles: Vec<String>,
}

/// One installed pack, with its folder.
struct Shipment {
    folder: PathBuf,
    origin: Arc<Origin>,
}

/// Looks at every file, and at every pack that is kept beside its editions.
pub fn shelf(hangar: &Hangar) -> Shelf {
    let mut shelf = Shelf::default();
    let shipments = shipments(hangar, &mut shelf.troubles);
    let (mut own, unreadable) = read_toml_files(&hangar.folder.checklists());
    // `edition list` shows them: a draft is no edition.
    own.retain(|source| !is_draft(source));
    shelf.faults = Library::read(&own).faults;
    shelf.faults.extend(unreadable);
    in_file_order(&mut shelf.faults);
    let built_in = builtin_sources();
    tell_gone(&shipments, &own, &mut shelf.troubles);
    for source in &built_in {
        shelf.add(source, CameFrom::BuiltIn);
    }
    for source in &own {
        let found = shipments.iter().find(|one| Path::new(&source.name).starts_with(&one.folder));
        shelf.add(source, found.map_or(CameFrom::Own, |one| CameFrom::Pack(Arc::clone(&one.origin))));
    }
    shelf.settle();
    shelf
}

impl Shelf {
    fn add(&mut self, source: &Arc<Source>, came_from: CameFrom) {
        let found = sha256(source.text.as_bytes()).to_string();
        let installed = match &came_from {
            CameFrom::Pack(origin) => {
                // Only the place tells what it was: an altered file may say anything of itself.
                let path = source.name.replace('\\', "/");
                let was =
                    origin.editions.iter().find(|listed| path.ends_with(&format!("/{}", listed.path())));
                match was {
                    Some(listed) => (listed.sha256 != found).then(|| listed.sha256.clone()),
                    None => {
                        self.troubles.push(format!("{path} was put into an installed pack and is not of it"));
                        None
                    }
                }
            }
            _ => None,
        };
        if let Some(was) = &installed {
            self.troubles.push(format!(
                "{} is ALTERED since it was installed\n    installed  {was}\n    now        {found}",
                source.name
            ));
        }
        if let Ok(edition) = read_checklist(source) {
            self.editions.push(Shelved {
                edition,
                sha256: found,
                came_from,
                is_overridden: false,
                overrides_built_in: None,
                installed_sha256: installed,
            });
        }
    }

    /// Which file of an edition counts: the last one, as the library reads them.
    fn settle(&mut self) {
        let mut last: BTreeMap<(String, Version), usize> = BTreeMap::new();
        for at in 0..self.editions.len() {
            let edition = &self.editions[at].edition;
            let key = (edition.id.value.clone(), edition.version.value.clone());
            if let Some(before) = last.insert(key, at) {
                self.editions[before].is_overridden = true;
                let earlier = &self.editions[before];
                let is_same = earlier.sha256 == self.editions[at].sha256;
                let over = match earlier.came_from {
                    CameFrom::BuiltIn => Some(is_same),
                    _ => earlier.overrides_built_in,
                };
                self.editions[at].overrides_built_in = over;
            }
        }
        self.editions.sort_by(|a, b| {
            (&a.edition.id.value, &a.edition.version.value)
                .cmp(&(&b.edition.id.value, &b.edition.version.value))
        });
    }
}

fn shipments(hangar: &Hangar, troubles: &mut Vec<String>) -> Vec<Shipment> {
    let mut found = Vec::new();
    for (folder, origin) in origins(&hangar.folder) {
        match origin {
            Err(why) => troubles.push(format!(
                "{}: where these editions came from cannot be read ({why}); they count as the hangar's own",
                folder.display()
            )),
            Ok(origin) => {
                if let Err(why) = check_kept(&folder, &origin) {
                    troubles.push(format!(
                        "{}: the kept pack no longer shows where these editions came from: {why}",
                        folder.display()
                    ));
                }
                found.push(Shipment { folder, origin: Arc::new(origin) });
            }
        }
    }
    found
}

/// The kept pack is whole, bears its signature, and is the one that the origin tells of.
fn check_kept(folder: &Path, origin: &Origin) -> Result<(), String> {
    let bytes = read_at_most(&folder.join(KEPT), MAX_BYTES).map_err(|error| error.to_string())?;
    let pack = open(&bytes)
        .map_err(|faults| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))?;
    let header = &pack.header;
    let is_told = pack.sha256 == origin.pack_sha256
        && header.name == origin.pack
        && header.author == origin.author
        && header.made_on == origin.made_on
        && pack.key.to_string() == origin.key
        && origin.editions.iter().all(|listed| header.editions.contains(listed));
    if is_told { Ok(()) } else { Err("it is another one than the origin tells of".to_string()) }
}

fn tell_gone(shipments: &[Shipment], own: &[Arc<Source>], troubles: &mut Vec<String>) {
    for one in shipments {
        for listed in &one.origin.editions {
            let path = one.folder.join(listed.path());
            if !own.iter().any(|source| Path::new(&source.name) == path) {
                troubles.push(format!("{} was installed and is GONE or cannot be read", path.display()));
            }
        }
    }
}
