//! The first page: airframe, rules, people, instruments, codes, defects.

use super::SheetMaterial;
use crate::order::configuration_words;
use crate::report::local;
use crate::report::model::{Block, Column, Part, Row, Style, Table, Text, Tone, column, shown};
use crate::report::sheet_words as words;
use crate::words::said;

pub(super) fn part(material: &SheetMaterial<'_>) -> Part {
    let frame = &material.plan.airframe;
    let standard = if frame.build_standard.is_empty() {
        said(crate::report::words::NOT_RECORDED).to_string()
    } else {
        frame.build_standard.join(", ")
    };
    let steps: usize = material.order.blocks.iter().map(|block| block.steps.len()).sum();
    let facts = vec![
        (
            said(words::REGISTRATION_AND_SHEET).to_string(),
            Text::strong(&frame.registration)
                .and(", ")
                .with(material.code, Style { strong: true, ..Style::MONO })
                .quiet(said(words::ENTERED_BY)),
        ),
        (
            say!("Type, serial number").to_string(),
            Text::plain(format!("{}, {}", frame.type_id, frame.serial)),
        ),
        (say!("Build standard").to_string(), Text::plain(standard)),
        (
            say!("Total time in service").to_string(),
            Text::plain(say!(
                "{totals} on record; read today: {line} h, {line} launches",
                totals = local::totals(&frame.hours.to_string(), frame.launches),
                line = words::SHORT_LINE
            )),
        ),
        (
            say!("Steps here").to_string(),
            Text::plain(say!(
                "{steps} in {blocks} blocks, {minutes} min of work, {changes} person-minutes for changes",
                steps,
                blocks = material.order.blocks.len(),
                minutes = material.order.work_minutes,
                changes = material.order.changing.person_minutes
            )),
        ),
        (say!("Begins with").to_string(), Text::plain(configuration_words(&material.order.start))),
    ];
    let mut blocks = vec![Block::Facts(facts)];
    blocks.push(Block::Notice { tone: Tone::Caution, text: Text::strong(said(words::GOVERNS)) });
    blocks.push(Block::List(words::RULES.iter().map(|rule| Text::plain(said(rule))).collect()));
    blocks.push(blank(
        say!("People"),
        vec![
            column(say!("Name"), 40.0),
            column(say!("Initials"), 14.0),
            column(say!("Part (inspector, helper, second)"), 30.0),
            column(say!("Signature"), 26.0),
        ],
        3,
    ));
    blocks.push(blank(
        say!("Instruments"),
        vec![
            column(say!("Id"), 24.0),
            column(say!("Instrument"), 36.0),
            column(say!("Calibration due"), 20.0),
            column(say!("Temperature, note"), 24.0),
        ],
        4,
    ));
    blocks.push(blank(
        say!("Codes of the record"),
        vec![
            column(say!("of a code" => "At"), 20.0),
            column(say!("Time"), 14.0),
            column(say!("Initials"), 12.0),
            column(say!("Code: 25 characters and two digits"), 54.0),
        ],
        3,
    ));
    blocks.push(blank(
        say!("Defects"),
        vec![
            column(say!("Step"), 22.0),
            column(say!("What"), 40.0),
            column(say!("Component, side, station mm"), 30.0),
            column(say!("Severity"), 14.0),
        ],
        4,
    ));
    Part {
        id: "sheet",
        title: shown(&say!("Paper worksheet of {registration}", registration = frame.registration)),
        starts_page: true,
        blocks,
    }
}

fn blank(caption: &str, columns: Vec<Column>, rows: usize) -> Block {
    Block::Table(Table { caption: caption.to_string(), columns, rows: vec![Row::Blank; rows] })
}
