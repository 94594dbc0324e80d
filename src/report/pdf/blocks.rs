//! Blocks laid out one below the other.

use super::fonts::Face;
use super::frame::inks;
use super::lines::Line;
use super::sheet::{BASE, Draw, LEADING, Sheets};
use super::table;
use super::tags::Kind;
use crate::report::model::{Block, Document, Figure, Part, Text, Tone};
use crate::report::picture::{Anchor, Ink, Item, picture};

pub(super) const BODY: f32 = 8.8;
const TITLE: f32 = 17.0;
/// No picture is higher than this.
const HIGHEST: f32 = 350.0;
const MONO_SIZE: f32 = 7.4;

pub(super) fn lay_out(sheets: &mut Sheets<'_>, document: &Document) {
    for (index, part) in document.parts.iter().enumerate() {
        lay_part(sheets, part, index == 0);
    }
    // A document without parts still has a page that says what it is.
    if document.parts.is_empty() {
        sheets.new_page();
    }
}

fn lay_part(sheets: &mut Sheets<'_>, part: &Part, is_first: bool) {
    let next = part.blocks.first().map_or(0.0, |block| least_height(sheets, block));
    if is_first || (part.starts_page && !sheets.is_fresh()) {
        sheets.new_page();
    } else if !sheets.is_fresh() {
        sheets.y += 16.0;
        sheets.ensure(TITLE * LEADING + 12.0 + next);
    }
    sheets.target(part.id);
    sheets.bookmark(1, &part.title);
    let tag = sheets.tags.add(Kind::Heading(1, part.title.clone()), None);
    let lines = sheets.lines(&Text::strong(&part.title), TITLE, sheets.width());
    flow(sheets, &lines, sheets.left(), TITLE, tag);
    sheets.y += 5.0;
    for (index, block) in part.blocks.iter().enumerate() {
        lay_block(sheets, block, &part.blocks[index + 1..]);
    }
}

fn heading_size(level: u8) -> f32 {
    if level <= 2 { 11.5 } else { 9.6 }
}

fn lay_block(sheets: &mut Sheets<'_>, block: &Block, following: &[Block]) {
    match block {
        Block::Heading { level, id, text } => {
            let next = beginning(sheets, following);
            let size = heading_size(*level);
            let lines = sheets.lines(&Text::strong(text), size, sheets.width());
            if !sheets.is_fresh() {
                sheets.y += 7.0;
            }
            sheets.ensure(lines.len() as f32 * size * LEADING + 4.0 + next);
            sheets.target(id);
            if *level <= 2 {
                sheets.bookmark(2, text);
            }
            let tag = sheets.tags.add(Kind::Heading(*level, text.clone()), None);
            flow(sheets, &lines, sheets.left(), size, tag);
            sheets.y += 3.0;
        }
        Block::Para(text) => paragraph(sheets, text),
        Block::Notice { tone, text } => notice(sheets, *tone, text),
        Block::Facts(rows) => facts(sheets, rows),
        Block::List(items) => list(sheets, items),
        Block::Table(table) => table::lay_table(sheets, table),
        Block::Figure(figure) => figure_block(sheets, figure),
        Block::Lines(lines) => mono_lines(sheets, lines),
        Block::SignatureLines(lines) => signature_lines(sheets, lines),
    }
}

/// Room that what follows a heading needs: a heading never stands alone at the foot of a page, nor with a caution alone.
fn beginning(sheets: &Sheets<'_>, following: &[Block]) -> f32 {
    let cautions = following.iter().take_while(|block| matches!(block, Block::Notice { .. })).count();
    let all: f32 = following.iter().take(cautions + 1).map(|block| least_height(sheets, block)).sum();
    all.min(sheets.page_height() / 2.0)
}

/// Room that the beginning of a block needs to stand below its heading.
fn least_height(sheets: &Sheets<'_>, block: &Block) -> f32 {
    match block {
        Block::Table(table) => table::least_height(sheets, table),
        Block::Figure(figure) => figure_height(sheets, figure).min(sheets.page_height() - 60.0),
        Block::Notice { text, .. } => {
            sheets.lines(text, BODY, sheets.width() - 14.0).len() as f32 * BODY * LEADING + 14.0
        }
        Block::SignatureLines(_) => 46.0,
        Block::Heading { level, .. } => heading_size(*level) * LEADING + 40.0,
        _ => 2.0 * BODY * LEADING + 4.0,
    }
}

/// Lines one below the other, each on a new page where no room is left.
fn flow(sheets: &mut Sheets<'_>, lines: &[Line], left: f32, size: f32, tag: usize) {
    for (index, line) in lines.iter().enumerate() {
        // No single line at the foot of a page where more follow, nor at the head of the next.
        let together = if index == 0 && lines.len() > 1 || index + 2 == lines.len() { 2.0 } else { 1.0 };
        sheets.ensure(together * size * LEADING);
        sheets.line(line, left, sheets.y, size, Ink::Black, tag);
        sheets.y += size * LEADING;
    }
}

fn paragraph(sheets: &mut Sheets<'_>, text: &Text) {
    let tag = sheets.tags.add(Kind::Paragraph, None);
    let lines = sheets.lines(text, BODY, sheets.width());
    flow(sheets, &lines, sheets.left(), BODY, tag);
    sheets.y += 4.0;
}

fn notice(sheets: &mut Sheets<'_>, tone: Tone, text: &Text) {
    let (left, width) = (sheets.left(), sheets.width());
    let size = if tone == Tone::Grave { BODY + 1.0 } else { BODY };
    let lines = sheets.lines(text, size, width - 14.0);
    let height = lines.len() as f32 * size * LEADING + 8.0;
    sheets.ensure(height + 4.0);
    let (back, ink) = inks(tone);
    if height < sheets.room() {
        let top = sheets.y;
        sheets.fill((left, top, left + width, top + height), back);
        sheets.fill((left, top, left + 3.0, top + height), ink);
    }
    let tag = sheets.tags.add(Kind::Paragraph, None);
    sheets.y += 4.0;
    flow(sheets, &lines, left + 9.0, size, tag);
    sheets.y += 8.0;
}

fn facts(sheets: &mut Sheets<'_>, rows: &[(String, Text)]) {
    let (left, width) = (sheets.left(), sheets.width());
    let names: Vec<Text> = rows.iter().map(|(name, _)| Text::plain(name)).collect();
    let widest =
        names.iter().map(|name| sheets.fonts.width(Face::Regular, &name.letters(), BODY)).fold(0.0, f32::max);
    let indent = (widest + 12.0).min(0.34 * width);
    let list = sheets.tags.add(Kind::Table, None);
    for (name, (_, value)) in names.iter().zip(rows) {
        let name_lines = sheets.lines(&quiet(name), BODY, indent - 8.0);
        let lines = sheets.lines(value, BODY, width - indent);
        let least = name_lines.len().max(lines.len().min(3)) as f32;
        sheets.ensure(least * BODY * LEADING);
        let row = sheets.tags.add(Kind::Row, Some(list));
        let head = sheets.tags.add(Kind::RowHead(1), Some(row));
        let cell = sheets.tags.add(Kind::Cell(1), Some(row));
        let top = sheets.y;
        for (index, line) in name_lines.iter().enumerate() {
            sheets.line(line, left, top + index as f32 * BODY * LEADING, BODY, Ink::Black, head);
        }
        flow(sheets, &lines, left + indent, BODY, cell);
        sheets.y =
            sheets.y.max(if sheets.y < top { 0.0 } else { top + name_lines.len() as f32 * BODY * LEADING });
        sheets.y += 1.6;
    }
    sheets.y += 4.0;
}

fn quiet(text: &Text) -> Text {
    Text::default().quiet(text.letters())
}

fn list(sheets: &mut Sheets<'_>, items: &[Text]) {
    let (left, width) = (sheets.left(), sheets.width());
    let list = sheets.tags.add(Kind::List, None);
    for item in items {
        let lines = sheets.lines(item, BODY, width - 12.0);
        sheets.ensure(lines.len().min(2) as f32 * BODY * LEADING);
        let entry = sheets.tags.add(Kind::ListItem, Some(list));
        let body = sheets.tags.add(Kind::ListBody, Some(entry));
        let dot = Draw::Text {
            at: (left + 2.0, sheets.y + BASE * BODY),
            size: BODY,
            face: Face::Regular,
            ink: Ink::Grey,
            text: "·".to_string(),
        };
        sheets.put(dot, None);
        flow(sheets, &lines, left + 12.0, BODY, body);
        sheets.y += 1.6;
    }
    sheets.y += 3.0;
}

fn mono_lines(sheets: &mut Sheets<'_>, lines: &[String]) {
    let (left, width) = (sheets.left(), sheets.width());
    let tag = sheets.tags.add(Kind::Paragraph, None);
    for line in lines {
        for part in sheets.lines(&Text::mono(line), MONO_SIZE, width - 12.0) {
            let height = MONO_SIZE * LEADING;
            sheets.ensure(height);
            let top = sheets.y;
            sheets.fill((left, top, left + width, top + height + 0.4), Ink::Mist);
            sheets.line(&part, left + 6.0, top, MONO_SIZE, Ink::Black, tag);
            sheets.y += height;
        }
        sheets.y += 1.5;
    }
    sheets.y += 4.0;
}

fn signature_lines(sheets: &mut Sheets<'_>, lines: &[String]) {
    for words in lines {
        let under = sheets.lines(&Text::plain(words), BODY - 1.0, 0.6 * sheets.width());
        sheets.ensure(36.0 + under.len() as f32 * BODY * LEADING);
        sheets.y += 30.0;
        let (left, y) = (sheets.left(), sheets.y);
        sheets.rule((left, y), (left + 0.6 * sheets.width(), y), Ink::Black, 0.7);
        let tag = sheets.tags.add(Kind::Paragraph, None);
        sheets.y += 1.0;
        flow(sheets, &under, left, BODY - 1.0, tag);
        sheets.y += 4.0;
    }
    sheets.y += 4.0;
}

fn figure_height(sheets: &Sheets<'_>, figure: &Figure) -> f32 {
    let drawn = picture(figure, sheets.width(), HIGHEST);
    let caption = sheets.lines(&Text::strong(&figure.caption), BODY, sheets.width());
    drawn.height + caption.len() as f32 * BODY * LEADING + 10.0
}

fn figure_block(sheets: &mut Sheets<'_>, figure: &Figure) {
    let drawn = picture(figure, sheets.width(), HIGHEST);
    let caption = sheets.lines(&Text::strong(&figure.caption), BODY, sheets.width());
    let height = drawn.height + caption.len() as f32 * BODY * LEADING + 10.0;
    sheets.ensure(height);
    let figure_tag = sheets.tags.add(Kind::Figure(figure.description.clone()), None);
    let words_tag = sheets.tags.add(Kind::Caption, Some(figure_tag));
    flow(sheets, &caption, sheets.left(), BODY, words_tag);
    sheets.ensure(drawn.height + 3.0);
    sheets.y += 3.0;
    let (left, top) = (sheets.left(), sheets.y);
    for item in drawn.items {
        let draw = moved(sheets, item, left, top);
        sheets.put(draw, Some(figure_tag));
    }
    sheets.y += drawn.height + 7.0;
}

fn moved(sheets: &Sheets<'_>, item: Item, left: f32, top: f32) -> Draw {
    let at = |(x, y): (f32, f32)| (left + x, top + y);
    match item {
        Item::Path { points, closed, fill, stroke, dashed } => {
            Draw::Path { points: points.into_iter().map(at).collect(), closed, fill, stroke, dashed }
        }
        Item::Circle { centre, radius, fill, stroke } => {
            Draw::Circle { centre: at(centre), radius, fill, stroke }
        }
        Item::Text { at: place, size, anchor, text, ink, strong } => {
            let face = if strong { Face::Bold } else { Face::Regular };
            // What is wider than the page is written smaller.
            let size = size.min(size * sheets.width() / sheets.fonts.width(face, &text, size).max(1.0));
            let wide = sheets.fonts.width(face, &text, size);
            let (x, y) = at(place);
            let x = match anchor {
                Anchor::Start => x,
                Anchor::Middle => x - wide / 2.0,
                Anchor::End => x - wide,
            };
            let x = x.clamp(left, (left + sheets.width() - wide).max(left));
            Draw::Text { at: (x, y), size, face, ink, text }
        }
    }
}
