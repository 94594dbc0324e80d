//! Signing off, countersigning, keys, and the files with which OpenSSH alone checks a signature.

use std::path::Path;

use super::args::{Cli, CountersignArgs, KeyCommand, KeyFile, SealFilesArgs, SignArgs};
use super::output::{Failure, Output, exit};
use super::{has_terminal, outcome_of, require_person, status};
use crate::airframe::Person;
use crate::hangar::keys::{add_key, end_keys, new_key, unlock};
use crate::hangar::{Hangar, SealFile, Viewing, Work, find_session, seal_files as files_of};
use crate::seal::{allowed_signers, key_id};
use crate::store::texts::read_text;
use crate::store::unpack::{is_free, write_file};
use crate::words::said;

pub(super) fn sign(cli: &Cli, hangar: &Hangar, args: &SignArgs, out: &mut Output) -> Result<u8, Failure> {
    let person = hangar.person(require_person(cli)?)?;
    let sid = find_session(hangar, &args.session.session)?;
    let mut work = Work::open(hangar, &sid)?;
    let registration = work.view.plan.airframe.registration.clone();
    if !args.confirm.eq_ignore_ascii_case(&registration) {
        return Err(Failure::usage(&say!(
            "\"{}\" is not the registration of this session; a sign-off cannot be undone, so repeat it: --confirm {registration}",
            args.confirm,
            registration = registration
        )));
    }
    let outcome = outcome_of(args.outcome);
    // Told before a passphrase is asked for.
    let is_open = work.view.state.signed.is_none() && work.view.state.paused.is_none();
    let verdict = work.view.verdict(Some(person));
    if is_open && !verdict.allows(outcome) {
        out.text(&status::text(&sid, &work.view.plan, &work.view.state, &verdict, outcome, hangar.today()));
        return Ok(exit::REFUSED);
    }
    let phrase = if is_open { passphrase(&args.key, person)? } else { String::new() };
    let key = if is_open { Some(unlock(hangar, person, args.key.key.as_deref(), &phrase)?) } else { None };
    let signed = match &key {
        Some(key) => work.sign(hangar, person, outcome, key)?,
        None => return Err(Failure::refused(closed(&work))),
    };
    match signed {
        Ok(recorded) => {
            out.line(&say!(
                "signed off, entry {}: {} {}",
                recorded.entry,
                registration,
                said(outcome.word())
            ));
            out.fact("session", sid.as_str());
            out.fact("entry", recorded.entry);
            tell_code(&work, recorded.entry, out);
            super::intake::bring_after_signing(hangar, &sid, out);
            Ok(exit::DONE)
        }
        Err(_) => {
            let verdict = work.view.verdict(Some(person));
            out.text(&status::text(
                &sid,
                &work.view.plan,
                &work.view.state,
                &verdict,
                outcome,
                hangar.today(),
            ));
            Ok(exit::REFUSED)
        }
    }
}

/// Why a session takes no sign-off.
fn closed(work: &Work) -> String {
    match &work.view.state.signed {
        Some(_) => {
            say!("this session is signed and closed; begin a new session that continues it").to_string()
        }
        None => say!("the session is paused; resume it first").to_string(),
    }
}

pub(super) fn countersign(
    cli: &Cli,
    hangar: &Hangar,
    args: &CountersignArgs,
    out: &mut Output,
) -> Result<u8, Failure> {
    let person = hangar.person(require_person(cli)?)?;
    let sid = find_session(hangar, &args.session.session)?;
    let mut work = Work::open(hangar, &sid)?;
    let key = unlock(hangar, person, args.key.key.as_deref(), &passphrase(&args.key, person)?)?;
    let recorded = work.countersign(hangar, person, !args.disagree, &args.note, &key)?;
    out.line(&say!("countersigned, entry {}", recorded.entry));
    out.fact("session", sid);
    out.fact("entry", recorded.entry);
    tell_code(&work, recorded.entry, out);
    Ok(exit::DONE)
}

/// Prints the code of an entry, to be written on paper.
pub(super) fn tell_code(work: &Work, entry: u64, out: &mut Output) {
    if let Some(code) = work.view.code_of(entry) {
        out.line(&say!("paper code: {code}", code = code));
        out.line(say!("write it on the worksheet with time and initials; spanwise anchor checks it later"));
    }
}

/// From the file that was named, or typed unseen on the terminal.
///
/// # Errors
/// The file cannot be read, or there is neither file nor terminal.
pub(super) fn passphrase(from: &KeyFile, person: &Person) -> Result<String, Failure> {
    match &from.passphrase_file {
        Some(file) => first_line(file),
        None => typed(&format!("{} ", say!("passphrase of the key of {}:", person.name))),
    }
}

fn first_line(file: &Path) -> Result<String, Failure> {
    let source = read_text(file, &file.to_string_lossy()).map_err(|fault| Failure::failed(&fault))?;
    Ok(source.text.lines().next().unwrap_or_default().to_string())
}

fn typed(prompt: &str) -> Result<String, Failure> {
    if !has_terminal() {
        return Err(Failure::usage(say!(
            "a passphrase is needed and there is no terminal to type it on; name a file: --passphrase-file FILE"
        )));
    }
    rpassword::prompt_password(prompt).map_err(Failure::failed)
}

pub(super) fn key(hangar: &Hangar, command: &KeyCommand, out: &mut Output) -> Result<u8, Failure> {
    match command {
        KeyCommand::New { person, passphrase_file } => {
            let person = hangar.person(person)?;
            let phrase = match passphrase_file {
                Some(file) => first_line(file)?,
                None => twice(person)?,
            };
            let made = new_key(hangar, person, &phrase)?;
            out.line(&say!("{} has the key {}", person.name, made.id));
            if let Some(file) = made.file {
                out.line(&say!("encrypted in {}; keep a copy in another place", file.display()));
            }
            out.line(say!(
                "its public line stands in people.toml; nobody can recover a forgotten passphrase"
            ));
        }
        KeyCommand::Add { person, public } => {
            let person = hangar.person(person)?;
            let source =
                read_text(public, &public.to_string_lossy()).map_err(|fault| Failure::failed(&fault))?;
            let entered = add_key(hangar, person, &source.text)?;
            out.line(&say!("{} has the key {}; sign with --key FILE", person.name, entered.id));
        }
        KeyCommand::End { person, because } => {
            let person = hangar.person(person)?;
            let ended = end_keys(hangar, person, because)?;
            out.line(&say!(
                "{ended} keys of {} end today; earlier signatures stay good",
                person.name,
                ended = ended
            ));
        }
        KeyCommand::List { json } => list(hangar, *json, out),
        KeyCommand::Signers => out.text(&allowed_signers(&hangar.people)),
    }
    Ok(exit::DONE)
}

fn twice(person: &Person) -> Result<String, Failure> {
    let first = typed(&format!("{} ", say!("new passphrase for {}:", person.name)))?;
    if typed(&format!("{} ", say!("the same once more:")))? == first {
        return Ok(first);
    }
    Err(Failure::refused(say!("the two do not agree; nothing was made, try again")))
}

fn list(hangar: &Hangar, json: bool, out: &mut Output) {
    let mut rows = Vec::new();
    for person in &hangar.people.0 {
        for key in &person.keys {
            let id = key_id(&key.public).map_or_else(|fault| fault.to_string(), |id| id.to_string());
            let objection = key.objection_on(hangar.today());
            if json {
                rows.push(serde_json::json!({
                    "person": person.id, "name": person.name, "key": id, "public": key.public,
                    "valid_from": key.valid_from, "valid_until": key.valid_until, "ended_because": key.ended_because,
                    "valid_today": objection.is_none(),
                }));
            } else {
                let standing =
                    objection.unwrap_or_else(|| say!("valid since {}", crate::words::date(key.valid_from)));
                out.line(&format!("{:<20} {id}  {standing}", person.id));
            }
        }
    }
    if json {
        out.json(&rows);
    }
}

/// Writes the signed texts and signatures, and prints how OpenSSH checks each.
pub(super) fn seal_files(hangar: &Hangar, args: &SealFilesArgs, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session.session)?;
    let view = Viewing::open(hangar, &sid)?;
    let files = files_of(&view);
    for problem in &view.integrity {
        out.error(&say!(
            "the record is damaged: {problem}; signatures after that cannot be told",
            problem = problem
        ));
    }
    if files.is_empty() && !view.integrity.is_empty() {
        out.error(say!("whether anything is signed in this session cannot be told; nothing was written"));
        return Ok(exit::DAMAGED);
    }
    if files.is_empty() {
        return Err(Failure::refused(say!("nothing is signed in this session")));
    }
    if !is_free(&args.into) {
        return Err(Failure::refused(say!(
            "{} holds something already, and nothing is overwritten; name a new or empty folder",
            args.into.display()
        )));
    }
    let write = |name: &str, bytes: &[u8]| write_file(&args.into.join(name), bytes).map_err(Failure::failed);
    write("signers", allowed_signers(&hangar.people).as_bytes())?;
    out.line(&say!("in the folder {}:", args.into.display()));
    for SealFile { name, text, signature, person, namespace, time } in files {
        write(&format!("{name}.json"), &text)?;
        write(&format!("{name}.json.sig"), signature.as_bytes())?;
        out.line(&format!("ssh-keygen -Y verify -f signers -I {person} -n {namespace} -O verify-time={time} -s {name}.json.sig < {name}.json"));
    }
    out.line(say!("take the list of signers from whoever keeps the register, not from the one who signed"));
    Ok(if view.integrity.is_empty() { exit::DONE } else { exit::DAMAGED })
}
