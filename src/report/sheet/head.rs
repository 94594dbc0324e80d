//! The first page: airframe, rules, people, instruments, codes, defects.

use super::SheetMaterial;
use crate::report::model::{Block, Column, Part, Row, Style, Table, Text, Tone, column, shown};
use crate::report::sheet_words as words;

pub(super) fn part(material: &SheetMaterial<'_>) -> Part {
    let frame = &material.plan.airframe;
    let standard = if frame.build_standard.is_empty() {
        crate::report::words::NOT_RECORDED.to_string()
    } else {
        frame.build_standard.join(", ")
    };
    let steps: usize = material.order.blocks.iter().map(|block| block.steps.len()).sum();
    let facts = vec![
        (
            words::REGISTRATION_AND_SHEET.to_string(),
            Text::strong(&frame.registration)
                .and(", ")
                .with(material.code, Style { strong: true, ..Style::MONO })
                .quiet(words::ENTERED_BY),
        ),
        ("Type, serial number".to_string(), Text::plain(format!("{}, {}", frame.type_id, frame.serial))),
        ("Build standard".to_string(), Text::plain(standard)),
        (
            "Total time in service".to_string(),
            Text::plain(format!(
                "{} h, {} launches on record; read today: {} h, {} launches",
                frame.hours,
                frame.launches,
                words::SHORT_LINE,
                words::SHORT_LINE
            )),
        ),
        (
            "Steps here".to_string(),
            Text::plain(format!(
                "{steps} in {} blocks, {} min of work, {} person-minutes for changes",
                material.order.blocks.len(),
                material.order.work_minutes,
                material.order.changing.person_minutes
            )),
        ),
        ("Begins with".to_string(), Text::plain(material.order.start.to_string())),
    ];
    let mut blocks = vec![Block::Facts(facts)];
    blocks.push(Block::Notice { tone: Tone::Caution, text: Text::strong(words::GOVERNS) });
    blocks.push(Block::List(words::RULES.iter().map(Text::plain).collect()));
    blocks.push(blank(
        "People",
        vec![
            column("Name", 40.0),
            column("Initials", 14.0),
            column("Part (inspector, helper, second)", 30.0),
            column("Signature", 26.0),
        ],
        3,
    ));
    blocks.push(blank(
        "Instruments",
        vec![
            column("Id", 24.0),
            column("Instrument", 36.0),
            column("Calibration due", 20.0),
            column("Temperature, note", 24.0),
        ],
        4,
    ));
    blocks.push(blank(
        "Codes of the record",
        vec![
            column("At", 20.0),
            column("Time", 14.0),
            column("Initials", 12.0),
            column("Code: 25 characters and two digits", 54.0),
        ],
        3,
    ));
    blocks.push(blank(
        "Defects",
        vec![
            column("Step", 22.0),
            column("What", 40.0),
            column("Component, side, station mm", 30.0),
            column("Severity", 14.0),
        ],
        4,
    ));
    Part {
        id: "sheet",
        title: shown(&format!("{} of {}", "Paper worksheet", frame.registration)),
        starts_page: true,
        blocks,
    }
}

fn blank(caption: &str, columns: Vec<Column>, rows: usize) -> Block {
    Block::Table(Table { caption: caption.to_string(), columns, rows: vec![Row::Blank; rows] })
}
