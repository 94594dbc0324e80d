//! From the printed worksheet to the record by commands: print, write, enter, look at it everywhere.

use std::io::Write;
use std::process::Stdio;

use crate::binary::{GLIDER, INSPECTOR, Place};

/// The code at the foot of a sheet in text.
fn code_of(sheet: &str) -> String {
    let is_code =
        |text: &&str| text.as_bytes().get(4) == Some(&b'-') && text.as_bytes().get(9) == Some(&b'-');
    let found = sheet.split("sheet ").find(is_code).expect("the sheet tells its code");
    found.chars().take_while(|c| !c.is_whitespace()).collect()
}

fn print(place: &Place) -> String {
    code_of(&place.run(&["worksheet", GLIDER, "--form", "text"]).expect(0).out)
}

fn today(place: &Place) -> String {
    let told = place.run(&["instruments", "--json"]).expect(0).json();
    told["on"].as_str().expect("a day").to_string()
}

/// The number before a step on the sheet.
fn number_of(place: &Place, step: &str) -> String {
    let order = place.run(&["order", GLIDER, "--json"]).expect(0).json();
    let blocks = order["order"]["blocks"].as_array().expect("blocks").clone();
    let ids = blocks.iter().flat_map(|block| block["steps"].as_array().expect("steps").clone());
    let at = ids.into_iter().position(|found| found["id"] == step).unwrap_or_else(|| panic!("no {step}"));
    (at + 1).to_string()
}

fn enter(place: &Place, code: &str, day: &str, more: &[&str]) -> crate::binary::Answer {
    let fixed = ["worksheet", "enter", GLIDER, "--sheet", code, "--written", day];
    place.run_by(INSPECTOR, &[&fixed, more].concat())
}

#[test]
fn every_form_of_the_sheet_bears_code_and_numbers() {
    let place = Place::begun();
    let code = print(&place);
    let number = number_of(&place, "gear.tyre-pressure");
    for form in ["text", "html"] {
        let sheet = place.run(&["worksheet", GLIDER, "--form", form, "--out", "-"]).expect(0).out;
        assert!(sheet.contains(&format!("sheet {code}")), "{form}: the foot");
        assert!(sheet.contains(&format!("{number}  ")) || sheet.contains(&format!("{number} ")), "{form}");
        assert!(sheet.contains(&format!("{number}a ")), "{form}: its measurement");
        assert!(sheet.contains("B1"), "{form}: the block");
    }
    assert_eq!(print(&place), code, "the same record prints the same sheet");
    place.run(&["note", GLIDER, "cold"]).expect(0);
    assert_ne!(print(&place), code);
}

#[test]
fn the_whole_way_from_the_sheet_to_report_and_verification() {
    let place = Place::begun();
    let (code, day) = (print(&place), today(&place));
    let tyre = number_of(&place, "gear.tyre-pressure");
    let identity = number_of(&place, "records.identity");
    let rows = format!(
        "# invented\n\nB1 p\n{identity} p plates read\n{tyre}a 3.05 bar with tyre-gauge\n{tyre} p\n{tyre} t valve cap missing\n"
    );
    std::fs::write(place.beside("rows.txt"), rows).expect("written");
    enter(&place, &code, &day, &["--from", "rows.txt", "--check"])
        .tells(0, &["checked, nothing was recorded; it would make 5 entries"]);
    assert!(!place.run(&["show", GLIDER]).expect(0).out.contains("from paper"));
    // A helper worked the tyre: what was ticked is the helper's, until it is accepted.
    enter(&place, &code, &day, &["--from", "rows.txt", "--written-by", "pia-wendle", "--accept"])
        .tells(0, &["saved from paper: 7 entries"]);
    enter(&place, &code, &day, &["--from", "rows.txt", "--written-by", "pia-wendle", "--accept"])
        .tells(0, &["stands in the record already", "nothing was recorded"]);

    let words = format!("from paper, written {day} by Pia Wendle, sheet {code} line {tyre}a");
    let shown = place.run(&["show", GLIDER]).expect(0).out;
    assert!(shown.contains(&words) && shown.contains("; entered "), "{shown}");
    assert!(shown.contains("by Tamsin Orrel"), "{shown}");
    place.run(&["show", GLIDER, "--entries"]).tells(0, &[&words]);
    place.run(&["replay", GLIDER]).tells(0, &[&words]);
    place.run(&["replay", GLIDER, "--step", "gear.tyre-pressure"]).tells(0, &["from paper"]);
    place.run(&["verify", GLIDER]).tells(0, &["7 entries stood on paper first", &code]);
    for form in ["text", "html"] {
        let report = place.run(&["report", GLIDER, "--form", form, "--out", "-"]).expect(0).out;
        let report = report.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(report.contains(&format!("written {day} by Pia Wendle, sheet {code}")), "{form}: {report}");
    }
    let json = place.run(&["report", GLIDER, "--form", "json", "--out", "-"]).expect(0).out;
    let json: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let steps = json["sections"]
        .as_array()
        .expect("sections")
        .iter()
        .flat_map(|section| section["steps"].as_array().expect("steps"));
    let tyre_facts = steps.into_iter().find(|step| step["id"] == "gear.tyre-pressure").expect("the step");
    assert_eq!(tyre_facts["readings"][0]["from_paper"]["written_by"], "pia-wendle");
    assert_eq!(tyre_facts["readings"][0]["by"], INSPECTOR);
    let csv =
        place.run(&["report", GLIDER, "--form", "csv", "--only", "readings", "--out", "-"]).expect(0).out;
    assert!(csv.contains("from_paper") && csv.contains(&words), "{csv}");
}

#[test]
fn rows_are_arguments_too_and_json_tells_the_entries() {
    let place = Place::begun();
    let (code, day) = (print(&place), today(&place));
    let told =
        enter(&place, &code, &day, &["--row", "1 t seen", "--row", "2 t seen", "--json"]).expect(0).json();
    assert_eq!(told["entries"].as_array().expect("entries").len(), 2);
    assert_eq!(told["sheet"], code.as_str());
    let refused = enter(&place, &code, &day, &["--row", "1 q", "--json"]).expect(3).json();
    assert_eq!(refused["code"], 3);
}

#[test]
fn what_cannot_be_is_refused_and_nothing_recorded() {
    let place = Place::begun();
    let (code, day) = (print(&place), today(&place));
    let before = place.run(&["show", GLIDER, "--entries"]).expect(0).out;
    for (args, words) in [
        (vec!["--row", "9999 p"], "has no line \"9999\""),
        (vec!["--row", "1 p", "--row", "1 p"], "answered already"),
        (vec!["--row", "# nothing"], "nothing is entered"),
        (vec!["--row", "1 p", "--written-by", "nobody-here"], "nobody-here"),
    ] {
        let answer = enter(&place, &code, &day, &args);
        assert_ne!(answer.code, 0, "{args:?}");
        let code = answer.code;
        answer.tells(code, &[words]);
    }
    enter(&place, &code, "2020-01-01", &["--row", "1 p"])
        .tells(3, &["was printed after", "nothing was recorded"]);
    enter(&place, &code, "2099-01-01", &["--row", "1 p"]).tells(3, &["cannot have been written"]);
    enter(&place, &code, "soon", &["--row", "1 p"]).tells(2, &["--written"]);
    enter(&place, "AAAA-AAAA-00", &day, &["--row", "1 p"]).expect(3);
    place
        .run_by(
            INSPECTOR,
            &["worksheet", "enter", "XX-DR4", "--sheet", &code, "--written", &day, "--row", "1 p"],
        )
        .tells(3, &["was not printed of session"]);
    assert_eq!(place.run(&["show", GLIDER, "--entries"]).expect(0).out, before);
}

#[test]
fn a_sheet_printed_before_the_annual_is_entered_into_it() {
    let place = Place::demo();
    let code = print(&place);
    place.run(&["begin", GLIDER]).expect(0);
    let day = today(&place);
    enter(&place, &code, &day, &["--row", "1 p"]).tells(0, &["saved from paper: entry "]);
}

#[test]
fn rows_come_from_standard_input() {
    let place = Place::begun();
    let (code, day) = (print(&place), today(&place));
    let root = place.root();
    let mut child = place
        .command()
        .args(["--hangar", &root.to_string_lossy(), "--by", INSPECTOR])
        .args(["worksheet", "enter", GLIDER, "--sheet", &code, "--written", &day])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("it starts");
    let mut stdin = child.stdin.take().expect("its input");
    stdin.write_all(b"1 t seen\r\n\n2 t seen\n").expect("written");
    drop(stdin);
    let output = child.wait_with_output().expect("it ends");
    let told = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success() && told.contains("saved from paper: 2 entries"), "{told}");
}
