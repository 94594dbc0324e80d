//! The brief as a text document, 80 columns wide.

use super::brief::{Brief, BriefDefect};
use super::check_words::{item_words, write_check};
use super::layout::Page;
use super::opening::side_words;
use super::steps::{BriefReading, BriefStep, verdict_words};
use crate::checklist::MappedArea;
use crate::words::{date, figure, of_checklist, said};

/// The whole document; every section carries the caution.
pub fn brief_text(brief: &Brief) -> String {
    written(brief, Page::new())
}

/// The same for a window of `width` columns. Pictures keep their width.
pub fn brief_text_within(brief: &Brief, width: usize) -> String {
    written(brief, Page::within(width))
}

fn written(brief: &Brief, mut page: Page) -> String {
    airframe(&mut page, brief);
    page.section(say!("Defects"));
    for defect in &brief.defects {
        write_defect(&mut page, defect);
    }
    page.lines(0, &format!("\n{}", brief.picture.lines().join("\n")));
    for line in &brief.picture.legend {
        page.para(0, line);
    }
    if !brief.steps.is_empty() {
        page.section(say!("How it was found"));
        for step in &brief.steps {
            write_step(&mut page, step);
        }
    }
    hidden(&mut page, brief);
    if !brief.openings.is_empty() {
        page.section(say!("Proposed openings"));
        for (index, check) in brief.openings.iter().enumerate() {
            if index > 0 {
                page.lines(0, "\n");
            }
            write_check(&mut page, check);
        }
    }
    page.section(say!("Questions to the repairer"));
    for (index, question) in brief.questions.iter().enumerate() {
        page.para(0, &format!("{}. {question}", index + 1));
    }
    page.finish()
}

fn airframe(page: &mut Page, brief: &Brief) {
    let frame = &brief.airframe;
    page.section(&say!("Hand-over of {registration} to the repairer", registration = frame.registration));
    let name = frame.type_name.as_ref().map_or_else(String::new, |name| format!("{}, ", of_checklist(name)));
    page.para(
        0,
        &say!(
            "Airframe: {registration} ({name}{type}), serial {serial}",
            registration = frame.registration,
            name,
            type = frame.type_id,
            serial = frame.serial
        ),
    );
    let standard = if frame.build_standard.is_empty() {
        say!("of a build standard" => "not on record").to_string()
    } else {
        frame.build_standard.join(", ")
    };
    page.para(0, &say!("Build standard: {standard}", standard));
    if let Some(day) = frame.manufactured {
        page.para(0, &say!("Manufactured: {day}", day = date(day)));
    }
    page.para(
        0,
        &say!(
            "Time in service when the session began: {hours} h, {launches} launches",
            hours = figure(frame.hours),
            launches = frame.launches
        ),
    );
    let datum = |datum: &Option<String>| {
        datum.as_deref().map_or(say!("not stated by the type's data"), of_checklist).to_string()
    };
    page.para(0, &say!("Stations from: {datum}", datum = datum(&frame.station_datum)));
    page.para(0, &say!("Heights from: {datum}", datum = datum(&frame.height_datum)));
    page.para(
        0,
        &say!("Type's data: {editions}", editions = frame.type_data.as_deref().unwrap_or(say!("none"))),
    );
    page.para(0, &say!("Session: {sid}, as of entry {entry}", sid = brief.session, entry = brief.entries));
    page.para(0, &say!("Record's head: {head}", head = brief.head));
    page.para(0, &say!("Plan: {hash}", hash = brief.plan_hash));
    for fault in &brief.record_faults {
        page.para(0, &say!("THE RECORD IS DAMAGED: {fault}", fault));
    }
}

fn write_defect(page: &mut Page, defect: &BriefDefect) {
    page.para(0, &format!("{} {}: {}", defect.id, said(defect.severity.word()).to_uppercase(), defect.what));
    let station = defect.station_mm.map(|station| say!("station {mm} mm", mm = figure(station)));
    let place: Vec<String> =
        [defect.component.clone(), defect.side.as_deref().map(|side| said(side).to_string()), station]
            .into_iter()
            .flatten()
            .collect();
    let place =
        if place.is_empty() { say!("of a place" => "not recorded").to_string() } else { place.join(", ") };
    page.para(2, &say!("place: {place}", place));
    page.para(
        2,
        &say!("raised {raised}; now {standing}", raised = defect.raised, standing = said(defect.standing)),
    );
    if let Some(step) = &defect.step {
        page.para(2, &say!("found by step {step}", step));
    }
    for decision in &defect.decisions {
        page.para(2, decision);
    }
    if defect.evidence.is_empty() {
        page.para(2, say!("no evidence file"));
    }
    for file in &defect.evidence {
        page.para(
            2,
            &say!(
                "evidence {name} ({bytes} bytes, entry {entry}), sha256",
                name = file.name,
                bytes = file.bytes,
                entry = file.entry
            ),
        );
        page.para(4, &file.sha256);
    }
}

fn write_step(page: &mut Page, step: &BriefStep) {
    page.para(0, &format!("{}: {} ({}; {})", step.id, step.title, said(step.relation), step.origin));
    for answer in &step.answers {
        page.para(2, answer);
    }
    for reading in &step.readings {
        write_reading(page, reading);
    }
    for note in &step.notes {
        page.para(2, &say!("note {note}", note));
    }
}

fn write_reading(page: &mut Page, reading: &BriefReading) {
    let with = reading.instruments.as_ref().map(|ids| say!(" with {ids}", ids)).unwrap_or_default();
    let earlier = if reading.before_rectification { say!(", before a rectification") } else { "" };
    page.para(
        2,
        &say!(
            "{title}: {value}{with}, {day} by {by}, entry {entry}{earlier}",
            title = reading.title,
            value = reading.shown,
            with,
            day = reading.taken_shown,
            by = reading.by,
            entry = reading.entry,
            earlier
        ),
    );
    page.para(4, &format!("{}: {}", verdict_words(&reading.verdict), reading.words));
    for picture in &reading.pictures {
        page.lines(4, picture);
    }
}

fn hidden(page: &mut Page, brief: &Brief) {
    page.section(say!("What lies behind the skin, by the type's data"));
    if brief.hidden_items.is_empty() && brief.mapped_areas.is_empty() {
        page.para(
            0,
            say!("The plan of this session holds no hidden item and no mapped area: nothing can be said from the data."),
        );
        return;
    }
    if brief.all_components {
        page.para(
            0,
            say!("A defect names no component of these data: the items of all components are listed."),
        );
    }
    for item in &brief.hidden_items {
        page.para(0, &format!("{}: {}", item.id, of_checklist(&item.title)));
        page.para(2, &item_words(item));
    }
    for area in &brief.mapped_areas {
        page.para(0, &area_words(area));
    }
    page.para(0, say!("Outside of the areas named as complete there may be items that nobody has entered."));
}

fn area_words(area: &MappedArea) -> String {
    let note = area.note.as_ref().map(|note| format!("; {}", of_checklist(note))).unwrap_or_default();
    say!(
        "complete for: {component}, {side}, stations {stations}, heights {heights}; source: {source}{note}",
        component = of_checklist(&area.component),
        side = side_words(area.side),
        stations = figure(area.station),
        heights = figure(area.height),
        source = of_checklist(&area.source),
        note
    )
}
