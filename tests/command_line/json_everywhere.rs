//! Every command that has `--json`: its output is JSON, and its top-level keys are those of docs/json.md.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use super::pages::pages;
use crate::binary::{GLIDER, INSPECTOR, Place};

const DOCUMENT: &str = include_str!("../../docs/json.md");

/// Commands in an order in which they can follow one another, and the exit code. A command stands before its arguments.
const CALLS: &[(&str, &[&str], i32)] = &[
    ("list", &[], 0),
    ("airframe", &[GLIDER], 0),
    ("people", &[], 0),
    ("instruments", &[], 0),
    ("due", &[GLIDER], 0),
    ("plan", &[GLIDER], 0),
    ("order", &[GLIDER], 0),
    ("begin", &[GLIDER], 0),
    ("carried", &[GLIDER], 0),
    ("report add", &[GLIDER, "--kind", "tail-noise", "--text", "it creaks"], 0),
    ("report list", &[GLIDER], 0),
    ("report explain", &[GLIDER], 0),
    ("take-up", &[GLIDER], 0),
    ("status", &[GLIDER], 3),
    ("show", &[GLIDER], 0),
    ("replay", &[GLIDER], 0),
    ("findings", &[GLIDER], 0),
    ("compare", &[GLIDER, "XX-DR4"], 0),
    ("compare-plans", &[GLIDER, "XX-DR4"], 0),
    ("answer", &[GLIDER, "records.identity", "pass"], 0),
    ("read", &[GLIDER, "gear.tyre-pressure", "pressure", "3.05", "--instrument", "tyre-gauge"], 0),
    ("confirm", &[GLIDER, "wings=rigged, tailplane=on"], 0),
    ("note", &[GLIDER, "cold"], 0),
    ("initial", &[GLIDER, "gear.brake", "looked"], 0),
    ("evidence", &[GLIDER, "photo.txt", "--step", "gear.tyre-pressure"], 0),
    ("withdraw", &[GLIDER, "1", "the wrong step"], 0),
    ("defect raise", &[GLIDER, "scratch"], 0),
    ("defect dispose", &[GLIDER, "d1", "rectify", "--note", "polish"], 0),
    ("defect rectify", &[GLIDER, "d1", "polished"], 0),
    ("defect reinspect", &[GLIDER, "d1", "clear"], 0),
    ("defects", &[GLIDER], 0),
    ("handover", &[GLIDER, "--defect", "d1"], 0),
    ("set-aside", &[GLIDER, "r3", "a loose plug"], 0),
    ("directive", &[GLIDER, "AD-V15-2019-02", "complied", "--next-due", "2099-01-01"], 0),
    ("life-item", &[GLIDER, "harness", "within-life"], 0),
    ("answer", &[GLIDER, "records.identity", "pass"], 0),
    ("inspect", &[GLIDER, "records.identity", "none", "--checked", "assembly,locking,sense,range"], 0),
    ("pause", &[GLIDER], 0),
    ("resume", &[GLIDER], 0),
    ("sign", &[GLIDER, "release", "--confirm", GLIDER], 3),
    ("countersign", &[GLIDER], 3),
    ("bring-forward", &[GLIDER], 3),
    ("seal-files", &[GLIDER, "--into", "signed"], 0),
    ("rescue", &[GLIDER, "--into", "stick"], 0),
    ("make-room", &[GLIDER], 3),
    ("verify", &[GLIDER], 0),
    ("anchor", &[GLIDER], 0),
    ("coverage", &[GLIDER], 0),
    (
        "opening",
        &[GLIDER, "--component", "fin", "--side", "left", "--station", "1..2", "--height", "120..180"],
        5,
    ),
    ("key list", &[], 0),
    ("key signers", &[], 0),
    ("key new", &["pia-wendle"], 0),
    ("key add", &["jory-fenn", "--public", "nowhere.pub"], 1),
    ("key end", &["pia-wendle", "--because", "sold"], 0),
    ("library", &[], 0),
    ("edition compare", &["varn-15-supplement@1.0.0", "varn-15-supplement@1.1.0"], 0),
    ("edition draft", &["fin-root"], 0),
    (
        "edition add-step",
        &[
            "hangar/checklists/fin-root/draft.toml",
            "--section",
            "fin-root",
            "--id",
            "fin-root.drain",
            "--title",
            "Drain hole",
            "--instruction",
            "How: torch and mirror. Good: open. Bad: closed or crazed. Record: what was seen.",
            "--basis",
            "common practice",
        ],
        0,
    ),
    ("translate", &["hangar/checklists/fin-root/draft.toml"], 0),
    ("edition issue", &["hangar/checklists/fin-root/draft.toml"], 0),
    ("edition new-module", &["own-look", "--title", "Own look", "--report", "odd-yaw"], 0),
    ("edition list", &[], 0),
    ("pack export", &["own.pack", "--only", "fin-root"], 0),
    ("pack verify", &["own.pack"], 0),
    ("pack install", &["own.pack"], 0),
    ("check", &[], 0),
    ("compute", &["flex", "flex.csv"], 0),
    ("record new", &["XX-N2", "--set", "type=varn-15", "--set", "serial=0107", "--set", "hours=10.5"], 0),
    (
        "record add",
        &["XX-N2", "report", "--set", "kind=hail", "--set", "date=2026-09-06", "--set", "text=x"],
        0,
    ),
    ("record change", &["XX-N2", "--set", "hours=11"], 0),
    ("record remove", &["XX-N2", "report", "r1"], 0),
    ("record keys", &["report"], 0),
    ("export", &["airframes"], 0),
    ("import", &["airframes", "fleet.csv"], 0),
    ("import", &["airframes", "fleet.csv"], 3),
    ("init", &[], 0),
    ("refusals", &[], 0),
    ("config", &[], 0),
    ("config init", &[], 0),
    ("config set", &["people", "3"], 0),
    ("config unset", &["people"], 0),
    ("log", &[], 0),
    ("worksheet enter", &[GLIDER, "--sheet", "AAAA-AAAA-00", "--written", "2026-11-24", "--row", "1 p"], 3),
    ("man", &["--into", "man1"], 0),
];

/// Command and keys of the tables, as written there.
fn documented() -> BTreeMap<String, Vec<String>> {
    DOCUMENT
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.strip_suffix(" |")?.split_once("` | "))
        .map(|(command, keys)| {
            let keys = keys.trim_start_matches('[').split(',').map(|key| key.trim().to_string());
            (command.to_string(), keys.collect())
        })
        .collect()
}

/// Keys of an object, or of the first object of a list.
fn keys(value: &Value) -> BTreeSet<String> {
    let object = value.as_array().and_then(|list| list.first()).unwrap_or(value);
    object.as_object().map(|object| object.keys().cloned().collect()).unwrap_or_default()
}

fn prepared() -> Place {
    let place = Place::demo();
    std::fs::write(place.beside("photo.txt"), "stands in for a photo").expect("written");
    std::fs::write(place.beside("fleet.csv"), "registration,type,serial,hours\nXX-N1,varn-15,0107,10.5\n")
        .expect("written");
    let readings = place.bare(["compute", "flex", "--example"]).expect(0).out;
    std::fs::write(place.beside("flex.csv"), readings).expect("written");
    place
}

#[test]
fn every_command_with_json_prints_json_with_the_documented_keys() {
    let place = prepared();
    let documented = documented();
    for (command, args, code) in CALLS {
        let words: Vec<&str> = command.split(' ').chain(args.iter().copied()).chain(["--json"]).collect();
        let by = if command.starts_with("pack") { "orla-testrup" } else { INSPECTOR };
        let answer = place.run_by(by, &words).expect(*code);
        let value: Value = serde_json::from_str(&answer.out)
            .unwrap_or_else(|error| panic!("`spanwise {command}`: {error}: {} {}", answer.out, answer.err));
        let told =
            documented.get(*command).unwrap_or_else(|| panic!("docs/json.md does not tell of `{command}`"));
        let found = keys(&value);
        let known: BTreeSet<String> = told.iter().map(|key| key.trim_end_matches('?').to_string()).collect();
        assert!(found.is_subset(&known), "`{command}` prints {found:?}, docs/json.md tells {known:?}");
        let always = told.iter().filter(|key| !key.ends_with('?'));
        for key in always {
            assert!(found.contains(key), "`{command}` lacks \"{key}\": {value:#}");
        }
        if let Some(told) = value.get("code") {
            assert_eq!(told.as_i64(), Some(i64::from(*code)), "`{command}`");
        }
    }
}

#[test]
fn every_command_with_json_is_called_and_the_others_are_named() {
    let called: BTreeSet<&str> = CALLS.iter().map(|(command, ..)| *command).collect();
    let pages = pages(&Place::empty());
    let is_group = |command: &str| pages.keys().any(|other| other.starts_with(&format!("{command} ")));
    for (command, page) in &pages {
        let has_json = page.contains("\\-\\-json\\fR");
        if has_json {
            assert!(called.contains(command.as_str()), "`spanwise {command} --json` is not tried");
        } else if !command.is_empty() && !is_group(command) {
            assert!(
                DOCUMENT.contains(&format!("`{command}`")),
                "`{command}` has no --json, and docs/json.md does not say so"
            );
        }
    }
    for command in documented().keys() {
        assert!(called.contains(command.as_str()), "docs/json.md tells of `{command}`, which is not tried");
    }
}
