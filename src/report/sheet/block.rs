//! One block of the hangar order: how the airframe stands, then its steps to be worked.

use super::SheetMaterial;
use crate::checklist::{Aspect, Configuration, Measure, MeasureKind, Step};
use crate::event::ControlCheck;
use crate::order::{self, aspect_words, configuration_words, setting_words};
use crate::paper::{block_label, lines_of_block, measure_label};
use crate::plan::PlanStep;
use crate::report::model::{Block, Row, Style, Table, Text, Tone, column};
use crate::report::sheet_words as words;
use crate::words::{of_checklist, said};

pub(super) fn blocks(material: &SheetMaterial<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    if material.order.blocks.is_empty() {
        blocks.push(Block::Para(said(words::NOTHING_OPEN).into()));
    }
    for (index, block) in material.order.blocks.iter().enumerate() {
        blocks.push(Block::Heading {
            level: 2,
            id: format!("block-{}", index + 1),
            text: say!(
                "Block {number}: {configuration}",
                number = index + 1,
                configuration = configuration_words(&block.configuration)
            ),
        });
        how(index, block, &block.wanted(material.plan), &mut blocks);
        blocks.push(Block::Table(Table {
            caption: say!("Steps of block {number}", number = index + 1),
            columns: vec![
                column(say!("Step"), 52.0),
                column(say!("Result"), 24.0),
                column(say!("Initials, time"), 24.0),
            ],
            rows: block
                .steps
                .iter()
                .filter_map(|step| material.plan.step(&step.id))
                .zip(lines_of_block(material.order, index)..)
                .flat_map(|(planned, number)| rows(planned, number))
                .collect(),
        }));
    }
    blocks
}

/// Changes to make, hands and kit.
fn how(index: usize, block: &order::Block, wanted: &Configuration, blocks: &mut Vec<Block>) {
    let changes: Vec<String> = block
        .changes
        .iter()
        .map(|change| {
            let aspect = change.cost.aspect;
            let (from, to) = (setting_words(aspect, change.from), setting_words(aspect, change.cost.to));
            format!("{} {from} → {to}", aspect_words(aspect))
        })
        .collect();
    if block.changes.iter().any(|change| change.cost.aspect == Aspect::Support) {
        blocks.push(Block::Notice {
            tone: Tone::Caution,
            text: Text::strong(say!("CAUTION: ")).and(said(words::TRESTLES)),
        });
    }
    let mut line = Text::default();
    if !changes.is_empty() {
        line = line.with(say!("Change: "), Style::STRONG).and(format!("{}.  ", changes.join("; ")));
    }
    line = line.and(say!("{people} people, {minutes} min.", people = block.hands, minutes = block.minutes));
    let kit: Vec<&str> = block.kit.iter().map(|item| of_checklist(item)).collect();
    if !kit.is_empty() {
        line = line.and(say!("  Kit: {kit}.", kit = kit.join(", ")));
    }
    if !wanted.is_empty() {
        line = line.and("  ").with(block_label(index), Style::STRONG).and(say!(
            " Configuration confirmed ({wanted}): ☐  {line}",
            wanted = configuration_words(wanted),
            line = words::SHORT_LINE
        ));
    }
    blocks.push(Block::Para(line));
}

fn rows(planned: &PlanStep, number: usize) -> Vec<Row> {
    let step = &planned.step;
    let optional = if step.mandatory { "" } else { say!(" (optional)") };
    let mut title = Text::strong(format!("{number}  {}", of_checklist(&step.title)))
        .quiet(format!("  {}{optional}", step.id));
    if !planned.because.is_empty() {
        title = title.and(format!(" → {}", planned.because.join(", ")));
    }
    let boxes = match step.may_be_not_applicable {
        true => format!("{}   ☐ {}", words::BOXES, said(words::NOT_APPLICABLE)),
        false => words::BOXES.to_string(),
    };
    let mut rows = vec![Row::cells(vec![title, Text::plain(boxes), Text::plain(words::LINE)])];
    rows.extend(details(step, number).into_iter().map(|text| Row::Note { text }));
    rows
}

fn details(step: &Step, number: usize) -> Vec<Text> {
    let mut lines = Vec::new();
    if let Some(caution) = &step.caution {
        lines.push(Text::strong(say!("CAUTION: {text}", text = one_line(of_checklist(caution)))));
    }
    lines.push(Text::plain(one_line(of_checklist(&step.instruction))));
    lines.extend(step.measures.iter().enumerate().map(|(at, one)| measure(one, &measure_label(number, at))));
    for demand in &step.evidence {
        let boxes = vec!["☐"; usize::try_from(demand.count.min(6)).unwrap_or(1)].join(" ");
        lines.push(Text::plain(format!(
            "{boxes} {}: {}",
            said(demand.kind.word()),
            of_checklist(&demand.what)
        )));
    }
    if step.independent {
        let checks: Vec<String> =
            ControlCheck::ALL.iter().map(|check| format!("☐ {}", said(check.word()))).collect();
        lines.push(Text::strong(say!("Second person: ")).and(format!(
            "{}   {}",
            checks.join("   "),
            words::LINE
        )));
    }
    lines
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Title and limit, then as many lines as readings are demanded.
fn measure(measure: &Measure, label: &str) -> Text {
    let unit = measure.unit().map(|unit| format!(" {}", unit.shown())).unwrap_or_default();
    let one = match &measure.kind {
        MeasureKind::Pair { .. } => {
            let (left, right) = (say!("left" => "L"), say!("right" => "R"));
            format!("{left} {0}{unit}  {right} {0}{unit}", words::SHORT_LINE)
        }
        MeasureKind::Choice { choices, .. } => {
            choices.iter().map(|choice| format!("☐ {}", of_checklist(choice))).collect::<Vec<_>>().join("  ")
        }
        MeasureKind::Text | MeasureKind::Date { .. } => words::LINE.to_string(),
        MeasureKind::LoadDeflection(_) | MeasureKind::Table { .. } => {
            say!("on a sheet of its own").to_string()
        }
        _ => format!("{}{unit}", words::SHORT_LINE),
    };
    let times = usize::try_from(measure.readings.clamp(1, 6)).unwrap_or(1);
    let mut text = Text::strong(format!("{label}  {}: ", of_checklist(&measure.title)))
        .and(vec![one; times].join("   "));
    if let Some(limit) = measure.limit_words() {
        text = text.quiet(format!("   {limit}"));
    }
    if measure.instrument {
        text = text.and(say!("   with {line}", line = words::SHORT_LINE));
    }
    text
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;
    use crate::checklist::Guard;
    use crate::words::{Language, with_language};

    #[test]
    fn a_day_that_limits_a_reading_is_written_once_in_the_language() {
        let not_before = NaiveDate::from_ymd_opt(2026, 3, 9);
        let dated = Measure {
            id: "valid".to_string(),
            title: "Valid until".to_string(),
            kind: MeasureKind::Date { not_before_today: false, not_before },
            readings: 1,
            instrument: false,
            demanded: true,
            guard: Guard::default(),
            limit_source: None,
        };
        let told = with_language(Language::German, || measure(&dated, "7a").letters());
        assert!(told.contains("09.03.2026"), "{told}");
    }
}
