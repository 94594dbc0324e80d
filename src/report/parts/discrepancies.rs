//! The list of discrepancies: a document of its own, signed and dated (14 CFR 43.11(b)).

use super::{Source, notice, para, quiet_para};
use crate::report::facts::{Facts, Status};
use crate::report::model::{Block, Part, Row, Table, Text, Tone, column, number_column};
use crate::report::{local, words};
use crate::words::{day_of, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let facts = source.facts;
    let mut blocks = Vec::new();
    let items = items(facts);
    match facts.status {
        Status::Draft => blocks.push(notice(
            Tone::Caution,
            Text::strong(said(words::DRAFT)).and(format!(". {}", said(words::LIST_DRAFT))),
        )),
        Status::NotAirworthy => {
            blocks.push(notice(Tone::Grave, Text::strong(format!("✗ {}", said(words::NOT_AIRWORTHY)))))
        }
        Status::Released => {}
    }
    if items.is_empty() {
        blocks.push(para(if facts.status == Status::Released {
            said(words::LIST_EMPTY_RELEASE)
        } else {
            said(words::NOTHING)
        }));
        return finished(blocks, false);
    }
    blocks.push(Block::Facts(heads(facts)));
    blocks.push(Block::Table(Table {
        caption: say!("Discrepancies and unairworthy items").to_string(),
        columns: vec![
            number_column(say!("No."), 6.0),
            column(say!("of a list" => "From"), 16.0),
            column(say!("What"), 58.0),
            column(say!("Where"), 20.0),
        ],
        rows: items
            .into_iter()
            .enumerate()
            .map(|(index, (from, text))| {
                let place =
                    facts.defects.iter().find(|defect| defect.id == from).and_then(|defect| defect.place());
                Row::cells(vec![
                    Text::plain((index + 1).to_string()),
                    Text::plain(from),
                    Text::plain(text),
                    Text::plain(place.unwrap_or_default()),
                ])
            })
            .collect(),
    }));
    if let Some(signed) = &facts.sign_off {
        blocks.push(Block::SignatureLines(vec![
            format!(
                "{}, {} {}, {}",
                signed.mark.name,
                signed.certificate,
                signed.authorisation,
                day_of(&signed.date)
            ),
            say!("received by owner or operator, date").to_string(),
        ]));
    }
    blocks.push(quiet_para(said(words::LIST_RULE)));
    finished(blocks, true)
}

/// A list that holds something is a sheet of its own, to be handed over.
fn finished(blocks: Vec<Block>, starts_page: bool) -> Part {
    Part { id: words::DISCREPANCIES.0, title: said(words::DISCREPANCIES.1).to_string(), starts_page, blocks }
}

/// As signed; of an unsigned session what is open now.
fn items(facts: &Facts) -> Vec<(String, String)> {
    match &facts.sign_off {
        Some(signed) => {
            signed.discrepancies.iter().map(|item| (item.from.clone(), item.text.clone())).collect()
        }
        None => facts
            .defects
            .iter()
            .filter(|defect| defect.is_open)
            .map(|defect| {
                (
                    defect.id.clone(),
                    format!("{}: {} ({})", said(&defect.severity), defect.what, said(&defect.standing)),
                )
            })
            .collect(),
    }
}

fn heads(facts: &Facts) -> Vec<(String, Text)> {
    let frame = &facts.airframe;
    let date = facts
        .sign_off
        .as_ref()
        .map_or_else(|| Text::strong(said(words::DRAFT)), |signed| Text::strong(day_of(&signed.date)));
    vec![
        (say!("Aircraft").to_string(), words::aircraft(frame).into()),
        (say!("Total time in service").to_string(), local::totals(&frame.hours, frame.launches).into()),
        (say!("List dated").to_string(), date),
        (say!("of a list" => "For").to_string(), super::or_not_recorded(frame.owner.as_ref()).into()),
    ]
}
