//! A plot as a grid of characters, for a terminal or plain text.

use unicode_width::UnicodeWidthStr;

use super::{Geometry, Plot, Role};

/// One character; `role` tells a screen how to colour it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cell {
    pub sign: char,
    pub role: Option<Role>,
}

const BLANK: Cell = Cell { sign: ' ', role: None };
/// Columns to the left for the numbers of the vertical axis.
const LEFT: usize = 8;
/// Rows below for the horizontal axis: its numbers, and the legend.
const BELOW: usize = 2;

/// Draws the plot into `width` by `height` characters, axes and legend included. Too little room gives fewer
/// parts, down to an empty grid; it never fails.
pub fn raster(plot: &Plot, width: usize, height: usize, ascii: bool) -> Vec<Vec<Cell>> {
    let mut grid = vec![vec![BLANK; width]; height];
    if width < LEFT + 8 || height < BELOW + 4 {
        return grid;
    }
    let field = Field { plot, columns: width - LEFT, rows: height - BELOW };
    zero_lines(&field, &mut grid, ascii);
    for shape in &plot.shapes {
        let (unicode, plain) = shape.role.signs();
        let cell = Cell { sign: if ascii { plain } else { unicode }, role: Some(shape.role) };
        match &shape.geometry {
            Geometry::Points(points) => points.iter().for_each(|point| field.set(&mut grid, *point, cell)),
            Geometry::Line(points) => {
                points.windows(2).for_each(|pair| field.line(&mut grid, pair[0], pair[1], cell));
            }
            Geometry::Area(corners) => field.area(&mut grid, corners, cell),
        }
    }
    axis_numbers(&field, &mut grid);
    legend(plot, &mut grid, ascii);
    grid
}

struct Field<'p> {
    plot: &'p Plot,
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

    fn put(&self, grid: &mut [Vec<Cell>], column: f64, row: f64, cell: Cell) {
        let (column, row) = (column.round(), row.round());
        let inside = column >= 0.0 && row >= 0.0 && column < self.columns as f64 && row < self.rows as f64;
        if inside {
            grid[row as usize][LEFT + column as usize] = cell;
        }
    }

    fn set(&self, grid: &mut [Vec<Cell>], (x, y): (f64, f64), cell: Cell) {
        self.put(grid, self.column(x), self.row(y), cell);
    }

    fn line(&self, grid: &mut [Vec<Cell>], from: (f64, f64), to: (f64, f64), cell: Cell) {
        let (start, end) = ((self.column(from.0), self.row(from.1)), (self.column(to.0), self.row(to.1)));
        let longest = (end.0 - start.0).abs().max((end.1 - start.1).abs());
        if !longest.is_finite() {
            return;
        }
        // A line cannot need more steps than the grid has cells across.
        let steps = (longest.ceil() as usize).clamp(1, 4 * (self.columns + self.rows));
        for step in 0..=steps {
            let share = step as f64 / steps as f64;
            self.put(grid, start.0 + share * (end.0 - start.0), start.1 + share * (end.1 - start.1), cell);
        }
    }

    /// Every cell whose middle lies inside the corners (even-odd rule), and the edge itself.
    fn area(&self, grid: &mut [Vec<Cell>], corners: &[(f64, f64)], cell: Cell) {
        let corners: Vec<(f64, f64)> = corners.iter().map(|(x, y)| (self.column(*x), self.row(*y))).collect();
        for row in 0..self.rows {
            for column in 0..self.columns {
                if is_inside((column as f64, row as f64), &corners) {
                    self.put(grid, column as f64, row as f64, cell);
                }
            }
        }
    }
}

fn is_inside((x, y): (f64, f64), corners: &[(f64, f64)]) -> bool {
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

fn axis_numbers(field: &Field<'_>, grid: &mut [Vec<Cell>]) {
    let number = |value: f64, range: f64| {
        let digits = if range >= 50.0 {
            0
        } else if range >= 5.0 {
            1
        } else {
            2
        };
        let text = format!("{value:.digits$}");
        if text.trim_start_matches(['-', '0', '.']).is_empty() { "0".to_string() } else { text }
    };
    let y = &field.plot.y;
    for (value, row) in [(y.max, 0), ((y.min + y.max) / 2.0, field.rows / 2), (y.min, field.rows - 1)] {
        write(grid, row, 0, &format!("{:>7}", number(value, y.max - y.min)));
    }
    write(grid, 1, 0, &y.label.chars().take(LEFT - 1).collect::<String>());
    let x = &field.plot.x;
    let below = field.rows;
    let range = x.max - x.min;
    write(grid, below, LEFT, &number(x.min, range));
    let last = number(x.max, range);
    write(grid, below, (LEFT + field.columns).saturating_sub(last.len()), &last);
    let label = &x.label;
    write(grid, below, LEFT + field.columns.saturating_sub(label.width()) / 2, label);
}

fn legend(plot: &Plot, grid: &mut [Vec<Cell>], ascii: bool) {
    let row = grid.len() - 1;
    let mut column = LEFT;
    for (role, name) in plot.legend() {
        let (unicode, plain) = role.signs();
        if let Some(cell) = grid[row].get_mut(column) {
            *cell = Cell { sign: if ascii { plain } else { unicode }, role: Some(role) };
        }
        write(grid, row, column + 2, name);
        column += 4 + name.width();
    }
}
