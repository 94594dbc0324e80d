//! `check`: one file with its library, a hangar, explanations, JSON and SARIF.

use serde_json::Value;

use crate::binary::Place;

const NEXT: &str = "checklists/fin-root/1.0.1.toml";
const BUILT_IN: &str = include_str!("../../checklists/fin-root/1.0.0.toml");

/// The next edition of a built-in module, changed.
fn next(from: &str, to: &str) -> String {
    assert!(BUILT_IN.contains(from));
    BUILT_IN.replacen("version = \"1.0.0\"", "version = \"1.0.1\"", 1).replacen(from, to, 1)
}

#[test]
fn a_single_module_is_checked_against_the_library_that_it_will_be_used_with() {
    let place = Place::demo();
    place.write(NEXT, &next("after = [\"records.directives\"]", "after = [\"records.directivs\"]"));
    let path = place.path(NEXT).to_string_lossy().into_owned();
    place.run(&["check", &path]).tells(3, &["unknown-step", "did you mean \"records.directives\"?"]);
    place.write(NEXT, &next("follow = [\"fin-root.tap-map\"", "follow = [\"fin-root.tap-mop\""));
    place.run(&["check", &path]).tells(3, &["unknown-step", "did you mean \"fin-root.tap-map\"?"]);
    place.write(NEXT, &next("composite-sailplane = \"^1.0\"", "composite-sailplane = \"^2.0\""));
    place.run(&["check", &path]).tells(3, &["version-not-satisfied", "at hand: 1.0.0"]);
    place.write(NEXT, &next("section = \"fin-root\"", "section = \"fin-rot\""));
    place.run(&["check", &path]).tells(3, &["unknown-section", "fin-root"]);
    place.write(NEXT, &next("Fin root and tail boom: lateral", "Fin root and boom: lateral"));
    place.run(&["check", &path]).tells(0, &["1 edition read, no fault found", "pieces of advice"]);
    place.run(&["check", &path, "--strict"]).tells(3, &["pieces of advice"]);
}

#[test]
fn an_issued_edition_is_not_edited_unnoticed() {
    let place = Place::demo();
    place.write(
        "checklists/fin-root/1.0.0.toml",
        &BUILT_IN.replacen("issued = 2026-03-01", "issued = 2026-03-02", 1),
    );
    let path = place.path("checklists").to_string_lossy().into_owned();
    place.run(&["check", &path]).tells(3, &["edition-changed", "give this one the next version"]);
}

#[test]
fn a_hangar_is_checked_with_its_records_and_registers() {
    let place = Place::demo();
    let root = place.root().to_string_lossy().into_owned();
    place.run(&["check", &root]).tells(0, &["no fault found"]);
    place
        .edit("airframes/XX-VB2.toml", |text| text.replacen("\nhours = \"2104.5\"", "\nhours = \"many\"", 1));
    place.edit("people.toml", |text| text.replacen("role = \"inspector\"", "role = \"inspecter\"", 1));
    place.edit("instruments.toml", |text| text.replacen("unit = \"mm\"", "unit = \"mmm\"", 1));
    place.run(&["check", &root]).tells(
        3,
        &["XX-VB2.toml:7:9", "not-a-number", "people.toml", "inspecter", "instruments.toml", "mmm"],
    );
    let record = place.path("airframes/XX-VB2.toml").to_string_lossy().into_owned();
    place.run(&["check", &record]).tells(3, &["not-a-number", "one fault"]);
    place.run(&["check", &record, "nowhere.toml"]).tells(3, &["not-a-number", "cannot be read", "2 faults"]);
}

#[test]
fn every_code_can_be_explained_and_a_misspelt_one_is_suggested() {
    let place = Place::empty();
    place.run(&["check", "--explain"]).tells(0, &["unknown-step", "advice", "error"]);
    place.run(&["check", "--explain", "unknown-step"]).tells(0, &["Why: ", "Bad", "Good", "wing.pins-play"]);
    place.run(&["check", "--explain", "unknown-stp"]).tells(2, &["did you mean \"unknown-step\"?"]);
    place.run(&["check", "--rule-ids"]).tells(0, &["43D(b)(1)", "MIP-S-W2"]);
}

/// Where the fault stands behind a letter of two bytes and one of two UTF-16 code units.
const WIDE: &str = "kit = [\"é😀\"]\nafter = [\"é😀\", \"wing.skim\"]";

fn wide(place: &Place) -> String {
    place.write(NEXT, &next("after = [\"records.directives\"]", WIDE));
    place.write(
        NEXT,
        &std::fs::read_to_string(place.path(NEXT)).expect("read").replacen(
            "kit = [\"type's maintenance manual\", \"repair records\"]\n",
            "",
            1,
        ),
    );
    place.path(NEXT).to_string_lossy().into_owned()
}

#[test]
fn json_gives_places_in_lines_characters_and_bytes() {
    let place = Place::demo();
    let path = wide(&place);
    let text = std::fs::read_to_string(&path).expect("read");
    let found = place.run(&["check", &path, "--json"]).expect(3).json();
    assert_eq!(found["format"], 1);
    let faults = found["found"].as_array().expect("a list");
    assert_eq!(found["errors"], 2, "{found}");
    let skim = faults.iter().find(|fault| fault["message"].to_string().contains("wing.skim")).expect("told");
    assert_eq!(skim["code"], "unknown-step");
    assert_eq!(skim["severity"], "error");
    assert_eq!(skim["hint"], "did you mean \"wing.skin\"?");
    assert_eq!(skim["file"], path.as_str());
    let byte = text.find("\"wing.skim\"").expect("there");
    assert_eq!(skim["start"]["byte"], byte);
    assert_eq!(skim["end"]["byte"], byte + "\"wing.skim\"".len());
    assert_eq!(skim["start"]["line"], text[..byte].matches('\n').count() + 1);
    assert_eq!(skim["start"]["column"], "after = [\"é😀\", ".chars().count() + 1);
}

/// Properties that the schema of SARIF 2.1.0 (OASIS Standard, 27 March 2020) allows in the objects used here, and which of them
/// it requires. From memory: a person must compare them with the published schema.
const SCHEMA: &[(&str, &[&str], &[&str])] = &[
    ("log", &["$schema", "version", "runs", "inlineExternalProperties", "properties"], &["version", "runs"]),
    (
        "run",
        &["tool", "columnKind", "results", "originalUriBaseIds", "artifacts", "invocations", "properties"],
        &["tool"],
    ),
    ("tool", &["driver", "extensions", "properties"], &["driver"]),
    (
        "driver",
        &[
            "name",
            "version",
            "semanticVersion",
            "rules",
            "informationUri",
            "organization",
            "fullName",
            "properties",
        ],
        &["name"],
    ),
    (
        "rule",
        &[
            "id",
            "name",
            "shortDescription",
            "fullDescription",
            "help",
            "helpUri",
            "defaultConfiguration",
            "properties",
        ],
        &["id"],
    ),
    ("text", &["text", "markdown", "properties"], &["text"]),
    ("configuration", &["enabled", "level", "rank", "parameters", "properties"], &[]),
    (
        "result",
        &[
            "ruleId",
            "ruleIndex",
            "rule",
            "kind",
            "level",
            "message",
            "locations",
            "relatedLocations",
            "properties",
        ],
        &["message"],
    ),
    ("message", &["text", "markdown", "id", "arguments", "properties"], &[]),
    (
        "location",
        &["id", "physicalLocation", "logicalLocations", "message", "annotations", "properties"],
        &[],
    ),
    ("physical", &["artifactLocation", "region", "contextRegion", "address", "properties"], &[]),
    ("artifact", &["uri", "uriBaseId", "index", "description", "properties"], &[]),
    (
        "region",
        &[
            "startLine",
            "startColumn",
            "endLine",
            "endColumn",
            "charOffset",
            "charLength",
            "byteOffset",
            "byteLength",
            "snippet",
            "message",
            "properties",
        ],
        &[],
    ),
];

fn holds(kind: &str, value: &Value) {
    let (_, allowed, required) = SCHEMA.iter().find(|(name, _, _)| *name == kind).expect("known");
    let object = value.as_object().unwrap_or_else(|| panic!("{kind} is no object: {value}"));
    for key in object.keys() {
        assert!(allowed.contains(&key.as_str()), "{kind} may not have {key}");
    }
    for key in *required {
        assert!(object.contains_key(*key), "{kind} lacks {key}");
    }
}

fn location_holds(location: &Value) {
    holds("location", location);
    if let Some(message) = location.get("message") {
        holds("message", message);
    }
    let physical = &location["physicalLocation"];
    holds("physical", physical);
    holds("artifact", &physical["artifactLocation"]);
    let uri = physical["artifactLocation"]["uri"].as_str().expect("a uri");
    assert!(!uri.starts_with('/') && !uri.contains(':') && uri.is_ascii() && !uri.contains(' '), "{uri}");
    let region = &physical["region"];
    holds("region", region);
    let number = |key: &str| region[key].as_u64().unwrap_or_else(|| panic!("{key}"));
    assert!(number("startLine") >= 1 && number("startColumn") >= 1);
    let (start, end) =
        ((number("startLine"), number("startColumn")), (number("endLine"), number("endColumn")));
    assert!(start <= end, "{region}");
}

#[test]
fn sarif_has_the_properties_that_the_standard_requires() {
    let place = Place::demo();
    let path = wide(&place);
    let log = place.run(&["check", &path, "--sarif"]).expect(3).json();
    holds("log", &log);
    assert_eq!(log["version"], "2.1.0");
    let run = &log["runs"][0];
    holds("run", run);
    assert_eq!(run["columnKind"], "utf16CodeUnits");
    holds("tool", &run["tool"]);
    holds("driver", &run["tool"]["driver"]);
    let rules = run["tool"]["driver"]["rules"].as_array().expect("rules");
    for rule in rules {
        holds("rule", rule);
        for text in ["shortDescription", "fullDescription", "help"] {
            holds("text", &rule[text]);
        }
        holds("configuration", &rule["defaultConfiguration"]);
        assert!(
            ["none", "note", "warning", "error"]
                .iter()
                .any(|level| rule["defaultConfiguration"]["level"] == *level)
        );
    }
    let results = run["results"].as_array().expect("results");
    assert!(results.len() >= 2);
    for result in results {
        holds("result", result);
        holds("message", &result["message"]);
        assert!(result["message"]["text"].is_string());
        let index = result["ruleIndex"].as_u64().expect("an index") as usize;
        assert_eq!(rules[index]["id"], result["ruleId"]);
        for location in
            ["locations", "relatedLocations"].iter().filter_map(|key| result[*key].as_array()).flatten()
        {
            location_holds(location);
        }
    }
    let skim =
        results.iter().find(|result| result["message"].to_string().contains("wing.skim")).expect("told");
    let column = "after = [\"é😀\", ".encode_utf16().count() + 1;
    assert_eq!(skim["locations"][0]["physicalLocation"]["region"]["startColumn"], column);
    assert_eq!(skim["locations"][0]["physicalLocation"]["artifactLocation"]["uriBaseId"], "ROOT");
    assert_eq!(run["originalUriBaseIds"]["ROOT"]["uri"], "file:///");
}

#[test]
fn a_sound_file_gives_a_whole_document_without_results() {
    let place = Place::empty();
    let log = place.run(&["check", "--sarif"]).expect(0).json();
    let results = log["runs"][0]["results"].as_array().expect("results");
    assert!(results.iter().all(|result| result["level"] == "note"));
}

/// An issued edition in the hangar: a draft of the built-in module, loaded less.
fn with_issued() -> Place {
    let place = Place::demo();
    place.run(&["edition", "draft", "fin-root"]).expect(0);
    let draft = "checklists/fin-root/draft.toml";
    place.edit(draft, |text| text.replacen("max_load = \"15\"", "max_load = \"14\"", 1));
    let draft = place.path(draft).to_string_lossy().into_owned();
    place.run(&["edition", "issue", &draft]).tells(0, &["issued: fin-root 1.1.0"]);
    place
}

#[test]
fn the_register_of_issued_editions_is_no_checklist_and_holds_its_files() {
    let place = with_issued();
    let of = |path: &str| place.path(path).to_string_lossy().into_owned();
    let issued = "checklists/fin-root/1.1.0.toml";
    let all = [
        place.root().to_string_lossy().into_owned(),
        of("checklists"),
        of("checklists/fin-root"),
        of(issued),
    ];
    for path in &all {
        place.run(&["check", path]).tells(0, &["no fault found"]);
    }
    let text = std::fs::read_to_string(place.path(issued)).expect("issued");
    place.edit(issued, |text| text.replacen("lateral flex test", "lateral flex tests", 1));
    for path in &all {
        place
            .run(&["check", path])
            .tells(3, &["issued-altered", "1.1.0.toml:1:1", "entered here", "one fault"]);
    }
    place.write(issued, &text);
    std::fs::remove_file(place.path(issued)).expect("removed");
    place.run(&["check", &all[1]]).tells(3, &["issued-missing", "issued.toml:"]);
    place.write(issued, &text);
    place.edit("checklists/issued.toml", |text| text.replacen("sha256 = \"", "sha256 = \"x", 1));
    place.run(&["check", &all[1]]).tells(3, &["hash-form", "issued.toml:", "one fault"]);
}

#[test]
fn a_draft_stands_for_no_edition() {
    let place = Place::demo();
    place.run(&["edition", "draft", "fin-root", "--version", "1.0.1"]).expect(0);
    place.write(NEXT, &next("Fin root and tail boom: lateral", "Fin root and boom: lateral"));
    let path = place.path(NEXT).to_string_lossy().into_owned();
    place.run(&["check", &path]).tells(0, &["1 edition read, no fault found"]);
}

#[test]
fn a_check_and_its_explanations_are_told_in_german() {
    let place = Place::demo();
    place.write(NEXT, &next("after = [\"records.directives\"]", "after = [\"records.directivs\"]"));
    let path = place.path(NEXT).to_string_lossy().into_owned();
    let answer = place.run(&["--language", "de", "check", &path]);
    answer
        .tells(3, &["[unknown-step]", "„records.directivs“, den es nicht gibt", "check --explain CODE sagt"]);
    place.write(NEXT, &next("Fin root and tail boom: lateral", "Fin root and boom: lateral"));
    place.run(&["--language", "de", "check", &path]).tells(0, &["1 Ausgabe gelesen, kein Fehler gefunden"]);
    place.run(&["--language", "de", "check", "--explain", "unknown-step"]).tells(
        0,
        &[
            "unknown-step (",
            "Ein genannter Schritt (after, follow, tighten, withdraw) ist unter dem",
            "Warum: Kein Plan ließe sich zusammenstellen.",
            "Schlecht (ein erfundenes Beispiel):",
            "after = [\"wing.pins-pley\"]",
            "Gut (ein erfundenes Beispiel):",
        ],
    );
    let sarif = place.run(&["--language", "de", "check", &path, "--sarif"]).expect(0).json();
    let rule = &sarif["runs"][0]["tool"]["driver"]["rules"][0];
    assert!(rule["help"]["markdown"].as_str().is_some_and(|text| text.contains("Schlecht:")), "{rule}");
    assert!(sarif["runs"][0]["results"][0]["ruleId"].is_string());
}

/// Codes, and what a text names of the program or of a file, stand in the same letters in every language.
#[test]
fn explanations_come_from_the_catalogue() {
    let place = Place::empty();
    let list = place.run(&["--language", "qps", "check", "--explain"]).expect(0).out;
    let mut told = 0;
    for line in list.lines().filter(|line| line.starts_with(|c: char| c.is_ascii_lowercase())) {
        let (code, rest) = line.split_once(' ').unwrap_or_default();
        let words = rest.split(|c: char| !c.is_alphabetic());
        let plain: Vec<&str> = words
            .filter(|word| word.len() > 3 && word.is_ascii() && !["error", "advice"].contains(word))
            .collect();
        assert!(plain.is_empty(), "{code}: {plain:?}");
        told += 1;
    }
    assert!(told > 90, "{list}");
    let one = place.run(&["--language", "qps", "check", "--explain", "zero"]).expect(0).out;
    let lines = one.lines().skip(1).filter(|line| !line.starts_with("    "));
    let plain: Vec<&str> = lines
        .flat_map(|line| line.split(|c: char| !c.is_alphabetic()))
        .filter(|word| word.len() > 3 && word.is_ascii())
        .collect();
    assert!(plain.is_empty(), "{plain:?} in {one}");
}
