//! Hangars to measure in: the demo's, and invented ones with a plan of any length.

use std::fmt::Write;

use super::binary::{GLIDER, Place, SMALL};

/// As many steps as a section gets.
const SECTION: usize = 50;
/// The person who works in [`long`].
pub const ADA: &str = "ada";

/// The demo's glider with its annual begun: registration.
pub fn demo() -> (Place, &'static str) {
    (Place::begun(), GLIDER)
}

/// A plan of so many steps, begun: every fifth step has a measurement, every seventh wants a photograph, each second section
/// has the tailplane off.
pub fn long(steps: usize) -> (Place, &'static str) {
    let place = Place::small();
    // Its own small annual lies aside.
    std::fs::remove_dir_all(place.path("sessions")).expect("removed");
    place.write("checklists/composite-sailplane/9.1.0.toml", &programme(steps));
    place.run_by(ADA, &["begin", SMALL]).tells(0, &[&format!("{steps} steps")]);
    (place, SMALL)
}

fn programme(steps: usize) -> String {
    let mut text = format!(
        "format = 1\nkind = \"programme\"\nid = \"composite-sailplane\"\nversion = \"9.1.0\"\n\
         title = \"Invented annual of {steps} steps\"\nissued = 2026-01-15\n"
    );
    let sections = steps.div_ceil(SECTION);
    for section in 0..sections {
        let _ = write!(text, "\n[[section]]\nid = \"s{section}\"\ntitle = \"Invented section {section}\"\n");
    }
    for step in 0..steps {
        text.push_str(&step_text(step));
    }
    text
}

fn step_text(step: usize) -> String {
    let section = step / SECTION;
    let mut text = format!(
        "\n[[step]]\nid = \"s{section}.step-{step}\"\nsection = \"s{section}\"\ntitle = \"Skin and joint at place {step}\"\n\
         instruction = \"\"\"\nHow: hold the torch at 5 to 45 degrees to the skin and go along the joint from both sides.\n\
         Good: even gloss, no movement, no click.\nBad: a line along the joint, a soft place, a click.\n\"\"\"\n\
         minutes = 10\nkit = [\"torch\", \"mirror\"]\n"
    );
    if let Some(before) = step.checked_sub(1) {
        let _ = writeln!(text, "after = [\"s{}.step-{before}\"]", before / SECTION);
    }
    if section % 2 == 1 {
        text.push_str("configuration = { tailplane = \"off\" }\n");
    }
    text.push_str("on_failure = { severity = \"minor\", may_defer = true }\n");
    if step % 7 == 6 {
        text.push_str("evidence = [{ id = \"photo\", kind = \"photo\", what = \"the joint\" }]\n");
    }
    if step % 5 == 4 {
        text.push_str(
            "[[step.measure]]\nid = \"gap\"\ntitle = \"Gap\"\nkind = \"number\"\nunit = \"mm\"\nmax = \"0.3\"\n\
             limit_source = \"invented\"\n",
        );
    }
    text
}
