//! The worksheet record: every step by section, with all that was done at it.

use super::step_rows::step_rows;
use super::{Source, heading, notice, para, perhaps_struck, quiet_para, who_when};
use crate::report::facts::SectionFacts;
use crate::report::model::{Block, Part, Row, Table, Text, Tone, column, naming_column};
use crate::report::words;
use crate::words::{of_checklist, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let mut blocks = vec![super::cover::outcome(source.facts)];
    blocks.push(quiet_para(&format!("{} {}", said(words::STRUCK_RULE), said(words::CLOCK_RULE))));
    for section in &source.facts.sections {
        blocks.push(heading(2, section_id(section), of_checklist(&section.title)));
        blocks.push(Block::Table(table(source, section)));
    }
    blocks.push(heading(2, "worksheet-configuration", say!("Configuration as confirmed")));
    blocks.push(configuration(source));
    if !source.facts.notes.is_empty() {
        blocks.push(heading(2, "worksheet-notes", say!("Notes that belong to no step")));
        blocks.push(Block::List(
            source
                .facts
                .notes
                .iter()
                .map(|note| Text::plain(&note.text).and(" ").joined(who_when(source, &note.mark)))
                .collect(),
        ));
    }
    blocks.push(heading(2, "worksheet-evidence", say!("Evidence files")));
    blocks.push(evidence(source));
    for fault in &source.facts.record_faults {
        blocks.push(notice(Tone::Grave, fault.clone()));
    }
    Part { id: words::WORKSHEET.0, title: said(words::WORKSHEET.1).to_string(), starts_page: true, blocks }
}

fn section_id(section: &SectionFacts) -> String {
    format!("section-{}", section.id)
}

fn table(source: &Source<'_>, section: &SectionFacts) -> Table {
    Table {
        caption: say!(
            "Steps of the section {title}",
            title = crate::report::model::shown(of_checklist(&section.title))
        ),
        columns: vec![
            column(say!("Result"), 14.0),
            naming_column(say!("Step"), 55.0),
            column(say!("By"), 6.0),
            column(say!("When"), 25.0),
        ],
        rows: section.steps.iter().flat_map(|step| step_rows(source, step)).collect(),
    }
}

fn configuration(source: &Source<'_>) -> Block {
    if source.facts.configuration.is_empty() {
        return para(said(words::NOTHING));
    }
    Block::Table(Table {
        caption: say!("Configurations of the airframe, in the order in which they were confirmed")
            .to_string(),
        columns: vec![column(say!("Confirmed"), 34.0), column(say!("Configuration"), 66.0)],
        rows: source
            .facts
            .configuration
            .iter()
            .map(|told| {
                Row::cells(vec![
                    who_when(source, &told.mark),
                    perhaps_struck(&told.shown, told.struck.as_ref()),
                ])
            })
            .collect(),
    })
}

fn evidence(source: &Source<'_>) -> Block {
    if source.facts.evidence.is_empty() {
        return para(said(words::NOTHING));
    }
    Block::Table(Table {
        caption: say!("Evidence files with the SHA-256 of their content").to_string(),
        columns: vec![
            column(say!("File"), 25.0),
            column(say!("of a file" => "For"), 23.0),
            column(say!("SHA-256"), 38.0),
            column(say!("Added"), 24.0),
        ],
        rows: source
            .facts
            .evidence
            .iter()
            .map(|file| {
                let belongs = file.step.clone().or_else(|| file.defect.clone()).unwrap_or_default();
                let name = say!("{name} ({bytes} bytes)", name = file.name, bytes = file.bytes);
                Row::cells(vec![
                    perhaps_struck(name, file.struck.as_ref()),
                    Text::plain(belongs),
                    Text::mono(&file.sha256),
                    who_when(source, &file.mark),
                ])
            })
            .collect(),
    })
}
