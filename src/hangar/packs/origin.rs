//! Where the editions of an installed pack came from: kept beside them, told by the library.

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

use crate::event::Actor;
use crate::pack::{Author, Listed, Pack, Standing};
use crate::store::Hangar as Folder;
use crate::store::packs::installed;

const FORMAT: u32 = 1;

/// The file `origin.json` in the folder of an installed pack.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Origin {
    pub format: u32,
    /// The pack's name, and the SHA-256 of its file.
    pub pack: String,
    pub pack_sha256: String,
    pub made_on: chrono::NaiveDate,
    /// As the pack names them.
    pub author: Author,
    /// Short name of the key that signed, `SHA256:…`.
    pub key: String,
    /// What the people register told of the key on that day; see [`Standing::code`].
    pub standing: String,
    /// Why it was installed although the register did not vouch for the key, or although a newer one was there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// Wall clock with offset (RFC 3339).
    pub installed_at: String,
    pub installed_by: Actor,
    /// What was not at hand before and lies in this folder.
    pub editions: Vec<Listed>,
}

impl Origin {
    pub(super) fn of(pack: &Pack, standing: &Standing, editions: Vec<Listed>) -> Origin {
        Origin {
            format: FORMAT,
            pack: pack.header.name.clone(),
            pack_sha256: pack.sha256.clone(),
            made_on: pack.header.made_on,
            author: pack.header.author.clone(),
            key: pack.key.to_string(),
            standing: standing.code().to_string(),
            why: None,
            installed_at: String::new(),
            installed_by: Actor { id: String::new(), name: String::new() },
            editions,
        }
    }
}

/// The origins of all installed packs with their folders; for one that cannot be read, why.
pub(super) fn origins(folder: &Folder) -> Vec<(PathBuf, Result<Origin, String>)> {
    let read = |bytes: &[u8]| match serde_json::from_slice::<Origin>(bytes) {
        Ok(origin) if origin.format == FORMAT => Ok(origin),
        Ok(origin) => Err(say!("its format {} is not known to this program", origin.format)),
        Err(error) => Err(error.to_string()),
    };
    let found = installed(folder).into_iter();
    found
        .map(|(path, bytes)| (path, bytes.map_err(|error| error.to_string()).and_then(|bytes| read(&bytes))))
        .collect()
}
