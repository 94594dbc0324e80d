//! `library`: every edition at hand, and where it came from.

use clap::Args;
use serde_json::{Value, json};

use super::output::{Failure, Output, exit};
use crate::diagnostic::render;
use crate::hangar::Hangar;
use crate::hangar::packs::{CameFrom, Origin, Shelved, shelf};
use crate::words::{date, of_checklist, said};

const HELP: &str = "Exit codes:
  0  every edition is told
  3  a file of the hangar's own has faults
  4  an installed edition is altered or gone, or its pack no longer shows where it came from";

#[derive(Debug, Args)]
#[command(after_help = HELP)]
pub struct LibraryArgs {
    #[arg(long)]
    pub json: bool,
}

pub(super) fn library(hangar: &Hangar, args: &LibraryArgs, out: &mut Output) -> Result<u8, Failure> {
    let shelf = shelf(hangar);
    if args.json {
        let rows: Vec<Value> = shelf.editions.iter().map(row).collect();
        let faults: Vec<String> = shelf.faults.iter().map(ToString::to_string).collect();
        out.json(&json!({ "editions": rows, "faults": faults, "troubles": shelf.troubles }));
    } else {
        for one in &shelf.editions {
            out.text(&text(one));
        }
        if !shelf.faults.is_empty() {
            out.error(&render(&shelf.faults, false));
        }
        for trouble in &shelf.troubles {
            out.error(trouble);
        }
    }
    Ok(match (shelf.troubles.is_empty(), shelf.faults.is_empty()) {
        (false, _) => exit::DAMAGED,
        (true, false) => exit::REFUSED,
        (true, true) => exit::DONE,
    })
}

fn text(one: &Shelved) -> String {
    let edition = &one.edition;
    let mut text = say!(
        "{} {}  {}, issued {}: {}",
        edition.id.value,
        edition.version.value,
        said(edition.kind.word()),
        date(edition.issued),
        plain(of_checklist(&edition.title))
    );
    text.push_str(&format!("\n    sha256 {}\n    {}", one.sha256, came_from(&one.came_from)));
    match one.overrides_built_in {
        Some(true) => text.push_str(say!("; the same as the built-in one")),
        Some(false) => {
            text.push_str(say!("; OVERRIDES the built-in one of this version, which has another content"))
        }
        None => {}
    }
    if one.is_overridden {
        text.push_str(say!("; another file of this edition goes before it"));
    }
    if one.installed_sha256.is_some() {
        text.push_str(&format!(
            "\n    {}",
            say!("ALTERED since it was installed: it is no longer what its author signed")
        ));
    }
    text.push('\n');
    text
}

/// A title is whatever its author wrote: nothing in it may act on the terminal.
fn plain(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

fn came_from(from: &CameFrom) -> String {
    match from {
        CameFrom::BuiltIn => say!("built in").to_string(),
        CameFrom::Own => say!("the hangar's own folder").to_string(),
        CameFrom::Pack(origin) => {
            let Origin { pack, made_on, author, key, installed_at, installed_by, .. } = &**origin;
            let mut text = say!(
                "from pack {pack} of {made_on} by {} ({}), signed with key {key}",
                author.name,
                author.id,
                pack,
                made_on = date(*made_on),
                key
            );
            if origin.standing != "vouched" {
                text.push_str(say!(", for which the register did not vouch"));
            }
            let installed =
                say!("installed {installed_at} by {} ({})", installed_by.name, installed_by.id, installed_at);
            text.push_str(&format!("\n    {installed}"));
            if let Some(why) = &origin.why {
                text.push_str(&say!(", because: {why}", why));
            }
            text
        }
    }
}

fn row(one: &Shelved) -> Value {
    let edition = &one.edition;
    let (place, origin) = match &one.came_from {
        CameFrom::BuiltIn => ("built-in", Value::Null),
        CameFrom::Own => ("own", Value::Null),
        CameFrom::Pack(origin) => ("pack", json!(**origin)),
    };
    json!({
        "id": edition.id.value, "version": edition.version.value.to_string(), "kind": edition.kind.word(),
        "title": edition.title, "issued": edition.issued, "sha256": one.sha256, "file": edition.source.name,
        "from": place, "origin": origin, "overridden": one.is_overridden,
        "overrides_built_in": one.overrides_built_in.map(|same| if same { "same-content" } else { "other-content" }),
        "installed_sha256": one.installed_sha256, "altered": one.installed_sha256.is_some(),
    })
}
