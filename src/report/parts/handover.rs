//! The hand-over to the repairer: the whole brief, so that the part can be taken out and given away.

use super::pictures::of_reading;
use super::step_rows::step_id;
use super::{Source, defects, heading, notice, para, quiet_para, who_when};
use crate::checklist::{HiddenItem, MappedArea, Side};
use crate::handover::{
    Brief, BriefDefect, BriefReading, BriefStep, CAUTION, Margin, Material as BriefMaterial, brief,
    choose_defects, is_handover_note,
};
use crate::report::model::{Block, Part, Row, Style, Table, Text, Tone, column};
use crate::report::words;
use crate::state::Defect;

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
            (Err(_), _) => vec![para(words::NOTHING_HANDED_OVER)],
        };
    let starts_page = blocks.len() > 1;
    Part { id: words::HANDOVER.0, title: words::HANDOVER.1.to_string(), starts_page, blocks }
}

fn blocks(source: &Source<'_>, brief: &Brief, defects: &[&Defect]) -> Vec<Block> {
    let mut blocks = vec![caution(), Block::Facts(airframe(brief))];
    blocks.extend(brief.record_faults.iter().map(|fault| notice(Tone::Grave, fault.clone())));
    already(source, &mut blocks);
    blocks.push(heading(2, "handover-defects", "Defects handed over"));
    for defect in &brief.defects {
        one_defect(defect, &mut blocks);
    }
    blocks
        .extend(defects::picture_of(source, defects, "Where the defects handed over are").map(Block::Figure));
    if !brief.steps.is_empty() {
        blocks.push(heading(2, "handover-found", "How it was found"));
        blocks.push(caution());
        for step in &brief.steps {
            one_step(source, step, &mut blocks);
        }
    }
    blocks.push(heading(2, "handover-behind", "What lies behind the skin, by the type's data"));
    blocks.push(caution());
    behind(brief, &mut blocks);
    blocks.push(heading(2, "handover-questions", "Questions to the repairer"));
    let numbered = brief.questions.iter().zip(1..);
    blocks.push(Block::List(numbered.map(|(text, at)| Text::plain(format!("{at}. {text}"))).collect()));
    blocks.push(quiet_para(words::HANDOVER_OPENING));
    blocks
}

/// Stands on every section: pages may be parted.
fn caution() -> Block {
    notice(Tone::Grave, Text::strong("CAUTION: ").and(CAUTION))
}

fn airframe(brief: &Brief) -> Vec<(String, Text)> {
    let frame = &brief.airframe;
    let of_type = frame.type_name.as_ref().unwrap_or(&frame.type_id);
    let standard = if frame.build_standard.is_empty() {
        words::NOT_RECORDED.to_string()
    } else {
        frame.build_standard.join(", ")
    };
    let day = frame.manufactured.map_or_else(|| words::NOT_RECORDED.to_string(), |day| day.to_string());
    let stated =
        |datum: &Option<String>| Text::plain(datum.as_deref().unwrap_or("not stated by the type's data"));
    vec![
        (
            "Aircraft".to_string(),
            format!("{}, {of_type}, serial {}", frame.registration, frame.serial).into(),
        ),
        ("Build standard".to_string(), standard.into()),
        ("Manufactured".to_string(), day.into()),
        (
            "Total time when it began".to_string(),
            format!("{} h, {} launches", frame.hours, frame.launches).into(),
        ),
        ("Stations from".to_string(), stated(&frame.station_datum)),
        ("Heights from".to_string(), stated(&frame.height_datum)),
        ("Type's data".to_string(), Text::plain(frame.type_data.as_deref().unwrap_or("none"))),
        (
            "Record".to_string(),
            Text::plain(format!("session {}, as of entry {}", brief.session, brief.entries)),
        ),
    ]
}

/// What the session keeps of hand-overs that went out, with the openings that were proposed.
fn already(source: &Source<'_>, blocks: &mut Vec<Block>) {
    let kept = source.facts.notes.iter().filter(|note| is_handover_note(&note.text));
    let kept: Vec<Text> =
        kept.map(|note| Text::plain(&note.text).and(" ").joined(who_when(source, &note.mark))).collect();
    if !kept.is_empty() {
        blocks.push(heading(2, "handover-kept", "Handed over so far"));
        blocks.push(Block::List(kept));
    }
}

fn one_defect(defect: &BriefDefect, blocks: &mut Vec<Block>) {
    blocks.push(heading(
        3,
        format!("handover-{}", defect.id),
        format!("{}, {}: {}", defect.id, defect.severity.word(), defect.what),
    ));
    let station = defect.station_mm.map(|station| format!("station {station} mm"));
    let place: Vec<String> =
        [defect.component.clone(), defect.side.clone(), station].into_iter().flatten().collect();
    let place = if place.is_empty() { words::NO_PLACE.to_string() } else { place.join(", ") };
    let mut facts: Vec<(String, Text)> = vec![
        ("Place".to_string(), place.into()),
        ("Raised".to_string(), Text::plain(&defect.raised)),
        ("Standing".to_string(), Text::strong(defect.standing)),
    ];
    if let Some(step) = &defect.step {
        facts.push(("Found by step".to_string(), Text::default().link(step, step_id(step))));
    }
    blocks.push(Block::Facts(facts));
    let evidence = defect.evidence.iter().map(|file| {
        Text::plain(format!("evidence {} ({} bytes, entry {}), sha256 ", file.name, file.bytes, file.entry))
            .with(&file.sha256, Style::MONO)
    });
    let mut told: Vec<Text> = defect.decisions.iter().map(Text::plain).chain(evidence).collect();
    if defect.evidence.is_empty() {
        told.push(Text::plain("No evidence file belongs to it."));
    }
    blocks.push(Block::List(told));
}

fn one_step(source: &Source<'_>, step: &BriefStep, blocks: &mut Vec<Block>) {
    blocks.push(heading(3, format!("handover-step-{}", step.id), &step.title));
    blocks.push(para(
        Text::default()
            .link(&step.id, step_id(&step.id))
            .and(format!(" ({}; {})", step.relation, step.origin)),
    ));
    let readings = step.readings.iter().map(reading);
    let notes = step.notes.iter().map(|note| Text::plain(format!("note {note}")));
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
    let with = reading.instruments.as_ref().map(|ids| format!(" with {ids}")).unwrap_or_default();
    let earlier = if reading.before_rectification { ", before a rectification" } else { "" };
    Text::strong(format!("{}: {}", reading.title, reading.shown))
        .and(with)
        .quiet(format!(", {} by {}, entry {}{earlier}. ", reading.taken, reading.by, reading.entry))
        .with(format!("{}. ", reading.verdict), Style::STRONG)
        .and(&reading.words)
}

fn behind(brief: &Brief, blocks: &mut Vec<Block>) {
    if brief.hidden_items.is_empty() && brief.mapped_areas.is_empty() {
        blocks.push(notice(Tone::Caution, words::NOTHING_BEHIND));
        return;
    }
    if brief.all_components {
        blocks.push(para(words::ALL_COMPONENTS));
    }
    if !brief.hidden_items.is_empty() {
        blocks.push(Block::Table(hidden(&brief.hidden_items)));
    }
    if brief.mapped_areas.is_empty() {
        blocks.push(notice(Tone::Caution, words::NO_MAPPED_AREA));
    } else {
        blocks.push(Block::Table(mapped(&brief.mapped_areas)));
        blocks.push(para(words::OUTSIDE_MAPPED));
    }
}

fn side(side: Option<Side>) -> &'static str {
    side.map_or("both", Side::word)
}

fn hidden(items: &[HiddenItem]) -> Table {
    Table {
        caption: "Items behind the skin of the components concerned".to_string(),
        columns: vec![
            column("Item", 24.0),
            column("Kind", 14.0),
            column("Component, side", 15.0),
            column("Station", 15.0),
            column("Height", 14.0),
            column("Known to", 9.0),
            column("Source, note", 27.0),
        ],
        rows: items
            .iter()
            .map(|item| {
                let note = item.note.as_ref().map(|note| format!("; {note}")).unwrap_or_default();
                Row::cells(vec![
                    Text::plain(&item.title),
                    Text::plain(item.kind.word()),
                    Text::plain(format!("{}, {}", item.component, side(item.side))),
                    Text::plain(item.station.to_string()),
                    Text::plain(item.height.to_string()),
                    Text::plain(format!("{} mm", item.tolerance_mm)),
                    Text::plain(format!("{}{note}", item.source)),
                ])
            })
            .collect(),
    }
}

fn mapped(areas: &[MappedArea]) -> Table {
    Table {
        caption: "Areas in which every hidden item is entered".to_string(),
        columns: vec![
            column("Component, side", 22.0),
            column("Station", 20.0),
            column("Height", 20.0),
            column("Source, note", 38.0),
        ],
        rows: areas
            .iter()
            .map(|area| {
                let note = area.note.as_ref().map(|note| format!("; {note}")).unwrap_or_default();
                Row::cells(vec![
                    Text::plain(format!("{}, {}", area.component, side(area.side))),
                    Text::plain(area.station.to_string()),
                    Text::plain(area.height.to_string()),
                    Text::plain(format!("{}{note}", area.source)),
                ])
            })
            .collect(),
    }
}
