//! The paper worksheet before the work.

use super::html::elements;
use super::made::{tool, walked};
use crate::binary::{GLIDER, Place};

#[test]
fn every_open_step_has_its_boxes_in_hangar_order() {
    let place = Place::demo();
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    let order = place.run(&["order", GLIDER, "--json"]).expect(0).json();
    let html = place.run(&["worksheet", GLIDER, "--form", "html", "--out", "-"]).expect(0).out;
    elements(&html);
    let blocks = order["order"]["blocks"].as_array().expect("blocks");
    let ids = blocks.iter().flat_map(|block| block["steps"].as_array().expect("steps"));
    let ids: Vec<&str> = ids.map(|step| step["id"].as_str().expect("an id")).collect();
    assert_eq!(ids.len(), plan["steps"].as_array().expect("steps").len());
    let mut rest = html.as_str();
    for id in ids {
        let at = rest.find(&format!("  {id}")).unwrap_or_else(|| panic!("{id} is missing or out of turn"));
        rest = &rest[at..];
        assert!(rest.split("</tr>").next().is_some_and(|row| row.contains("☐ ✓   ☐ ✗")), "{id}");
    }
}

#[test]
fn a_running_session_leaves_out_what_is_done_and_tells_its_code() {
    let text = walked().run(&["worksheet", "XX-DR4", "--form", "text"]).expect(0).out;
    assert!(text.contains("code ") && text.contains("entries"));
    assert!(text.contains("107 in"), "30 of 137 are answered");
    assert!(!text.contains("records.identity"), "it is answered");
    assert!(text.matches("PAPER WORKSHEET: enter what is written here").count() >= 2);
    walked().run(&["worksheet", "XX-NONE"]).expect(1);
}

#[test]
fn it_fits_both_papers_and_warns_before_trestles() {
    let place = walked();
    for paper in ["a4", "letter"] {
        let file = place.beside(&format!("sheet-{paper}.pdf"));
        let out = file.to_str().expect("a path");
        place.run(&["worksheet", "XX-VB2", "--paper", paper, "--out", out]).tells(0, &["written"]);
        let Some(text) = tool("pdftotext", &["-layout", out, "-"]) else { return };
        let pages: Vec<&str> = text.split('\u{c}').filter(|page| !page.trim().is_empty()).collect();
        assert!(
            pages[1].contains("Steps in hangar order"),
            "names, codes and defects stand on one page: {}",
            pages[1]
        );
        assert!(text.contains("nobody under an airframe on trestles"));
        // What goes on overleaf is named by its step, not by the boxes to tick.
        let goes_on: Vec<&str> = text.lines().filter(|line| line.contains("(continued)")).collect();
        assert!(!goes_on.is_empty() && goes_on.iter().all(|line| !line.contains('☐')), "{goes_on:?}");
    }
}
