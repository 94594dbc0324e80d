//! Airframes and registers as tables: out and in again, and everything that must not be written.

use crate::binary::{Place, contents};

fn put(place: &Place, name: &str, text: &str) -> String {
    let path = place.beside(name);
    std::fs::write(&path, text).expect("written");
    path.to_string_lossy().into_owned()
}

#[test]
fn what_is_exported_is_imported_into_an_empty_hangar_and_comes_out_the_same() {
    let place = Place::demo();
    let new = Place::empty();
    new.run(&["init"]).expect(0);
    for what in ["airframes", "instruments"] {
        let told = place.run(&["export", what, "--csv"]).expect(0).out;
        // RFC 4180, section 2, rule 1: each record ends with CR LF.
        assert!(told.ends_with("\r\n") && told.lines().count() > 3, "{told}");
        let file = put(&new, what, &told);
        new.run(&["import", what, &file, "--dry-run"]).tells(0, &["nothing was written"]);
        assert_ne!(new.run(&["export", what]).expect(0).out, told);
        new.run(&["import", what, &file]).tells(0, &["written"]);
        assert_eq!(new.run(&["export", what]).expect(0).out, told);
        // The same once more changes not a byte.
        let before = contents(&new.root());
        new.run(&["import", what, &file]).tells(3, &["is there already", "--update"]);
        new.run(&["import", what, &file, "--update"]).tells(0, &["as it was"]);
        assert_eq!(contents(&new.root()), before);
    }
}

#[test]
fn the_other_lists_are_exported_with_the_airframe_that_they_belong_to() {
    let place = Place::demo();
    for (what, words) in [
        ("people", &["id,name,role,authorisation.kind", "tamsin-orrel,", ",annual-release,"][..]),
        ("life-items", &["registration,id,title,part_number", "XX-VA7,harness,"]),
        ("directives", &["registration,id,title,bulletin", "XX-VA7,AD-V15-2019-02,"]),
    ] {
        place.run(&["export", what]).tells(0, words);
    }
    let out = place.beside("people.csv").to_string_lossy().into_owned();
    place.run(&["export", "people", "--csv", "--out", &out]).tells(0, &["people.csv"]);
    place.run(&["export", "people", "--csv", "--out", &out]).tells(1, &["something of that name is there"]);
    let json = place.run(&["export", "airframes", "--json"]).expect(0).json();
    assert_eq!(json["rows"].as_array().map(Vec::len), Some(4));
    // What cannot be read is not left out in silence.
    place.write("airframes/XX-BAD.toml", "registration = ");
    place.run(&["export", "airframes"]).tells(1, &["not exported", "XX-BAD.toml:1:"]);
}

#[test]
fn every_fault_of_a_table_is_told_and_then_nothing_is_written() {
    let place = Place::demo();
    let before = contents(&place.root());
    let text = "registration,type,serial,hours,launches,equipment,hour\r\n\
                XX-N01,varn-15,0107,10.5,12,,\r\n\
                XX-N02,varn-15,0108,ten,12.5,\"oxygen, sofa\",\r\n\
                XX-N03,,0109,\"10,5\",,,\r\n\
                XX-N01,varn-15,0110,1,,,\r\n\
                XX-VA7,varn-15,0101,1,,,\r\n\
                XX-N04,varn-15\r\n";
    let file = put(&place, "fleet.csv", text);
    let told = [
        "fleet.csv: line 1: hour: there is no key of this name; did you mean \"hours\"?",
        "line 3: hours: ",
        "line 3: launches: ",
        "line 3: equipment: ",
        "line 4: type: \"type\" is missing",
        "line 4: hours: \"10,5\" has a comma",
        "line 5: \"XX-N01\" stands in line 2, too",
        "line 6: a record of XX-VA7 is there already",
        "line 7: the row has 2 cells",
        "nothing was written",
    ];
    place.run(&["import", "airframes", &file]).tells(3, &told);
    let json = place.run(&["import", "airframes", &file, "--json"]).expect(3).json();
    assert!(json["faults"].as_array().is_some_and(|faults| faults.len() >= 9) && json["written"] == false);
    // What only the file's own reader knows comes with the key, too.
    let file = put(
        &place,
        "i.csv",
        "id,title,quantity,unit,uncertainty\nnew-1,New,length,mm,0.1\nnew-2,New,length,furlong,0.1\n",
    );
    place
        .run(&["import", "instruments", &file])
        .tells(3, &["line 3: unit:", "furlong", "nothing was written"]);
    place.run(&["import", "instruments", "nowhere.csv"]).tells(1, &["nowhere.csv", "check the path"]);
    assert_eq!(contents(&place.root()), before);
}

#[test]
fn an_update_changes_its_keys_and_leaves_lists_and_remarks() {
    let place = Place::demo();
    let path = place.path("airframes/XX-VA7.toml");
    let text = std::fs::read_to_string(&path).expect("read");
    let file = put(
        &place,
        "a.csv",
        "\u{feff}registration;hours;owner;launches\r\nXX-VA7;3001,5;\"Invented club,\r\nroom 2\";\r\n",
    );
    place.run(&["import", "airframes", &file, "--update", "--json"]).tells(0, &["\"updated\"", "XX-VA7"]);
    let after = std::fs::read_to_string(&path).expect("read");
    let changed: Vec<&str> = after.lines().filter(|line| !text.lines().any(|old| old == *line)).collect();
    assert!(after.contains("hours = \"3001.5\"") && !changed.is_empty() && changed.len() <= 4, "{changed:?}");
    let remarks =
        |text: &str| text.lines().filter(|line| line.contains('#')).map(str::to_string).collect::<Vec<_>>();
    assert_eq!(remarks(&after), remarks(&text));
    let file = put(&place, "i.csv", "id,calibration_due\ndial-25,2031-01-31\n");
    place.run(&["import", "instruments", &file, "--update"]).tells(0, &["changed: dial-25", "written"]);
    place.run(&["instruments", "--json"]).tells(0, &["2031-01-31"]);
}

/// OWASP, "CSV Injection" (from memory): cells that begin with = + - @ are run by spreadsheets. They are told, never changed.
#[test]
fn a_text_that_looks_like_a_formula_is_told_and_kept_as_it_is() {
    let place = Place::demo();
    place.run(&["record", "change", "XX-VA7", "--set", "owner=@SUM(1+1)"]).expect(0);
    let answer = place.run(&["export", "airframes", "--csv"]).expect(0);
    assert!(answer.out.contains(",@SUM(1+1),"), "{}", answer.out);
    assert!(answer.err.contains("owner: begins with '@'"), "{}", answer.err);
}
