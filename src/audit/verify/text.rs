//! The report as an auditor reads it.

use std::fmt::Write as _;

use unicode_width::UnicodeWidthStr;

use super::report::{Fault, Found, Place, Report};
use crate::columns::padded;
use crate::words::said;

/// Columns of the names of the checks; a longer one pushes its words on.
const NAME_COLUMNS: usize = 12;

/// Ends with a line feed.
pub fn text(report: &Report) -> String {
    let mut out = String::new();
    let known = |part: &Option<String>| part.clone().unwrap_or_else(|| "?".to_string());
    let mut head = Head::new(&mut out);
    head.line(say!("Session"), &known(&report.sid));
    let (registration, kind, serial) =
        (known(&report.registration), known(&report.type_id), known(&report.serial));
    head.line(say!("Airframe"), &say!("{} (type {}, serial {})", registration, kind, serial));
    head.line(say!("Standing"), &report.standing);
    for sid in &report.continued_by {
        head.line("", &say!("continued by {sid}", sid));
    }
    let entries = match &report.beyond {
        Some(beyond) => say!("{} that verify; more {beyond}", report.entries, beyond),
        None => report.entries.to_string(),
    };
    head.line(say!("Entries"), &entries);
    head.place(say!("Head"), report.head.as_ref());
    head.place(say!("Sign-off"), report.sign_off.as_ref());
    head.line(say!("Verdict"), &report.verdict_words());
    out.push('\n');
    let found_columns = Found::ALL.iter().map(|found| found.word().width()).max().unwrap_or(0).max(8);
    for check in &report.checks {
        let (found, name) =
            (padded(check.found.word(), found_columns), padded(said(check.name), NAME_COLUMNS));
        let _ = writeln!(out, "  {found} {name} {}", check.words);
    }
    if let Some(fault) = &report.fault {
        fault_text(&mut out, fault);
    }
    let _ = writeln!(
        out,
        "\n{}",
        say!(
            "This shows that the files agree with each other. That they are the ones that were signed shows the code on paper (spanwise \
             anchor) and the seal of a known key."
        )
    );
    out
}

/// The lines at the head: a label, and what it is about in one column.
struct Head<'a> {
    out: &'a mut String,
    columns: usize,
}

impl<'a> Head<'a> {
    fn new(out: &'a mut String) -> Head<'a> {
        let labels = [
            say!("Session"),
            say!("Airframe"),
            say!("Standing"),
            say!("Entries"),
            say!("Head"),
            say!("Sign-off"),
            say!("Verdict"),
        ];
        let columns = labels.iter().map(|label| label.width()).max().unwrap_or(0).max(9);
        Head { out, columns }
    }

    fn line(&mut self, label: &str, words: &str) {
        let _ = writeln!(self.out, "{} {words}", padded(label, self.columns));
    }

    fn place(&mut self, label: &str, place: Option<&Place>) {
        if let Some(place) = place {
            self.line(label, &say!("entry {}, {}, code {}", place.entry, place.wall, place.code));
            self.line("", &place.hash.to_string());
        }
    }
}

fn fault_text(out: &mut String, fault: &Fault) {
    let entry = fault.entry.map(|entry| say!(", entry {entry}", entry)).unwrap_or_default();
    let byte = fault.byte.map(|byte| say!(", byte {byte}", byte)).unwrap_or_default();
    let _ = writeln!(out, "\n{}", say!("First fault: {}{entry}{byte}", fault.file, entry, byte));
    let told = [
        (say!("there stands"), &fault.stands),
        (say!("there should stand"), &fault.should),
        (say!("what to do"), &fault.next),
    ];
    let columns = told.iter().map(|(label, _)| label.width()).max().unwrap_or(0);
    for (label, words) in told {
        let _ = writeln!(out, "  {} {words}", padded(label, columns));
    }
}
