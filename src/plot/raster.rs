//! A plot as a grid of characters, for a terminal or plain text.
//!
//! From above: what the axes measure, the field with its numbers to the left, the numbers of the horizontal
//! axis, the legend in as many rows as it needs.

use unicode_width::UnicodeWidthStr;

use super::ticks::ticks;
use super::{Geometry, Plot, Role, Shape};

/// One character; `role` tells a screen how to colour it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cell {
    pub sign: char,
    pub role: Option<Role>,
}

/// Two readings of different ways in one place; else the later one would hide the earlier.
const BOTH: (char, char) = ('◐', '8');

const BLANK: Cell = Cell { sign: ' ', role: None };
/// Rows besides the field and the legend: the axes' words above, the numbers below.
const OTHER_ROWS: usize = 2;
const FEWEST_COLUMNS: usize = 8;
const FEWEST_ROWS: usize = 3;

/// Draws the plot into `width` by `height` characters, axes and legend included. Too little room gives fewer
/// parts, down to an empty grid; it never fails.
pub fn raster(plot: &Plot, width: usize, height: usize, ascii: bool) -> Vec<Vec<Cell>> {
    let mut grid = vec![vec![BLANK; width]; height];
    let y_ticks = ticks(&plot.y, (height / 4).clamp(2, 6));
    let left = y_ticks.iter().map(|(_, words)| words.width()).max().unwrap_or(0).max(3) + 1;
    if width < left + FEWEST_COLUMNS || height < OTHER_ROWS + FEWEST_ROWS {
        return grid;
    }
    let mut legend = legend_rows(plot, width - left, ascii);
    // The picture matters more than the last words of its legend.
    legend.truncate((height - OTHER_ROWS - FEWEST_ROWS).min((height / 4).max(1)));
    let rows = height - OTHER_ROWS - legend.len();
    let field = Field { plot, left, columns: width - left, rows };
    zero_lines(&field, &mut grid, ascii);
    for (index, shape) in plot.shapes.iter().enumerate() {
        let cell = Cell { sign: sign_of(plot, index, ascii), role: Some(shape.role) };
        field.shape(&mut grid, shape, cell, ascii);
    }
    head(&field, &mut grid, ascii);
    for (value, words) in &y_ticks {
        let row = field.row(*value).round();
        if row >= 0.0 && row < rows as f64 {
            write(&mut grid, 1 + row as usize, left - 1 - words.width(), words);
        }
    }
    x_numbers(&field, &mut grid);
    for (line, at) in legend.into_iter().zip(1 + rows + 1..) {
        for (cell, column) in line.into_iter().zip(left..width) {
            grid[at][column] = cell;
        }
    }
    grid
}

/// The sign of a shape. Several marked points are told apart by digits, which the legend repeats.
fn sign_of(plot: &Plot, index: usize, ascii: bool) -> char {
    let is_mark = |shape: &&Shape| {
        shape.role == Role::Marked && matches!(&shape.geometry, Geometry::Points(points) if points.len() == 1)
    };
    let Some(shape) = plot.shapes.get(index) else { return ' ' };
    let count = plot.shapes.iter().filter(is_mark).count();
    if is_mark(&shape) && (2..=9).contains(&count) {
        let before = plot.shapes.iter().take(index).filter(is_mark).count();
        return u32::try_from(before + 1).ok().and_then(|number| char::from_digit(number, 10)).unwrap_or('?');
    }
    let (unicode, plain) = shape.role.signs();
    if ascii { plain } else { unicode }
}

struct Field<'p> {
    plot: &'p Plot,
    left: usize,
    columns: usize,
    rows: usize,
}

impl Field<'_> {
    fn column(&self, x: f64) -> f64 {
        let axis = &self.plot.x;
        (x - axis.min) / (axis.max - axis.min) * (self.columns - 1) as f64
    }

    fn row(&self, y: f64) -> f64 {
        let axis = &self.plot.y;
        (axis.max - y) / (axis.max - axis.min) * (self.rows - 1) as f64
    }

    /// Row and column of the grid, for a place that lies on it. What overflowed on the way lies nowhere.
    fn place(&self, column: f64, row: f64) -> Option<(usize, usize)> {
        let (column, row) = (column.round(), row.round());
        let inside = column >= 0.0 && row >= 0.0 && column < self.columns as f64 && row < self.rows as f64;
        inside.then(|| (1 + row as usize, self.left + column as usize))
    }

    fn put(&self, grid: &mut [Vec<Cell>], column: f64, row: f64, cell: Cell) {
        if let Some((row, column)) = self.place(column, row) {
            grid[row][column] = cell;
        }
    }

    fn point(&self, grid: &mut [Vec<Cell>], (x, y): (f64, f64), cell: Cell, ascii: bool) {
        let (column, row) = (self.column(x), self.row(y));
        let before = self.place(column, row).and_then(|(row, column)| grid.get(row)?.get(column)?.role);
        let is_both = cell.role == Some(Role::Unloading) && before == Some(Role::Loading);
        let sign = match (is_both, ascii) {
            (true, true) => BOTH.1,
            (true, false) => BOTH.0,
            (false, _) => cell.sign,
        };
        self.put(grid, column, row, Cell { sign, ..cell });
    }

    fn shape(&self, grid: &mut [Vec<Cell>], shape: &Shape, cell: Cell, ascii: bool) {
        match &shape.geometry {
            Geometry::Points(points) => {
                points.iter().for_each(|point| self.point(grid, *point, cell, ascii));
            }
            Geometry::Line(points) => {
                points.windows(2).for_each(|pair| self.line(grid, pair[0], pair[1], cell));
            }
            Geometry::Area(corners) => self.area(grid, corners, cell),
        }
    }

    fn line(&self, grid: &mut [Vec<Cell>], from: (f64, f64), to: (f64, f64), cell: Cell) {
        let (start, end) = ((self.column(from.0), self.row(from.1)), (self.column(to.0), self.row(to.1)));
        let longest = (end.0 - start.0).abs().max((end.1 - start.1).abs());
        if !longest.is_finite() {
            return;
        }
        // A line cannot need more steps than the grid has cells across, unless most of it lies outside.
        let steps = (longest.ceil() as usize).clamp(1, 40 * (self.columns + self.rows));
        for step in 0..=steps {
            let share = step as f64 / steps as f64;
            self.put(grid, start.0 + share * (end.0 - start.0), start.1 + share * (end.1 - start.1), cell);
        }
    }

    /// Every cell whose middle lies inside the corners (even-odd rule), and the edge: a narrow area keeps
    /// at least a line.
    fn area(&self, grid: &mut [Vec<Cell>], corners: &[(f64, f64)], cell: Cell) {
        let placed: Vec<(f64, f64)> = corners.iter().map(|(x, y)| (self.column(*x), self.row(*y))).collect();
        for row in 0..self.rows {
            for column in 0..self.columns {
                if is_inside((column as f64, row as f64), &placed) {
                    self.put(grid, column as f64, row as f64, cell);
                }
            }
        }
        for (index, corner) in corners.iter().enumerate() {
            self.line(grid, *corner, corners[(index + 1) % corners.len()], cell);
        }
    }
}

pub(super) fn is_inside((x, y): (f64, f64), corners: &[(f64, f64)]) -> bool {
    let mut inside = false;
    for (index, (x1, y1)) in corners.iter().enumerate() {
        let (x2, y2) = corners[(index + 1) % corners.len()];
        if (*y1 > y) != (y2 > y) && x < x1 + (y - y1) / (y2 - y1) * (x2 - x1) {
            inside = !inside;
        }
    }
    inside
}

fn zero_lines(field: &Field<'_>, grid: &mut [Vec<Cell>], ascii: bool) {
    let (across, up) = if ascii { ('-', '|') } else { ('┈', '┊') };
    for column in 0..field.columns {
        field.put(grid, column as f64, field.row(0.0), Cell { sign: across, role: None });
    }
    for row in 0..field.rows {
        field.put(grid, field.column(0.0), row as f64, Cell { sign: up, role: None });
    }
}

fn write(grid: &mut [Vec<Cell>], row: usize, column: usize, text: &str) {
    let Some(line) = grid.get_mut(row) else { return };
    for (at, sign) in text.chars().enumerate() {
        if let Some(cell) = line.get_mut(column + at) {
            *cell = Cell { sign, role: None };
        }
    }
}

/// What the axes measure. The vertical one's words go first where there is no room for both.
fn head(field: &Field<'_>, grid: &mut [Vec<Cell>], ascii: bool) {
    let (up, across) = if ascii { ('^', '>') } else { ('↑', '→') };
    let width = field.left + field.columns;
    let x_words = format!("{across} {}", field.plot.x.label);
    let y_words = format!("{up} {}", field.plot.y.label);
    write(grid, 0, width.saturating_sub(x_words.width()), &x_words);
    write(grid, 0, 0, &y_words);
    if y_words.width() < width {
        write(grid, 0, y_words.width(), " ");
    }
}

fn x_numbers(field: &Field<'_>, grid: &mut [Vec<Cell>]) {
    let mut free_from = 0;
    for (value, words) in ticks(&field.plot.x, (field.columns / 10).clamp(2, 8)) {
        let column = field.column(value).round();
        if column < 0.0 || column >= field.columns as f64 {
            continue;
        }
        let wide = words.width();
        let middle = field.left + column as usize;
        let start = middle.saturating_sub(wide / 2).min((field.left + field.columns).saturating_sub(wide));
        if start >= free_from {
            write(grid, 1 + field.rows, start, &words);
            free_from = start + wide + 1;
        }
    }
}

/// Sign and name of every shape, each pair once, broken into rows of at most `width` columns.
fn legend_rows(plot: &Plot, width: usize, ascii: bool) -> Vec<Vec<Cell>> {
    let mut told: Vec<(char, Role, &str)> = Vec::new();
    for (index, shape) in plot.shapes.iter().enumerate().filter(|(_, shape)| !shape.name.is_empty()) {
        let item = (sign_of(plot, index, ascii), shape.role, shape.name.as_str());
        if !told.contains(&item) {
            told.push(item);
        }
    }
    let has = |role| told.iter().any(|(_, told, _)| *told == role);
    if has(Role::Loading) && has(Role::Unloading) {
        let after = told.iter().position(|(_, role, _)| *role == Role::Unloading).unwrap_or(0) + 1;
        told.insert(
            after,
            (if ascii { BOTH.1 } else { BOTH.0 }, Role::Unloading, say!("up and down" => "both")),
        );
    }
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for (sign, role, name) in told {
        let mut item = vec![Cell { sign, role: Some(role) }, BLANK];
        item.extend(name.chars().map(|sign| Cell { sign, role: None }));
        match rows.last_mut().filter(|row| row.len() + 2 + item.len() <= width) {
            Some(row) => {
                row.extend([BLANK, BLANK]);
                row.extend(item);
            }
            None => rows.push(item),
        }
    }
    rows
}
