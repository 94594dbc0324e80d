//! `man`: manual pages, one for each command, made from the command line itself.

use std::path::PathBuf;

use clap::{Args, Command};
use clap_mangen::Man;
use serde_json::json;

use super::help;
use super::output::{Failure, Output, exit};
use crate::settings::KEYS;
use crate::store::folders::HANGAR_VARIABLE;
use crate::store::unpack::write_file;
use crate::words::said;

#[derive(Debug, Args)]
pub struct ManArgs {
    /// Folder for the pages; what is there under their names is written anew.
    #[arg(long, value_name = "FOLDER")]
    pub into: PathBuf,
    #[arg(long)]
    pub json: bool,
}

pub(super) fn man(args: &ManArgs, out: &mut Output) -> Result<u8, Failure> {
    let mut pages = Vec::new();
    let mut root = help::command().disable_help_subcommand(true);
    root.build();
    collect(&root, "spanwise", &mut pages).map_err(Failure::failed)?;
    for (name, text) in &pages {
        let path = args.into.join(name);
        write_file(&path, text).map_err(|error| {
            Failure::failed(say!("{}: {error}; name another folder", path.display(), error = error))
        })?;
    }
    if args.json {
        let names: Vec<&String> = pages.iter().map(|(name, _)| name).collect();
        out.json(&json!({ "into": args.into, "pages": names }));
    } else {
        let folder = args.into.display();
        out.line(&say!(
            "{} pages in {folder}; read one with: man -l {folder}/spanwise.1",
            pages.len(),
            folder = folder
        ));
    }
    Ok(exit::DONE)
}

fn collect(command: &Command, name: &str, pages: &mut Vec<(String, Vec<u8>)>) -> std::io::Result<()> {
    pages.push((format!("{name}.1"), page(command, name)?));
    for sub in command.get_subcommands().filter(|sub| has_page(sub)) {
        collect(sub, &format!("{name}-{}", sub.get_name()), pages)?;
    }
    Ok(())
}

/// Once a command line is translated, clap's own command `help` is in it.
fn has_page(command: &Command) -> bool {
    !command.is_hide_set() && command.get_name() != "help"
}

fn page(command: &Command, name: &str) -> std::io::Result<Vec<u8>> {
    let own = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let man =
        Man::new(command.clone().after_help("")).title(name).section("1").manual(say!("Manual of spanwise"));
    let mut text = Vec::new();
    man.render_title(&mut text)?;
    man.render_name_section(&mut text)?;
    man.render_synopsis_section(&mut text)?;
    man.render_description_section(&mut text)?;
    man.render_options_section(&mut text)?;
    if command.get_subcommands().any(has_page) {
        let word = |sub: &Command| (sub.get_name().to_string(), about(sub));
        let rows = command.get_subcommands().filter(|sub| has_page(sub)).map(word);
        tagged(&mut text, "COMMANDS", rows.collect::<Vec<_>>());
    }
    for (title, lines) in parts(&own) {
        section(&mut text, title, &lines);
    }
    tagged(&mut text, "FILES", files());
    let variables = KEYS.iter().map(|key| (key.variable.to_string(), said(key.about).to_string()));
    let phrase = say!("file whose first line is the passphrase of a key, for scripts");
    let more = [("SPANWISE_PASSPHRASE_FILE".to_string(), phrase.to_string())];
    tagged(&mut text, "ENVIRONMENT", variables.chain(more).collect());
    if name != "spanwise" {
        text.extend_from_slice(b".SH \"SEE ALSO\"\n.BR spanwise (1)\n");
    }
    Ok(plain(&String::from_utf8_lossy(&text)).into_bytes())
}

/// Every formatter takes ASCII; other characters are named by their number.
fn plain(text: &str) -> String {
    let named = |c: char| if c.is_ascii() { c.to_string() } else { format!("\\[u{:04X}]", u32::from(c)) };
    text.chars().map(named).collect()
}

fn about(command: &Command) -> String {
    command.get_about().map(ToString::to_string).unwrap_or_default()
}

fn files() -> Vec<(String, String)> {
    [
        (
            "~/.config/spanwise/config.toml".to_string(),
            say!("settings; spanwise config --path tells where").to_string(),
        ),
        (
            "~/.local/state/spanwise/spanwise.log".to_string(),
            say!("what the program did; spanwise log").to_string(),
        ),
        (
            "~/.local/share/spanwise/hangar".to_string(),
            say!("the hangar folder, unless --hangar or {} names another", HANGAR_VARIABLE),
        ),
    ]
    .to_vec()
}

/// What the help says below the options, by its headings.
fn parts(own: &str) -> Vec<(&'static str, Vec<String>)> {
    let mut parts: Vec<(&'static str, Vec<String>)> = Vec::new();
    for line in own.lines() {
        let begins = if line.starts_with("Exit codes") || line.starts_with(said(help::CODES)) {
            Some("EXIT STATUS")
        } else if line.starts_with("Example") || line.starts_with(said(help::EXAMPLES)) {
            Some("EXAMPLES")
        } else {
            None
        };
        let rest = line.split_once(": ").map_or("", |(_, rest)| rest);
        match (begins, parts.last_mut()) {
            (Some(title), _) => parts.push((title, vec![rest.to_string()])),
            (None, Some((_, lines))) => lines.push(line.to_string()),
            (None, None) => parts.push(("NOTES", vec![line.to_string()])),
        }
    }
    parts
}

/// Sentences are filled to the width of the page; what is indented, such as examples and columns, keeps its shape.
fn section(text: &mut Vec<u8>, title: &str, lines: &[String]) {
    let mut shown = format!(".SH \"{title}\"\n");
    let mut is_kept = false;
    for line in lines.join("\n").trim_matches('\n').lines() {
        let is_indented = line.starts_with(' ');
        if is_indented != is_kept && !line.is_empty() {
            shown.push_str(if is_indented { ".nf\n" } else { ".fi\n" });
            is_kept = is_indented;
        }
        shown.push_str(&if line.is_empty() { ".PP\n".to_string() } else { format!("{}\n", escaped(line)) });
    }
    if is_kept {
        shown.push_str(".fi\n");
    }
    text.extend_from_slice(shown.as_bytes());
}

fn tagged(text: &mut Vec<u8>, title: &str, rows: Vec<(String, String)>) {
    text.extend_from_slice(format!(".SH {title}\n").as_bytes());
    for (tag, words) in rows {
        text.extend_from_slice(format!(".TP\n{}\n{}\n", escaped(&tag), escaped(&words)).as_bytes());
    }
}

/// A backslash begins an escape, a hyphen is no minus, and a dot or quote at the beginning of a line asks for something.
fn escaped(line: &str) -> String {
    let safe = line.replace('\\', "\\e").replace('-', "\\-");
    if safe.starts_with(['.', '\'']) { format!("\\&{safe}") } else { safe }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_part_the_help_and_nothing_of_it_is_lost() {
        let own = "A word.\n\nExit codes: 0 done; 1 not.\n\nExamples:\n  spanwise x -y";
        let parts = parts(own);
        let titles: Vec<&str> = parts.iter().map(|(title, _)| *title).collect();
        assert_eq!(titles, ["NOTES", "EXIT STATUS", "EXAMPLES"]);
        assert_eq!(parts[1].1[0], "0 done; 1 not.");
        assert_eq!(escaped(".x -y \\"), "\\&.x \\-y \\e");
    }
}
