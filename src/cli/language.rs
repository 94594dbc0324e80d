//! Which language is spoken, settled before anything is said; and the help in that language.

use clap::Command;
use clap::builder::StyledStr;

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

/// The help with every text in the language that is spoken.
pub(super) fn translated(command: Command) -> Command {
    if current() == Language::English {
        return command;
    }
    let names: Vec<String> = command.get_subcommands().map(|sub| sub.get_name().to_string()).collect();
    let command = names.into_iter().fold(command, |command, name| command.mut_subcommand(&name, translated));
    let mut command = command.mut_args(|argument| {
        let (help, long) = (argument.get_help().map(plain), argument.get_long_help().map(plain));
        let argument = if let Some(help) = help { argument.help(said(&help).to_string()) } else { argument };
        if let Some(long) = long { argument.long_help(said(&long).to_string()) } else { argument }
    });
    let [about, long] = [command.get_about(), command.get_long_about()].map(|text| text.map(plain));
    if let Some(about) = about {
        command = command.about(said(&about).to_string());
    }
    if let Some(long) = long {
        command = command.long_about(said(&long).to_string());
    }
    command
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
