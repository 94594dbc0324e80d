//! The schema and the reference that are handed out are what the program prints.

use crate::binary::Place;

#[test]
fn the_printed_schema_and_reference_are_the_files_beside_the_checklists() {
    let place = Place::empty();
    let schema = place.bare(["schema", "checklist"]).expect(0);
    assert_eq!(schema.json()["$schema"], "http://json-schema.org/draft-07/schema#");
    assert!(
        schema.out == include_str!("../../checklists/schema/checklist.schema.json"),
        "the file is not current"
    );
    let reference =
        place.bare(["schema", "--reference"]).tells(0, &["# Checklist format 1", "#:schema ../schema/"]);
    assert!(reference.out == include_str!("../../checklists/FORMAT.md"), "the file is not current");
    place.bare(["schema"]).expect(2);
    place.bare(["schema", "nonsense"]).tells(2, &["checklist"]);
}

#[test]
fn the_reference_and_the_schema_are_german_for_who_reads_german() {
    let place = Place::empty();
    let reference = place.bare(["--language", "de", "schema", "--reference"]).tells(
        0,
        &[
            "# Prüflistenformat 1",
            "| Schlüssel | Art | nötig |",
            "Ausgabetag, ohne Anführungszeichen.",
            "| `minutes` | ganze Zahl | nein | `5` | min | Zeit, die er braucht",
            "## Rüstzustand",
        ],
    );
    let rows = |text: &str| text.lines().filter(|line| line.starts_with("| `")).count();
    assert_eq!(rows(&reference.out), rows(include_str!("../../checklists/FORMAT.md")));
    let schema = place.bare(["--language", "de", "schema", "checklist"]).expect(0).json();
    assert_eq!(schema["properties"]["issued"]["description"], "Ausgabetag, ohne Anführungszeichen.");
    assert_eq!(schema["properties"]["kind"]["enum"][0], "programme");
}
