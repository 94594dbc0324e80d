//! One annual from the first key to the signature, killed in the middle.

use super::hand::Terminal;
use crate::binary::routine::Routine;
use crate::binary::{GLIDER, INSPECTOR, Place};

#[test]
fn from_the_first_key_to_the_signature() {
    let place = Place::demo();
    let saved = first_evening(&place);
    let entries = place.entries(GLIDER);
    for entry in &saved {
        assert!(entries.contains_key(entry), "entry {entry} was shown as saved and is gone");
    }
    let kinds: Vec<&str> = entries.values().filter_map(|event| event["kind"].as_str()).collect();
    for kind in ["answered", "reading_taken", "defect_raised", "defect_disposed", "noted"] {
        assert!(kinds.contains(&kind), "{kind} is missing in {kinds:?}");
    }
    rest_by_commands(&place);
    sign_and_find_it_closed(&place);
}

/// Begins, answers, reads, fails, corrects, and is killed right after the last "saved".
fn first_evening(place: &Place) -> std::collections::BTreeSet<u64> {
    let mut terminal = Terminal::open(place, &[]);
    terminal.see("INVENTED").see(GLIDER);
    begin(&mut terminal);
    terminal.keys("p").see("saved, entry").see("passed");
    readings(&mut terminal);
    fail_and_decide(&mut terminal);
    correct(&mut terminal);
    refusals_lead_to_their_step(&mut terminal);
    let before = terminal.last_saved();
    terminal.keys("nkilled right after this<Enter>");
    let last = terminal.see_saved_after(before);
    let saved = terminal.kill();
    assert!(saved.contains(&last) && saved.len() >= 6, "{saved:?}");
    saved
}

fn begin(terminal: &mut Terminal) {
    // DR4, VA3, VA7: the list is in the order of the registrations.
    terminal.keys("<Down><Down>").see("serial number: 0107").keys("<Enter>");
    terminal.see("Who is working?").choose("Tamsin Orrel").see("Tamsin Orrel is working");
    terminal.keys("<Enter>").see("Begin an annual on XX-VA7?").keys("<Enter>");
    terminal.see("annual of XX-VA7 begun: 135 steps").see("Identity and build standard");
}

/// Within, of a wrong kind of unit, outside.
fn readings(terminal: &mut Terminal) {
    find(terminal, "gear.tyre-pressure");
    let before = terminal.last_saved();
    terminal.keys("r").see("Reading: ").keys("3.05 mm").keys("<C-s>");
    terminal.see("a length").see("wants a pressure");
    terminal.keys(&"<Backspace>".repeat(7)).keys("3.05 bar<Tab>").choose("tyre-gauge");
    terminal.keys("<C-s>");
    let within = terminal.see_saved_after(before);
    terminal.see("; within");
    // In another unit of the same kind: 20 psi = 1.379 bar (NIST SP 811, appendix B.8: 6.894757 kPa), below 2.9.
    terminal.keys("r").see("why a further reading").keys("20 psi<Tab>").choose("tyre-gauge").keys("<Tab>");
    terminal.keys("it hissed").see("outside").keys("<C-s>");
    let outside = terminal.see_saved_after(within);
    terminal.see("outside");
    // Taken back, since it was the valve: the earlier reading stands alone.
    terminal
        .keys("c")
        .see("What is to be corrected?")
        .choose("take back the reading Main wheel pressure, as found 20 psi")
        .see(&format!("Take back entry {outside}"));
    terminal.keys("the gauge did not sit on the valve<Enter>");
    terminal.see_saved_after(outside);
}

fn fail_and_decide(terminal: &mut Terminal) {
    find(terminal, "cockpit.seats");
    let before = terminal.last_saved();
    terminal.keys("f").see("Defect found by").see("The fail is saved");
    terminal.keys("back-rest hinge is cracked<C-s>").see_no("Defect found by");
    let raised = terminal.see_saved_after(before);
    terminal.keys("2").see("d1").see("back-rest hinge is cracked");
    terminal.keys("a").see("Decide on d1").keys("1<C-s>");
    terminal.see_saved_after(raised);
    terminal.keys("1").see("failed");
}

fn correct(terminal: &mut Terminal) {
    let before = terminal.last_saved();
    terminal
        .keys("<Home>")
        .see("records.identity")
        .keys("c")
        .see("What is to be corrected?")
        .choose("correct the answer");
    terminal.see("why it is corrected").keys("wrong line<C-s>");
    terminal.see_saved_after(before);
    terminal.keys("<PageDown>").see("struck by Tamsin Orrel").see("wrong line");
}

fn refusals_lead_to_their_step(terminal: &mut Terminal) {
    terminal.keys("s").see("Outcomes").see("refused,").see("mandatory step open");
    terminal.keys("<Down><Down><Down>").see("Enter goes to it.");
    terminal.see("\"Reports, occurrences, deferred defects\"");
    terminal.keys("<Enter>").see("records.technical-log").see("p pass");
}

fn find(terminal: &mut Terminal, step: &str) {
    terminal.keys("/").see("Search the steps").keys(step).keys("<Enter>").see(&format!("\"{step}\": 1 of 1"));
    terminal.see(&format!("· {step}"));
}

fn rest_by_commands(place: &Place) {
    place.run(&["defect", "rectify", GLIDER, "d1", "hinge replaced, part number 4711"]).expect(0);
    let mut routine = Routine::new(place, GLIDER);
    routine.papers();
    assert!(routine.steps() > 100);
    let status = place.run(&["status", GLIDER]);
    status.tells(0, &["Nothing stands against the sign-off"]);
}

fn sign_and_find_it_closed(place: &Place) {
    let mut terminal = Terminal::open(place, &["work", GLIDER, "--by", INSPECTOR]);
    terminal.see("? help").keys("s").see("Release: airworthy: can be signed");
    let phrase = include_str!("../../demo/hangar/keys/passphrase-of-the-demo.txt").trim();
    terminal.keys("<Enter>").see("type the registration to sign").keys("XX-VA8<Enter>");
    terminal.keys("some other words").see("••••••••••••••••").see_no("some other words").keys("<Enter>");
    terminal.see("✗").keys("<Up><Backspace>7<Enter>some other words<Enter>").see("does not open this key");
    terminal.keys(phrase).keys("<Enter>").see("SIGNED").see("✓ signed: released").see("SHA256:");
    let closed = place.entries(GLIDER).len();
    terminal.keys("1").see("p pass").keys("p").see("signed and closed");
    terminal.keys("q").see("Leave the program?").keys("2");
    assert!(terminal.ended().success());
    drop(terminal);
    place.run(&["note", GLIDER, "one more thing"]).tells(3, &["signed and closed"]);
    place.run(&["list"]).tells(0, &["released on"]);
    assert_eq!(place.entries(GLIDER).len(), closed, "nothing was recorded after the signature");
}
