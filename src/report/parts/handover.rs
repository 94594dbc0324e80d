//! The hand-over to the repairer in short; the whole brief is a document of its own.

use super::{Source, notice, para, quiet_para};
use crate::handover::{Brief, CAUTION, Margin, Material as BriefMaterial, brief, choose_defects};
use crate::report::model::{Block, Part, Row, Table, Text, Tone, column};
use crate::report::words;

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
                blocks(&brief)
            }
            (Ok(_), Err(why)) => vec![para(why)],
            (Err(_), _) => vec![para(words::NOTHING_HANDED_OVER)],
        };
    let starts_page = blocks.len() > 1;
    Part { id: words::HANDOVER.0, title: words::HANDOVER.1.to_string(), starts_page, blocks }
}

fn blocks(brief: &Brief) -> Vec<Block> {
    let mut blocks = vec![notice(Tone::Grave, Text::strong("CAUTION: ").and(CAUTION))];
    blocks.push(Block::List(
        brief
            .defects
            .iter()
            .map(|defect| {
                let station = defect.station_mm.map(|station| format!("station {station} mm"));
                let place: Vec<String> =
                    [defect.component.clone(), defect.side.clone(), station].into_iter().flatten().collect();
                Text::strong(format!("{} {}", defect.id, defect.severity.word())).and(format!(
                    ": {} ({}), {}",
                    defect.what,
                    place.join(", "),
                    defect.standing
                ))
            })
            .collect(),
    ));
    if !brief.hidden_items.is_empty() {
        blocks.push(Block::Table(hidden(brief)));
    }
    if brief.mapped_areas.is_empty() {
        blocks.push(notice(
            Tone::Caution,
            "The type's data hold no mapped area here: what lies behind the skin is not completely known.",
        ));
    }
    if !brief.questions.is_empty() {
        blocks.push(para(Text::strong("Questions to the repairer")));
        blocks.push(Block::List(brief.questions.iter().map(Text::plain).collect()));
    }
    blocks.push(quiet_para(words::HANDOVER_SHORT));
    blocks
}

fn hidden(brief: &Brief) -> Table {
    Table {
        caption: "What lies behind the skin, by the type's data".to_string(),
        columns: vec![
            column("Item", 28.0),
            column("Kind", 16.0),
            column("Component, side", 18.0),
            column("Station", 16.0),
            column("Height", 16.0),
        ],
        rows: brief
            .hidden_items
            .iter()
            .map(|item| {
                let side = item.side.map_or("both", crate::checklist::Side::word);
                Row::cells(vec![
                    Text::plain(&item.title),
                    Text::plain(item.kind.word()),
                    Text::plain(format!("{}, {side}", item.component)),
                    Text::plain(item.station.to_string()),
                    Text::plain(item.height.to_string()),
                ])
            })
            .collect(),
    }
}
