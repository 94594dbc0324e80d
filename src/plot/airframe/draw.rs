//! Both views as characters. A character is taken as twice as high as it is wide.

use std::collections::BTreeMap;

use unicode_width::UnicodeWidthStr;

use super::legend::legend;
use super::place::{At, Mark, Placed, place_mark};
use super::region::Region;
use super::shape::AirframeShape;
use super::views::{View, airframe_plot};
use crate::plot::ticks::ticks;
use crate::plot::{Axis, Cell, Geometry, Plot, Role};

/// Which view to draw where there is no room for both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Prefer {
    /// The one that shows the first mark best.
    Marks,
    Side,
    Top,
}

/// The drawing, at most as wide and high as was asked for, and its legend in whole sentences, not wrapped.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AirframePicture {
    pub rows: Vec<Vec<Cell>>,
    pub legend: Vec<String>,
    /// The views drawn, from above.
    pub views: Vec<View>,
}

impl AirframePicture {
    /// The drawing as lines of text without blanks at their ends.
    pub fn lines(&self) -> Vec<String> {
        let line = |row: &Vec<Cell>| row.iter().map(|cell| cell.sign).collect::<String>();
        self.rows.iter().map(|row| line(row).trim_end().to_string()).collect()
    }
}

const BLANK: Cell = Cell { sign: ' ', role: None };
/// Below this a drawing shows nothing.
const FEWEST_COLUMNS: usize = 24;
const FEWEST_ROWS: usize = 5;
/// Both views are drawn where that makes them at most this much smaller than one alone.
const SMALLER: f64 = 1.8;

/// Draws the airframe with its marks into `width` by `height` characters. Too little room leaves the legend alone;
/// it never fails.
pub fn airframe_picture(
    shape: &AirframeShape,
    marks: &[Mark],
    width: usize,
    height: usize,
    prefer: Prefer,
    ascii: bool,
) -> AirframePicture {
    let placed: Vec<Placed> = marks.iter().map(|mark| place_mark(shape, mark)).collect();
    let alone = match prefer {
        Prefer::Side => View::Side,
        Prefer::Top => View::Top,
        Prefer::Marks => best_view(&placed),
    };
    let chosen = choose(shape, &placed, alone, width, height);
    let mut shared = Vec::new();
    let mut rows = Vec::new();
    for (drawn, view) in chosen.plots.iter().zip(&chosen.views) {
        let mut grid = Grid::new(drawn, *view, chosen.mm_per_column, width, ascii);
        grid.draw();
        if *view == View::Top {
            let aside = shape.semi_span * chosen.wing_share;
            grid.label((shape.wing_tip.1, aside), say!("right wing"));
            grid.label((shape.wing_tip.1, -aside), say!("left wing"));
        }
        rows.push(words_row(&drawn.title, width));
        shared.extend(grid.shared());
        rows.extend(without_blank_ends(grid.cells));
    }
    if let Some(plot) = chosen.plots.first() {
        rows.push(station_row(shape, &plot.x, chosen.mm_per_column, width));
    }
    rows.truncate(height);
    shared.sort();
    shared.dedup();
    let is_wing_short = chosen.wing_share < 1.0;
    let legend = legend(shape, &placed, &shared, &chosen.views, is_wing_short, ascii);
    AirframePicture { rows, legend, views: chosen.views }
}

/// Room above and below the outline is left off.
fn without_blank_ends(mut rows: Vec<Vec<Cell>>) -> Vec<Vec<Cell>> {
    let is_blank = |row: &Vec<Cell>| row.iter().all(|cell| *cell == BLANK);
    while rows.last().is_some_and(is_blank) {
        rows.pop();
    }
    let first = rows.iter().position(|row| !is_blank(row)).unwrap_or(0);
    rows.split_off(first)
}

fn best_view(placed: &[Placed]) -> View {
    let first = placed.iter().find(|mark| mark.at != At::Nowhere).and_then(|mark| mark.region);
    if first.is_some_and(Region::is_flat) { View::Top } else { View::Side }
}

/// What is drawn, and how large.
struct Chosen {
    views: Vec<View>,
    plots: Vec<Plot>,
    mm_per_column: f64,
    wing_share: f64,
}

fn choose(shape: &AirframeShape, placed: &[Placed], alone: View, width: usize, height: usize) -> Chosen {
    let none = Chosen { views: Vec::new(), plots: Vec::new(), mm_per_column: 1.0, wing_share: 1.0 };
    if width < FEWEST_COLUMNS || height < FEWEST_ROWS {
        return none;
    }
    // The wings reach a little farther than the tailplane, however long they are.
    let reach = 1.2 * shape.tailplane_semi_span.max(shape.fuselage_width);
    let wing_share = (reach / shape.semi_span).min(1.0);
    let draw = |view: View| airframe_plot(shape, placed, view, wing_share);
    let one = vec![draw(alone)];
    let both = vec![draw(View::Side), draw(View::Top)];
    let (size_one, size_both) = (mm_per_column(&one, width, height), mm_per_column(&both, width, height));
    let chosen = match (size_one, size_both) {
        (Some(one_mm), Some(both_mm)) if both_mm <= SMALLER * one_mm => {
            Chosen { views: vec![View::Side, View::Top], plots: both, mm_per_column: both_mm, wing_share }
        }
        (Some(one_mm), _) => Chosen { views: vec![alone], plots: one, mm_per_column: one_mm, wing_share },
        (None, _) => none,
    };
    lengthen(shape, placed, chosen, height)
}

/// Gives the wings the rows that are left.
fn lengthen(shape: &AirframeShape, placed: &[Placed], mut chosen: Chosen, height: usize) -> Chosen {
    let used: usize =
        chosen.plots.iter().map(|plot| rows_of(plot, chosen.mm_per_column) + 1).sum::<usize>() + 1;
    let free = height.saturating_sub(used) as f64;
    let Some(at) = chosen.views.iter().position(|view| *view == View::Top) else { return chosen };
    let more = free * chosen.mm_per_column;
    let wing_share = (chosen.wing_share + more / shape.semi_span).min(1.0);
    if free >= 1.0 && wing_share.is_finite() {
        let plot = airframe_plot(shape, placed, View::Top, wing_share);
        if rows_of(&plot, chosen.mm_per_column) + used
            <= height + rows_of(&chosen.plots[at], chosen.mm_per_column)
        {
            chosen.plots[at] = plot;
            chosen.wing_share = wing_share;
        }
    }
    chosen
}

/// The scale at which the plots fit below each other with a line of words each and the stations at the end.
fn mm_per_column(plots: &[Plot], width: usize, height: usize) -> Option<f64> {
    // Each plot has a row more than the steps between its rows, and rounding may cost another one.
    let rows = height.checked_sub(plots.len() + 1)?.checked_sub(2 * plots.len() - 1)?.max(1) as f64;
    let across = plots.iter().map(|plot| plot.x.max - plot.x.min).fold(0.0, f64::max);
    let up: f64 = plots.iter().map(|plot| plot.y.max - plot.y.min).sum();
    // The last cell ends half a character behind its middle.
    let mm = (across / (width - 1) as f64).max(up / (2.0 * rows));
    (mm.is_finite() && mm > 0.0).then_some(mm)
}

fn rows_of(plot: &Plot, mm_per_column: f64) -> usize {
    ((plot.y.max - plot.y.min) / (2.0 * mm_per_column)).round().clamp(0.0, 500.0) as usize + 1
}

fn words_row(words: &str, width: usize) -> Vec<Cell> {
    words.chars().take(width).map(|sign| Cell { sign, role: None }).collect()
}

/// The stations below the picture.
fn station_row(shape: &AirframeShape, axis: &Axis, mm_per_column: f64, width: usize) -> Vec<Cell> {
    if !shape.is_to_scale {
        return words_row(say!("not to scale: the type file has no outline"), width);
    }
    let mut row = vec![BLANK; width];
    let mut free_from = 0;
    let columns = ((axis.max - axis.min) / mm_per_column) as usize;
    let mut last_end = 0;
    for (value, words) in ticks(axis, (columns / 10).clamp(2, 10)) {
        let middle = ((value - axis.min) / mm_per_column).round().max(0.0) as usize;
        let start = middle.saturating_sub(words.width() / 2);
        if start >= free_from && start + words.width() <= width {
            put_words(&mut row, start, &words);
            last_end = start + words.width();
            free_from = last_end + 1;
        }
    }
    if last_end + 3 <= width {
        put_words(&mut row, last_end + 1, "mm");
    }
    row
}

fn put_words(row: &mut [Cell], start: usize, words: &str) {
    for (cell, sign) in row.iter_mut().skip(start).zip(words.chars()) {
        *cell = Cell { sign, role: None };
    }
}

/// One view under drawing.
struct Grid<'p> {
    plot: &'p Plot,
    view: View,
    mm_per_column: f64,
    ascii: bool,
    cells: Vec<Vec<Cell>>,
    /// Ids of the marks in each cell.
    marks: BTreeMap<(usize, usize), Vec<String>>,
    /// Letters of the sides beside them.
    letters: BTreeMap<(usize, usize), Option<char>>,
}

impl<'p> Grid<'p> {
    fn new(plot: &'p Plot, view: View, mm_per_column: f64, width: usize, ascii: bool) -> Grid<'p> {
        let cells = vec![vec![BLANK; width]; rows_of(plot, mm_per_column)];
        Grid { plot, view, mm_per_column, ascii, cells, marks: BTreeMap::new(), letters: BTreeMap::new() }
    }

    /// Column and row of a place, as fractions.
    fn at(&self, (x, y): (f64, f64)) -> (f64, f64) {
        ((x - self.plot.x.min) / self.mm_per_column, (self.plot.y.max - y) / (2.0 * self.mm_per_column))
    }

    fn cell(&self, column: f64, row: f64) -> Option<(usize, usize)> {
        let (column, row) = (column.round(), row.round());
        let width = self.cells.first().map_or(0, Vec::len) as f64;
        let is_inside = column >= 0.0 && row >= 0.0 && column < width && row < self.cells.len() as f64;
        is_inside.then_some((row as usize, column as usize))
    }

    fn put(&mut self, column: f64, row: f64, sign: char, role: Role) {
        if let Some((row, column)) = self.cell(column, row) {
            self.cells[row][column] = Cell { sign, role: Some(role) };
        }
    }

    fn draw(&mut self) {
        let plot = self.plot;
        for shape in plot.shapes.iter().filter(|shape| shape.role == Role::Fit) {
            match &shape.geometry {
                Geometry::Line(points) => points.windows(2).for_each(|pair| self.line(pair[0], pair[1])),
                Geometry::Points(points) => {
                    for point in points {
                        let (column, row) = self.at(*point);
                        self.put(column, row, if self.ascii { 'O' } else { '◯' }, Role::Fit);
                    }
                }
                Geometry::Area(_) => {}
            }
        }
        for shape in plot.shapes.iter().filter(|shape| shape.role == Role::Masked) {
            if let Geometry::Area(corners) = &shape.geometry {
                self.hatch(corners);
            }
        }
        for shape in plot.shapes.iter().filter(|shape| shape.role == Role::Marked) {
            if let Geometry::Points(points) = &shape.geometry {
                points.iter().for_each(|point| self.mark(*point, &shape.name));
            }
        }
        self.write_letters();
    }

    /// A line by the characters that follow its slope; one step in the direction in which it is longer.
    fn line(&mut self, from: (f64, f64), to: (f64, f64)) {
        let (from, to) = (self.at(from), self.at(to));
        let (across, down) = (to.0 - from.0, to.1 - from.1);
        let steps = across.abs().max(down.abs()).ceil();
        if !steps.is_finite() {
            return;
        }
        let steps = steps.clamp(1.0, 4000.0) as usize;
        let (level, upright, falling, rising) =
            if self.ascii { ('-', '|', '\\', '/') } else { ('─', '│', '╲', '╱') };
        let slanted = if across * down >= 0.0 { falling } else { rising };
        let place = |step: usize| {
            let share = step as f64 / steps as f64;
            (from.0 + share * across, from.1 + share * down)
        };
        let is_flat = across.abs() >= down.abs();
        for step in 0..=steps {
            let here = place(step);
            let next = place((step + 1).min(steps));
            let turns =
                if is_flat { here.1.round() != next.1.round() } else { here.0.round() != next.0.round() };
            let sign = match (turns, is_flat) {
                (true, _) => slanted,
                (false, true) => level,
                (false, false) => upright,
            };
            self.put(here.0, here.1, sign, Role::Fit);
        }
    }

    /// Every cell whose middle lies inside (even-odd rule), and the edge, so that a thin part keeps a line.
    fn hatch(&mut self, corners: &[(f64, f64)]) {
        let placed: Vec<(f64, f64)> = corners.iter().map(|corner| self.at(*corner)).collect();
        let (unicode, plain) = Role::Masked.signs();
        let sign = if self.ascii { plain } else { unicode };
        let width = self.cells.first().map_or(0, Vec::len);
        for row in 0..self.cells.len() {
            for column in 0..width {
                if crate::plot::raster::is_inside((column as f64, row as f64), &placed) {
                    self.put(column as f64, row as f64, sign, Role::Masked);
                }
            }
        }
        for (index, start) in placed.iter().enumerate() {
            let end = placed[(index + 1) % placed.len()];
            let steps = (end.0 - start.0).abs().max((end.1 - start.1).abs()).ceil();
            let steps = if steps.is_finite() { steps.clamp(1.0, 4000.0) as usize } else { 1 };
            for step in 0..=steps {
                let share = step as f64 / steps as f64;
                let (column, row) =
                    (start.0 + share * (end.0 - start.0), start.1 + share * (end.1 - start.1));
                self.put(column, row, sign, Role::Masked);
            }
        }
    }

    /// The sign of a mark; `+` where several fall into one cell, which the legend then lists. `name` is the sign, a
    /// letter for the side or a blank, and the id.
    fn mark(&mut self, point: (f64, f64), name: &str) {
        let (column, mut row) = self.at(point);
        let middle = self.at((0.0, 0.0)).1.round();
        // From above a mark on one side is never drawn in the middle, however coarse the picture is.
        if self.view == View::Top && point.1 != 0.0 && row.round() == middle {
            row = middle - point.1.signum();
        }
        let Some((row, column)) = self.cell(column, row) else { return };
        let mut parts = name.chars();
        let sign = parts.next().unwrap_or('*');
        let letter = parts.next().filter(|letter| letter.is_alphabetic());
        let id: String = parts.collect();
        let here = self.marks.entry((row, column)).or_default();
        if !here.contains(&id.trim().to_string()) {
            here.push(id.trim().to_string());
        }
        let sign = if here.len() > 1 { '+' } else { sign };
        self.cells[row][column] = Cell { sign, role: Some(Role::Marked) };
        self.letters.insert((row, column), letter);
    }

    /// The side beside each mark that has its cell alone, where no other mark stands.
    fn write_letters(&mut self) {
        for ((row, column), letter) in std::mem::take(&mut self.letters) {
            let is_alone = self.marks.get(&(row, column)).is_some_and(|ids| ids.len() == 1);
            let is_free = !self.marks.contains_key(&(row, column + 1));
            let cell = self.cells.get_mut(row).and_then(|row| row.get_mut(column + 1));
            if let (Some(sign), Some(cell), true) = (letter, cell, is_alone && is_free) {
                *cell = Cell { sign, role: Some(Role::Marked) };
            }
        }
    }

    /// Words behind a place, where nothing is drawn.
    fn label(&mut self, place: (f64, f64), words: &str) {
        let (column, row) = self.at(place);
        let Some((row, column)) = self.cell(column + 2.0, row) else { return };
        let room = self.cells[row].iter_mut().skip(column);
        let cells: Vec<&mut Cell> = room.take(words.width()).collect();
        if cells.len() == words.width() && cells.iter().all(|cell| **cell == BLANK) {
            for (cell, sign) in cells.into_iter().zip(words.chars()) {
                *cell = Cell { sign, role: None };
            }
        }
    }

    /// The ids of marks that share a cell.
    fn shared(&self) -> Vec<Vec<String>> {
        self.marks.values().filter(|ids| ids.len() > 1).cloned().collect()
    }
}
