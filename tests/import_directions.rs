//! The arrows between modules point the data's way: DEVELOPERS.md holds the table, this test holds the code to it.
#![allow(clippy::disallowed_methods, reason = "tests read the source tree")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Module and what it may import. Not listed: everything is allowed (`cli` joins all).
const MAY_IMPORT: &[(&str, &[&str])] = &[
    ("embedded", &[]),
    ("words", &["embedded"]),
    ("diagnostic", &[]),
    ("quantity", &[]),
    ("vocabulary", &[]),
    ("columns", &[]),
    ("source", &["diagnostic", "quantity"]),
    ("measure", &["quantity"]),
    ("plot", &["measure"]),
    ("compute", &["diagnostic", "measure", "plot", "quantity", "source"]),
    ("checklist", &["diagnostic", "embedded", "quantity", "source", "vocabulary"]),
    ("edition", &["checklist", "diagnostic", "quantity", "source"]),
    ("airframe", &["diagnostic", "quantity", "source", "vocabulary"]),
    ("bench", &["airframe", "checklist", "diagnostic", "edition", "quantity", "source"]),
    ("plan", &["airframe", "checklist", "diagnostic", "quantity", "source"]),
    ("coverage", &["checklist", "plan"]),
    ("event", &["checklist", "quantity"]),
    ("journal", &[]),
    ("due", &["airframe", "measure", "quantity"]),
    ("state", &["airframe", "checklist", "compute", "event", "measure", "plan", "quantity"]),
    (
        "completion",
        &["airframe", "checklist", "due", "event", "measure", "plan", "quantity", "state", "vocabulary"],
    ),
    ("forward", &["airframe", "completion", "due", "event", "plan", "quantity", "state", "vocabulary"]),
    ("order", &["checklist", "plan", "state"]),
    ("sketch", &["checklist", "plan", "plot", "quantity", "state"]),
    ("signoff", &["airframe", "completion", "event", "plan", "state"]),
    ("seal", &["airframe", "event"]),
    (
        "paper",
        &["airframe", "checklist", "event", "journal", "order", "plan", "quantity", "session", "state"],
    ),
    ("pack", &["airframe", "checklist", "diagnostic", "event", "journal", "seal", "vocabulary"]),
    (
        "audit",
        &[
            "airframe",
            "checklist",
            "columns",
            "edition",
            "event",
            "journal",
            "measure",
            "plan",
            "quantity",
            "seal",
            "session",
            "state",
            "vocabulary",
        ],
    ),
    (
        "handover",
        &[
            "checklist",
            "columns",
            "compute",
            "event",
            "plan",
            "plot",
            "quantity",
            "session",
            "sketch",
            "state",
        ],
    ),
    (
        "report",
        &[
            "audit",
            "checklist",
            "columns",
            "completion",
            "compute",
            "due",
            "event",
            "handover",
            "measure",
            "order",
            "paper",
            "plan",
            "plot",
            "quantity",
            "seal",
            "session",
            "sketch",
            "state",
            "vocabulary",
        ],
    ),
    ("command", &[]),
    ("settings", &["diagnostic", "source"]),
    ("session", &["airframe", "checklist", "diagnostic", "due", "event", "plan", "quantity", "state"]),
    ("store", &["diagnostic", "journal"]),
    (
        "hangar",
        &[
            "airframe",
            "audit",
            "bench",
            "checklist",
            "completion",
            "diagnostic",
            "edition",
            "event",
            "forward",
            "journal",
            "pack",
            "paper",
            "plan",
            "seal",
            "session",
            "signoff",
            "state",
            "store",
            "vocabulary",
        ],
    ),
    (
        "screen",
        &[
            "airframe",
            "audit",
            "checklist",
            "command",
            "completion",
            "compute",
            "due",
            "event",
            "handover",
            "measure",
            "order",
            "paper",
            "plan",
            "plot",
            "quantity",
            "seal",
            "session",
            "signoff",
            "sketch",
            "state",
            "vocabulary",
        ],
    ),
];

#[test]
fn imports_follow_the_table() {
    let mut wrong = Vec::new();
    for (module, allowed) in MAY_IMPORT {
        let files = files_of(module);
        assert!(!files.is_empty(), "the table names a module \"{module}\" that has no file");
        for file in files {
            for imported in imports(&file) {
                // Everybody speaks; `words` itself knows nobody.
                if imported != *module && imported != "words" && !allowed.contains(&imported.as_str()) {
                    wrong.push(format!("{} imports {imported}", file.display()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_module_is_in_the_table() {
    let listed: BTreeSet<&str> =
        MAY_IMPORT.iter().map(|(module, _)| *module).chain(["cli", "lib", "main"]).collect();
    for entry in fs::read_dir(source_root()).unwrap_or_else(|error| panic!("{error}")).flatten() {
        let name =
            entry.path().file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        assert!(listed.contains(name.as_str()), "\"{name}\" is not in the table");
    }
}

#[test]
fn the_terminal_stays_in_screen_and_cli() {
    for module in MAY_IMPORT.iter().map(|(module, _)| *module).filter(|module| *module != "screen") {
        for file in files_of(module) {
            let text = read(&file);
            for library in ["ratatui::", "crossterm::", "clap::"] {
                assert!(!text.contains(library), "{} uses {library}", file.display());
            }
        }
    }
}

fn source_root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

fn read(file: &Path) -> String {
    fs::read_to_string(file).unwrap_or_else(|error| panic!("{}: {error}", file.display()))
}

fn files_of(module: &str) -> Vec<PathBuf> {
    let single = source_root().join(format!("{module}.rs"));
    if single.exists() {
        return vec![single];
    }
    let mut found = Vec::new();
    let mut folders = vec![source_root().join(module)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                found.push(path);
            }
        }
    }
    found
}

/// First path segments after `crate::`, wherever they stand in the code.
fn imports(file: &Path) -> BTreeSet<String> {
    let text = read(file);
    let code = text.lines().filter(|line| !line.trim_start().starts_with("//"));
    code.flat_map(|line| {
        line.match_indices("crate::").map(|(at, _)| line[at + 7..].to_string()).collect::<Vec<_>>()
    })
    .map(|rest| rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>())
    .filter(|name| !name.is_empty())
    .collect()
}
