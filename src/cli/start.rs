//! The beginning and the end of a call: arguments read, settings chosen, the log begun; the exit code told.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::parser::ValueSource;
use clap::{ArgMatches, FromArgMatches, ValueEnum};

use super::args::{Cli, Command};
use super::config::{Loaded, load};
use super::output::{Output, exit};
use super::report::PaperWord;
use super::{help, language, usage};
use crate::hangar::Hangar;
use crate::screen::Wanted;
use crate::screen::theme::{self, Theme};
use crate::settings::{
    ASCII, BIG_TARGETS, COLOUR, HANGAR, Key, LANGUAGE, LOG_LEVEL, Origin, PAPER, PEOPLE, PERSON, THEME,
};
use crate::store::Hangar as Folder;
use crate::store::folders::{log_file, with_home};
use crate::store::log::{self, Level};
use crate::words::Language;

/// Reads the command line and fills in what it leaves to the settings. clap prints its own messages and leaves with code 2.
pub(super) fn start() -> (Cli, Output) {
    language::choose();
    let matches = help::command().try_get_matches().unwrap_or_else(|error| usage::leave(&error));
    let mut cli = Cli::from_arg_matches(&matches).unwrap_or_else(|error| usage::leave(&error));
    let (path, leaf) = leaf(&matches);
    let is_report = help::reports(&path) && leaf.get_flag("json");
    let mut out = if is_report { Output::reporting() } else { Output::terminal() };
    let mut loaded = load(|key| argument(key, &matches, leaf));
    if opens_screens(&cli) {
        // The screens say it where it is seen.
        loaded.leave_out(theme::VARIABLE);
    }
    if takes_settings(&cli) {
        tell_faults(&loaded, &mut out);
    }
    cli.settings = loaded.settings;
    cli.path = path;
    begin_log(&cli);
    fill(&mut cli, &mut out);
    (cli, out)
}

/// Ends a report, keeps the code in the log, and hands it to the system.
pub(super) fn finish(cli: &Cli, code: u8, out: &mut Output) -> ExitCode {
    out.finish(code);
    let level = if matches!(code, exit::FAILED | exit::DAMAGED) { Level::Error } else { Level::Debug };
    // Neither arguments nor the message: both repeat what was typed.
    log::tell(level, || match cli.path.as_str() {
        "" => format!("the screens ended, exit code {code}"),
        path => format!("{path}: exit code {code}"),
    });
    ExitCode::from(code)
}

/// The words of the command that was given, and its own arguments.
fn leaf(matches: &ArgMatches) -> (String, &ArgMatches) {
    let (mut words, mut leaf) = (Vec::new(), matches);
    while let Some((word, below)) = leaf.subcommand() {
        words.push(word);
        leaf = below;
    }
    (words.join(" "), leaf)
}

/// What the command line itself says of a key; a variable that clap read is none.
fn argument(key: &Key, matches: &ArgMatches, leaf: &ArgMatches) -> Option<String> {
    let given = |matches: &ArgMatches, id: &str| {
        matches.try_contains_id(id).unwrap_or(false)
            && matches.value_source(id) == Some(ValueSource::CommandLine)
    };
    let text = |of: Option<&PathBuf>| of.map(|path| path.to_string_lossy().into_owned());
    match key.key {
        HANGAR if given(matches, "hangar") => text(matches.get_one::<PathBuf>("hangar")),
        LANGUAGE if given(matches, "language") => {
            matches.get_one::<Language>("language").map(|language| language.tag().to_string())
        }
        PERSON if given(matches, "by") => matches.get_one::<String>("by").cloned(),
        PEOPLE if matches.subcommand_name() == Some("order") && given(leaf, "people") => {
            leaf.get_one::<u32>("people").map(ToString::to_string)
        }
        _ => None,
    }
}

/// Commands that tell the faults themselves, or need no settings at all, are not the place to repeat them.
fn takes_settings(cli: &Cli) -> bool {
    !matches!(cli.command, Some(Command::Config(_) | Command::Completions(_) | Command::Man(_)))
}

fn opens_screens(cli: &Cli) -> bool {
    match &cli.command {
        None | Some(Command::Work(_)) => super::has_terminal(),
        Some(Command::Demo(args)) => !args.walkthrough && super::has_terminal(),
        Some(_) => false,
    }
}

/// A faulty config file keeps nobody from working.
fn tell_faults(loaded: &Loaded, out: &mut Output) {
    if loaded.is_sound() {
        return;
    }
    out.error(&loaded.told());
    out.error(say!("what is at fault counts as not set; spanwise config tells what holds\n"));
    log::tell(Level::Error, || "the config file has faults".to_string());
}

fn begin_log(cli: &Cli) {
    let wanted = cli.settings.value(LOG_LEVEL).and_then(Level::of_word);
    // An invented annual of a hundred entries is nothing that the program did for somebody.
    let level = wanted
        .map(|wanted| if matches!(cli.command, Some(Command::Demo(_))) { Level::Error } else { wanted });
    if let (Some(level), Some(path)) = (level, log_file()) {
        log::start(path, level);
    }
}

/// Puts settings where the commands look for arguments.
fn fill(cli: &mut Cli, out: &mut Output) {
    if cli.hangar.is_none() {
        cli.hangar = cli.settings.value(HANGAR).map(with_home);
    }
    if cli.by.is_none() && takes_settings(cli) {
        cli.by = usual_person(cli, out);
    }
    let people = cli.settings.whole(PEOPLE);
    let ascii = cli.settings.flag(ASCII);
    let paper = cli.settings.value(PAPER).and_then(|word| PaperWord::from_str(word, true).ok());
    match &mut cli.command {
        Some(Command::Report(args)) => args.hand_out.paper = args.hand_out.paper.or(paper),
        Some(Command::Worksheet(args)) => args.paper = args.paper.or(paper),
        Some(Command::Order(args)) => args.people = args.people.or(people),
        Some(Command::Defects(args)) => args.ascii |= ascii,
        _ => {}
    }
}

/// The config file's person, where this hangar knows them: another hangar is opened without, and that is told.
fn usual_person(cli: &Cli, out: &mut Output) -> Option<String> {
    let setting = cli.settings.all().iter().find(|setting| setting.key.key == PERSON)?;
    let Origin::Config(line) = setting.origin else { return None };
    let person = setting.value.clone()?;
    if !asks_for_people(cli.command.as_ref()) {
        return None;
    }
    let folder = Folder::locate(cli.hangar.as_deref()).ok()?;
    if Hangar::people_of(&folder).find(&person).is_some() {
        return Some(person);
    }
    out.error(&say!("config file, line {line}: nobody called \"{person}\" is in the register of {}; name who works with --by", folder.root().display(), line = line, person = person));
    None
}

/// Commands in which somebody works; the others would only tell of a register that they never asked for.
fn asks_for_people(command: Option<&Command>) -> bool {
    !matches!(
        command,
        Some(
            Command::Demo(_)
                | Command::Check(_)
                | Command::Compute(_)
                | Command::Schema(_)
                | Command::Translate(_)
                | Command::Refusals(_)
                | Command::Log(_)
                | Command::Init(_)
                | Command::List(_)
                | Command::People(_)
                | Command::Instruments(_)
        )
    )
}

/// How the screens are to look: by argument, else as it is set; what is set nowhere is as it was left last.
pub(super) fn wanted(cli: &Cli) -> Wanted {
    let settings = &cli.settings;
    let named = settings.value(THEME).filter(|_| settings.is_set(THEME)).and_then(Theme::named);
    let asked = cli.look.wanted();
    Wanted {
        theme: asked.theme.or(named),
        big: asked.big || settings.flag(BIG_TARGETS),
        is_plain: settings.value(COLOUR) == Some("never"),
        ascii: settings.is_set(ASCII).then(|| settings.flag(ASCII)),
        ..asked
    }
}
