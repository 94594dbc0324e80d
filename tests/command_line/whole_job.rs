//! From an empty folder to the next annual, by commands and files alone: an airframe with its papers and three reports, a
//! targeted plan, damage found, handed over, mended, inspected again, released and countersigned, and the annual after it that
//! opens with what was left. Everybody and everything is invented.

use serde_json::Value;

use crate::binary::routine::{Routine, list, text};
use crate::binary::{INSPECTOR, PASSPHRASE, Place, SECOND};

const AIRFRAME: &str = "XX-JB1";
const HELPER: &str = "pia-wendle";
/// The step that finds the damage, and one whose defect may wait.
const CAMERA: &str = "fin-root.camera-left";

fn record(place: &Place, list: &str, values: &[&str]) {
    add(place, &[AIRFRAME, list], values);
}

fn add(place: &Place, whereto: &[&str], values: &[&str]) {
    let mut args = [&["record", "add"][..], whereto].concat();
    for value in values {
        args.extend(["--set", value]);
    }
    place.run(&args).expect(0);
}

fn enter_people(place: &Place) {
    place.write(PASSPHRASE, "larkmoor invented demo\n");
    for (id, name, role) in [
        (INSPECTOR, "Tamsin Orrel", "inspector"),
        (SECOND, "Bram Tolvik", "second-inspector"),
        (HELPER, "Pia Wendle", "helper"),
    ] {
        let values = [format!("id={id}"), format!("name={name}"), format!("role={role}")];
        add(place, &["people", "person"], &values.each_ref().map(String::as_str));
    }
    for (id, kind) in [(INSPECTOR, "annual-release"), (SECOND, "independent-inspection")] {
        let kind = format!("kind={kind}");
        let values = [&kind, "number=LM-1", "certificate=invented", "types=*", "valid_until=2099-12-31"];
        add(place, &["people", "authorisation", "--of", id], &values);
        place.run(&["key", "new", id]).expect(0);
    }
}

fn enter_airframe(place: &Place) {
    let mut head = vec!["record", "new", AIRFRAME];
    for value in [
        "type=varn-15",
        "serial=0123",
        "build_standard=A",
        "manufactured=1998-04-02",
        "hours=2100.5",
        "launches=1900",
        "equipment=water-ballast, retractable-gear, cg-hook, brake, radio, battery, electric-system, tail-wheel",
        "last_annual=2025-11-20",
        "hours_at_last_annual=2050.0",
        "deferral.longest_months=12",
    ] {
        head.extend(["--set", value]);
    }
    place.run(&head).expect(0);
    record(place, "directive", &["id=AD-1", "title=Push-rod", "serials=0101..0150", "calendar_months=12"]);
    record(place, "compliance", &["directive=AD-1", "on=2025-11-20", "by=Tamsin Orrel"]);
    record(
        place,
        "directive",
        &["id=AD-2", "title=Later airframes", "serials=0301..", "note=by serial number"],
    );
    record(
        place,
        "life_item",
        &["id=harness", "title=Harness", "manufactured=2024-02-29", "from=manufacture", "months=144"],
    );
    record(place, "weighing", &["date=2024-04-06", "empty_mass_kg=251.2", "empty_cg_mm=605"]);
    for (kind, text) in [
        ("tail-noise", "ticking from behind"),
        ("hail", "ten minutes of hail on the ground"),
        ("radio-fault", "radio cuts out"),
    ] {
        place.run(&["report", "add", AIRFRAME, "--kind", kind, "--text", text]).expect(0);
    }
}

fn targeted(place: &Place) {
    let told = place.run(&["report", "explain", AIRFRAME]).expect(0).out;
    for word in ["ticking from behind", "fin-root", "hail", "radio cuts out"] {
        assert!(told.contains(word), "{word}: {told}");
    }
    let plan = place.run(&["plan", AIRFRAME, "--json"]).expect(0).json();
    let because = |id: &str| {
        list(&plan["steps"]).iter().find(|step| text(&step["id"]) == id).map(|step| step["because"].clone())
    };
    assert!(because(CAMERA).is_some_and(|because| !list(&because).is_empty()), "{CAMERA}");
    place.run(&["order", AIRFRAME, "--people", "2"]).tells(0, &["person-minutes"]);
    place.run(&["due", AIRFRAME]).tells(0, &["AD-1"]);
}

/// Finds the damage, hands it over, and answers the rest of the annual.
fn work_until_not_airworthy(place: &Place) -> Value {
    let plan = place.run(&["plan", AIRFRAME, "--json"]).expect(0).json();
    place.run(&["begin", AIRFRAME]).expect(0);
    place.run_by(HELPER, &["initial", AIRFRAME, CAMERA, "held the lamp and the fin"]).expect(0);
    place.run_by(HELPER, &["answer", AIRFRAME, CAMERA, "fail"]).tells(3, &["initial"]);
    let mut routine = Routine::of(place, AIRFRAME, plan.clone());
    routine.papers();
    routine.steps();
    place.run(&["confirm", AIRFRAME, "tailplane=off"]).expect(0);
    place
        .run(&["answer", AIRFRAME, CAMERA, "fail", "--correct", "seen again on the film: the rib moves"])
        .expect(0);
    let raise = ["defect", "raise", AIRFRAME, "rib 2 broken loose", "--step", CAMERA];
    let place_of = ["--component", "fin", "--side", "left", "--station", "4280", "--severity", "grounding"];
    place.run(&[&raise[..], &place_of].concat()).expect(0);
    place.run(&["defect", "dispose", AIRFRAME, "d1", "refer", "--note", "to the repairer"]).expect(0);
    place.run(&["defects", AIRFRAME, "--picture"]).tells(0, &["rib 2 broken loose", "4280"]);
    place.run(&["handover", AIRFRAME]).tells(0, &["CAUTION", "rib 2 broken loose"]);
    let opening = |height: &str| {
        let args = ["opening", AIRFRAME, "--component", "fin", "--side", "left"];
        [&args[..], &["--station", "4250..4310", "--height", height]]
            .concat()
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
    };
    let ask = |height: &str| place.run(&opening(height).iter().map(String::as_str).collect::<Vec<_>>());
    ask("120..180").tells(0, &["CLEAR"]);
    ask("5000..5100").tells(5, &["CAUTION"]);
    place.run(&["status", AIRFRAME]).tells(3, &["NOT AIRWORTHY"]);
    place.run(&["sign", AIRFRAME, "release", "--confirm", AIRFRAME]).expect(3);
    place.run(&["sign", AIRFRAME, "not-airworthy", "--confirm", AIRFRAME]).expect(0);
    place.run(&["list"]).tells(0, &["NOT AIRWORTHY"]);
    place.run(&["airframe", AIRFRAME]).tells(0, &["rib 2 broken loose"]);
    plan
}

fn mend_and_release(place: &Place, plan: Value) {
    let signed = session(place);
    place.run(&["begin", AIRFRAME, "--continues", &signed, "--reason", "back from the repairer"]).expect(0);
    place.run(&["defect", "rectify", AIRFRAME, "d1", "rib bonded by approved data (invented)"]).expect(0);
    Routine::of(place, AIRFRAME, plan).steps();
    place
        .run(&["defect", "raise", AIRFRAME, "placard faded", "--severity", "minor", "--component", "cockpit"])
        .expect(0);
    let defer = |until: &str| {
        place.run(&["defect", "dispose", AIRFRAME, "d2", "defer", "--until", until, "--note", "legible"]).code
    };
    defer("2098-01-01");
    place.run(&["sign", AIRFRAME, "release", "--confirm", AIRFRAME]).tells(3, &["12 months"]);
    let until = (chrono::Utc::now().date_naive() + chrono::Days::new(200)).to_string();
    assert_eq!(defer(&until), 0);
    place.run(&["sign", AIRFRAME, "release", "--confirm", AIRFRAME]).expect(0);
    place.run_by(SECOND, &["countersign", AIRFRAME]).expect(0);
    place.run(&["verify", AIRFRAME, "--sealed"]).expect(0);
}

fn next_annual(place: &Place) {
    let record =
        std::fs::read_to_string(place.path(&format!("airframes/{}.toml", AIRFRAME))).expect("the record");
    for word in ["placard faded", "dealt_with", "released", "earlier_reading"] {
        assert!(record.contains(word), "{word}: {record}");
    }
    place.run(&["check", &place.root().to_string_lossy()]).expect(0);
    place.run(&["report", "add", AIRFRAME, "--kind", "odd-yaw", "--text", "hunts after a turn"]).expect(0);
    place.run(&["begin", AIRFRAME]).tells(0, &[]);
    let carried = place.run(&["carried", AIRFRAME]).expect(0).out;
    for word in ["placard faded", "hunts after a turn"] {
        assert!(carried.contains(word), "{word}: {carried}");
    }
    let status = place.run(&["status", AIRFRAME, "--json"]).json();
    let four = list(&status["refusals"]).iter().any(|refusal| refusal["number"] == 4);
    assert!(four, "the deferred defect is undecided: {status}");
    let plan = place.run(&["plan", AIRFRAME, "--json"]).expect(0).json();
    let kinds: Vec<&str> = list(&plan["reports"]).iter().map(|report| text(&report["kind"])).collect();
    assert_eq!(kinds, ["odd-yaw"], "what an annual dealt with targets no other");
    place.run(&["show", AIRFRAME]).tells(0, &["placard faded"]);
}

fn session(place: &Place) -> String {
    let listed: Value = place.run(&["list", "--json"]).expect(0).json();
    text(&list(&listed["sessions"])[0]["session"]).to_string()
}

#[test]
fn from_an_empty_folder_to_the_next_annual() {
    let place = Place::empty();
    place.run(&["init"]).expect(0);
    enter_people(&place);
    // Written in an editor, as everything could be.
    place.write("instruments.toml", include_str!("../../demo/hangar/instruments.toml"));
    place.write("flex/sound-fin.csv", include_str!("../../demo/flex/sound-fin.csv"));
    enter_airframe(&place);
    place.run(&["check", &place.root().to_string_lossy()]).expect(0);
    targeted(&place);
    let plan = work_until_not_airworthy(&place);
    mend_and_release(&place, plan);
    next_annual(&place);
}
