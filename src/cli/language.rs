//! Which language is spoken, settled before anything is said; and the help in that language.

use clap::builder::StyledStr;
use clap::{Arg, Command};

use super::config::load;
use crate::settings::{Key, LANGUAGE};
use crate::store::folders::variable;
use crate::words::{Language, current, of_locale, said, speak};

/// What POSIX has for messages, the strongest first.
const LOCALE: [&str; 3] = ["LC_ALL", "LC_MESSAGES", "LANG"];

/// Chooses by argument, else by variable, else by config file, else by the account's locale. The arguments are looked at before
/// they are parsed: their own help and faults are told in the language that they ask for.
pub(super) fn choose() {
    let typed = typed(std::env::args_os().map(|argument| argument.to_string_lossy().into_owned()));
    let loaded = load(|key: &Key| typed.clone().filter(|_| key.key == LANGUAGE));
    let wanted = loaded.settings.value(LANGUAGE).and_then(Language::named);
    speak(wanted.or_else(of_account).unwrap_or(Language::English));
}

fn of_account() -> Option<Language> {
    let name = LOCALE.iter().find_map(|name| variable(name).filter(|text| !text.is_empty()))?;
    of_locale(&name)
}

/// The value of `--language`, where it is a language; anything else is refused when the arguments are parsed.
fn typed(arguments: impl Iterator<Item = String>) -> Option<String> {
    let mut arguments = arguments.take_while(|argument| argument != "--");
    let mut found = None;
    while let Some(argument) = arguments.next() {
        if argument == "--language" {
            found = arguments.next();
        } else if let Some(value) = argument.strip_prefix("--language=") {
            found = Some(value.to_string());
        }
    }
    found.filter(|word| Language::named(word).is_some())
}

/// The help with every text in the language that is spoken, clap's own words among them.
pub(super) fn translated(mut command: Command) -> Command {
    if current() == Language::English {
        return command;
    }
    // Only then clap's own arguments and its command `help` are there to be translated.
    command.build();
    spoken(command)
}

fn spoken(command: Command) -> Command {
    let names: Vec<String> = command.get_subcommands().map(|sub| sub.get_name().to_string()).collect();
    let command = names.into_iter().fold(command, |command, name| command.mut_subcommand(&name, spoken));
    let mut command = command.mut_args(spoken_argument).subcommand_help_heading(say!("Commands"));
    let [about, long] = [command.get_about(), command.get_long_about()].map(|text| text.map(plain));
    if let Some(about) = about {
        command = command.about(said(&about).to_string());
    }
    if let Some(long) = long {
        command = command.long_about(said(&long).to_string());
    }
    let style = *command.get_styles().get_usage();
    command.help_template(format!(
        "{{before-help}}{{about-with-newline}}\n{style}{}{style:#} {{usage}}\n\n{{all-args}}{{after-help}}",
        say!("Usage:")
    ))
}

/// What clap would add in English behind the help of an argument stands in the help itself.
fn spoken_argument(argument: Arg) -> Arg {
    let (help, long) = (argument.get_help().map(plain), argument.get_long_help().map(plain));
    let notes = notes(&argument);
    let values = described_values(&argument);
    let short_notes = notes.iter().cloned().chain((!values.is_empty()).then(|| possible(&argument)));
    let short = help.iter().map(|help| said(help).to_string()).chain(short_notes);
    let short = short.collect::<Vec<_>>().join(" ");
    let long = (long.is_some() || !values.is_empty()).then(|| {
        let text = long.or(help).map(|text| said(&text).to_string());
        let notes = (!notes.is_empty()).then(|| notes.join("\n"));
        let values = (!values.is_empty()).then_some(values);
        [text, values, notes].into_iter().flatten().collect::<Vec<_>>().join("\n\n")
    });
    let is_positional = argument.is_positional();
    let heading = if is_positional { say!("Arguments") } else { say!("Options") };
    let place = argument.get_index().filter(|_| is_positional);
    let argument = argument.hide_env(true).hide_default_value(true).hide_possible_values(true);
    let argument = argument.help_heading(heading);
    let argument = if short.is_empty() { argument } else { argument.help(short) };
    // Under a heading of its own clap sorts by the alphabet what has no place.
    let argument = if let Some(place) = place { argument.display_order(place) } else { argument };
    if let Some(long) = long { argument.long_help(long) } else { argument }
}

/// Variable, default and possible values, as clap shows them.
fn notes(argument: &Arg) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(name) = argument.get_env().map(|name| name.to_string_lossy().into_owned()) {
        let value = variable(&name).unwrap_or_default();
        notes.push(say!("[env: {name}={value}]", name = name, value = value));
    }
    if !argument.get_action().takes_values() {
        return notes;
    }
    let defaults: Vec<String> =
        argument.get_default_values().iter().map(|value| value.to_string_lossy().into_owned()).collect();
    if defaults.iter().any(|value| !value.is_empty()) {
        notes.push(say!("[default: {}]", defaults.join(" ")));
    }
    if !argument.get_possible_values().is_empty() && described_values(argument).is_empty() {
        notes.push(possible(argument));
    }
    notes
}

fn possible(argument: &Arg) -> String {
    let values = argument.get_possible_values();
    let names: Vec<&str> =
        values.iter().filter(|value| !value.is_hide_set()).map(|value| value.get_name()).collect();
    say!("[possible values: {}]", names.join(", "))
}

/// The possible values with what each means, a line each; empty where no value tells what it means.
fn described_values(argument: &Arg) -> String {
    let values = argument.get_possible_values();
    if values.iter().all(|value| value.get_help().is_none()) {
        return String::new();
    }
    let lines = values.iter().map(|value| match value.get_help().map(plain) {
        Some(help) => format!("\n- {}: {}", value.get_name(), said(&help)),
        None => format!("\n- {}", value.get_name()),
    });
    std::iter::once(say!("Possible values:").to_string()).chain(lines).collect()
}

fn plain(text: &StyledStr) -> String {
    text.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_language_is_found_among_the_arguments() {
        let typed = |words: &[&str]| typed(words.iter().map(ToString::to_string));
        assert_eq!(typed(&["spanwise", "--language", "de", "due"]).as_deref(), Some("de"));
        assert_eq!(typed(&["spanwise", "due", "--language=en"]).as_deref(), Some("en"));
        assert_eq!(typed(&["spanwise", "--", "--language", "de"]), None);
        assert_eq!(typed(&["spanwise", "--language", "xx"]), None);
        assert_eq!(typed(&["spanwise", "--language"]), None);
    }
}
