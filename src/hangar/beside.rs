//! The sessions beside one in its folder: the one that it continues, and those that continue it.

use std::path::Path;

use super::examine;
use super::opening_entry::opening_entry;
use crate::audit::verify::{KnownKey, Listed, Observation, Report, across};
use crate::store::Disk;
use crate::store::session_files::sessions_in;

/// Looks beside this session for those that it continues or that continue it. Only the one that it continues is
/// verified; of all others their first entry is read. A neighbour that cannot be read is no neighbour.
pub fn look_beside(
    disk: &dyn Disk,
    dir: &Path,
    report: &mut Report,
    keys: Option<&[KnownKey]>,
) -> Vec<Observation> {
    let folder = dir.join("..");
    let names = sessions_in(disk, &folder).map(|listed| listed.sessions).unwrap_or_default();
    let mut listed = vec![Listed { path: say!("this session").to_string(), report: report.clone() }];
    for name in names {
        let beside = folder.join(&name);
        let Some((first, opened)) = opening_entry(disk, &beside) else { continue };
        if report.continues.as_ref().is_some_and(|earlier| earlier.sid == first.sid) {
            let Ok(mut found) = examine(disk, &beside, keys) else { continue };
            // What that one continues is its own report's to say.
            found.continues = None;
            found.carried.clear();
            listed.push(Listed { path: say!("session {}", first.sid), report: found });
        }
        let follows = opened.continues.map(|earlier| earlier.sid);
        if follows.is_some() && follows == report.sid && !report.continued_by.contains(&first.sid) {
            report.continued_by.push(first.sid);
        }
    }
    across(&listed)
}
