//! `record` and `init`: airframe records and registers written from scripts, by the same table of keys as the forms.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use serde_json::{Value, json};

use super::output::{Failure, Output, exit};
use super::record_keys;
use crate::airframe::edit::{Change, Edit, parse_spoken};
use crate::airframe::fields::{AIRFRAME, AUTHORISATIONS, Field, List, PEOPLE};
use crate::airframe::sheet::{Entry, RecordFile, Sheet};
use crate::diagnostic::suggest;
use crate::hangar::records::{Made, Shown, create_airframe, edit, init as make_folder, shown};
use crate::hangar::{Hangar, HangarError};

const RECORD_HELP: &str =
    "WHERE is the registration of an airframe, or one of the words people and instruments.

Example:
  spanwise record new XX-VA7 --set type=varn-15 --set serial=0107 --set hours=10.5
  spanwise record add XX-VA7 report --set kind=tail-noise --set date=2026-09-06 --set text=\"it creaks\"
  spanwise record change XX-VA7 report r1 --set dealt_with=2026-11-25
  spanwise record change XX-VA7 --set hours=12 --unset owner
  spanwise record add people person --set id=ada-example --set name=\"Ada Example\" --set role=inspector
  spanwise record add people authorisation --of ada-example --set kind=annual-release --set number=1 \\
      --set certificate=\"invented\" --set types=\"*\" --set valid_until=2030-12-31
  spanwise record keys report                  the keys of a list, how each is written";

#[derive(Debug, Args)]
#[command(after_help = RECORD_HELP)]
pub struct RecordArgs {
    #[command(subcommand)]
    pub command: RecordCommand,
}

#[derive(Debug, Subcommand)]
pub enum RecordCommand {
    /// Write the record of an airframe that has none yet.
    New {
        registration: String,
        #[command(flatten)]
        keys: Keys,
    },
    /// Add an entry to a list of a record or register.
    Add {
        /// A registration, or: people, instruments.
        #[arg(value_name = "WHERE")]
        place: String,
        /// Such as report, defect, directive; record keys lists them.
        list: String,
        /// The person that an authorisation belongs to.
        #[arg(long, value_name = "PERSON")]
        of: Option<String>,
        #[command(flatten)]
        keys: Keys,
    },
    /// Change an entry; without a list, what stands above the lists of an airframe's record.
    Change {
        #[arg(value_name = "WHERE")]
        place: String,
        #[arg(requires = "entry")]
        list: Option<String>,
        /// Its id, else its first key, else its place in the list: 1, 2 …
        entry: Option<String>,
        #[arg(long, value_name = "PERSON")]
        of: Option<String>,
        #[command(flatten)]
        keys: Keys,
        /// Take a key out.
        #[arg(long, value_name = "KEY")]
        unset: Vec<String>,
    },
    /// Take an entry out of a list; what is history is better changed.
    Remove {
        #[arg(value_name = "WHERE")]
        place: String,
        list: String,
        entry: String,
        #[arg(long, value_name = "PERSON")]
        of: Option<String>,
        #[arg(long)]
        json: bool,
    },
    /// Tell the lists and their keys: how each is written, and what it is for.
    Keys {
        /// One list; "airframe" for what stands above the lists.
        list: Option<String>,
        #[arg(long)]
        json: bool,
    },
}

#[derive(Debug, Args)]
pub struct Keys {
    /// A key and its value; may be given many times.
    #[arg(long = "set", value_name = "KEY=VALUE")]
    pub set: Vec<String>,
    /// As JSON, what was written.
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct InitArgs {
    /// The folder; by default that of --hangar.
    pub folder: Option<PathBuf>,
    #[arg(long)]
    pub json: bool,
}

pub(super) fn record(hangar: &Hangar, args: &RecordArgs, out: &mut Output) -> Result<u8, Failure> {
    match &args.command {
        RecordCommand::New { registration, keys } => {
            let mut head = changes(AIRFRAME, &keys.set, &[])?;
            if !head.iter().any(|(key, _)| key == "registration") {
                head.insert(0, single(AIRFRAME, "registration", registration)?);
            }
            let made = create_airframe(hangar, &head)?;
            tell(&made, None, keys.json, say!("written"), out);
        }
        RecordCommand::Add { place, list, of, keys } => add(hangar, place, list, of.as_deref(), keys, out)?,
        RecordCommand::Change { place, list, entry, of, keys, unset } => {
            if keys.set.is_empty() && unset.is_empty() {
                return Err(Failure::usage(say!(
                    "nothing is to be changed; give --set KEY=VALUE or --unset KEY"
                )));
            }
            let target = match (list, entry) {
                (Some(list), Some(entry)) => Some((list.as_str(), entry.as_str())),
                _ => None,
            };
            change(hangar, place, target, of.as_deref(), keys, unset, out)?;
        }
        RecordCommand::Remove { place, list, entry, of, json } => {
            let file = file_of(place);
            let before = shown(hangar, &file)?;
            let list = list_of(&file, list)?;
            let found = entry_of(&before.sheet, list, entry, of.as_deref())?;
            let (spot, told) = (found.spot.clone(), entry_json(list, found));
            let gone = Edit::Remove { list: list.key.to_string(), at: spot.at, below: spot.below };
            let made = edit(hangar, &file, &[gone], Some(&before.hash))?;
            if *json {
                out.json(&json!({ "file": made.sheet.name, "removed": told }));
            } else {
                out.line(&say!("taken out of {}: {} {entry}", made.sheet.name, list.key, entry = entry));
            }
        }
        RecordCommand::Keys { list, json } => record_keys::keys(list.as_deref(), *json, out)?,
    }
    Ok(exit::DONE)
}

fn add(
    hangar: &Hangar,
    place: &str,
    list: &str,
    of: Option<&str>,
    keys: &Keys,
    out: &mut Output,
) -> Result<(), Failure> {
    let file = file_of(place);
    let before = shown(hangar, &file)?;
    let list = list_of(&file, list)?;
    let below = owner(&before.sheet, list, of)?;
    let mut set = keys.set.clone();
    let id = before.sheet.free_id(list);
    if !id.is_empty() && !set.iter().any(|pair| pair.starts_with("id=")) {
        set.insert(0, format!("id={id}"));
    }
    let added = Edit::Add {
        list: list.key.to_string(),
        below: below.clone(),
        changes: changes(list.fields, &set, &[])?,
    };
    let made = edit(hangar, &file, &[added], Some(&before.hash))?;
    let entry = made.sheet.entries_of(list.key).filter(|entry| entry.spot.below == below).last();
    tell(&made, entry.map(|entry| (list, entry)), keys.json, say!("added to"), out);
    Ok(())
}

fn change(
    hangar: &Hangar,
    place: &str,
    target: Option<(&str, &str)>,
    of: Option<&str>,
    keys: &Keys,
    unset: &[String],
    out: &mut Output,
) -> Result<(), Failure> {
    let file = file_of(place);
    let before = shown(hangar, &file)?;
    let Some((list, entry)) = target else {
        if file.head().is_empty() {
            return Err(Failure::usage(say!("a register has only lists; name the list and the entry")));
        }
        let head = Edit::Head(changes(file.head(), &keys.set, unset)?);
        let made = edit(hangar, &file, &[head], Some(&before.hash))?;
        tell(&made, None, keys.json, "changed", out);
        return Ok(());
    };
    let list = list_of(&file, list)?;
    let spot = entry_of(&before.sheet, list, entry, of)?.spot.clone();
    let altered = Edit::Alter {
        list: list.key.to_string(),
        at: spot.at,
        below: spot.below.clone(),
        changes: changes(list.fields, &keys.set, unset)?,
    };
    let made = edit(hangar, &file, &[altered], Some(&before.hash))?;
    let entry = made.sheet.entry(&spot);
    tell(&made, entry.map(|entry| (list, entry)), keys.json, say!("changed in"), out);
    Ok(())
}

fn file_of(place: &str) -> RecordFile {
    match place {
        "people" => RecordFile::People,
        "instruments" => RecordFile::Instruments,
        registration => RecordFile::Airframe(registration.to_string()),
    }
}

fn list_of(file: &RecordFile, word: &str) -> Result<&'static List, Failure> {
    let key = word.replace('-', "_");
    file.list(&key).ok_or_else(|| {
        let below = if *file == RecordFile::People { Some(AUTHORISATIONS.key) } else { None };
        let known = file.lists().iter().map(|list| list.key).chain(below);
        let hint = suggest(&key, known).unwrap_or_default();
        Failure::usage(&say!("{} has no list \"{word}\"; {hint}", file.words(), word = word, hint = hint))
    })
}

/// The entry that an authorisation belongs to.
fn owner(sheet: &Sheet, list: &List, of: Option<&str>) -> Result<Option<(String, usize)>, Failure> {
    match (list.key == AUTHORISATIONS.key, of) {
        (false, None) => Ok(None),
        (false, Some(_)) => {
            Err(Failure::usage(say!("--of names the person of an authorisation, nothing else")))
        }
        (true, None) => Err(Failure::usage(say!("an authorisation belongs to a person; add --of PERSON"))),
        (true, Some(person)) => {
            let found = entry_of(sheet, &PEOPLE, person, None)?;
            Ok(Some((PEOPLE.key.to_string(), found.spot.at)))
        }
    }
}

/// By id, else by the first key, else by its place from 1.
fn entry_of<'a>(sheet: &'a Sheet, list: &List, word: &str, of: Option<&str>) -> Result<&'a Entry, Failure> {
    let below = owner(sheet, list, of)?;
    let entries: Vec<&Entry> = sheet.entries_of(list.key).filter(|entry| entry.spot.below == below).collect();
    let named: Vec<&Entry> = entries.iter().copied().filter(|entry| entry.name() == word).collect();
    if let [one] = named[..] {
        return Ok(one);
    }
    let by_place = word.parse::<usize>().ok().and_then(|place| place.checked_sub(1));
    if let (true, Some(entry)) = (named.is_empty(), by_place.and_then(|place| entries.get(place))) {
        return Ok(entry);
    }
    let why = match named.len() {
        0 => say!("{} has no {} \"{word}\"", sheet.file.words(), list.key, word = word),
        many => say!(
            "{many} entries are called \"{word}\"; name one by its place: 1, 2 …",
            many = many,
            word = word
        ),
    };
    let names = entries.iter().map(|entry| entry.name());
    let hint = suggest(word, names).unwrap_or_else(|| say!("it has {} of them", entries.len()));
    Err(HangarError::not_found(why, hint).into())
}

/// Every fault of the typed keys is told at once.
fn changes(fields: &[Field], set: &[String], unset: &[String]) -> Result<Vec<Change>, Failure> {
    let (mut changes, mut wrong) = (Vec::new(), Vec::new());
    for pair in set {
        let made = match pair.split_once('=') {
            Some((key, value)) => one(fields, key.trim(), value),
            None => Err(say!("\"{pair}\" is no KEY=VALUE", pair = pair)),
        };
        match made {
            Ok(change) => changes.push(change),
            Err(why) => wrong.push(why),
        }
    }
    for key in unset {
        match known(fields, key) {
            Ok(_) => changes.push((key.clone(), None)),
            Err(why) => wrong.push(why),
        }
    }
    if wrong.is_empty() { Ok(changes) } else { Err(Failure::refused(wrong.join("\n"))) }
}

fn single(fields: &[Field], key: &str, value: &str) -> Result<Change, Failure> {
    one(fields, key, value).map_err(Failure::refused)
}

fn one(fields: &[Field], key: &str, value: &str) -> Result<Change, String> {
    let field = known(fields, key)?;
    let written = parse_spoken(field, value).map_err(|fault| fault.to_string())?;
    Ok((field.key.to_string(), written))
}

fn known<'a>(fields: &'a [Field], key: &str) -> Result<&'a Field, String> {
    fields.iter().find(|field| field.key == key).ok_or_else(|| {
        let hint = suggest(key, fields.iter().map(|field| field.key)).unwrap_or_default();
        say!("there is no key \"{key}\" here; {hint}", key = key, hint = hint)
    })
}

fn tell(made: &Shown, entry: Option<(&List, &Entry)>, json: bool, done: &str, out: &mut Output) {
    if json {
        let told = match entry {
            Some((list, entry)) => entry_json(list, entry),
            None => keys_json(made.sheet.file.head(), &made.sheet.head),
        };
        out.json(&json!({
            "file": made.sheet.name,
            "list": entry.map(|(list, _)| list.key),
            "written": told,
        }));
        return;
    }
    let what = entry.map_or(String::new(), |(list, entry)| format!(": {} {}", list.key, entry.name()));
    out.line(&format!("{done} {}{what}", made.sheet.name));
}

fn entry_json(list: &List, entry: &Entry) -> Value {
    keys_json(list.fields, &entry.values)
}

/// As typed: figures stay as they were decided.
fn keys_json(fields: &[Field], values: &[String]) -> Value {
    let given = fields.iter().zip(values).filter(|(_, value)| !value.is_empty());
    Value::Object(given.map(|(field, value)| (field.key.to_string(), json!(value))).collect())
}

pub(super) fn init(hangar: &Hangar, args: &InitArgs, out: &mut Output) -> Result<u8, Failure> {
    let made = match &args.folder {
        Some(folder) => make_folder(&Hangar::load(folder))?,
        None => make_folder(hangar)?,
    };
    if args.json {
        let told = made.iter().map(|made: &Made| json!({ "path": made.path, "new": made.is_new }));
        out.json(&told.collect::<Vec<_>>());
        return Ok(exit::DONE);
    }
    for Made { path, is_new } in &made {
        out.line(&format!("{}  {}", if *is_new { say!("made") } else { say!("there") }, path.display()));
    }
    let root = args.folder.as_deref().unwrap_or(&hangar.root);
    out.text(&next(&format!("spanwise --hangar {}", in_shell(&root.to_string_lossy()))));
    Ok(exit::DONE)
}

/// As a shell takes it for one word.
fn in_shell(word: &str) -> String {
    let plain = |letter: char| letter.is_alphanumeric() || "/._-+".contains(letter);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_string();
    }
    format!("'{}'", word.replace('\'', "'\\''"))
}

/// What comes next. Each command names the folder: without it another hangar would be written to.
fn next(spanwise: &str) -> String {
    format!(
        "\n{}\n",
        say!(
            "Next, on the screens (r: registers, n: new airframe):\n  {spanwise}\nor as commands:\n  1. a person:        {spanwise} record add people person --set id=… --set name=… --set role=inspector\n  2. what they sign:  {spanwise} record add people authorisation --of <person> --set kind=annual-release …\n  3. their key:       {spanwise} key new <person>\n  4. an airframe:     {spanwise} record new <registration> --set type=… --set serial=… --set hours=…\n  5. its reports:     {spanwise} record add <registration> report --set kind=… --set date=… --set text=…\n  6. the annual:      {spanwise} begin <registration> --by <person>\nor by hand in an editor: people.toml and instruments.toml, with an example in each, and\nairframes/<registration>.toml; then: spanwise check {folder}\nThe keys of each, and how they are written in a file: spanwise record keys",
            spanwise = spanwise,
            folder = spanwise.trim_start_matches("spanwise --hangar ")
        )
    )
}
