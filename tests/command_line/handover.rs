//! The hand-over to the repairer and the check of an opening, over the invented hangar.

use crate::binary::{GLIDER, Place};

const CAUTION: &str = "CAUTION: For an approved composite repairer.";
const TAP_STEP: &str = "fin-root.tap-map";
const TAP_TABLE: &str = include_str!("../../demo/compute/tap.csv");

fn opening<'a>(station: &'a str, height: &'a str) -> Vec<&'a str> {
    vec!["opening", GLIDER, "--component", "fin", "--side", "left", "--station", station, "--height", height]
}

fn with<'a>(args: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
    [args, more].concat()
}

#[test]
fn an_opening_is_clear_cuts_is_near_or_cannot_be_told() {
    // No session yet: the plan as it would be composed now.
    let place = Place::demo();
    let clear = place.run(&opening("4250..4310", "120..180"));
    clear.tells(0, &["CLEAR by the type's data", "Front web", "15 mm are left", CAUTION, "composed now"]);
    place.run(&opening("4250..4340", "120..180")).tells(3, &["TOO NEAR", "15 mm are missing"]);
    // 5 mm away as entered, and the place is known to 5 mm.
    place.run(&opening("4250..4345", "120..180")).tells(3, &["CUTS, or may cut", "within its tolerance"]);
    place.run(&opening("4250..4355", "120..180")).tells(3, &["CUTS", "fin-front-web", "by 5 mm as entered"]);
    place.run(&opening("4250..4310", "1130..1200")).tells(5, &["CANNOT TELL", "1180..1200 mm"]);
    place
        .run(&["opening", GLIDER, "--component", "nose", "--station", "1..2", "--height=-20..20"])
        .tells(5, &["the type's data know the components: fin, tail boom"]);
    place.run(&with(&opening("4250..4310", "120..180"), &["--margin", "36"])).tells(3, &["TOO NEAR"]);
    place.run(&with(&opening("4250..4310", "120..180"), &["--margin", "35 mm"])).tells(0, &["0 mm are left"]);
    place.run(&with(&opening("4.25..4.31 m", "12..18 cm"), &[])).expect(0);
}

#[test]
fn json_of_an_opening_holds_the_figures_as_text() {
    let place = Place::begun();
    let json = place.run(&with(&opening("4250..4355", "120..180"), &["--json"])).expect(3).json();
    assert!(
        json["session"].is_string() && json["caution"].as_str().is_some_and(|text| text.contains("approved"))
    );
    let check = &json["check"];
    assert_eq!(check["outcome"], "cuts");
    assert_eq!(check["margin"]["mm"], "20");
    let cut = &check["cuts"][0];
    assert_eq!(
        (&cut["gap_mm"], &cut["room_mm"], &cut["short_mm"]),
        (&"-5".into(), &"-10".into(), &"30".into())
    );
    assert_eq!(cut["item"]["kind"], "former");
}

#[test]
fn what_is_typed_wrongly_is_told_with_what_is_expected() {
    let place = Place::demo();
    place.run(&opening("4310..4250", "120..180")).tells(2, &["the smaller value comes first"]);
    place.run(&opening("4250", "120..180")).tells(2, &["like \"4250..4310 mm\""]);
    place.run(&with(&opening("1..2", "1..2"), &["--margin", "-3"])).tells(2, &["negative"]);
    place.run(&with(&opening("1..2", "1..2"), &["--margin", "3 N"])).tells(2, &["--margin", "force"]);
    place
        .run(&["opening", "XX-NONE", "--component", "fin", "--station", "1..2", "--height", "1..2"])
        .expect(1);
    place.run(&["handover", GLIDER]).expect(1);
    place.run(&["begin", GLIDER]).expect(0);
    place.run(&["handover", GLIDER]).tells(3, &["no defect is referred", "--defect"]);
    place.run(&["handover", GLIDER, "--defect", "d4"]).tells(3, &["no defect \"d4\"", "none"]);
    place.run(&["handover", GLIDER, "--opening", "fin 1..2"]).tells(2, &["fin left 4250..4310 x 120..180"]);
}

/// A tap map, a broken rib referred to the repairer, and a small thing that is not handed over by itself.
fn referred() -> Place {
    let place = Place::begun();
    place.write("film.txt", "an invented film");
    place.write("tap.csv", TAP_TABLE);
    let (film, table) = (place.path("film.txt"), place.path("tap.csv"));
    place.run(&["read", GLIDER, TAP_STEP, "map", "--file", table.to_str().expect("a path")]).expect(0);
    let raise = ["defect", "raise", GLIDER];
    let rib =
        ["rib broken", "--step", TAP_STEP, "--component", "fin root", "--side", "left", "--station", "4310"];
    place.run(&[&raise[..], &rib, &["--severity", "grounding"]].concat()).expect(0);
    place
        .run(&[&raise[..], &["placard loose", "--component", "cockpit", "--severity", "minor"]].concat())
        .expect(0);
    place.run(&["evidence", GLIDER, film.to_str().expect("a path"), "--defect", "d1"]).expect(0);
    place.run(&["defect", "dispose", GLIDER, "d1", "refer", "--note", "to the invented repairer"]).expect(0);
    place
}

#[test]
fn the_brief_holds_what_the_repairer_needs() {
    let place = referred();
    let text = place
        .run(&["handover", GLIDER, "--opening", "fin left 4250..4310 x 120..180"])
        .tells(
            0,
            &[
                "Hand-over of XX-VA7 to the repairer",
                "Build standard: A",
                "d1 GROUNDING: rib broken",
                "place: fin root, left, station 4310 mm",
                "referred to a repairer",
                "evidence film.txt (16 bytes",
                "Tap map, point by point",
                "fin-antenna-cable: Antenna cable up the fin",
                "place known to ± 15",
                "complete for: fin",
                "CLEAR by the type's data",
                "1. d1: how far does the damage reach",
            ],
        )
        .out;
    assert!(!text.contains("placard") && !text.contains("boom-former"), "{text}");
    // The digest of these 16 bytes, as sha256sum tells it.
    assert!(text.contains(&sha256("an invented film")), "{text}");
    let sections = text.lines().filter(|line| !line.is_empty() && line.chars().all(|c| c == '-')).count();
    assert_eq!(sections, 6, "{text}");
    assert_eq!(text.matches(CAUTION).count(), sections, "the caution stands in every section");
    let widest = text.lines().map(|line| line.chars().count()).max();
    assert!(widest <= Some(80), "{widest:?}");
    let json = place.run(&["handover", GLIDER, "--json"]).expect(0).json();
    let picture = json["steps"][0]["readings"][0]["pictures"][0].as_str().expect("a tap map");
    assert!(picture.lines().count() >= 3 && picture.contains("dull"), "{picture}");
    for line in picture.lines() {
        assert!(text.contains(&format!("    {line}")), "{line} of the tap map is missing in {text}");
    }
}

fn sha256(text: &str) -> String {
    use sha2::{Digest, Sha256};
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn json_of_the_brief_and_the_worst_opening_decides_the_code() {
    let place = referred();
    let args = ["handover", GLIDER, "--defect", "d1", "--defect", "d2", "--json"];
    let json = place.run(&args).expect(0).json();
    assert_eq!(json["defects"].as_array().map(Vec::len), Some(2));
    assert_eq!(json["airframe"]["build_standard"][0], "A");
    assert_eq!(json["steps"][0]["id"], TAP_STEP);
    assert_eq!(json["steps"][0]["readings"][0]["value"]["text"], TAP_TABLE);
    assert_eq!(json["defects"][0]["evidence"][0]["sha256"], sha256("an invented film"));
    // d2 is at no component of the data, so that all items are listed.
    assert_eq!(json["all_components"], true);
    let (clear, cuts, unknown) =
        ("fin left 4250..4310 x 120..180", "fin 4250..4360 x 120..180", "tail boom 1..2 x 3..4");
    let run = |openings: &[&str]| {
        let openings: Vec<&str> = openings.iter().flat_map(|one| ["--opening", one]).collect();
        place.run(&with(&["handover", GLIDER, "--json"], &openings))
    };
    run(&[clear]).expect(0);
    run(&[clear, unknown]).expect(5);
    let json = run(&[clear, unknown, cuts]).expect(3).json();
    assert_eq!(json["openings"][1]["outcome"], "not-mapped");
    assert_eq!(json["openings"][2]["outcome"], "cuts");
    let asked = json["questions"].to_string();
    assert!(
        asked.contains("What lies behind the skin at tail boom") && asked.contains("Front web"),
        "{asked}"
    );
}

/// The fin is found soft by the load; the tap map of the same targeted look goes to the repairer, too.
#[test]
fn a_tap_map_of_the_same_targeted_look_is_in_the_brief() {
    let place = Place::begun();
    place.write("tap.csv", TAP_TABLE);
    let table = place.path("tap.csv");
    place.run(&["read", GLIDER, TAP_STEP, "map", "--file", table.to_str().expect("a path")]).expect(0);
    let step = ["--step", "fin-root.flex-tailplane-off", "--component", "fin", "--severity", "grounding"];
    place.run(&[&["defect", "raise", GLIDER, "fin soft to the left"], &step[..]].concat()).expect(0);
    place.run(&["handover", GLIDER]).tells(
        0,
        &["found by step fin-root.flex-tailplane-off", "of the same targeted look", "1   ·  ·  ·  ▼  ·"],
    );
    let json = place.run(&["handover", GLIDER, "--json"]).expect(0).json();
    assert_eq!(json["steps"][0]["relation"], "found it");
    let map = &json["steps"][1];
    assert_eq!((&map["id"], &map["relation"]), (&TAP_STEP.into(), &"of the same targeted look".into()));
    assert!(map["readings"][0]["pictures"][0].as_str().is_some_and(|picture| picture.contains('▼')));
}
