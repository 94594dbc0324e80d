//! Editions on the command line: compare, draft, issue, list; an issued edition is never edited.

use crate::binary::{GLIDER, INSPECTOR, Place, contents};

pub(super) const DRAFT: &str = "checklists/fin-root/draft.toml";
pub(super) const ISSUED: &str = "checklists/fin-root/1.1.0.toml";
const REGISTER: &str = "checklists/issued.toml";
const BUILT_IN: &str = include_str!("../../checklists/fin-root/1.0.0.toml");

/// A demo hangar with a draft of fin-root whose ceiling of the load is lower.
pub(super) fn drafted() -> (Place, String) {
    let place = Place::demo();
    place.run(&["edition", "draft", "fin-root"]).tells(0, &["draft:", "takes part in no plan"]);
    place.edit(DRAFT, |text| text.replacen("max_load = \"15\"", "max_load = \"14\"", 1));
    let path = place.path(DRAFT).to_string_lossy().into_owned();
    (place, path)
}

fn issued() -> Place {
    let (place, draft) = drafted();
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: fin-root 1.1.0", "sha256", "minor step"]);
    place
}

#[test]
fn two_editions_are_compared_in_words_and_json() {
    let place = Place::demo();
    let (old, new) = ("varn-15-supplement@1.0.0", "varn-15-supplement@1.1.0");
    place
        .run(&["edition", "compare", old, new])
        .tells(0, &["hidden item fin-rib-2", "added", "demands a minor step: 1.0.0 to 1.1.0"]);
    let json = place.run(&["edition", "compare", old, new, "--json"]).expect(0).json();
    assert_eq!((json["demands"].as_str(), json["least_version"].as_str()), (Some("minor"), Some("1.1.0")));
    place.run(&["edition", "compare", "varn-15-supplement"]).tells(0, &["old: varn-15-supplement 1.0.0"]);
    place.run(&["edition", "compare", old, old]).tells(0, &["No difference"]);
    place.run(&["edition", "compare", "fin-rot"]).tells(1, &["did you mean \"fin-root\"?"]);
    place.run(&["edition", "compare", "fin-root@9.0.0", old]).tells(1, &["at hand: 1.0.0"]);
    place.run(&["edition", "compare", "fin-root@x", old]).tells(3, &["is no version"]);
    place.run(&["edition", "compare", "fin-root"]).tells(1, &["no edition of fin-root below 1.0.0"]);
}

#[test]
fn a_draft_keeps_every_other_byte_and_is_in_no_plan() {
    let place = Place::demo();
    place.run(&["edition", "draft", "fin-root"]).expect(0);
    let text = std::fs::read_to_string(place.path(DRAFT)).expect("a draft");
    let other: Vec<(&str, &str)> = BUILT_IN.lines().zip(text.lines()).filter(|(a, b)| a != b).collect();
    assert!(
        matches!(other[..], [(_, "version = \"1.1.0\""), (_, issued)] if issued.starts_with("issued = ")),
        "{other:?}"
    );
    assert_eq!(BUILT_IN.lines().count(), text.lines().count());
    let before = place.run(&["plan", GLIDER]).expect(0).out;
    assert!(before.contains("module fin-root 1.0.0"), "{before}");
    place.run(&["edition", "draft", "fin-root"]).tells(3, &["there is a draft of fin-root already"]);
    // Not even a broken one keeps anybody from beginning an annual.
    place.write(DRAFT, "no checklist");
    assert_eq!(place.run(&["plan", GLIDER]).expect(0).out, before);
    place.run(&["edition", "list", "fin-root"]).tells(0, &["cannot be read"]);
}

#[test]
fn an_edition_is_issued_byte_for_byte_and_entered() {
    let (place, draft) = drafted();
    let text = std::fs::read(place.path(DRAFT)).expect("a draft");
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: fin-root 1.1.0", "tightened"]);
    assert_eq!(std::fs::read(place.path(ISSUED)).expect("issued"), text);
    assert!(!place.path(DRAFT).exists());
    let register = std::fs::read_to_string(place.path(REGISTER)).expect("a register");
    assert!(register.contains("id = \"fin-root\"") && register.contains(INSPECTOR), "{register}");
    place.run(&["plan", GLIDER]).tells(0, &["module fin-root 1.1.0"]);
    place.run(&["edition", "list", "fin-root"]).tells(0, &["1.1.0    as issued"]);
    let json = place.run(&["edition", "list", "--json"]).expect(0).json();
    assert_eq!(json["faults"].as_array().map(Vec::len), Some(0));
    let folder = place.path("checklists").to_string_lossy().into_owned();
    place.run(&["check", &folder]).tells(0, &["no fault found"]);
}

#[test]
fn nothing_is_issued_with_too_small_a_step_or_without_a_change() {
    let (place, draft) = drafted();
    let before = contents(&place.root());
    place
        .run(&["edition", "issue", &draft, "--version", "1.0.1"])
        .tells(3, &["is a patch step", "demands a minor one", "load at most 14 kgf", "--version 1.1.0"]);
    place.run(&["edition", "issue", &draft, "--version", "1.0.0"]).tells(3, &["built into the program"]);
    place.run(&["edition", "issue", &draft, "--version", "1.1.0-rc1"]).tells(3, &["three numbers"]);
    assert_eq!(contents(&place.root()), before, "a refusal wrote something");
    place.edit(DRAFT, |text| text.replacen("max_load = \"14\"", "max_load = \"16\"", 1));
    place.run(&["edition", "issue", &draft]).tells(3, &["a minor step", "demands a major one", "loosened"]);
    place.edit(DRAFT, |text| text.replacen("max_load = \"16\"", "max_load = \"15\"", 1));
    place.run(&["edition", "issue", &draft]).tells(3, &["says the same as fin-root 1.0.0"]);
    place.edit(DRAFT, |text| text.replacen("\ntitle =", "\ntitel =", 1));
    place.run(&["edition", "issue", &draft]).tells(1, &["did you mean \"title\"?", "draft.toml:5:1"]);
    assert!(!place.path(REGISTER).exists() && !place.path(ISSUED).exists());
}

#[test]
fn what_would_break_a_plan_is_not_issued() {
    let (place, draft) = drafted();
    place.edit(DRAFT, |text| text.replacen("section = \"fin-root\"", "section = \"fin-rot\"", 1));
    place.run(&["edition", "issue", &draft]).tells(1, &["the section \"fin-rot\" does not exist"]);
    // A programme that lost a step which a supplement tightens: the fault is the supplement's.
    place.run(&["edition", "draft", "composite-sailplane", "--version", "1.1.0"]).expect(0);
    let programme = "checklists/composite-sailplane/draft.toml";
    place.edit(programme, |text| text.replace("\"wing.pins-play\"", "\"wing.pin-play\""));
    let path = place.path(programme).to_string_lossy().into_owned();
    place.run(&["edition", "issue", &path, "--version", "1.2.0"]).tells(3, &["demands a major one"]);
    place.run(&["edition", "issue", &path, "--version", "2.0.0"]).tells(1, &["^1.0"]);
}

#[test]
fn an_edited_edition_is_refused_by_every_plan_until_it_is_put_back() {
    let place = issued();
    let whole = std::fs::read_to_string(place.path(ISSUED)).expect("issued");
    place.edit(ISSUED, |text| format!("{text}\n"));
    let told =
        ["fin-root/1.1.0.toml was altered after it was issued", "its sha256 is", "and was", "never edited"];
    place.run(&["edition", "list"]).tells(4, &told);
    for args in [&["plan", GLIDER][..], &["begin", GLIDER]] {
        place.run(args).tells(1, &told);
    }
    place.run(&["list"]).tells(0, &told[..1]);
    place.write(ISSUED, &whole);
    place.run(&["plan", GLIDER]).expect(0);
    std::fs::remove_file(place.path(ISSUED)).expect("removed");
    place.run(&["edition", "list"]).tells(4, &["fin-root/1.1.0.toml was issued on", "missing"]);
    place.run(&["plan", GLIDER]).tells(1, &["missing"]);
}

#[test]
fn an_issue_that_was_cut_off_is_finished_by_doing_it_again() {
    let (place, draft) = drafted();
    // The power went after the edition's file was written and before its entry was.
    std::fs::copy(place.path(DRAFT), place.path(ISSUED)).expect("copied");
    place.run(&["edition", "list", "fin-root"]).tells(0, &["not in the register"]);
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: fin-root 1.1.0"]);
    place.run(&["edition", "list", "fin-root"]).tells(0, &["1.1.0    as issued"]);
    // With another content it is another edition.
    place.run(&["edition", "draft", "fin-root", "--version", "1.1.0"]).expect(0);
    place.run(&["edition", "issue", &draft]).tells(3, &["was issued on", "never edited"]);
}
