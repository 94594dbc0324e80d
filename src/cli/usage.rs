//! What is wrong with a command line, in the language that is spoken. clap knows its own messages in English only; from what it
//! tells of a fault the usual ones are written anew, the rare ones stay as they are.

use std::error::Error as _;
use std::io::{self, Write};

use clap::Error;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use super::output::exit;
use crate::words::{Language, current};

/// Tells the fault, or the help that was asked for, and leaves.
#[expect(clippy::disallowed_methods, reason = "as clap itself leaves when the command line is wrong")]
pub(super) fn leave(error: &Error) -> ! {
    match told(error).filter(|_| current() != Language::English) {
        Some(text) => {
            drop(io::stderr().lock().write_all(text.as_bytes()));
            std::process::exit(i32::from(exit::USAGE))
        }
        None => error.exit(),
    }
}

/// The whole message; `None` for help, version, and faults that are rare.
fn told(error: &Error) -> Option<String> {
    let fault = fault(error)?;
    let mut text = format!("{}\n", say!("error: {fault}", fault = fault));
    if let Some(hint) = hint(error) {
        text.push_str(&format!("\n  {}\n", say!("did you mean {hint}?", hint = hint)));
    }
    if let Some(ContextValue::StyledStr(usage)) = error.get(ContextKind::Usage) {
        let usage = usage.to_string();
        let usage = usage.trim_start_matches("Usage:").trim();
        text.push_str(&format!("\n{} {usage}\n", say!("Usage:")));
    }
    text.push_str(&format!("\n{}\n", say!("For more information, try '--help'.")));
    Some(text)
}

fn fault(error: &Error) -> Option<String> {
    let argument = || word(error, ContextKind::InvalidArg);
    let value = || word(error, ContextKind::InvalidValue);
    Some(match error.kind() {
        ErrorKind::UnknownArgument => {
            let argument = argument()?;
            say!("unexpected argument '{argument}' found", argument = argument)
        }
        ErrorKind::InvalidSubcommand => {
            let name = word(error, ContextKind::InvalidSubcommand)?;
            say!("unrecognized subcommand '{name}'", name = name)
        }
        ErrorKind::MissingSubcommand => {
            let name = word(error, ContextKind::InvalidSubcommand)?;
            say!("'{name}' requires a subcommand", name = name)
        }
        ErrorKind::MissingRequiredArgument => {
            let missing = words(error, ContextKind::InvalidArg)?;
            say!("these required arguments are missing: {}", missing.join(", "))
        }
        ErrorKind::InvalidValue => {
            let (argument, value) = (argument()?, value()?);
            let fault = if value.is_empty() {
                say!("a value is required for '{argument}'", argument = argument)
            } else {
                say!("invalid value '{value}' for '{argument}'", value = value, argument = argument)
            };
            match words(error, ContextKind::ValidValue).filter(|values| !values.is_empty()) {
                Some(values) => format!("{fault}\n  {}", say!("[possible values: {}]", values.join(", "))),
                None => fault,
            }
        }
        ErrorKind::ValueValidation => {
            let (argument, value) = (argument()?, value()?);
            let fault = say!("invalid value '{value}' for '{argument}'", value = value, argument = argument);
            match error.source() {
                Some(why) => format!("{fault}: {why}"),
                None => fault,
            }
        }
        ErrorKind::ArgumentConflict => conflict(error)?,
        _ => return None,
    })
}

fn conflict(error: &Error) -> Option<String> {
    let argument = word(error, ContextKind::InvalidArg)?;
    let others = words(error, ContextKind::PriorArg).unwrap_or_default();
    Some(if others.iter().all(|other| *other == argument) {
        say!("the argument '{argument}' cannot be used multiple times", argument = argument)
    } else {
        say!("the argument '{}' cannot be used with '{}'", argument, others.join(", "))
    })
}

/// What was meant, where clap has found something near.
fn hint(error: &Error) -> Option<String> {
    let kinds = [ContextKind::SuggestedSubcommand, ContextKind::SuggestedArg, ContextKind::SuggestedValue];
    let near = kinds.into_iter().find_map(|kind| words(error, kind)).filter(|near| !near.is_empty())?;
    Some(format!("'{}'", near.join("', '")))
}

fn word(error: &Error, kind: ContextKind) -> Option<String> {
    words(error, kind)?.into_iter().next()
}

fn words(error: &Error, kind: ContextKind) -> Option<Vec<String>> {
    match error.get(kind)? {
        ContextValue::String(word) => Some(vec![word.clone()]),
        ContextValue::Strings(words) => Some(words.clone()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::super::help;
    use super::*;
    use crate::words::with_language;

    fn german(words: &[&str]) -> String {
        with_language(Language::German, || {
            let error = help::command().try_get_matches_from(words).expect_err("a fault");
            told(&error).unwrap_or_else(|| panic!("{:?} is told in English", error.kind()))
        })
    }

    #[test]
    fn the_usual_faults_of_a_command_line_are_told_in_german() {
        for (words, part) in [
            (&["spanwise", "status", "XX-VA7", "--outcom", "release"][..], "unbekanntes Argument „--outcom“"),
            (&["spanwise", "statsu"], "unbekannter Befehl „statsu“"),
            (&["spanwise", "status"], "diese nötigen Argumente fehlen: <SESSION>"),
            (&["spanwise", "status", "XX-VA7", "--outcome", "perhaps"], "ungültiger Wert „perhaps“"),
            (&["spanwise", "status", "XX-VA7", "--outcome", "perhaps"], "[möglich: release, not-airworthy]"),
            (&["spanwise", "status", "XX-VA7", "--json", "--json"], "kann nicht mehrmals stehen"),
            (
                &["spanwise", "report", "add", "XX-VA7", "--kind", "x", "--text", "y", "--date", "z"],
                "ungültiger Wert „z“",
            ),
            (&["spanwise", "status", "XX-VA7", "--outcom", "release"], "war '--outcome' gemeint?"),
            (&["spanwise", "status", "XX-VA7", "--outcom", "release"], "\nAufruf: spanwise status"),
        ] {
            let text = german(words);
            assert!(text.starts_with("Fehler: ") && text.contains(part), "\"{part}\" is missing: {text}");
        }
    }
}
