//! Verifies what lies on the disk, one session or a whole folder, inside any hangar or outside of all.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::HangarError;
use crate::audit::verify::{
    FoundFile, JOURNAL, KnownKey, Listed, Observation, PLAN, REGISTER, Report, SessionFiles, across,
    continued_by, verify,
};
use crate::store::Disk;
use crate::store::session_files::{SessionBytes, read_session, sessions_in};

/// One session of a folder: its report, or why it cannot be read.
pub struct Examined {
    pub path: PathBuf,
    pub report: Result<Report, HangarError>,
}

/// A whole folder.
pub struct ExaminedFolder {
    pub sessions: Vec<Examined>,
    /// Left by a creation that was interrupted.
    pub unfinished: Vec<PathBuf>,
    pub observations: Vec<Observation>,
    /// What was named and holds no session that can be verified, with the reason.
    pub failed: Vec<(PathBuf, String)>,
}

/// Verifies the session in this folder. Nothing is locked, healed or written.
pub fn examine(disk: &dyn Disk, dir: &Path, keys: Option<&[KnownKey]>) -> Result<Report, HangarError> {
    let found = read_bytes(disk, dir)?;
    Ok(report_of(&found, keys))
}

/// The session's files as they lie there.
pub fn read_bytes(disk: &dyn Disk, dir: &Path) -> Result<SessionBytes, HangarError> {
    read_session(disk, dir)
        .map_err(|error| HangarError::disk(&error, say!("name a session's folder that can be read")))
}

fn report_of(found: &SessionBytes, keys: Option<&[KnownKey]>) -> Report {
    let file = |read: &Result<(crate::journal::Hash, u64), String>| match read {
        Ok((sha256, bytes)) => FoundFile::Read { sha256: *sha256, bytes: *bytes },
        Err(why) => FoundFile::Unreadable(why.clone()),
    };
    let evidence: BTreeMap<String, FoundFile> =
        found.evidence.iter().map(|(name, read)| (name.clone(), file(read))).collect();
    verify(&SessionFiles {
        name: &found.name,
        journal: &found.journal,
        register: found.register.as_deref(),
        plan: found.plan.as_deref(),
        later_plans: &found.later_plans,
        evidence: &evidence,
        keys,
    })
}

/// Verifies every session of these folders and these single ones, each thread taking the next one, and compares all of
/// them with each other. A folder that cannot be read hides none of the others.
pub fn examine_all(
    disk: &dyn Disk,
    folders: &[PathBuf],
    single: Vec<PathBuf>,
    keys: Option<&[KnownKey]>,
) -> ExaminedFolder {
    let (mut paths, mut unfinished, mut failed) = (Vec::new(), Vec::new(), Vec::new());
    for folder in folders {
        match sessions_in(disk, folder) {
            Err(error) => failed.push((
                folder.clone(),
                HangarError::disk(&error, say!("name a folder that can be read")).to_string(),
            )),
            Ok(listed) => {
                if listed.sessions.is_empty() {
                    failed.push((folder.clone(), none_in(disk, folder)));
                }
                paths.extend(listed.sessions.iter().map(|name| folder.join(name)));
                unfinished.extend(listed.unfinished.iter().map(|name| folder.join(name)));
            }
        }
    }
    paths.extend(single);
    // One that was named twice is no copy of itself.
    let mut seen = BTreeSet::new();
    paths.retain(|path| seen.insert(path.clone()));
    let mut sessions = in_threads(disk, &paths, keys);
    let listed: Vec<Listed> = sessions
        .iter()
        .filter_map(|one| Some((one, one.report.as_ref().ok()?)))
        .map(|(one, report)| Listed { path: one.path.display().to_string(), report: report.clone() })
        .collect();
    for report in sessions.iter_mut().filter_map(|one| one.report.as_mut().ok()) {
        report.continued_by = report.sid.as_deref().map_or_else(Vec::new, |sid| continued_by(sid, &listed));
    }
    ExaminedFolder { observations: across(&listed), sessions, unfinished, failed }
}

/// Why a folder gave nothing to verify.
fn none_in(disk: &dyn Disk, folder: &Path) -> String {
    let holds = |name: &str| disk.exists(&folder.join(name)).unwrap_or(false);
    match holds(REGISTER) || holds(PLAN) {
        true => say!(
            "{journal} is missing: this is the folder of a session whose record is gone; look for another copy",
            journal = JOURNAL
        ),
        false => say!("this is no session and holds none: nothing was verified; check the path").to_string(),
    }
}

/// In the order of `paths`, whichever thread was faster.
fn in_threads(disk: &dyn Disk, paths: &[PathBuf], keys: Option<&[KnownKey]>) -> Vec<Examined> {
    const MOST: usize = 8;
    let threads =
        std::thread::available_parallelism().map_or(1, usize::from).min(MOST).min(paths.len().max(1));
    let next = AtomicUsize::new(0);
    let done: Mutex<BTreeMap<usize, Examined>> = Mutex::new(BTreeMap::new());
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some((at, path)) = take_next(&next, paths) {
                    let examined = Examined { path: path.clone(), report: examine(disk, path, keys) };
                    done.lock().unwrap_or_else(|poisoned| poisoned.into_inner()).insert(at, examined);
                }
            });
        }
    });
    done.into_inner().unwrap_or_else(|poisoned| poisoned.into_inner()).into_values().collect()
}

fn take_next<'a>(next: &AtomicUsize, paths: &'a [PathBuf]) -> Option<(usize, &'a PathBuf)> {
    let at = next.fetch_add(1, Ordering::Relaxed);
    paths.get(at).map(|path| (at, path))
}
