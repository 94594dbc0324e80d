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
