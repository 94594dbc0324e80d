//! The brief as a text document, 80 columns wide.

use super::brief::{Brief, BriefDefect};
use super::check_words::{item_words, write_check};
use super::layout::Page;
use super::steps::{BriefReading, BriefStep};
use crate::checklist::{MappedArea, Side};

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
    page.section("Defects");
    for defect in &brief.defects {
        write_defect(&mut page, defect);
    }
    page.lines(0, &format!("\n{}", brief.picture.lines().join("\n")));
    for line in &brief.picture.legend {
        page.para(0, line);
    }
    if !brief.steps.is_empty() {
        page.section("How it was found");
        for step in &brief.steps {
            write_step(&mut page, step);
        }
    }
    hidden(&mut page, brief);
    if !brief.openings.is_empty() {
        page.section("Proposed openings");
        for (index, check) in brief.openings.iter().enumerate() {
            if index > 0 {
                page.lines(0, "\n");
            }
            write_check(&mut page, check);
        }
    }
    page.section("Questions to the repairer");
    for (index, question) in brief.questions.iter().enumerate() {
        page.para(0, &format!("{}. {question}", index + 1));
    }
    page.finish()
}

fn airframe(page: &mut Page, brief: &Brief) {
    let frame = &brief.airframe;
    page.section(&format!("Hand-over of {} to the repairer", frame.registration));
    let name = frame.type_name.as_ref().map_or_else(String::new, |name| format!("{name}, "));
    page.para(
        0,
        &format!("Airframe: {} ({name}{}), serial {}", frame.registration, frame.type_id, frame.serial),
    );
    let standard = if frame.build_standard.is_empty() {
        "not on record".to_string()
    } else {
        frame.build_standard.join(", ")
    };
    page.para(0, &format!("Build standard: {standard}"));
    if let Some(day) = frame.manufactured {
        page.para(0, &format!("Manufactured: {day}"));
    }
    page.para(0, &format!("Time in service: {} h, {} launches", frame.hours, frame.launches));
    let datum =
        |datum: &Option<String>| datum.clone().unwrap_or_else(|| "not stated by the type's data".to_string());
    page.para(0, &format!("Stations from: {}", datum(&frame.station_datum)));
    page.para(0, &format!("Heights from: {}", datum(&frame.height_datum)));
    page.para(0, &format!("Type's data: {}", frame.type_data.as_deref().unwrap_or("none")));
    page.para(0, &format!("Session: {}, as of entry {}", brief.session, brief.entries));
    page.para(0, &format!("Record's head: {}", brief.head));
    page.para(0, &format!("Plan: {}", brief.plan_hash));
    for fault in &brief.record_faults {
        page.para(0, &format!("THE RECORD IS DAMAGED: {fault}"));
    }
}

fn write_defect(page: &mut Page, defect: &BriefDefect) {
    page.para(0, &format!("{} {}: {}", defect.id, defect.severity.word().to_uppercase(), defect.what));
    let station = defect.station_mm.map(|station| format!("station {station} mm"));
    let place: Vec<String> =
        [defect.component.clone(), defect.side.clone(), station].into_iter().flatten().collect();
    let place = if place.is_empty() { "not recorded".to_string() } else { place.join(", ") };
    page.para(2, &format!("place: {place}"));
    page.para(2, &format!("raised {}; now {}", defect.raised, defect.standing));
    if let Some(step) = &defect.step {
        page.para(2, &format!("found by step {step}"));
    }
    for decision in &defect.decisions {
        page.para(2, decision);
    }
    if defect.evidence.is_empty() {
        page.para(2, "no evidence file");
    }
    for file in &defect.evidence {
        page.para(2, &format!("evidence {} ({} bytes, entry {}), sha256", file.name, file.bytes, file.entry));
        page.para(4, &file.sha256);
    }
}

fn write_step(page: &mut Page, step: &BriefStep) {
    page.para(0, &format!("{}: {} ({}; {})", step.id, step.title, step.relation, step.origin));
    for answer in &step.answers {
        page.para(2, answer);
    }
    for reading in &step.readings {
        write_reading(page, reading);
    }
    for note in &step.notes {
        page.para(2, &format!("note {note}"));
    }
}

fn write_reading(page: &mut Page, reading: &BriefReading) {
    let with = reading.instruments.as_ref().map(|ids| format!(" with {ids}")).unwrap_or_default();
    let earlier = if reading.before_rectification { ", before a rectification" } else { "" };
    page.para(
        2,
        &format!(
            "{}: {}{with}, {} by {}, entry {}{earlier}",
            reading.title, reading.shown, reading.taken, reading.by, reading.entry
        ),
    );
    page.para(4, &format!("{}: {}", reading.verdict, reading.words));
    for picture in &reading.pictures {
        page.lines(4, picture);
    }
}

fn hidden(page: &mut Page, brief: &Brief) {
    page.section("What lies behind the skin, by the type's data");
    if brief.hidden_items.is_empty() && brief.mapped_areas.is_empty() {
        page.para(
            0,
            "The plan of this session holds no hidden item and no mapped area: nothing can be said from the data.",
        );
        return;
    }
    if brief.all_components {
        page.para(0, "A defect names no component of these data: the items of all components are listed.");
    }
    for item in &brief.hidden_items {
        page.para(0, &format!("{}: {}", item.id, item.title));
        page.para(2, &item_words(item));
    }
    for area in &brief.mapped_areas {
        page.para(0, &area_words(area));
    }
    page.para(0, "Outside of the areas named as complete there may be items that nobody has entered.");
}

fn area_words(area: &MappedArea) -> String {
    let note = area.note.as_ref().map(|note| format!("; {note}")).unwrap_or_default();
    format!(
        "complete for: {}, {}, stations {}, heights {}; source: {}{note}",
        area.component,
        area.side.map_or("both sides", Side::word),
        area.station,
        area.height,
        area.source
    )
}
