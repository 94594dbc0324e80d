//! Help that shows how: examples and exit codes of every command, added to what the arguments say of themselves. The man
//! pages and the completions are made from the same command.

use clap::{Arg, ArgAction, Command, CommandFactory};

use super::args::Cli;
use super::help_table::{PAGES, Page};
use super::language;
use crate::words::said;

/// What stands before the exit codes in every help, and before the examples.
pub(super) const CODES: &str = "Exit codes:";
pub(super) const EXAMPLES: &str = "Examples:";

/// The command line with all help, as it is parsed, shown and written into man pages.
pub(super) fn command() -> Command {
    language::translated(dress(Cli::command(), ""))
}

/// The page of a command, by its words: "key new".
pub(super) fn page(path: &str) -> Option<&'static Page> {
    PAGES.iter().find(|page| page.path == path)
}

/// Whether this command's result is told as JSON in the common form; see [`super::output::Output::reporting`].
pub(super) fn reports(path: &str) -> bool {
    page(path).is_some_and(|page| page.reports)
}

fn dress(command: Command, path: &str) -> Command {
    let names: Vec<String> = command.get_subcommands().map(|sub| sub.get_name().to_string()).collect();
    let mut command = names.into_iter().fold(command, |command, name| {
        let below = format!("{path} {name}").trim().to_string();
        command.mut_subcommand(&name, |sub| dress(sub, &below))
    });
    if reports(path) {
        command = command.arg(json_argument());
    }
    let own = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    match added(&own, page(path)) {
        Some(text) => command.after_help(text),
        None if own.is_empty() => command,
        None => command.after_help(said(&own).to_string()),
    }
}

fn json_argument() -> Arg {
    Arg::new("json").long("json").action(ArgAction::SetTrue).help("As JSON, for other programs")
}

/// A command's own words with what they lack, parted by an empty line.
fn added(own: &str, page: Option<&Page>) -> Option<String> {
    let page = page?;
    let mut parts: Vec<String> = Vec::new();
    if !own.is_empty() {
        parts.push(said(own).lines().map(narrowed).collect::<Vec<_>>().join("\n"));
    }
    if !own.contains("Exit codes") {
        parts.push(format!("{} {}", said(CODES), said(page.codes)));
    }
    if !page.examples.is_empty() {
        let lines: Vec<String> = page.examples.iter().map(|line| format!("  {}", folded(line))).collect();
        parts.push(format!("{}\n{}", said(EXAMPLES), lines.join("\n")));
    }
    Some(parts.join("\n\n"))
}

/// A line of a command's own help; an example that is too long for it is folded.
fn narrowed(line: &str) -> String {
    match line.strip_prefix("  spanwise ") {
        Some(_) if line.chars().count() > WIDTH => format!("  {}", folded(line.trim())),
        _ => line.to_string(),
    }
}

/// Characters of a line of help, less its margin.
const WIDTH: usize = 92;

/// A long example goes on in the next line as a shell reads it, broken before an option; clap would break it anywhere.
fn folded(example: &str) -> String {
    let (mut text, mut length) = (String::new(), 0);
    for (at, part) in example.split(" --").enumerate() {
        let part = if at == 0 { part.to_string() } else { format!("--{part}") };
        if at > 0 && length + part.len() + 3 > WIDTH {
            text.push_str(" \\\n      ");
            length = 4;
        } else if at > 0 {
            text.push(' ');
        }
        length += part.len() + 1;
        text.push_str(&part);
    }
    text
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::words::{Language, read_translations, with_language};

    fn walk(command: &Command, path: &str, see: &mut dyn FnMut(&Command, &str)) {
        see(command, path);
        for sub in command.get_subcommands().filter(|sub| sub.get_name() != "help") {
            walk(sub, format!("{path} {}", sub.get_name()).trim(), see);
        }
    }

    #[test]
    fn every_command_has_a_page_with_exit_codes_and_an_example() {
        let mut paths = Vec::new();
        walk(&command(), "", &mut |command, path| {
            paths.push(path.to_string());
            let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
            assert!(help.contains("Exit codes"), "\"{path}\" does not tell its exit codes: {help}");
            let shows = help.lines().any(|line| line.trim_start().starts_with("spanwise"));
            assert!(shows, "\"{path}\" shows no example: {help}");
        });
        for page in PAGES {
            assert!(paths.iter().any(|path| path == page.path), "there is no command \"{}\"", page.path);
        }
    }

    /// Every text of the help, as it stands in the code: what `help.po` has to translate.
    fn texts() -> BTreeSet<String> {
        let mut texts = BTreeSet::from([CODES.to_string(), EXAMPLES.to_string()]);
        texts.extend(PAGES.iter().map(|page| page.codes.to_string()));
        walk_all(&Cli::command(), &mut |command| texts.extend(told(command.get_after_help())));
        let mut whole = dress(Cli::command(), "");
        whole.build();
        walk_all(&whole, &mut |command| {
            texts.extend(told(command.get_about()).into_iter().chain(told(command.get_long_about())));
            for argument in command.get_arguments() {
                texts.extend(told(argument.get_help()).into_iter().chain(told(argument.get_long_help())));
                for value in argument.get_possible_values() {
                    texts.extend(told(value.get_help()));
                }
            }
        });
        texts.remove("");
        texts
    }

    fn told(text: Option<&clap::builder::StyledStr>) -> Option<String> {
        text.map(ToString::to_string)
    }

    fn walk_all(command: &Command, see: &mut dyn FnMut(&Command)) {
        see(command);
        command.get_subcommands().for_each(|sub| walk_all(sub, see));
    }

    #[test]
    fn every_text_of_the_help_has_its_german_and_every_german_text_its_place_in_the_help() {
        let german = read_translations(include_str!("../words/de/help.po")).expect("a catalogue");
        let known: BTreeSet<String> = german.iter().map(|known| known.text.clone()).collect();
        let texts = texts();
        let missing: Vec<&String> = texts.difference(&known).collect();
        assert!(missing.is_empty(), "{} texts without German: {missing:#?}", missing.len());
        let stale: Vec<&String> = known.difference(&texts).collect();
        assert!(stale.is_empty(), "{} German texts that nothing uses: {stale:#?}", stale.len());
        let empty: Vec<&str> =
            german.iter().filter(|known| known.forms.is_empty()).map(|known| known.text.as_str()).collect();
        assert!(empty.is_empty(), "not translated: {empty:#?}");
    }

    /// `cargo test --lib untranslated_help -- --ignored --nocapture` prints what is to be added to `help.po`.
    #[test]
    #[ignore = "prints a piece of a catalogue for whoever translates"]
    fn untranslated_help() {
        let german = read_translations(include_str!("../words/de/help.po")).expect("a catalogue");
        for text in texts().iter().filter(|text| german.iter().all(|known| known.text != **text)) {
            println!("#. the help\nmsgid {}\nmsgstr \"\"\n", serde_json::json!(text));
        }
    }

    /// Whatever the catalogue does not reach shows its English letters in the proof language.
    #[test]
    fn no_word_of_any_help_stays_outside_the_catalogue() {
        let mut names = BTreeSet::from(["help".to_string()]);
        walk_all(&Cli::command(), &mut |command| {
            names.insert(command.get_name().to_string());
            for argument in command.get_arguments() {
                names.extend(argument.get_long().map(ToString::to_string));
                names.extend(argument.get_possible_values().iter().map(|value| value.get_name().to_string()));
                let defaults = argument.get_default_values().iter();
                names.extend(defaults.map(|value| value.to_string_lossy().into_owned()));
                let value_names = argument.get_value_names().into_iter().flatten();
                names.extend(
                    value_names.flat_map(|name| name.split('.').map(str::to_string).collect::<Vec<_>>()),
                );
            }
        });
        let mut left = BTreeSet::new();
        with_language(Language::Proof, || {
            let mut count = 0;
            walk_all(&command(), &mut |command| {
                count += 1;
                let help = command.clone().render_long_help().to_string();
                left.extend(english_words(&help).filter(|word| !names.contains(*word)).map(str::to_string));
            });
            assert!(count > 80, "only {count} commands were looked at");
        });
        assert!(left.is_empty(), "not from the catalogue: {left:?}");
    }

    /// Words of small letters, but for lines that are typed as they stand.
    fn english_words(help: &str) -> impl Iterator<Item = &str> {
        let typed = |line: &&str| {
            let line = line.trim_start();
            line.starts_with("spanwise ") || line.starts_with("--") && line.contains(' ')
        };
        let lines = help.lines().filter(move |line| !typed(line));
        let words = lines.flat_map(|line| line.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '_'));
        words
            .map(|word| word.trim_matches('-'))
            .filter(|word| word.len() > 3 && word.chars().all(|c| c.is_ascii_lowercase() || c == '-'))
    }

    #[test]
    fn the_german_help_is_german_and_keeps_what_is_typed() {
        with_language(Language::German, || {
            let mut whole = command();
            let top = whole.render_long_help().to_string();
            for words in ["Aufruf: spanwise", "Befehle:", "Optionen:", "Rückgabewerte:", "spanwise demo"] {
                assert!(top.contains(words), "\"{words}\" is missing: {top}");
            }
            let raise =
                whole.find_subcommand_mut("defect").and_then(|defect| defect.find_subcommand_mut("raise"));
            let deep = raise.expect("the command").render_long_help().to_string();
            for words in [
                "Argumente:",
                "<SESSION>",
                "--severity <SEVERITY>",
                "[möglich: minor, major, grounding]",
                "Beispiele:",
            ] {
                assert!(deep.contains(words), "\"{words}\" is missing: {deep}");
            }
            assert!(!deep.contains("Print help") && !deep.contains("Options"), "{deep}");
            command().debug_assert();
        });
    }

    /// What clap asserts of a command line, such as names that are used twice.
    #[test]
    fn the_command_line_is_sound() {
        command().debug_assert();
    }
}
