//! `record` and `init`: from an empty folder to an annual that can be begun, and what is said to wrong words.

use std::ffi::OsString;

use crate::binary::{Answer, Place};

/// In nobody's name: records and registers are the hangar's.
fn run<'a>(place: &Place, args: impl IntoIterator<Item = &'a str>) -> Answer {
    let root = place.root();
    let head = [OsString::from("--hangar"), root.into_os_string()];
    place.bare(head.into_iter().chain(args.into_iter().map(OsString::from)))
}

fn person(place: &Place) {
    run(place, ["init"]).expect(0);
    let set = ["--set", "id=ada-example", "--set", "name=Ada Example", "--set", "role=inspector"];
    run(place, ["record", "add", "people", "person"].into_iter().chain(set)).expect(0);
}

fn airframe(place: &Place) {
    let set = ["--set", "type=varn-15", "--set", "serial=0107", "--set", "hours=10,50"];
    run(place, ["record", "new", "XX-EX1"].into_iter().chain(set)).expect(0);
}

#[test]
fn from_an_empty_folder_to_an_annual() {
    let place = Place::empty();
    run(&place, ["init"])
        .tells(0, &["made", "people.toml", "spanwise record add people person", "spanwise key new"]);
    run(&place, ["init"]).tells(0, &["there"]);
    person(&place);
    airframe(&place);
    let report = [
        "record",
        "add",
        "XX-EX1",
        "report",
        "--set",
        "kind=tail-noise",
        "--set",
        "date=2026-09-06",
        "--set",
    ];
    let first = run(&place, report.into_iter().chain(["text=it creaks", "--json"])).expect(0).json();
    assert_eq!(first["written"]["id"], "r1");
    assert_eq!(first["written"]["text"], "it creaks");
    assert_eq!(first["list"], "report");
    let second = run(&place, report.into_iter().chain(["text=again", "--json"])).expect(0).json();
    assert_eq!(second["written"]["id"], "r2", "a free id is proposed");
    let changed = ["record", "change", "XX-EX1", "report", "r2", "--set", "by=a pilot", "--json"];
    assert_eq!(run(&place, changed).expect(0).json()["written"]["by"], "a pilot");
    run(&place, ["record", "remove", "XX-EX1", "report", "2"]).tells(0, &["taken out"]);
    run(&place, ["record", "change", "XX-EX1", "--set", "hours=11", "--json"])
        .tells(0, &["\"hours\": \"11\""]);
    run(&place, ["list"]).tells(0, &["XX-EX1", "11 h", "1 report"]);
    run(&place, ["begin", "XX-EX1", "--by", "ada-example"]).expect(0);
    run(&place, ["record", "remove", "XX-EX1", "report", "r1"])
        .tells(3, &["composed from report r1", "set aside"]);
    run(&place, ["record", "change", "XX-EX1", "--set", "registration=XX-EX2"])
        .tells(3, &["sessions of XX-EX1"]);
    run(&place, ["record", "remove", "people", "person", "ada-example"])
        .tells(3, &["appears in the session"]);
}

#[test]
fn an_authorisation_belongs_to_a_person() {
    let place = Place::empty();
    person(&place);
    let set = [
        "--set",
        "kind=annual-release",
        "--set",
        "number=1",
        "--set",
        "certificate=invented",
        "--set",
        "types=*",
        "--set",
        "valid_until=2030-12-31",
    ];
    let add = ["record", "add", "people", "authorisation"];
    run(&place, add.into_iter().chain(set)).tells(2, &["--of PERSON"]);
    run(&place, add.into_iter().chain(["--of", "ada-exampel"]).chain(set))
        .tells(1, &["did you mean \"ada-example\""]);
    let done =
        run(&place, add.into_iter().chain(["--of", "ada-example", "--json"]).chain(set)).expect(0).json();
    assert_eq!(done["written"]["valid_until"], "2030-12-31");
    let change =
        ["record", "change", "people", "authorisation", "1", "--of", "ada-example", "--set", "number=2"];
    run(&place, change).expect(0);
    let text = std::fs::read_to_string(place.root().join("people.toml")).expect("there");
    assert!(text.contains("number = \"2\"") && text.starts_with("# Who works here"), "{text}");
}

#[test]
fn wrong_words_are_told_and_nothing_is_written() {
    let place = Place::empty();
    person(&place);
    airframe(&place);
    let path = place.root().join("airframes/XX-EX1.toml");
    let before = std::fs::read(&path).expect("there");
    let add = |set: &[&str]| {
        run(
            &place,
            ["record", "add", "XX-EX1", "report"]
                .into_iter()
                .chain(set.iter().flat_map(|set| ["--set", *set])),
        )
    };
    add(&["kind=tail-nois", "date=tomorrow", "txt=x"]).tells(
        3,
        &["did you mean \"tail-noise\"", "a date such as", "no key \"txt\"", "did you mean \"text\""],
    );
    add(&["kind=hail"]).tells(1, &["\"date\"", "\"text\"", "XX-EX1.toml:"]);
    add(&["kind"]).tells(3, &["KEY=VALUE"]);
    run(&place, ["record", "add", "XX-EX2", "report"]).tells(1, &["no airframe \"XX-EX2\"", "XX-EX1"]);
    run(&place, ["record", "add", "XX-EX1", "reports"]).tells(2, &["did you mean \"report\""]);
    run(&place, ["record", "change", "XX-EX1"]).tells(2, &["--set KEY=VALUE"]);
    run(&place, ["record", "change", "XX-EX1", "--unset", "type"]).tells(1, &["lacks \"type\""]);
    run(&place, ["record", "change", "XX-EX1", "report", "r1", "--set", "by=x"])
        .tells(1, &["has no report \"r1\""]);
    run(&place, ["record", "new", "xx-ex1", "--set", "type=a", "--set", "serial=1", "--set", "hours=1"])
        .tells(3, &["already"]);
    assert_eq!(std::fs::read(&path).expect("there"), before);
}

#[test]
fn the_keys_are_told_with_their_forms() {
    let place = Place::empty();
    run(&place, ["record", "keys"]).tells(0, &["life_item: ", "* registration", "authorisation: "]);
    run(&place, ["record", "keys", "report"])
        .tells(0, &["heavy-landing", "in the pilot's own words", "* needed"]);
    let told = run(&place, ["record", "keys", "defect", "--json"]).expect(0).json();
    assert_eq!(told[0]["list"], "defect");
    assert!(told[0]["keys"].as_array().is_some_and(|keys| keys.len() == 15));
    run(&place, ["record", "keys", "reprot"]).tells(2, &["did you mean \"report\""]);
}
