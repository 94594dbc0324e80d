//! Where things lie: the hangar folder, its files and its sessions.

use std::ffi::OsString;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskResult, StoreError};
use super::session_dir::UNFINISHED;
use crate::journal::entry::is_session_id;

/// The environment variable that names the hangar folder.
pub const HANGAR_VARIABLE: &str = "SPANWISE_HANGAR";

/// One hangar folder: `airframes/*.toml`, `people.toml`, `instruments.toml`, `checklists/<id>/<version>.toml`,
/// `sessions/<sid>/`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hangar {
    root: PathBuf,
}

/// A session folder, or what an interrupted creation left of one (`finished` is false): shown, never deleted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionFolder {
    pub sid: String,
    pub path: PathBuf,
    pub finished: bool,
}

impl Hangar {
    pub fn at(root: impl Into<PathBuf>) -> Self {
        Hangar { root: root.into() }
    }

    /// The argument if given, else `SPANWISE_HANGAR` if set and not empty, else the platform's data folder.
    ///
    /// # Errors
    /// None of the three names a place.
    pub fn locate(argument: Option<&Path>) -> DiskResult<Self> {
        Self::choose(argument, std::env::var_os(HANGAR_VARIABLE), platform_default())
    }

    fn choose(
        argument: Option<&Path>,
        variable: Option<OsString>,
        default: Option<PathBuf>,
    ) -> DiskResult<Self> {
        let variable = variable.filter(|text| !text.is_empty()).map(PathBuf::from);
        argument.map(Path::to_path_buf).or(variable).or(default).map(Hangar::at).ok_or_else(|| {
            StoreError::said(
                "find a place for",
                Path::new(mark!("the hangar folder")),
                ErrorKind::NotFound,
                mark!("this account has no home folder"),
                mark!("name the folder as an argument or in SPANWISE_HANGAR"),
            )
        })
    }

    pub fn root(&self) -> &Path {
        &self.root
    }

    pub fn airframes(&self) -> PathBuf {
        self.root.join("airframes")
    }

    pub fn people(&self) -> PathBuf {
        self.root.join("people.toml")
    }

    pub fn instruments(&self) -> PathBuf {
        self.root.join("instruments.toml")
    }

    /// The encrypted key file of a person.
    pub fn key(&self, person: &str) -> PathBuf {
        self.root.join("keys").join(person)
    }

    pub fn checklists(&self) -> PathBuf {
        self.root.join("checklists")
    }

    /// Where packs are made ready for `checklists/`; read by nobody.
    pub fn packs(&self) -> PathBuf {
        self.root.join("packs")
    }

    pub fn sessions(&self) -> PathBuf {
        self.root.join("sessions")
    }

    pub fn session(&self, sid: &str) -> PathBuf {
        self.sessions().join(sid)
    }

    /// Makes the missing folders durable, with every parent that is missing too.
    ///
    /// # Errors
    /// The folder that cannot be made or flushed.
    pub fn ensure(&self, disk: &dyn Disk) -> DiskResult<()> {
        for dir in [self.airframes(), self.checklists(), self.sessions()] {
            ensure_chain(disk, &dir)?;
        }
        Ok(())
    }

    /// All session folders, unfinished ones too, by name.
    ///
    /// # Errors
    /// The folder cannot be listed; a missing one is an empty list.
    pub fn list_sessions(&self, disk: &dyn Disk) -> DiskResult<Vec<SessionFolder>> {
        let mut found = Vec::new();
        for item in list_or_none(disk, &self.sessions())?.into_iter().filter(|item| item.is_dir) {
            let (finished, sid) = match item.name.strip_prefix(UNFINISHED) {
                Some(rest) => (false, rest.to_owned()),
                None => (true, item.name.clone()),
            };
            if is_session_id(&sid) {
                found.push(SessionFolder { sid, path: self.sessions().join(&item.name), finished });
            }
        }
        Ok(found)
    }
}

fn platform_folders() -> Option<directories::ProjectDirs> {
    directories::ProjectDirs::from("", "", "spanwise")
}

fn platform_default() -> Option<PathBuf> {
    Some(platform_folders()?.data_dir().join("hangar"))
}

/// The config file of this account: in the XDG config folder, or what the platform has in its place. `None` without a
/// home folder.
pub fn config_file() -> Option<PathBuf> {
    Some(platform_folders()?.config_dir().join("config.toml"))
}

/// The log file of this account: in the XDG state folder; where the platform has none, beside the data.
pub fn log_file() -> Option<PathBuf> {
    let folders = platform_folders()?;
    Some(folders.state_dir().unwrap_or_else(|| folders.data_local_dir()).join("spanwise.log"))
}

/// A folder as a person writes it: `~/` is the home folder.
pub fn with_home(text: &str) -> PathBuf {
    let home = directories::BaseDirs::new();
    match (text.strip_prefix("~/"), home) {
        (Some(rest), Some(home)) => home.home_dir().join(rest),
        _ => PathBuf::from(text),
    }
}

/// An environment variable; one that is no Unicode text counts as not set.
pub fn variable(name: &str) -> Option<String> {
    std::env::var(name).ok()
}

fn list_or_none(disk: &dyn Disk, path: &Path) -> DiskResult<Vec<super::disk::Item>> {
    match disk.list(path) {
        Err(e) if e.is_not_found() => Ok(Vec::new()),
        listed => listed,
    }
}

/// Makes a folder and its missing parents, each name durable before the next.
pub(super) fn ensure_chain(disk: &dyn Disk, path: &Path) -> DiskResult<()> {
    if path.as_os_str().is_empty() || disk.exists(path)? {
        return Ok(());
    }
    let parent = path.parent().unwrap_or(Path::new(""));
    ensure_chain(disk, parent)?;
    disk.create_dir(path)?;
    disk.sync_dir(if parent.as_os_str().is_empty() { Path::new(".") } else { parent })
}

/// 128 random bits from the system as 32 lower-case hexadecimal characters.
///
/// # Errors
/// The system has no random numbers to give.
pub fn new_session_id() -> DiskResult<String> {
    let mut bytes = [0; 16];
    getrandom::fill(&mut bytes).map_err(|e| {
        let words = e.to_string();
        let hint = mark!("restart the computer and try again");
        StoreError::said(
            "draw a number for",
            Path::new(mark!("a new session")),
            ErrorKind::Other,
            &words,
            hint,
        )
    })?;
    Ok(bytes.iter().map(|b| format!("{b:02x}")).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::{RealDisk, SimDisk};

    #[test]
    fn argument_before_variable_before_default() {
        let (argument, variable, default) = (Path::new("/a"), OsString::from("/v"), PathBuf::from("/d"));
        let choose = |a, v, d| Hangar::choose(a, v, d).map(|h| h.root().to_path_buf());
        let all = choose(Some(argument), Some(variable.clone()), Some(default.clone()));
        assert_eq!(all.unwrap(), argument);
        assert_eq!(choose(None, Some(variable), Some(default.clone())).unwrap(), Path::new("/v"));
        assert_eq!(choose(None, Some(OsString::new()), Some(default)).unwrap(), Path::new("/d"));
        assert!(choose(None, None, None).unwrap_err().to_string().contains("SPANWISE_HANGAR"));
    }

    #[test]
    fn lists_sessions_with_unfinished_ones() {
        let place = tempfile::tempdir().unwrap();
        let hangar = Hangar::at(place.path().join("deep/hangar"));
        assert_eq!(hangar.list_sessions(&RealDisk).unwrap(), []);
        hangar.ensure(&RealDisk).unwrap();
        hangar.ensure(&RealDisk).unwrap();
        let (one, two) = (new_session_id().unwrap(), new_session_id().unwrap());
        assert!(is_session_id(&one) && one != two);
        for name in [one.clone(), format!("tmp-{two}"), "notes".to_owned()] {
            std::fs::create_dir(hangar.sessions().join(name)).unwrap();
        }
        let found = hangar.list_sessions(&RealDisk).unwrap();
        assert_eq!(found.len(), 2);
        assert!(found.contains(&SessionFolder {
            sid: one.clone(),
            path: hangar.session(&one),
            finished: true
        }));
        assert!(found.iter().any(|s| s.sid == two && !s.finished));
    }

    #[test]
    fn made_folders_survive_a_crash() {
        let disk = SimDisk::new();
        let hangar = Hangar::at("/deep/hangar");
        hangar.ensure(&disk).unwrap();
        for image in disk.crash_images(1) {
            assert!(image.exists(&hangar.sessions()).unwrap());
        }
    }
}
