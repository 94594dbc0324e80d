//! Hangar: airframes, sessions, and what is wrong with the files.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::{AirframeRow, HangarView, SessionRow, Stage};
use super::list::Row;
use super::look::Look;
use super::text::{Page, pad};
use crate::words::{date, number, said};

pub enum Item<'a> {
    Airframe(&'a AirframeRow),
    Session(&'a SessionRow),
    Fault(&'a str),
}

pub fn items(hangar: &HangarView) -> Vec<Item<'_>> {
    let airframes = hangar.airframes.iter().map(Item::Airframe);
    let sessions = hangar.sessions.iter().map(Item::Session);
    airframes.chain(sessions).chain(hangar.faults.iter().map(|fault| Item::Fault(fault))).collect()
}

pub fn rows(hangar: &HangarView, look: Look) -> Vec<Row> {
    let mut rows = vec![Row::heading(look, say!("Airframes"))];
    let mut last = 0;
    if hangar.airframes.is_empty() {
        rows.push(Row::heading(look, say!("  none; n enters one")));
    }
    for (index, item) in items(hangar).into_iter().enumerate() {
        let kind = match item {
            Item::Airframe(_) => 0,
            Item::Session(_) => 1,
            Item::Fault(_) => 2,
        };
        if kind != last {
            rows.push(Row::heading(look, if kind == 1 { say!("Sessions") } else { say!("Faults of files") }));
            last = kind;
        }
        rows.push(Row::item(index, parts(&item, look)));
    }
    rows
}

fn parts(item: &Item<'_>, look: Look) -> Vec<(String, Style)> {
    match item {
        Item::Airframe(row) => {
            let is_bad = row.fault.is_some() || !row.grounding.is_empty();
            let (sign, style) = if is_bad { ("✗", look.bad()) } else { ("·", Style::new()) };
            let reports = say!("{n} report" | "{n} reports" % row.reports);
            let words = format!("{}{} h, {reports}", grounded_first(&row.grounding), number(&row.hours));
            let tail = row.fault.clone().unwrap_or(words);
            vec![
                (format!("{sign} {} ", pad(&row.registration, 10)), style),
                (format!("{} ", pad(&row.type_name, 18)), Style::new()),
                (tail, if is_bad { style } else { look.quiet() }),
            ]
        }
        Item::Session(row) => {
            let (sign, style) = session_sign(row, look);
            let progress = row.progress.map_or(String::new(), |(done, all)| {
                say!("; {done}/{all}, {} open", row.open_mandatory, done = done, all = all)
            });
            let grounded = not_airworthy(&row.grounding, ", ");
            vec![
                (format!("{sign} {} ", pad(&row.registration, 10)), style),
                (format!("{} ", pad(&row.begun, 18)), Style::new()),
                // A narrow list cuts from the right: what grounds it goes before the counts.
                (format!("{}{grounded}{progress}", said(&row.standing)), style),
            ]
        }
        Item::Fault(fault) => vec![(format!("✗ {fault}"), look.bad())],
    }
}

/// The word with the first reason, behind what is said already.
fn not_airworthy(grounding: &[String], before: &str) -> String {
    grounding.first().map_or_else(String::new, |why| say!("{before}NOT AIRWORTHY: {why}", before, why))
}

/// On a narrow list the word goes before everything else.
fn grounded_first(grounding: &[String]) -> String {
    let words = not_airworthy(grounding, "");
    if words.is_empty() { words } else { format!("{words}; ") }
}

/// In the details every reason.
fn grounded(page: &mut Page, grounding: &[String]) {
    if grounding.is_empty() {
        return;
    }
    page.block(page.look.alarm(), say!("NOT AIRWORTHY"));
    for why in grounding {
        page.hanging(page.look.bad(), "✗ ", why);
    }
}

fn session_sign(row: &SessionRow, look: Look) -> (&'static str, Style) {
    if !row.can_open || !row.grounding.is_empty() {
        ("✗", look.bad())
    } else if row.stage == Stage::Released {
        ("✓", look.good())
    } else {
        ("·", Style::new())
    }
}

pub fn detail(hangar: &HangarView, at: usize, look: Look, width: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    if hangar.is_demo {
        page.block(
            look.caution(),
            say!("This is the demo hangar: airframes, types, people and figures are all invented. Record no real work here."),
        );
    }
    match items(hangar).get(at) {
        Some(Item::Airframe(row)) => airframe(&mut page, row),
        Some(Item::Session(row)) => session(&mut page, row),
        Some(Item::Fault(fault)) => {
            page.hanging(look.bad(), "✗ ", fault);
            page.plain(
                say!("r shows the registers, where theirs can be put right. Else correct the file, then start the program again. What hangs on it cannot be begun meanwhile."),
            );
        }
        None => first_steps(&mut page, hangar),
    }
    page.gap();
    page.field(say!("folder"), &hangar.folder);
    let people: Vec<&str> = hangar.people.iter().map(|person| person.name.as_str()).collect();
    page.field(
        say!("people"),
        &if people.is_empty() { say!("none in the register").to_string() } else { people.join(", ") },
    );
    page.lines
}

/// What to do in a folder that holds nothing.
fn first_steps(page: &mut Page, hangar: &HangarView) {
    page.text(page.look.strong(), say!("This hangar is empty. To begin:"));
    let done = |is_done: bool| if is_done { "✓ " } else { "○ " };
    let has_person = !hangar.people.is_empty();
    let can_sign =
        hangar.people.iter().any(|person| !person.authorisations.is_empty() && !person.keys.is_empty());
    page.hanging(Style::new(), done(has_person), say!("r: enter a person in the registers, with the role"));
    page.hanging(
        Style::new(),
        done(can_sign),
        say!("there t: an authorisation, and k: the key to sign with"),
    );
    page.hanging(Style::new(), done(false), say!("n: enter an airframe"));
    page.hanging(
        Style::new(),
        done(false),
        say!("then e on it: reports and occurrences, directives, papers; Enter begins an annual"),
    );
}

fn airframe(page: &mut Page, row: &AirframeRow) {
    page.text(page.look.strong(), &format!("{} · {}", row.registration, row.type_name));
    page.field(say!("serial number"), &row.serial);
    page.field(say!("hours"), &number(&row.hours));
    let last = row.last_annual.map_or(say!("not recorded").to_string(), date);
    page.field(say!("last annual"), &last);
    page.field(say!("reports and occurrences since"), &row.reports.to_string());
    grounded(page, &row.grounding);
    match &row.fault {
        Some(fault) => {
            page.hanging(page.look.bad(), "✗ ", fault);
            page.plain(say!("No annual can be begun until the record is corrected: e shows it."));
        }
        None => page.plain(say!("Enter begins an annual; e shows and changes its record.")),
    }
}

fn session(page: &mut Page, row: &SessionRow) {
    page.text(page.look.strong(), &say!("{} · annual begun {}", row.registration, row.begun));
    page.field(say!("by"), &row.by);
    page.field(say!("standing"), said(&row.standing));
    if let Some((done, all)) = row.progress {
        page.field(say!("steps answered"), &say!("{done} of {all}", done, all));
        page.field(say!("mandatory steps open"), &row.open_mandatory.to_string());
    }
    grounded(page, &row.grounding);
    page.field(say!("of a session" => "record"), &row.sid);
    page.plain(if row.can_open {
        say!("Enter opens it.")
    } else {
        say!("It cannot be opened; see the standing.")
    });
}
