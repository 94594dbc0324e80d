//! Rules against steps, and where each step was written.

use crate::binary::{GLIDER, Place};

#[test]
fn coverage_of_a_plan_a_session_and_a_checklist() {
    let place = Place::begun();
    let plan = place.run(&["coverage", GLIDER]).expect(0).out;
    place.run(&["coverage", GLIDER]).tells(
        0,
        &[
            "43D(c)(2)",
            "harness.webbing",
            "withdrawn by varn-15-supplement",
            "only if fitted",
            "0 NOT COVERED",
        ],
    );
    let folder = place.session_folder(GLIDER);
    let sid = folder.file_name().and_then(|name| name.to_str()).expect("an id");
    let of_session = place.run(&["coverage", sid]).expect(0).out;
    let body = |text: &str| text.split_once('\n').map(|(_, rest)| rest.to_string());
    assert_eq!(body(&of_session), body(&plan));
    place.run(&["coverage", "--checklist", "fin-root"]).tells(0, &["module fin-root 1.0.0", "NOT COVERED"]);
    let rows = place.run(&["coverage", "--csv"]).expect(0).out;
    let mut reader = csv::Reader::from_reader(rows.as_bytes());
    let lines: Vec<csv::StringRecord> = reader.records().collect::<Result<_, _>>().expect("CSV");
    assert!(
        lines
            .iter()
            .any(|line| &line[1] == "43D(a)" && &line[6] == "preparation.clean" && &line[4] == "seen")
    );
    let json = place.run(&["coverage", GLIDER, "--json"]).expect(0).json();
    assert_eq!(json["whole"], true);
    place.run(&["coverage", "nowhere"]).tells(1, &["neither an airframe nor a session"]);
}

#[test]
fn coverage_tells_what_an_own_programme_leaves_out() {
    let place = Place::demo();
    place.run(&["edition", "draft", "composite-sailplane"]).expect(0);
    let programme = "checklists/composite-sailplane/draft.toml";
    place.edit(programme, |text| {
        text.replace("\"43D(c)(2)\", ", "").replace("\"43D(c)(2)\"", "\"common practice\"")
    });
    let path = place.path(programme).to_string_lossy().into_owned();
    place.run(&["coverage", "--checklist", &path]).tells(3, &["1 NOT COVERED: 43D(c)(2)"]);
}

#[test]
fn a_plan_tells_the_line_of_each_step_and_of_what_a_supplement_changed() {
    let place = Place::demo();
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    let supplement: Vec<&str> =
        include_str!("../../checklists/varn-15-supplement/1.1.0.toml").lines().collect();
    let line = |value: &serde_json::Value| {
        let line = value["line"].as_u64().expect("a line");
        supplement[usize::try_from(line).expect("small") - 1]
    };
    let mut changes = 0;
    for step in plan["steps"].as_array().expect("steps") {
        for change in step["changes"].as_array().expect("changes") {
            assert_eq!(line(change), format!("step = {}", step["id"]));
            changes += 1;
        }
    }
    assert!(changes > 20, "{changes}");
    for step in plan["withdrawn"].as_array().expect("withdrawn") {
        assert_eq!(line(step), format!("step = {}", step["id"]));
    }
    place.run(&["plan", GLIDER]).tells(
        0,
        &["changed by varn-15-supplement/1.1.0.toml:", "withdrawn by varn-15-supplement/1.1.0.toml:"],
    );
}
