//! The invariants, checked on one disk as a crash left it.

use std::fmt;
use std::path::Path;

use spanwise::journal::recover::Verdict;
use spanwise::journal::{Entry, sha256, verify};
use spanwise::store::session_dir::RECOVERED;
use spanwise::store::{
    Disk, Evidence, EvidenceCheck, Hangar, Notice, OpenError, SimDisk, open_reader, open_writer, read_plans,
};

use super::story::{Begun, Script, Wrap, cited, clock, dir_of};

/// How a session was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Not there, and never shown as there.
    Absent,
    Clean,
    Healed,
    SetAside,
}

/// An invariant that does not hold. The numbers are those of the list in `mod.rs`.
#[derive(Debug, Clone)]
pub struct Broken {
    pub invariant: &'static str,
    pub detail: String,
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.invariant, self.detail)
    }
}

pub fn broken<T>(invariant: &'static str, detail: impl Into<String>) -> Result<T, Broken> {
    Err(Broken { invariant, detail: detail.into() })
}

/// What is known of one session when the power goes.
pub struct Known<'a> {
    pub session: usize,
    pub acked: Vec<Entry>,
    /// The lines begun so far; one of them may appear beyond the acknowledged ones.
    pub begun: &'a [Begun],
    /// One that was begun after a restart.
    pub begun_later: Option<Begun>,
    /// The journal before each recovery that was itself interrupted.
    pub journals: Vec<Vec<u8>>,
}

impl Known<'_> {
    fn begun(&self) -> impl Iterator<Item = &Begun> + Clone {
        self.begun.iter().chain(&self.begun_later).filter(|begun| begun.session == self.session)
    }
}

pub fn journal_of(disk: &SimDisk, session: usize) -> Option<Vec<u8>> {
    disk.read(&dir_of(session).join("journal.jsonl")).ok()
}

/// Old bytes are a prefix of the new ones, or what was cut off lies in `torn/`.
fn nothing_deleted(disk: &SimDisk, session: usize, old: &[u8], new: &[u8]) -> bool {
    if new.starts_with(old) {
        return true;
    }
    let kept = verify(old).verified_len;
    let torn = dir_of(session).join(format!("torn/{}.bin", sha256(&old[kept..])));
    new.starts_with(&old[..kept]) && disk.read(&torn).is_ok_and(|bytes| bytes == old[kept..])
}

/// Opens the session for writing as the program does after a restart, and checks everything it must keep.
pub fn check(disk: &SimDisk, wrap: Wrap<'_>, script: &Script, known: &Known<'_>) -> Result<Outcome, Broken> {
    let dir = dir_of(known.session);
    if !disk.exists(&dir).unwrap_or(false) {
        return absent(disk, known);
    }
    let Some(before) = journal_of(disk, known.session) else {
        return broken("I1", "the session stands without a journal");
    };
    let (mut writer, opened) = match open_writer(wrap(disk), &dir, &clock()) {
        Ok(opened) => opened,
        Err(error) => return refused(disk, known, &error),
    };
    lines(&opened.entries, known)?;
    let after = journal_of(disk, known.session).unwrap_or_default();
    let verified = verify(&after);
    if verified.fault.is_some() || verified.entries != opened.entries {
        return broken("I3", "the chain does not verify after recovery");
    }
    for old in known.journals.iter().chain([&before]) {
        if !nothing_deleted(disk, known.session, old, &after) {
            return broken("I6", "bytes of the journal are neither in it nor in torn/");
        }
    }
    files(disk, wrap, &dir, &opened.entries)?;
    let again = writer.evidence().add(&mut &script.photo[..], Path::new("photo"));
    if let Err(error) = again.map(drop).and_then(|()| writer.put_plan(&script.plan).map(drop)) {
        return broken("I8", format!("what was being taken in cannot be taken in again: {error}"));
    }
    drop(writer);
    idempotent(disk, wrap, &dir, &opened.entries, &after)?;
    let has = |wanted: fn(&Notice) -> bool| opened.notices.iter().any(wanted);
    Ok(if has(|n| matches!(n, Notice::SavedBeforeInterruption { .. })) {
        Outcome::Healed
    } else if has(|n| matches!(n, Notice::FragmentSetAside { .. })) {
        Outcome::SetAside
    } else {
        Outcome::Clean
    })
}

fn absent(disk: &SimDisk, known: &Known<'_>) -> Result<Outcome, Broken> {
    if !known.acked.is_empty() {
        return broken("I1", "a session that was shown as begun is gone");
    }
    // What an interrupted creation left is listed as unfinished or not at all.
    let listed = Hangar::at("/hangar").list_sessions(disk).unwrap_or_default();
    if listed.iter().any(|found| found.finished && found.path == dir_of(known.session)) {
        return broken("I2", "a session is listed that was never finished");
    }
    Ok(Outcome::Absent)
}

/// A crash alone never yields damage; where it did, the acknowledged lines are gone or all still there.
fn refused(disk: &SimDisk, known: &Known<'_>, error: &OpenError) -> Result<Outcome, Broken> {
    let found = open_reader(disk, &dir_of(known.session)).map(|reader| reader.entries).unwrap_or_default();
    let kept = found.starts_with(&known.acked);
    broken(if kept { "I8" } else { "I1" }, format!("the session does not open for writing: {error}"))
}

fn lines(found: &[Entry], known: &Known<'_>) -> Result<(), Broken> {
    if !found.starts_with(&known.acked) {
        let at = found.iter().zip(&known.acked).take_while(|(a, b)| a == b).count();
        return broken("I1", format!("acknowledged line {at} of {} is gone or changed", known.acked.len()));
    }
    let mut further = found[known.acked.len()..].iter().filter(|entry| entry.kind != RECOVERED);
    // A session in creation has several first lines; it is there with all of them or not at all.
    if known.acked.is_empty() {
        let all = known.begun();
        let same =
            all.clone().count() == found.len() && all.zip(found).all(|(begun, entry)| is(begun, entry));
        return if same { Ok(()) } else { broken("I2", "a session begun is there in part") };
    }
    if let Some(extra) = further.next()
        && !known.begun().any(|begun| is(begun, extra))
    {
        return broken("I2", format!("line {} ({}) was never begun", extra.seq, extra.kind));
    }
    match further.next() {
        Some(extra) => broken("I2", format!("line {} is a second line beyond the acknowledged", extra.seq)),
        None => Ok(()),
    }
}

fn is(begun: &Begun, entry: &Entry) -> bool {
    begun.seq == entry.seq && begun.kind == entry.kind && begun.body == entry.body
}

/// Every line that stands finds what it cites.
fn files(disk: &SimDisk, wrap: Wrap<'_>, dir: &Path, entries: &[Entry]) -> Result<(), Broken> {
    let evidence = Evidence::new(wrap(disk), dir);
    for hash in entries.iter().filter(|entry| entry.kind != RECOVERED).filter_map(cited) {
        match evidence.check(&hash) {
            Ok(EvidenceCheck::Present) => {}
            found => return broken("I1", format!("evidence that a line cites is not there: {found:?}")),
        }
    }
    let revised = entries.iter().filter(|entry| entry.kind == "plan_revised");
    let wanted: Vec<String> = revised.filter_map(|e| e.body["plan"].as_str().map(str::to_string)).collect();
    match read_plans(disk, dir, &wanted) {
        Ok(found) if wanted.iter().all(|hash| found.contains_key(hash)) => Ok(()),
        Ok(_) => broken("I1", "a plan that a line cites is not there"),
        Err(error) => broken("I1", format!("a plan that a line cites: {error}")),
    }
}

fn idempotent(
    disk: &SimDisk,
    wrap: Wrap<'_>,
    dir: &Path,
    entries: &[Entry],
    journal: &[u8],
) -> Result<(), Broken> {
    let second = match open_writer(wrap(disk), dir, &clock()) {
        Ok((_, second)) => second,
        Err(error) => return broken("I5", format!("the second opening fails: {error}")),
    };
    let told = !second.notices.is_empty() || second.entries != entries;
    let read = disk.read(&dir.join("journal.jsonl")).unwrap_or_default();
    if told || read != journal {
        return broken("I5", "a second opening changes something");
    }
    let clean = open_reader(disk, dir).is_ok_and(|reader| matches!(reader.verdict, Verdict::Clean { .. }));
    if clean { Ok(()) } else { broken("I5", "the recovered session is not clean") }
}

/// One flipped bit in the journal: the session is refused, twice, and no byte of it is touched.
pub fn damage_stays(disk: &SimDisk, wrap: Wrap<'_>, session: usize, at: usize) -> Result<(), Broken> {
    let dir = dir_of(session);
    let Some(mut bytes) = journal_of(disk, session).filter(|bytes| !bytes.is_empty()) else { return Ok(()) };
    let at = at % bytes.len();
    bytes[at] ^= 1 << (at % 8);
    disk.overwrite(&dir.join("journal.jsonl"), &bytes);
    for _ in 0..2 {
        match open_writer(wrap(disk), &dir, &clock()) {
            Err(OpenError::Damaged(_)) => {}
            Err(error) => return broken("I7", format!("damage is told as something else: {error}")),
            Ok(_) => return broken("I7", format!("a changed journal (byte {at}) became writable")),
        }
    }
    let untouched = journal_of(disk, session).is_some_and(|found| found == bytes);
    if untouched { Ok(()) } else { broken("I7", "a damaged journal was written to") }
}
