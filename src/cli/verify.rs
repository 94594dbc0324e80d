//! `verify` and `anchor`: what an auditor asks of the files alone.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::args::{AnchorArgs, Cli, VerifyArgs};
use super::output::{Failure, Output, exit};
use crate::airframe::read_people;
use crate::audit::verify::{
    Anchor, KnownKey, NoAnchor, Observation, Report, Soundness, anchors, keys_of, match_code, text,
};
use crate::hangar::{
    Examined, ExaminedFolder, Hangar, examine, examine_all, find_session, look_beside, read_bytes,
};
use crate::journal::recover::{Verdict, judge};
use crate::store::session_files::is_session;
use crate::store::texts::read_text;
use crate::store::{Disk, Hangar as Folder, RealDisk};
use crate::words::said;

/// What was named: single sessions, and folders of sessions.
#[derive(Default)]
struct Wanted {
    sessions: Vec<PathBuf>,
    folders: Vec<PathBuf>,
    /// Words that name neither, with the reason.
    failed: Vec<(PathBuf, String)>,
}

pub(super) fn verify(cli: &Cli, args: &VerifyArgs, out: &mut Output) -> Result<u8, Failure> {
    match verify_named(cli, args, out) {
        // Another program reads JSON whatever happens.
        Err(failure) if args.json => {
            let failed = vec![(PathBuf::from(args.what.join(" ")), failure.to_string())];
            let none = ExaminedFolder {
                sessions: Vec::new(),
                unfinished: Vec::new(),
                observations: Vec::new(),
                failed,
            };
            out.json(&folder_json(&none));
            Ok(failure.code())
        }
        other => other,
    }
}

fn verify_named(cli: &Cli, args: &VerifyArgs, out: &mut Output) -> Result<u8, Failure> {
    let mut hangar = None;
    let wanted = wanted(cli, args, &mut hangar)?;
    let keys = keys(args, hangar.as_ref())?;
    if let ([dir], [], []) = (&wanted.sessions[..], &wanted.folders[..], &wanted.failed[..]) {
        let mut report = examine(&RealDisk, dir, keys.as_deref())?;
        let observations = look_beside(&RealDisk, dir, &mut report, keys.as_deref());
        return Ok(tell_one(dir, &report, &observations, args, out));
    }
    let mut found = examine_all(&RealDisk, &wanted.folders, wanted.sessions, keys.as_deref());
    found.failed.extend(wanted.failed);
    match args.json {
        true => out.json(&folder_json(&found)),
        false => {
            out.text(&folder_text(&found));
            for (path, why) in &found.failed {
                out.error(&format!("{}: {why}", path.display()));
            }
        }
    }
    Ok(worst(&found, args.sealed))
}

fn tell_one(
    dir: &Path,
    report: &Report,
    observations: &[Observation],
    args: &VerifyArgs,
    out: &mut Output,
) -> u8 {
    if args.json {
        let mut value = with_path(dir, report);
        value["observations"] = observations_json(observations);
        out.json(&value);
    } else {
        out.text(&text(report));
        out.text(&observations_text(observations));
    }
    match observations.iter().any(|one| one.contradicts) {
        true => exit::DAMAGED,
        false => code(report, args.sealed),
    }
}

fn observations_json(observations: &[Observation]) -> Value {
    observations.iter().map(|one| json!({ "words": one.words, "contradicts": one.contradicts })).collect()
}

fn observations_text(observations: &[Observation]) -> String {
    let mut out = String::new();
    for one in observations {
        let _ = writeln!(
            out,
            "{}: {}",
            if one.contradicts { say!("CONTRADICTION") } else { say!("check" => "note") },
            one.words
        );
    }
    out
}

/// Each word by itself: one that names nothing hides none of the others.
fn wanted(cli: &Cli, args: &VerifyArgs, hangar: &mut Option<Hangar>) -> Result<Wanted, Failure> {
    let mut wanted = Wanted::default();
    if args.what.is_empty() {
        wanted.folders.push(loaded(cli, hangar)?.sessions_folder());
    }
    for word in &args.what {
        match as_path(word) {
            Some(dir) if is_session(&RealDisk, &dir) => wanted.sessions.push(dir),
            Some(dir) => wanted.folders.push(sessions_of(dir)),
            None => match loaded(cli, hangar).and_then(|hangar| in_hangar(hangar, word)) {
                Ok(dir) => wanted.sessions.push(dir),
                Err(failure) if args.what.len() == 1 => return Err(failure),
                Err(failure) => wanted.failed.push((PathBuf::from(word), failure.to_string())),
            },
        }
    }
    if args.what.is_empty() && !wanted.folders.iter().all(|folder| folder.is_dir()) {
        return Err(Failure::failed(say!(
            "this hangar has no sessions; name a session's folder, or the hangar with --hangar"
        )));
    }
    Ok(wanted)
}

fn loaded<'a>(cli: &Cli, hangar: &'a mut Option<Hangar>) -> Result<&'a Hangar, Failure> {
    if hangar.is_none() {
        let folder = Folder::locate(cli.hangar.as_deref()).map_err(Failure::failed)?;
        *hangar = Some(Hangar::load(folder.root()));
    }
    hangar.as_ref().ok_or_else(|| Failure::failed(say!("the hangar cannot be read")))
}

/// A word that names a folder. A registration that happens to be a folder's name is one, too: `./` tells them apart.
fn as_path(word: &str) -> Option<PathBuf> {
    let path = Path::new(word);
    let told = path.components().count() > 1 || word.starts_with('.') || path.is_absolute();
    (path.is_dir() && (told || is_session(&RealDisk, path))).then(|| path.to_path_buf())
}

/// Of a hangar its sessions.
fn sessions_of(dir: PathBuf) -> PathBuf {
    let inner = dir.join("sessions");
    if inner.is_dir() { inner } else { dir }
}

fn in_hangar(hangar: &Hangar, word: &str) -> Result<PathBuf, Failure> {
    let looks_like_path = Path::new(word).components().count() > 1;
    if looks_like_path {
        return Err(Failure::failed(say!("there is no folder {word}; check the path", word)));
    }
    match find_session(hangar, word) {
        Ok(sid) => Ok(hangar.sessions_folder().join(sid)),
        Err(_) if Path::new(word).is_dir() => Err(Failure::usage(&say!(
            "there is no session \"{word}\"; if the folder of that name is meant, write ./{word}",
            word
        ))),
        Err(error) => Err(error.into()),
    }
}

/// `None`: nobody has said whose keys are whose.
fn keys(args: &VerifyArgs, hangar: Option<&Hangar>) -> Result<Option<Vec<KnownKey>>, Failure> {
    match (&args.people, hangar) {
        (Some(file), _) => {
            let source = read_text(file, &file.to_string_lossy()).map_err(Failure::failed)?;
            let people = read_people(&source)
                .map_err(|faults| Failure::from(crate::hangar::HangarError::Files(faults)))?;
            Ok(Some(keys_of(&people)))
        }
        (None, Some(hangar)) => Ok(Some(keys_of(&hangar.people))),
        (None, None) => Ok(None),
    }
}

fn code(report: &Report, sealed: bool) -> u8 {
    match report.verdict {
        Soundness::Damaged => exit::DAMAGED,
        _ if sealed && !report.is_sealed_throughout() => exit::REFUSED,
        _ => exit::DONE,
    }
}

/// Damage before what cannot be read before a missing seal.
fn worst(found: &ExaminedFolder, sealed: bool) -> u8 {
    let codes = found.sessions.iter().map(|one| match &one.report {
        Ok(report) => code(report, sealed),
        Err(_) => exit::FAILED,
    });
    let contradicting = found.observations.iter().filter(|one| one.contradicts).map(|_| exit::DAMAGED);
    let failed = found.failed.iter().map(|_| exit::FAILED);
    let rank = |code: &u8| match *code {
        exit::DAMAGED => 3,
        exit::FAILED => 2,
        exit::REFUSED => 1,
        _ => 0,
    };
    codes.chain(contradicting).chain(failed).max_by_key(rank).unwrap_or(exit::FAILED)
}

fn with_path(path: &Path, report: &Report) -> Value {
    let mut value = serde_json::to_value(report).unwrap_or_default();
    value["path"] = json!(path);
    value
}

fn folder_json(found: &ExaminedFolder) -> Value {
    let failed = found.failed.iter().map(|(path, why)| json!({ "path": path, "error": why }));
    let sessions: Vec<Value> = found
        .sessions
        .iter()
        .map(|one| match &one.report {
            Ok(report) => with_path(&one.path, report),
            Err(error) => json!({ "path": one.path, "error": error.to_string() }),
        })
        .chain(failed)
        .collect();
    json!({
        "sessions": sessions,
        "unfinished": found.unfinished,
        "observations": observations_json(&found.observations),
        "damaged": damaged(found),
        "unreadable": unreadable(found),
    })
}

fn unreadable(found: &ExaminedFolder) -> usize {
    found.sessions.iter().filter(|one| one.report.is_err()).count() + found.failed.len()
}

fn damaged(found: &ExaminedFolder) -> usize {
    let bad = |one: &&Examined| one.report.as_ref().is_ok_and(|report| report.verdict.is_damaged());
    found.sessions.iter().filter(bad).count()
}

fn folder_text(found: &ExaminedFolder) -> String {
    let mut out = String::new();
    for one in &found.sessions {
        let name = one.path.file_name().unwrap_or_default().to_string_lossy();
        match &one.report {
            Ok(report) => session_line(&mut out, &name, report),
            Err(error) => {
                let told = say!("CANNOT BE READ: {error}", error);
                let _ = writeln!(out, "{name:.12}  {:<10} {told}", "?");
            }
        }
    }
    for path in &found.unfinished {
        let _ = writeln!(
            out,
            "{}",
            say!("note: {} was left by an interrupted creation; nothing was recorded in it", path.display())
        );
    }
    out.push_str(&observations_text(&found.observations));
    let count = |wanted: Soundness| {
        let same = |one: &&Examined| one.report.as_ref().is_ok_and(|report| report.verdict == wanted);
        found.sessions.iter().filter(same).count()
    };
    let _ = writeln!(
        out,
        "{}",
        say!(
            "sessions verified: {}; {} sealed, {} sealed by a key that is not shown to be the signer's, {} signed and not sealed, {} not signed, {} \
         damaged or altered, {} cannot be read",
            found.sessions.iter().filter(|one| one.report.is_ok()).count(),
            count(Soundness::Sealed),
            count(Soundness::SealedByUnknownKey),
            count(Soundness::Unsealed),
            count(Soundness::Unsigned),
            damaged(found),
            unreadable(found)
        )
    );
    out
}

fn session_line(out: &mut String, name: &str, report: &Report) {
    let registration = report.registration.as_deref().unwrap_or("?");
    let code = report.head.as_ref().map_or(say!("no entry"), |head| head.code.as_str());
    let _ = write!(
        out,
        "{name:.12}  {registration:<10} {}",
        say!("{}; {}; {} entries, {code}", report.verdict_words(), report.standing, report.entries, code)
    );
    if let Some(fault) = &report.fault {
        let entry = fault.entry.map(|entry| say!(" entry {entry}", entry)).unwrap_or_default();
        let byte = fault.byte.map(|byte| say!(" byte {byte}", byte)).unwrap_or_default();
        let _ = write!(out, "{}", say!("; first fault: {}{entry}{byte}", fault.file, entry, byte));
    }
    if report.trailing_bytes > 0 {
        let _ = write!(
            out,
            "{}",
            say!("; note: {} bytes after the last entry are no part of the record", report.trailing_bytes)
        );
    }
    for sid in &report.continued_by {
        let _ = write!(out, "{}", say!("; continued by {sid}", sid = format_args!("{:.12}", sid)));
    }
    out.push('\n');
}

pub(super) fn anchor(cli: &Cli, args: &AnchorArgs, out: &mut Output) -> Result<u8, Failure> {
    let dir = match as_path(&args.session) {
        Some(dir) => dir,
        None => in_hangar(loaded(cli, &mut None)?, &args.session)?,
    };
    let disk: &dyn Disk = &RealDisk;
    let found = read_bytes(disk, &dir)?;
    let judged = judge(&found.journal, found.register.as_deref().unwrap_or_default());
    let entries = &judged.verified.entries;
    let code = match args.code.is_empty() {
        true => tell_anchors(&anchors(entries), args.json, out),
        false => {
            let followed = !matches!(judged.verdict, Verdict::Damaged(_));
            let matched = match_code(&args.code.join(" "), entries);
            tell_match(matched, entries.len(), followed, args.json, out)
        }
    };
    if let Verdict::Damaged(damage) = &judged.verdict {
        out.error(&say!("the record is damaged: {damage}", damage));
        return Ok(if code == exit::USAGE { code } else { exit::DAMAGED });
    }
    Ok(code)
}

fn tell_anchors(anchors: &[Anchor], json: bool, out: &mut Output) -> u8 {
    if json {
        out.json(&json!({ "anchors": anchors }));
        return exit::DONE;
    }
    let last = anchors.last().map(|anchor| anchor.entry);
    for anchor in anchors {
        let now = if Some(anchor.entry) == last { say!(", the last entry now") } else { "" };
        out.line(&say!(
            "{}  entry {}, {}, {} of {}{now}",
            anchor.code,
            anchor.entry,
            anchor.wall,
            said(anchor.what),
            anchor.by,
            now
        ));
    }
    exit::DONE
}

fn tell_match(
    matched: Result<Anchor, NoAnchor>,
    entries: usize,
    followed: bool,
    json: bool,
    out: &mut Output,
) -> u8 {
    let (code, words, anchor) = match matched {
        Ok(anchor) => {
            let after = entries as u64 - 1 - anchor.entry;
            let words = say!(
                "it belongs to entry {} ({} of {}, {}): everything up to there is what the paper fixes; entries after it: {after}",
                anchor.entry,
                said(anchor.what),
                anchor.by,
                anchor.wall,
                after
            );
            (exit::DONE, words, Some(anchor))
        }
        Err(NoAnchor::Slip(slip)) => (exit::USAGE, slip.to_string(), None),
        Err(NoAnchor::Nowhere(code)) if !followed => {
            let after = entries
                .checked_sub(1)
                .map_or(say!("its beginning").to_string(), |last| say!("entry {last}", last));
            let words = say!(
                "{code} was typed rightly; whether it belongs to an entry of this session cannot be told, the record cannot be \
                 followed after {after}",
                code,
                after
            );
            (exit::DAMAGED, words, None)
        }
        Err(NoAnchor::Nowhere(code)) => {
            let words = say!(
                "{code} was typed rightly and belongs to no entry of this session: the paper fixes another record, or this one was altered",
                code
            );
            (exit::DAMAGED, words, None)
        }
    };
    match json {
        true => out.json(&json!({ "matches": anchor, "words": words })),
        false if code == exit::DONE => out.line(&words),
        false => out.error(&words),
    }
    code
}
