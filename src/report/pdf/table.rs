//! Tables: heads repeated on every page, rows that break only where they are higher than a page.

use super::lines::Line;
use super::sheet::{LEADING, Sheets};
use super::tags::{Kind, TagIndex};
use crate::report::model::{Align, Row, Table, Text};
use crate::report::picture::Ink;
use crate::report::{sheet_words, words};

const SIZE: f32 = 7.9;
const PAD_X: f32 = 3.0;
const PAD_Y: f32 = 1.8;
/// Tables up to this many rows are not parted, where they are no higher than half a page.
const KEPT_TOGETHER: usize = 10;
/// How far notes stand in.
const NOTE_INDENT: f32 = 10.0;

/// Column edges and what the columns are called.
struct Grid {
    left: f32,
    widths: Vec<f32>,
    aligns: Vec<Align>,
    heads: Vec<Vec<Line>>,
    /// The column whose cells name the rows.
    naming: usize,
}

impl Grid {
    fn new(sheets: &Sheets<'_>, table: &Table) -> Grid {
        let whole: f32 = table.columns.iter().map(|column| column.share.max(0.1)).sum();
        let widths: Vec<f32> =
            table.columns.iter().map(|column| column.share.max(0.1) / whole * sheets.width()).collect();
        let heads = table
            .columns
            .iter()
            .zip(&widths)
            .map(|(column, width)| sheets.lines(&Text::strong(column.title), SIZE, width - 2.0 * PAD_X))
            .collect();
        Grid {
            left: sheets.left(),
            widths,
            aligns: table.columns.iter().map(|column| column.align).collect(),
            heads,
            naming: table.naming_column(),
        }
    }

    fn x(&self, column: usize) -> f32 {
        self.left + self.widths.iter().take(column).sum::<f32>()
    }

    fn right(&self) -> f32 {
        self.x(self.widths.len())
    }
}

fn height_of(cells: &[Vec<Line>]) -> f32 {
    cells.iter().map(Vec::len).max().unwrap_or(1).max(1) as f32 * SIZE * LEADING + 2.0 * PAD_Y
}

/// A row broken into lines.
struct Broken {
    /// One for each column, or one over several.
    cells: Vec<Vec<Line>>,
    /// Where the words begin that stand over several columns.
    left: f32,
    /// Room above the words.
    above: f32,
}

impl Broken {
    fn height(&self) -> f32 {
        height_of(&self.cells) + self.above - PAD_Y
    }
}

fn broken(sheets: &Sheets<'_>, grid: &Grid, row: &Row) -> Broken {
    let over = |text: &Text, left: f32| Broken {
        cells: vec![sheets.lines(text, SIZE, grid.right() - left - PAD_X)],
        left,
        // What is written in by hand is larger than print.
        above: if text.letters().contains(sheet_words::SHORT_LINE) { 3.0 * PAD_Y } else { PAD_Y },
    };
    match row {
        Row::Cells { cells, .. } => Broken {
            cells: cells
                .iter()
                .take(grid.widths.len())
                .zip(&grid.widths)
                .map(|(text, width)| sheets.lines(text, SIZE, width - 2.0 * PAD_X))
                .collect(),
            left: grid.left,
            above: PAD_Y,
        },
        Row::Group { text } => over(text, grid.left + PAD_X),
        Row::Note { text } => over(text, grid.left + PAD_X + NOTE_INDENT),
        Row::Detail { text } => over(text, grid.x(usize::from(grid.widths.len() > 1)) + PAD_X),
        // Two empty lines are high enough to write in by hand.
        Row::Blank => Broken { cells: vec![vec![Line::default(); 2]], left: grid.left, above: PAD_Y },
    }
}

/// Caption, head and first row: what must stand together. A short table stands together whole.
pub(super) fn least_height(sheets: &Sheets<'_>, table: &Table) -> f32 {
    let grid = Grid::new(sheets, table);
    let height = |row: &Row| broken(sheets, &grid, row).height();
    let head = SIZE * LEADING + 3.0 + height_of(&grid.heads);
    let is_form = table.rows.iter().any(|row| matches!(row, Row::Blank));
    if table.rows.len() <= KEPT_TOGETHER && !is_form {
        let whole = head + table.rows.iter().map(height).sum::<f32>();
        if whole <= sheets.page_height() / 2.0 {
            return whole;
        }
    }
    head + table.rows.first().map_or(0.0, height).min(120.0)
}

pub(super) fn lay_table(sheets: &mut Sheets<'_>, table: &Table) {
    let grid = Grid::new(sheets, table);
    sheets.ensure(least_height(sheets, table));
    let tag = sheets.tags.add(Kind::Table, None);
    let caption = sheets.tags.add(Kind::Caption, Some(tag));
    for line in sheets.lines(&Text::default().quiet(&table.caption), SIZE - 0.6, sheets.width()) {
        sheets.ensure(SIZE * LEADING);
        sheets.line(&line, grid.left, sheets.y, SIZE - 0.6, Ink::Black, caption);
        sheets.y += (SIZE - 0.6) * LEADING;
    }
    sheets.y += 1.5;
    let head_tag = sheets.tags.add(Kind::Row, Some(tag));
    head(sheets, &grid, Some(head_tag));
    let mut current = String::new();
    for (index, row) in table.rows.iter().enumerate() {
        if let Row::Cells { cells, .. } = row {
            current = cells
                .get(grid.naming)
                .and_then(|cell| cell.0.first())
                .map_or_else(String::new, |run| run.text.clone());
        }
        let cells = broken(sheets, &grid, row);
        let height = cells.height();
        // A row stays with the first line about it; words over rows stay with the first of these.
        let next = match (row, table.rows.get(index + 1)) {
            (Row::Group { .. }, Some(next))
            | (Row::Cells { .. }, Some(next @ (Row::Detail { .. } | Row::Note { .. }))) => {
                broken(sheets, &grid, next).height().min(60.0)
            }
            _ => 0.0,
        };
        let row_tag = sheets.tags.add(Kind::Row, Some(tag));
        if height + next > sheets.room() && !is_below_head(sheets, &grid) {
            sheets.new_page();
            head(sheets, &grid, None);
            if matches!(row, Row::Detail { .. } | Row::Note { .. }) {
                continued(sheets, &grid, &current);
            }
        }
        if let Row::Cells { id: Some(id), .. } = row {
            sheets.target(id);
        }
        place(sheets, &grid, row, &cells, row_tag);
    }
    let (left, y) = (grid.left, sheets.y);
    sheets.rule((left, y), (grid.right(), y), Ink::Grey, 0.6);
    sheets.y += 8.0;
}

/// What the lines at the head of a page belong to. It says so on the page and is no part of the text.
fn continued(sheets: &mut Sheets<'_>, grid: &Grid, name: &str) {
    let column = grid.naming;
    let width = grid.right() - grid.x(column) - 2.0 * PAD_X;
    let words = Text::default().quiet(words::continued(name));
    for line in sheets.lines(&words, SIZE, width).iter().take(1) {
        repeated(sheets, line, (grid.x(column) + PAD_X, sheets.y + PAD_Y));
        sheets.y += SIZE * LEADING + 2.0 * PAD_Y;
    }
}

/// Nothing but the head stands on the page: a further page would give no more room.
fn is_below_head(sheets: &Sheets<'_>, grid: &Grid) -> bool {
    sheets.page_height() - sheets.room() <= height_of(&grid.heads) + 0.5
}

/// Repeated heads are no part of the text: `tag` is none for them.
fn head(sheets: &mut Sheets<'_>, grid: &Grid, tag: Option<TagIndex>) {
    let height = height_of(&grid.heads);
    let top = sheets.y;
    sheets.fill((grid.left, top, grid.right(), top + height), Ink::Mist);
    sheets.rule((grid.left, top), (grid.right(), top), Ink::Grey, 0.6);
    sheets.rule((grid.left, top + height), (grid.right(), top + height), Ink::Grey, 0.6);
    for (column, lines) in grid.heads.iter().enumerate() {
        let cell = tag.map(|tag| sheets.tags.add(Kind::ColumnHead, Some(tag)));
        for (index, line) in lines.iter().enumerate() {
            let at = (start(grid, column, line), top + PAD_Y + index as f32 * SIZE * LEADING);
            match cell {
                Some(cell) => sheets.line(line, at.0, at.1, SIZE, Ink::Black, cell),
                None => repeated(sheets, line, at),
            }
        }
    }
    sheets.y += height;
}

fn repeated(sheets: &mut Sheets<'_>, line: &Line, (left, top): (f32, f32)) {
    use super::fonts::Face;
    use super::sheet::{BASE, Draw};
    let mut x = left;
    for span in &line.spans {
        let text = span.text.clone();
        let at = (x, top + BASE * SIZE);
        sheets.put(Draw::Text { at, size: SIZE, face: Face::of(span.style), ink: Ink::Black, text }, None);
        x += span.width;
    }
}

fn start(grid: &Grid, column: usize, line: &Line) -> f32 {
    match grid.aligns.get(column) {
        Some(Align::Right) => grid.x(column) + grid.widths[column] - PAD_X - line.width,
        _ => grid.x(column) + PAD_X,
    }
}

/// Draws a row; one that is higher than what is left goes on at the head of the next page.
fn place(sheets: &mut Sheets<'_>, grid: &Grid, row: &Row, broken: &Broken, tag: TagIndex) {
    let all = u32::try_from(grid.widths.len()).unwrap_or(1);
    let kind = |column: usize| match row {
        Row::Cells { .. } if column == grid.naming => Kind::RowHead(1),
        Row::Cells { .. } => Kind::Cell(1),
        Row::Group { .. } => Kind::RowHead(all),
        _ => Kind::Cell(all),
    };
    let tags: Vec<TagIndex> =
        (0..broken.cells.len()).map(|column| sheets.tags.add(kind(column), Some(tag))).collect();
    let count = broken.cells.iter().map(Vec::len).max().unwrap_or(1).max(1);
    let mut done = 0;
    while done < count {
        let above = if done == 0 { broken.above } else { PAD_Y };
        if sheets.room() < SIZE * LEADING + above + PAD_Y {
            sheets.new_page();
            head(sheets, grid, None);
        }
        let fitting = ((sheets.room() - above - PAD_Y) / (SIZE * LEADING)).floor().max(1.0) as usize;
        let now = fitting.min(count - done);
        let height = now as f32 * SIZE * LEADING + above + PAD_Y;
        let top = sheets.y;
        backdrop(sheets, grid, row, top, height, done == 0);
        for (index, lines) in broken.cells.iter().enumerate() {
            for (at, line) in lines.iter().skip(done).take(now).enumerate() {
                let is_cell = matches!(row, Row::Cells { .. });
                let left = if is_cell { start(grid, index, line) } else { broken.left };
                let y = top + above + at as f32 * SIZE * LEADING;
                sheets.line(line, left, y, SIZE, Ink::Black, tags[index]);
            }
        }
        sheets.y += height;
        done += now;
    }
}

fn backdrop(sheets: &mut Sheets<'_>, grid: &Grid, row: &Row, top: f32, height: f32, is_first: bool) {
    match row {
        Row::Group { .. } => sheets.fill((grid.left, top, grid.right(), top + height), Ink::Mist),
        Row::Cells { .. } if is_first => sheets.rule((grid.left, top), (grid.right(), top), Ink::Pale, 0.5),
        Row::Cells { .. } | Row::Note { .. } => {}
        Row::Blank => {
            sheets.rule((grid.left, top), (grid.right(), top), Ink::Grey, 0.5);
            for column in 0..=grid.widths.len() {
                sheets.rule((grid.x(column), top), (grid.x(column), top + height), Ink::Pale, 0.5);
            }
        }
        // A line down the side binds what belongs to one row.
        Row::Detail { .. } => {
            let x = grid.x(usize::from(grid.widths.len() > 1));
            sheets.rule((x, top), (x, top + height), Ink::Pale, 0.8);
        }
    }
}
