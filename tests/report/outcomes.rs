//! What the papers say for each outcome.

use spanwise::event::{Discrepancy, Event, Outcome, SignedOff};
use spanwise::session::Request;
use spanwise::signoff::statement;

use super::made::{bench, forms};
use crate::support::{Bench, day};

fn signed(bench: &mut Bench, outcome: Outcome) {
    let today = day("2026-11-25");
    let discrepancies = match outcome {
        Outcome::Release => Vec::new(),
        Outcome::NotAirworthy => {
            vec![Discrepancy { from: "d1".into(), text: "grounding: rib broken".into() }]
        }
    };
    let event = Event::SignedOff(SignedOff {
        by: bench.actor("ada"),
        outcome,
        statement: statement(outcome, today),
        certificate: "invented".into(),
        authorisation: "A1".into(),
        date: today,
        hours: bench.plan.airframe.hours,
        launches: 900,
        count: bench.state.entries,
        head: bench.state.head.clone(),
        plan: "00".repeat(32),
        evidence: "00".repeat(32),
        discrepancies,
        seal: None,
    });
    bench.append(event);
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn not_airworthy_is_unmistakable_and_the_list_is_a_paper_of_its_own() {
    let mut session = bench("rib broken");
    signed(&mut session, Outcome::NotAirworthy);
    let made = forms(&session);
    assert!(made.text.matches("*** NOT AIRWORTHY: this is no release to service ***").count() >= 13);
    assert!(!made.text.contains("DRAFT"));
    let text = flat(&made.text);
    // 14 CFR 43.11(a)(5): the statement with the date of the list; (b): the list, signed and dated.
    assert!(text.contains(
        "I certify that this aircraft has been inspected in accordance with annual inspection and a list of \
         discrepancies and unairworthy items dated 2026-11-25 has been provided for the aircraft owner or operator."
    ));
    let list = made.text.split("List of discrepancies").nth(1).expect("the list");
    let list = list.split("\n====").nth(1).expect("its content");
    assert!(
        list.contains("grounding: rib broken") && list.contains("2026-11-25") && list.contains("Ada Finch")
    );
    assert!(text.contains("No certificate of release to service is printed"));
    assert!(!text.contains("considered ready for release to service"));
    assert!(made.html.contains("NOT AIRWORTHY"));
}

#[test]
fn a_release_holds_the_elements_of_both_rules() {
    let mut session = Bench::new();
    signed(&mut session, Outcome::Release);
    let text = flat(&forms(&session).text);
    // 14 CFR 43.11(a)(1) to (4).
    for element in [
        "Type and extent of inspection: Annual inspection",
        "Date: 2026-11-25",
        "Total time in service: 1200.5 h, 900 launches",
        "Signature: Ada Finch; not signed with a key: valid with the signature by hand below",
        "Certificate number: A1",
        "Kind of certificate: invented",
        "and was determined to be in airworthy condition.",
    ] {
        assert!(text.contains(element), "{element}: {text}");
    }
    // ML.A.801(e), from memory.
    let release = text.split("Certificate of release to service, Part-ML").nth(1).expect("the certificate");
    let frame = &session.plan.airframe;
    for element in [
        &format!("Aircraft: {}", frame.registration),
        &format!("serial {}", frame.serial),
        "Maintenance carried out:",
        "Defects rectified: none",
        "Completed: 2026-11-25",
        "Released by: Ada Finch",
        "Limitations:",
    ] {
        assert!(release.contains(element), "{element}");
    }
    assert!(text.contains("the aircraft is considered ready for release to service."));
    assert!(text.contains("from memory"));
}

#[test]
fn a_damaged_record_says_so_in_every_form() {
    let mut session = Bench::new();
    session.integrity = vec!["line 7 does not verify".into()];
    let made = forms(&session);
    assert!(made.text.contains("*** THE RECORD IS DAMAGED") && made.text.contains("line 7 does not verify"));
    assert!(made.html.contains("THE RECORD IS DAMAGED"));
    assert!(made.json.contains("line 7 does not verify"));
}

#[test]
fn a_grounding_defect_marks_every_page_of_a_draft() {
    let made = forms(&bench("rib broken"));
    assert!(made.text.matches("*** NOT AIRWORTHY: this is no release to service ***").count() >= 13);
    assert!(made.text.contains("*** DRAFT, NOT SIGNED: this is no release to service ***"));
}

/// The hand-over is given away: it holds what the brief of the command `handover` holds.
#[test]
fn the_hand_over_is_whole() {
    let mut session = bench("rib broken");
    let plain = forms(&session).text;
    let note = "handed over to the repairer: d1 by the brief \"b.txt\", sha256 00, as of entry 9; no opening proposed";
    session.done("ada", Request::Note { step: None, text: note.to_string() });
    let text = flat(&forms(&session).text);
    let part = text.split("How to verify this record").next().expect("what stands before");
    let part = part.rsplit("=== Hand-over to the repairer ===").next().expect("the part");
    for told in [
        "CAUTION: For an approved composite repairer.",
        "Stations from: wing leading edge at the root",
        "Handed over so far",
        "handed over to the repairer: d1 by the brief",
        "d1, grounding: rib broken",
        "Where the defects handed over are",
        "How it was found",
        "fin.look (found it; small 1.0.0)",
        "passed 2026-11-25",
        "What lies behind the skin, by the type's data",
        "Questions to the repairer",
        "1. d1: how far does the damage reach",
    ] {
        assert!(part.contains(told), "{told}: {part}");
    }
    assert!(!plain.contains("Handed over so far"));
    assert!(flat(&forms(&Bench::new()).text).contains("there is nothing to hand over"));
}
