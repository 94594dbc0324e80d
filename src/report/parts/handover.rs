//! The hand-over to the repairer: the whole brief, so that the part can be taken out and given away.

use super::pictures::of_reading;
use super::step_rows::step_id;
use super::{Source, defects, heading, notice, para, quiet_para, who_when};
use crate::checklist::{HiddenItem, MappedArea, Side};
use crate::handover::{
    Brief, BriefDefect, BriefReading, BriefStep, CAUTION, Margin, Material as BriefMaterial, brief,
    choose_defects, is_handover_note, verdict_words,
};
use crate::report::model::{Block, Part, Row, Style, Table, Text, Tone, column};
use crate::report::{local, words};
use crate::state::Defect;
use crate::words::{figure, of_checklist, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let material = source.material;
    let blocks =
        match (choose_defects(material.state, &[]), Margin::choose(None, material.plan.of_type.as_ref())) {
            (Ok(defects), Ok(margin)) => {
                let brief = brief(
                    &BriefMaterial {
                        session: material.session,
                        plan: material.plan,
                        plan_hash: material.plan_hash,
                        state: material.state,
                        record_faults: material.record_faults,
                    },
                    &defects,
                    &[],
                    &margin,
                );
                blocks(source, &brief, &defects)
            }
            (Ok(_), Err(why)) => vec![para(why)],
            (Err(_), _) => vec![para(said(words::NOTHING_HANDED_OVER))],
        };
    let starts_page = blocks.len() > 1;
    Part { id: words::HANDOVER.0, title: said(words::HANDOVER.1).to_string(), starts_page, blocks }
}

fn blocks(source: &Source<'_>, brief: &Brief, defects: &[&Defect]) -> Vec<Block> {
    let mut blocks = vec![caution(), Block::Facts(airframe(brief))];
    blocks.extend(brief.record_faults.iter().map(|fault| notice(Tone::Grave, fault.clone())));
    already(source, &mut blocks);
    blocks.push(heading(2, "handover-defects", say!("Defects handed over")));
    for defect in &brief.defects {
        one_defect(defect, &mut blocks);
    }
    blocks.extend(
        defects::picture_of(source, defects, say!("Where the defects handed over are")).map(Block::Figure),
    );
    if !brief.steps.is_empty() {
        blocks.push(heading(2, "handover-found", say!("How it was found")));
        blocks.push(caution());
        for step in &brief.steps {
            one_step(source, step, &mut blocks);
        }
    }
    blocks.push(heading(2, "handover-behind", say!("What lies behind the skin, by the type's data")));
    blocks.push(caution());
    behind(brief, &mut blocks);
    blocks.push(heading(2, "handover-questions", say!("Questions to the repairer")));
    let numbered = brief.questions.iter().zip(1..);
    blocks.push(Block::List(numbered.map(|(text, at)| Text::plain(format!("{at}. {text}"))).collect()));
    blocks.push(quiet_para(said(words::HANDOVER_OPENING)));
    blocks
}

/// Stands on every section: pages may be parted.
fn caution() -> Block {
    notice(Tone::Grave, Text::strong(say!("CAUTION: ")).and(said(CAUTION)))
}

fn airframe(brief: &Brief) -> Vec<(String, Text)> {
    let frame = &brief.airframe;
    let of_type = frame.type_name.as_deref().map_or(frame.type_id.as_str(), of_checklist);
    let standard = if frame.build_standard.is_empty() {
        said(words::NOT_RECORDED).to_string()
    } else {
        frame.build_standard.join(", ")
    };
    let day = frame.manufactured.map_or_else(|| said(words::NOT_RECORDED).to_string(), crate::words::date);
    let stated = |datum: &Option<String>| {
        Text::plain(datum.as_deref().map_or(say!("not stated by the type's data"), of_checklist))
    };
    vec![
        (
            say!("Aircraft").to_string(),
            say!(
                "{registration}, {type}, serial {serial}",
                registration = frame.registration,
                type = of_type,
                serial = frame.serial
            )
            .into(),
        ),
        (say!("Build standard").to_string(), standard.into()),
        (say!("Manufactured").to_string(), day.into()),
        (
            say!("Total time when it began").to_string(),
            local::totals(&frame.hours.to_string(), frame.launches).into(),
        ),
        (say!("Stations from").to_string(), stated(&frame.station_datum)),
        (say!("Heights from").to_string(), stated(&frame.height_datum)),
        (say!("Type's data").to_string(), Text::plain(frame.type_data.as_deref().unwrap_or(say!("none")))),
        (
            say!("of a session" => "Record").to_string(),
            Text::plain(say!(
                "session {session}, as of entry {entry}",
                session = brief.session,
                entry = brief.entries
            )),
        ),
    ]
}

/// What the session keeps of hand-overs that went out, with the openings that were proposed.
fn already(source: &Source<'_>, blocks: &mut Vec<Block>) {
    let kept = source.facts.notes.iter().filter(|note| is_handover_note(&note.text));
    let kept: Vec<Text> =
        kept.map(|note| Text::plain(&note.text).and(" ").joined(who_when(source, &note.mark))).collect();
    if !kept.is_empty() {
        blocks.push(heading(2, "handover-kept", say!("Handed over so far")));
        blocks.push(Block::List(kept));
    }
}

fn one_defect(defect: &BriefDefect, blocks: &mut Vec<Block>) {
    blocks.push(heading(
        3,
        format!("handover-{}", defect.id),
        format!("{}, {}: {}", defect.id, said(defect.severity.word()), defect.what),
    ));
    let station = defect.station_mm.map(|station| say!("station {mm} mm", mm = figure(station)));
    let place: Vec<String> = [defect.component.clone(), defect.side.as_deref().map(local::code), station]
        .into_iter()
        .flatten()
        .collect();
    let place = if place.is_empty() { said(words::NO_PLACE).to_string() } else { place.join(", ") };
    let mut facts: Vec<(String, Text)> = vec![
        (say!("Place").to_string(), place.into()),
        (say!("Raised").to_string(), Text::plain(&defect.raised)),
        (say!("Standing").to_string(), Text::strong(said(defect.standing))),
    ];
    if let Some(step) = &defect.step {
        facts.push((say!("Found by step").to_string(), Text::default().link(step, step_id(step))));
    }
    blocks.push(Block::Facts(facts));
    let evidence = defect.evidence.iter().map(|file| {
        Text::plain(say!(
            "evidence {name} ({bytes} bytes, entry {entry}), sha256 ",
            name = file.name,
            bytes = file.bytes,
            entry = file.entry
        ))
        .with(&file.sha256, Style::MONO)
    });
    let mut told: Vec<Text> = defect.decisions.iter().map(Text::plain).chain(evidence).collect();
    if defect.evidence.is_empty() {
        told.push(Text::plain(say!("No evidence file belongs to it.")));
    }
    blocks.push(Block::List(told));
}

fn one_step(source: &Source<'_>, step: &BriefStep, blocks: &mut Vec<Block>) {
    blocks.push(heading(3, format!("handover-step-{}", step.id), &step.title));
    blocks.push(para(Text::default().link(&step.id, step_id(&step.id)).and(format!(
        " ({}; {})",
        said(step.relation),
        step.origin
    ))));
    let readings = step.readings.iter().map(reading);
    let notes = step.notes.iter().map(|note| Text::plain(say!("note {note}", note)));
    let told: Vec<Text> = step.answers.iter().map(Text::plain).chain(readings).chain(notes).collect();
    if !told.is_empty() {
        blocks.push(Block::List(told));
    }
    let steps = source.facts.sections.iter().flat_map(|section| &section.steps);
    for facts in steps.filter(|facts| facts.id == step.id) {
        let is_told = |entry: u64| step.readings.iter().any(|reading| reading.entry == entry);
        for reading in facts.readings.iter().filter(|reading| is_told(reading.mark.entry)) {
            blocks.extend(of_reading(source, facts, reading).into_iter().map(Block::Figure));
        }
    }
}

fn reading(reading: &BriefReading) -> Text {
    let with = reading.instruments.as_ref().map(|ids| say!(" with {ids}", ids)).unwrap_or_default();
    let earlier = if reading.before_rectification { say!(", before a rectification") } else { "" };
    Text::strong(format!("{}: {}", reading.title, reading.shown))
        .and(with)
        .quiet(say!(
            ", {day} by {by}, entry {entry}{earlier}. ",
            day = reading.taken_shown,
            by = reading.by,
            entry = reading.entry,
            earlier
        ))
        .with(format!("{}. ", verdict_words(&reading.verdict)), Style::STRONG)
        .and(&reading.words)
}

fn behind(brief: &Brief, blocks: &mut Vec<Block>) {
    if brief.hidden_items.is_empty() && brief.mapped_areas.is_empty() {
        blocks.push(notice(Tone::Caution, said(words::NOTHING_BEHIND)));
        return;
    }
    if brief.all_components {
        blocks.push(para(said(words::ALL_COMPONENTS)));
    }
    if !brief.hidden_items.is_empty() {
        blocks.push(Block::Table(hidden(&brief.hidden_items)));
    }
    if brief.mapped_areas.is_empty() {
        blocks.push(notice(Tone::Caution, said(words::NO_MAPPED_AREA)));
    } else {
        blocks.push(Block::Table(mapped(&brief.mapped_areas)));
        blocks.push(para(said(words::OUTSIDE_MAPPED)));
    }
}

fn side(side: Option<Side>) -> &'static str {
    side.map_or(say!("both sides" => "both"), |side| said(side.word()))
}

fn hidden(items: &[HiddenItem]) -> Table {
    Table {
        caption: say!("Items behind the skin of the components concerned").to_string(),
        columns: vec![
            column(say!("Item"), 24.0),
            column(say!("Kind"), 14.0),
            column(say!("Component, side"), 15.0),
            column(say!("Station"), 15.0),
            column(say!("Height"), 14.0),
            column(say!("Known to"), 9.0),
            column(say!("Source, note"), 27.0),
        ],
        rows: items
            .iter()
            .map(|item| {
                let note =
                    item.note.as_ref().map(|note| format!("; {}", of_checklist(note))).unwrap_or_default();
                Row::cells(vec![
                    Text::plain(of_checklist(&item.title)),
                    Text::plain(said(item.kind.word())),
                    Text::plain(format!("{}, {}", of_checklist(&item.component), side(item.side))),
                    Text::plain(figure(item.station)),
                    Text::plain(figure(item.height)),
                    Text::plain(figure(format_args!("{} mm", item.tolerance_mm))),
                    Text::plain(format!("{}{note}", of_checklist(&item.source))),
                ])
            })
            .collect(),
    }
}

fn mapped(areas: &[MappedArea]) -> Table {
    Table {
        caption: say!("Areas in which every hidden item is entered").to_string(),
        columns: vec![
            column(say!("Component, side"), 22.0),
            column(say!("Station"), 20.0),
            column(say!("Height"), 20.0),
            column(say!("Source, note"), 38.0),
        ],
        rows: areas
            .iter()
            .map(|area| {
                let note =
                    area.note.as_ref().map(|note| format!("; {}", of_checklist(note))).unwrap_or_default();
                Row::cells(vec![
                    Text::plain(format!("{}, {}", of_checklist(&area.component), side(area.side))),
                    Text::plain(figure(area.station)),
                    Text::plain(figure(area.height)),
                    Text::plain(format!("{}{note}", of_checklist(&area.source))),
                ])
            })
            .collect(),
    }
}
