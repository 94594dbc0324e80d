//! Defects on the airframe and in a list, each with its story.

use super::step_rows::step_id;
use super::{Source, heading, para, perhaps_struck, who_when};
use crate::plot::{View, airframe_plot, place_mark};
use crate::report::facts::{DefectFacts, Facts};
use crate::report::model::{Block, Drawing, Figure, Part, Row, Style, Table, Text, column, shown};
use crate::report::words;
use crate::sketch;
use crate::state::Defect;
use crate::words::{day_of, figure, said};

/// How far a wing reaches in the picture, in lengths of the fuselage.
const WING_REACH: f64 = 0.3;

/// Letters of a line of the legend.
const LEGEND_LETTERS: usize = 120;

/// Columns and lines of the picture as characters.
const LINES: (usize, usize) = (78, 28);

pub(super) fn part(source: &Source<'_>) -> Part {
    let facts = source.facts;
    let mut blocks = Vec::new();
    if facts.defects.is_empty() {
        blocks.push(para(said(words::NOTHING)));
    } else {
        blocks.push(Block::Table(table(source)));
        blocks.extend(picture(source).map(Block::Figure));
        for defect in &facts.defects {
            blocks.push(heading(
                2,
                format!("defect-{}", defect.id),
                format!("{}: {}", defect.id, defect.what),
            ));
            one(source, defect, &mut blocks);
        }
    }
    let starts_page = !facts.defects.is_empty();
    Part { id: words::DEFECTS.0, title: said(words::DEFECTS.1).to_string(), starts_page, blocks }
}

fn table(source: &Source<'_>) -> Table {
    Table {
        caption: say!("Defects of this inspection").to_string(),
        columns: vec![
            column(say!("Id"), 6.0),
            column(say!("What"), 36.0),
            column(say!("Where"), 22.0),
            column(say!("Severity"), 12.0),
            column(say!("Standing"), 24.0),
        ],
        rows: source.facts.defects.iter().map(row).collect(),
    }
}

fn row(defect: &DefectFacts) -> Row {
    let style = if defect.grounds { Style::STRONG } else { Style::PLAIN };
    let sign = if defect.grounds {
        "✗ "
    } else if defect.is_open {
        "○ "
    } else {
        "✓ "
    };
    let sign = if defect.struck.is_some() { "" } else { sign };
    Row::cells(vec![
        Text::strong(&defect.id),
        perhaps_struck(&defect.what, defect.struck.as_ref()),
        Text::plain(defect.place().unwrap_or_else(|| said(words::NO_PLACE).to_string())),
        Text::plain(said(&defect.severity)),
        Text::default().with(format!("{sign}{}", said(&defect.standing)), style),
    ])
}

fn one(source: &Source<'_>, defect: &DefectFacts, blocks: &mut Vec<Block>) {
    let mut facts: Vec<(String, Text)> = vec![
        (say!("Severity").to_string(), Text::plain(said(&defect.severity))),
        (
            say!("Place").to_string(),
            Text::plain(defect.place().unwrap_or_else(|| said(words::NO_PLACE).to_string())),
        ),
        (say!("Raised").to_string(), who_when(source, &defect.mark)),
        (say!("Standing").to_string(), Text::strong(said(&defect.standing))),
    ];
    if let Some(step) = &defect.step {
        facts.push((say!("Found by step").to_string(), Text::default().link(step, step_id(step))));
    }
    if let Some(found) = &defect.found {
        facts.push((
            say!("First found").to_string(),
            say!("{found}, at an earlier annual", found = day_of(found)).into(),
        ));
    }
    if !defect.evidence.is_empty() {
        facts.push((say!("Evidence").to_string(), defect.evidence.join(", ").into()));
    }
    if let Some(struck) = &defect.struck {
        facts.push((say!("Taken back").to_string(), super::struck_words(struck)));
    }
    blocks.push(Block::Facts(facts));
    if !defect.decisions.is_empty() {
        blocks.push(Block::List(
            defect
                .decisions
                .iter()
                .map(|decision| {
                    let until = decision
                        .until
                        .as_ref()
                        .map(|day| say!(" until {day}", day = day_of(day)))
                        .unwrap_or_default();
                    let note =
                        if decision.note.is_empty() { String::new() } else { format!(": {}", decision.note) };
                    Text::strong(format!("{}{until}", said(&decision.what)))
                        .and(format!("{note} "))
                        .joined(who_when(source, &decision.mark))
                })
                .collect(),
        ));
    }
}

/// Both views of the airframe with every defect that stands.
fn picture(source: &Source<'_>) -> Option<Figure> {
    let standing: Vec<&Defect> = source.material.state.standing_defects().collect();
    picture_of(source, &standing, say!("Where the defects are"))
}

/// Both views with these defects; none where there are none.
pub(super) fn picture_of(source: &Source<'_>, defects: &[&Defect], caption: &str) -> Option<Figure> {
    let plan = source.material.plan;
    let marks: Vec<_> = defects.iter().map(|defect| sketch::mark_of(defect)).collect();
    if marks.is_empty() {
        return None;
    }
    let shape = sketch::shape_of(plan.of_type.as_ref());
    let placed: Vec<_> = marks.iter().map(|mark| place_mark(&shape, mark)).collect();
    // At their whole length the wings would press everything else together.
    let wing_share = (WING_REACH * shape.length() / shape.semi_span).min(1.0);
    let views = [View::Side, View::Top]
        .into_iter()
        .map(|view| airframe_plot(&shape, &placed, view, wing_share))
        .collect();
    let mut drawn = sketch::picture_of_both(plan, &marks, LINES.0, LINES.1, false);
    let mut legend: Vec<String> = placed
        .iter()
        .map(|mark| {
            let notes: String = mark.notes.iter().map(|note| format!("; {note}")).collect();
            cut(shown(&format!("{} {}: {}{notes}", mark.sign, mark.id, mark.words)))
        })
        .collect();
    legend.push(say!("L, R, B beside a mark: left, right, both sides").to_string());
    legend.push(cut(shown(&sketch::source_words(plan))));
    if !shape.is_to_scale {
        legend.push(say!("not to scale").to_string());
    } else if wing_share < 1.0 {
        legend
            .push(say!("wings drawn shorter than they are: half span {mm} mm", mm = figure(shape.semi_span)));
    }
    drawn.legend.push(sketch::source_words(plan));
    let mut lines = drawn.lines();
    lines.extend(drawn.legend.iter().map(|line| shown(line)));
    Some(Figure {
        caption: caption.to_string(),
        description: description(source.facts, defects),
        share: 0.5,
        drawing: Drawing::Airframe { views, legend, lines },
    })
}

/// A line of the legend must find room beside the picture; the list has the whole words.
fn cut(text: String) -> String {
    match text.char_indices().nth(LEGEND_LETTERS) {
        Some((at, _)) => format!("{}…", &text[..at]),
        None => text,
    }
}

fn description(facts: &Facts, shown_defects: &[&Defect]) -> String {
    let places: Vec<String> = facts
        .defects
        .iter()
        .filter(|defect| shown_defects.iter().any(|shown| shown.id == defect.id))
        .map(|defect| {
            say!(
                "{id} at {place}",
                id = defect.id,
                place = defect.place().unwrap_or_else(|| said(words::NO_PLACE).to_string())
            )
        })
        .collect();
    shown(&say!(
        "The airframe from the left and from above, nose to the left, marked with {places}.",
        places = places.join("; ")
    ))
}
