//! The list of defects with their places, and the picture of the airframe.

use crate::binary::{GLIDER, Place};

/// Two of the Varn 15's outline: the fin begins at 4070 mm, the tail ends at 5010 mm (edition 1.2.0, invented).
fn damaged() -> Place {
    let place = Place::begun();
    let fin = ["--component", "fin", "--side", "left", "--station", "4250", "--severity", "grounding"];
    place.run(&[&["defect", "raise", GLIDER, "crack"][..], &fin].concat()).expect(0);
    place.run(&["defect", "raise", GLIDER, "crazing", "--component", "left wing"]).expect(0);
    place
}

#[test]
fn the_list_tells_where_each_defect_is() {
    let place = Place::begun();
    place.run(&["defects", GLIDER]).tells(0, &["no defect was raised"]);
    let place = damaged();
    place.run(&["defects", GLIDER]).tells(
        0,
        &[
            "d1 grounding: crack [undecided]",
            "where: fin, left, station 4250 mm",
            "station 4250 mm: fin, 180 mm behind its leading edge root",
            "d2 major: crazing",
            "outside the steps",
            "no evidence file",
        ],
    );
    place
        .run(&["defect", "dispose", GLIDER, "d2", "defer", "--until", "2099-01-01", "--note", "cosmetic"])
        .expect(0);
    place
        .run(&["defects", GLIDER])
        .tells(0, &["decided: defer until 2099-01-01: cosmetic", "limit: 2099-01-01"]);
}

#[test]
fn the_picture_marks_them_and_json_holds_it() {
    let place = damaged();
    let ways =
        ["from the left", "from above", "1L", "right wing", "left wing", "1 d1: fin, left", "drawing 2"];
    place.run(&["defects", GLIDER, "--picture"]).tells(0, &ways);
    let json = place.run(&["defects", GLIDER, "--json", "--picture", "--ascii"]).expect(0).json();
    assert_eq!(json["defects"][0]["station_mm"], "4250");
    assert_eq!(json["defects"][0]["grounds"], true);
    assert_eq!(json["defects"][1]["on_airframe"], serde_json::Value::Null);
    let lines = json["picture"]["lines"].as_array().expect("lines");
    assert!(lines.iter().filter_map(serde_json::Value::as_str).all(str::is_ascii), "{lines:?}");
    assert!(place.run(&["defects", GLIDER, "--json"]).expect(0).json()["picture"].is_null());
}

#[test]
fn a_station_off_the_airframe_is_recorded_with_a_warning() {
    let place = Place::begun();
    place
        .run(&["defect", "raise", GLIDER, "dent", "--component", "fin", "--station", "9400"])
        .tells(0, &["look again: station 9400 mm lies behind the tail end (5010 mm)", "saved"]);
    place.run(&["defects", GLIDER]).tells(0, &["station 9400 mm"]);
}

#[test]
fn the_brief_has_the_picture() {
    let place = damaged();
    place
        .run(&["handover", GLIDER, "--defect", "d1"])
        .tells(0, &["from the left, nose to the left", "1L", "1 d1: fin, left, station 4250 mm"]);
}
