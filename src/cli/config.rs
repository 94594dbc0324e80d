//! `config`: the settings of this account, where each comes from, and the file that holds them.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use serde_json::json;

use super::args::Cli;
use super::output::{Failure, Output, exit};
use crate::airframe::edit::{Edit, Written, edited};
use crate::diagnostic::{Diagnostic, Source, render, suggest};
use crate::settings::{
    FileSettings, Form, KEYS, Key, Setting, Settings, checked, key_of, read_settings, template,
};
use crate::store::RealDisk;
use crate::store::folders::{config_file, variable};
use crate::store::replace::{create, replace};
use crate::store::texts::read_text;

#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true)]
pub struct ConfigArgs {
    #[command(subcommand)]
    pub command: Option<ConfigCommand>,
    /// Only where the file lies, whether or not it is there.
    #[arg(long)]
    pub path: bool,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Subcommand)]
pub enum ConfigCommand {
    /// Write a config file in which every key is explained and none is set.
    Init {
        #[arg(long)]
        json: bool,
    },
    /// Set a key; remarks and the rest of the file stay.
    Set {
        key: String,
        #[arg(allow_hyphen_values = true)]
        value: String,
        #[arg(long)]
        json: bool,
    },
    /// Take a key out of the file.
    Unset {
        key: String,
        #[arg(long)]
        json: bool,
    },
}

/// The settings that hold, and what stands against the places that they come from.
#[derive(Debug)]
pub(super) struct Loaded {
    pub settings: Settings,
    faults: Vec<Diagnostic>,
    troubles: Vec<String>,
}

impl Loaded {
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty() && self.troubles.is_empty()
    }

    /// What a variable gives is looked at elsewhere, too: its trouble is told there.
    pub fn leave_out(&mut self, variable: &str) {
        let named = format!(" {variable}:");
        self.troubles.retain(|trouble| !trouble.contains(&named));
    }

    /// Every fault in words.
    pub fn told(&self) -> String {
        let file = (!self.faults.is_empty()).then(|| render(&self.faults, false));
        file.into_iter().chain(self.troubles.iter().cloned()).collect::<Vec<_>>().join("\n")
    }
}

/// Reads the config file and the environment; `argument` says what the command line gives.
pub(super) fn load(argument: impl Fn(&Key) -> Option<String>) -> Loaded {
    let (file, faults) = match config_file().filter(|path| path.exists()) {
        None => (FileSettings::default(), Vec::new()),
        Some(path) => match read_text(&path, &path.to_string_lossy()) {
            Ok(source) => read_settings(&source),
            Err(fault) => (FileSettings::default(), vec![fault]),
        },
    };
    let (settings, troubles) = Settings::choose(argument, variable, &file);
    Loaded { settings, faults, troubles }
}

pub(super) fn config(cli: &Cli, args: &ConfigArgs, out: &mut Output) -> Result<u8, Failure> {
    let path = config_file().ok_or_else(|| {
        Failure::failed(say!(
            "this account has no home folder, so there is no place for a config file; use the environment"
        ))
    })?;
    match &args.command {
        None if args.path && args.json => out.json(&json!({ "path": path, "exists": path.exists() })),
        None if args.path => out.line(&path.display().to_string()),
        None => return Ok(show(cli, &path, args.json, out)),
        Some(ConfigCommand::Init { json }) => init(&path, *json, out)?,
        Some(ConfigCommand::Set { key, value, json }) => change(&path, key, Some(value), *json, out)?,
        Some(ConfigCommand::Unset { key, json }) => change(&path, key, None, *json, out)?,
    }
    Ok(exit::DONE)
}

fn show(cli: &Cli, path: &Path, json: bool, out: &mut Output) -> u8 {
    let loaded = load(|_| None);
    let settings = cli.settings.all();
    if json {
        let rows = settings.iter().map(|setting| {
            json!({
                "key": setting.key.key, "value": setting.value, "from": setting.origin_words(),
                "default": setting.key.default, "about": setting.key.about,
            })
        });
        out.json(&json!({
            "path": path, "exists": path.exists(), "settings": rows.collect::<Vec<_>>(),
            "faults": loaded.faults.iter().map(ToString::to_string).chain(loaded.troubles.clone()).collect::<Vec<_>>(),
        }));
    } else {
        let is_there = if path.exists() { "" } else { say!(" (not there; spanwise config init writes one)") };
        out.line(&format!("{}{is_there}\n", path.display()));
        settings.iter().for_each(|setting| out.line(&row(setting)));
    }
    if loaded.is_sound() {
        return exit::DONE;
    }
    out.error(&loaded.told());
    exit::FAILED
}

fn row(setting: &Setting) -> String {
    let value = setting.value.as_deref().unwrap_or("-");
    format!("{:<12} {value:<28} {}", setting.key.key, setting.origin_words())
}

fn init(path: &Path, json: bool, out: &mut Output) -> Result<(), Failure> {
    if path.exists() {
        return Err(Failure::refused(say!(
            "{} is there already, and nothing is overwritten; change it with: spanwise config set KEY VALUE",
            path.display()
        )));
    }
    create(&RealDisk, path, template().as_bytes()).map_err(Failure::failed)?;
    if json {
        out.json(&json!({ "path": path, "exists": true }));
    } else {
        out.line(&say!("written: {}; every key is explained in it, none is set", path.display()));
    }
    Ok(())
}

/// Sets a key, or takes it out; the new text is read before it is written.
fn change(
    path: &PathBuf,
    name: &str,
    value: Option<&str>,
    json: bool,
    out: &mut Output,
) -> Result<(), Failure> {
    let key = key_of(name).ok_or_else(|| {
        let known = KEYS.iter().map(|key| key.key);
        let hint = suggest(name, known.clone())
            .unwrap_or_else(|| say!("known: {}", known.collect::<Vec<_>>().join(", ")));
        Failure::usage(&say!("there is no key \"{name}\"; {hint}", name = name, hint = hint))
    })?;
    let written = value.map(|value| written(key, value)).transpose().map_err(Failure::refused)?;
    let before = match path.exists() {
        true => read_text(path, &path.to_string_lossy()).map_err(Failure::failed)?.text.clone(),
        false => String::new(),
    };
    let edit = Edit::Head(vec![(key.key.to_string(), written)]);
    let text = edited(&before, &[edit]).map_err(|fault| {
        let (_, faults) = read_settings(&Source::new(path.to_string_lossy(), before.as_str()));
        Failure::failed(if faults.is_empty() { fault.to_string() } else { render(&faults, false) })
    })?;
    if text != before {
        replace(&RealDisk, path, text.as_bytes()).map_err(Failure::failed)?;
    }
    let (read, faults) = read_settings(&Source::new(path.to_string_lossy(), text));
    let now = read.value(key.key).map(|(value, _)| value);
    if json {
        out.json(&json!({ "path": path, "key": key.key, "value": now }));
    } else {
        let told = now.map_or_else(|| say!("{} is not set", key.key), |now| format!("{} = {now}", key.key));
        out.line(&say!("{told} in {}", path.display(), told = told));
    }
    if !faults.is_empty() {
        out.error(&render(&faults, false));
    }
    Ok(())
}

fn written(key: &Key, value: &str) -> Result<Written, String> {
    let value = checked(key, value)?;
    Ok(match key.form {
        Form::Flag => Written::Flag(value == "yes"),
        Form::Whole => {
            Written::Whole(value.parse().map_err(|_| say!("\"{value}\" is too large", value = value))?)
        }
        Form::Text | Form::Folder | Form::Choice(_) => Written::Text(value),
    })
}
