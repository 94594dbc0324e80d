//! One block of the hangar order: how the airframe stands, then its steps to be worked.

use super::SheetMaterial;
use crate::checklist::{Aspect, Configuration, Measure, MeasureKind, Step};
use crate::event::ControlCheck;
use crate::order;
use crate::paper::{block_label, lines_of_block, measure_label};
use crate::plan::PlanStep;
use crate::report::model::{Block, Row, Style, Table, Text, Tone, column};
use crate::report::sheet_words as words;

pub(super) fn blocks(material: &SheetMaterial<'_>) -> Vec<Block> {
    let mut blocks = Vec::new();
    if material.order.blocks.is_empty() {
        blocks.push(Block::Para(words::NOTHING_OPEN.into()));
    }
    for (index, block) in material.order.blocks.iter().enumerate() {
        blocks.push(Block::Heading {
            level: 2,
            id: format!("block-{}", index + 1),
            text: format!("Block {}: {}", index + 1, block.configuration),
        });
        how(index, block, &block.wanted(material.plan), &mut blocks);
        blocks.push(Block::Table(Table {
            caption: format!("Steps of block {}", index + 1),
            columns: vec![column("Step", 52.0), column("Result", 24.0), column("Initials, time", 24.0)],
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
            format!("{} {} → {}", change.cost.aspect.word(), change.from.word(), change.cost.to.word())
        })
        .collect();
    if block.changes.iter().any(|change| change.cost.aspect == Aspect::Support) {
        blocks.push(Block::Notice {
            tone: Tone::Caution,
            text: Text::strong("CAUTION: ").and(words::TRESTLES),
        });
    }
    let mut line = Text::default();
    if !changes.is_empty() {
        line = line.with("Change: ", Style::STRONG).and(format!("{}.  ", changes.join("; ")));
    }
    line = line.and(format!("{} people, {} min.", block.hands, block.minutes));
    if !block.kit.is_empty() {
        line = line.and(format!("  Kit: {}.", block.kit.join(", ")));
    }
    if !wanted.is_empty() {
        line = line
            .and("  ")
            .with(block_label(index), Style::STRONG)
            .and(format!(" Configuration confirmed ({wanted}): ☐  {}", words::SHORT_LINE));
    }
    blocks.push(Block::Para(line));
}

fn rows(planned: &PlanStep, number: usize) -> Vec<Row> {
    let step = &planned.step;
    let optional = if step.mandatory { "" } else { " (optional)" };
    let mut title =
        Text::strong(format!("{number}  {}", step.title)).quiet(format!("  {}{optional}", step.id));
    if !planned.because.is_empty() {
        title = title.and(format!(" → {}", planned.because.join(", ")));
    }
    let boxes =
        if step.may_be_not_applicable { words::BOXES } else { words::BOXES.trim_end_matches("   ☐ n/a") };
    let mut rows = vec![Row::cells(vec![title, Text::plain(boxes), Text::plain(words::LINE)])];
    rows.extend(details(step, number).into_iter().map(|text| Row::Note { text }));
    rows
}

fn details(step: &Step, number: usize) -> Vec<Text> {
    let mut lines = Vec::new();
    if let Some(caution) = &step.caution {
        lines.push(Text::strong(format!("CAUTION: {}", one_line(caution))));
    }
    lines.push(Text::plain(one_line(&step.instruction)));
    lines.extend(step.measures.iter().enumerate().map(|(at, one)| measure(one, &measure_label(number, at))));
    for demand in &step.evidence {
        let boxes = vec!["☐"; usize::try_from(demand.count.min(6)).unwrap_or(1)].join(" ");
        lines.push(Text::plain(format!("{boxes} {}: {}", demand.kind.word(), demand.what)));
    }
    if step.independent {
        let checks: Vec<String> =
            ControlCheck::ALL.iter().map(|check| format!("☐ {}", check.word())).collect();
        lines.push(Text::strong("Second person: ").and(format!("{}   {}", checks.join("   "), words::LINE)));
    }
    lines
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Title and limit, then as many lines as readings are demanded.
fn measure(measure: &Measure, label: &str) -> Text {
    let unit = measure.unit().map(|unit| format!(" {}", unit.symbol())).unwrap_or_default();
    let one = match &measure.kind {
        MeasureKind::Pair { .. } => format!("L {0}{unit}  R {0}{unit}", words::SHORT_LINE),
        MeasureKind::Choice { choices, .. } => {
            choices.iter().map(|choice| format!("☐ {choice}")).collect::<Vec<_>>().join("  ")
        }
        MeasureKind::Text | MeasureKind::Date { .. } => words::LINE.to_string(),
        MeasureKind::LoadDeflection(_) | MeasureKind::Table { .. } => "on a sheet of its own".to_string(),
        _ => format!("{}{unit}", words::SHORT_LINE),
    };
    let times = usize::try_from(measure.readings.clamp(1, 6)).unwrap_or(1);
    let mut text = Text::strong(format!("{label}  {}: ", measure.title)).and(vec![one; times].join("   "));
    if let Some(limit) = measure.limit_words() {
        text = text.quiet(format!("   {limit}"));
    }
    if measure.instrument {
        text = text.and(format!("   with {}", words::SHORT_LINE));
    }
    text
}
