//! The measurement record: readings as entered, the figures behind each verdict, and pictures.

use super::pictures::of_reading;
use super::step_rows::step_id;
use super::trends::{trends_of, without_trend};
use super::{Source, heading, para, perhaps_struck, quiet_para, who_when};
use crate::event::ReadingValue;
use crate::report::facts::{InstrumentFacts, ReadingFacts, StepFacts};
use crate::report::model::{Block, Part, Row, Table, Text, column};
use crate::report::words;
use crate::words::{day_of, figure, of_checklist, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let mut blocks = vec![quiet_para(said(words::AS_ENTERED))];
    let steps = || source.facts.sections.iter().flat_map(|section| &section.steps);
    if steps().all(|step| step.readings.is_empty()) {
        blocks.push(para(said(words::NOTHING)));
    } else {
        blocks.push(heading(2, "measurements-table", say!("All readings")));
        blocks.push(Block::Table(table(source)));
        blocks.push(heading(2, "measurements-instruments", say!("Instruments used")));
        blocks.push(instruments(source));
        for step in steps() {
            detailed(source, step, &mut blocks);
        }
        without_trend(source, &mut blocks);
    }
    Part {
        id: words::MEASUREMENTS.0,
        title: said(words::MEASUREMENTS.1).to_string(),
        starts_page: true,
        blocks,
    }
}

fn table(source: &Source<'_>) -> Table {
    let mut rows = Vec::new();
    for section in &source.facts.sections {
        for step in section.steps.iter().filter(|step| !step.readings.is_empty()) {
            rows.push(Row::Group {
                text: Text::strong(of_checklist(&step.title)).and("  ").link(&step.id, step_id(&step.id)),
            });
            rows.extend(step.readings.iter().map(|reading| reading_row(source, reading)));
        }
    }
    Table {
        caption: say!("Every reading of the session").to_string(),
        columns: vec![
            column(say!("Measurement"), 25.0),
            column(say!("Reading"), 21.0),
            column(say!("Limit"), 20.0),
            column(say!("Verdict"), super::share(13.0, 18.0)),
            column(say!("of a reading" => "With"), 14.0),
            column(say!("By, when"), super::share(27.0, 24.0)),
        ],
        rows,
    }
}

fn reading_row(source: &Source<'_>, reading: &ReadingFacts) -> Row {
    let ids: Vec<&str> = reading.instruments.iter().map(|instrument| instrument.id.as_str()).collect();
    let mut by = who_when(source, &reading.mark);
    if reading.before_rectification && reading.struck.is_none() {
        by = by.quiet(format!(" {}", said(words::BEFORE_RECTIFICATION)));
    }
    let verdict = match &reading.struck {
        Some(_) => Text::struck(&reading.verdict_shown),
        None => Text::plain(&reading.verdict_shown),
    };
    Row::cells(vec![
        Text::plain(of_checklist(&reading.title)),
        perhaps_struck(&reading.value_shown, reading.struck.as_ref()),
        Text::plain(reading.limit_shown.as_deref().unwrap_or_default()),
        verdict,
        Text::plain(ids.join(" + ")),
        by,
    ])
}

/// What a table row has no room for: series and tables with their pictures, trends, verdicts that need their figures.
fn detailed(source: &Source<'_>, step: &StepFacts, blocks: &mut Vec<Block>) {
    for reading in step.readings.iter().filter(|reading| reading.struck.is_none()) {
        let is_wide = matches!(reading.recorded, ReadingValue::Series { .. } | ReadingValue::Table { .. });
        // Repeated readings share one picture: that of the last.
        let is_last = is_last_that_holds(step, reading);
        let trends = if is_last { trends_of(source, step, reading) } else { Vec::new() };
        if !is_wide && trends.is_empty() && matches!(reading.verdict.as_str(), "within" | "recorded") {
            continue;
        }
        let round = if reading.before_rectification {
            format!(", {}", said(words::BEFORE_RECTIFICATION))
        } else {
            String::new()
        };
        let id = format!("reading-{}", reading.mark.entry);
        blocks.push(heading(
            2,
            id,
            format!("{}: {}{round}", of_checklist(&step.title), of_checklist(&reading.title)),
        ));
        blocks.push(para(
            Text::plain(say!("Entered "))
                .joined(who_when(source, &reading.mark))
                .and(say!(" at step "))
                .link(&step.id, step_id(&step.id)),
        ));
        blocks.push(para(Text::strong(format!("{}. ", reading.verdict_shown)).and(&reading.words)));
        if let Some(source) = &reading.limit_source {
            blocks.push(quiet_para(&say!(
                "Limit: {limit}; from: {source}",
                limit = reading.limit_shown.as_deref().unwrap_or("–"),
                source = of_checklist(source)
            )));
        }
        blocks.extend(of_reading(source, step, reading).into_iter().map(Block::Figure));
        blocks.extend(trends.into_iter().map(Block::Figure));
        match &reading.recorded {
            ReadingValue::Series { points } => blocks.push(Block::Table(series(points))),
            ReadingValue::Table { text } => {
                blocks.push(Block::Lines(text.lines().map(ToString::to_string).collect()))
            }
            _ => {}
        }
    }
}

fn is_last_that_holds(step: &StepFacts, reading: &ReadingFacts) -> bool {
    let mut holding = step.readings.iter().filter(|other| {
        other.measure == reading.measure && other.struck.is_none() && !other.before_rectification
    });
    holding.next_back().is_some_and(|last| last.mark.entry == reading.mark.entry)
}

fn series(points: &[crate::event::SeriesPoint]) -> Table {
    Table {
        caption: say!("Load and deflection as read, in the order of reading").to_string(),
        columns: vec![
            crate::report::model::number_column(say!("No."), 8.0),
            column(say!("Direction"), 24.0),
            column(say!("of a load" => "Way"), 16.0),
            crate::report::model::number_column(say!("Load"), 26.0),
            crate::report::model::number_column(say!("Deflection"), 26.0),
        ],
        rows: points
            .iter()
            .enumerate()
            .map(|(index, point)| {
                Row::cells(vec![
                    Text::plain((index + 1).to_string()),
                    Text::plain(of_checklist(&point.direction)),
                    Text::plain(if point.loading {
                        say!("of a load" => "up")
                    } else {
                        say!("of a load" => "down")
                    }),
                    Text::plain(figure(point.load)),
                    Text::plain(figure(point.deflection)),
                ])
            })
            .collect(),
    }
}

/// Every instrument once, as the register described it when it was used.
fn instruments(source: &Source<'_>) -> Block {
    let mut used: Vec<&InstrumentFacts> = Vec::new();
    for step in source.facts.sections.iter().flat_map(|section| &section.steps) {
        for instrument in step.readings.iter().flat_map(|reading| &reading.instruments) {
            let same = |one: &&InstrumentFacts| {
                one.id == instrument.id && one.calibration_due == instrument.calibration_due
            };
            if !used.iter().any(same) {
                used.push(instrument);
            }
        }
    }
    used.sort_by(|a, b| a.id.cmp(&b.id));
    if used.is_empty() {
        return para(said(words::NOTHING));
    }
    Block::Table(Table {
        caption: say!("Instruments as the register described them on the day").to_string(),
        columns: vec![
            column(say!("Id"), 22.0),
            column(say!("Instrument"), 40.0),
            column(say!("Calibration due"), 18.0),
            column(say!("Uncertainty, k = 2"), 20.0),
        ],
        rows: used
            .into_iter()
            .map(|instrument| {
                Row::cells(vec![
                    Text::plain(&instrument.id),
                    Text::plain(&instrument.title),
                    Text::plain(super::or_not_recorded(
                        instrument.calibration_due.as_ref().map(|day| day_of(day)).as_ref(),
                    )),
                    Text::plain(super::or_not_recorded(instrument.uncertainty.as_ref().map(figure).as_ref())),
                ])
            })
            .collect(),
    })
}
