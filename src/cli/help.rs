//! Help that shows how: examples and exit codes of every command, added to what the arguments say of themselves. The man
//! pages and the completions are made from the same command.

use clap::{Arg, ArgAction, Command, CommandFactory};

use super::args::Cli;
use super::help_table::{PAGES, Page};
use super::language;

/// What stands before the exit codes in every help, and before the examples.
pub(super) const CODES: &str = "Exit codes:";
const EXAMPLES: &str = "Examples:";

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
        None => command,
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
        parts.push(own.lines().map(narrowed).collect::<Vec<_>>().join("\n"));
    }
    if !own.contains("Exit codes") {
        parts.push(format!("{CODES} {}", page.codes));
    }
    if !page.examples.is_empty() {
        let lines: Vec<String> = page.examples.iter().map(|line| format!("  {}", folded(line))).collect();
        parts.push(format!("{EXAMPLES}\n{}", lines.join("\n")));
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
    use super::*;

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

    /// What clap asserts of a command line, such as names that are used twice.
    #[test]
    fn the_command_line_is_sound() {
        command().debug_assert();
    }
}
