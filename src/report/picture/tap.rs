//! A tap map: every point by its sign, rows and columns numbered.

use super::{Anchor, Ink, Item, Picture, triangle, words};
use crate::plot::TapCell;

pub(super) fn draw(grid: &[Vec<TapCell>], width: f32, most: f32) -> Picture {
    let columns = grid.iter().map(Vec::len).max().unwrap_or(0).max(1);
    let left = 24.0;
    let room = (most - 80.0).max(40.0);
    let pitch = ((width - left - 8.0) / columns as f32).min(room / grid.len().max(1) as f32).min(22.0);
    let every = if pitch > 11.0 { 1 } else { 5 };
    let mut items = Vec::new();
    for column in (1..=columns).filter(|column| column % every == 0) {
        let x = left + (column as f32 - 0.5) * pitch;
        items.push(words((x, 9.0), column.to_string(), Anchor::Middle));
    }
    for (index, row) in grid.iter().enumerate() {
        let y = 14.0 + (index as f32 + 0.5) * pitch;
        if (index + 1) % every == 0 || pitch > 7.0 {
            items.push(words((left - 5.0, y + 2.6), (index + 1).to_string(), Anchor::End));
        }
        for (column, cell) in row.iter().enumerate() {
            items.push(sign(*cell, (left + (column as f32 + 0.5) * pitch, y), (pitch * 0.3).min(4.5)));
        }
    }
    let bottom = 14.0 + grid.len() as f32 * pitch;
    items.push(Item::Path {
        points: vec![
            (left, 14.0),
            (left + columns as f32 * pitch, 14.0),
            (left + columns as f32 * pitch, bottom),
            (left, bottom),
        ],
        closed: true,
        fill: None,
        stroke: Some((Ink::Pale, 0.6)),
        dashed: false,
    });
    let mut y = bottom + 12.0;
    for (cell, meaning) in [
        (TapCell::Lower, say!("rings lower than its surroundings: dull, look again")),
        (TapCell::Higher, say!("rings higher than its surroundings")),
        (TapCell::Even, say!("rings like its surroundings")),
        (TapCell::Empty, say!("no clear tone, or not tapped")),
    ] {
        let count = grid.iter().flatten().filter(|other| **other == cell).count();
        if count > 0 {
            items.push(sign(cell, (left + 6.0, y - 2.6), 3.6));
            items.push(words((left + 16.0, y), format!("{meaning} ({count})"), Anchor::Start));
            y += 11.0;
        }
    }
    Picture { width, height: y - 4.0, items }
}

fn sign(cell: TapCell, at: (f32, f32), radius: f32) -> Item {
    match cell {
        TapCell::Even => {
            Item::Circle { centre: at, radius: radius * 0.35, fill: Some(Ink::Grey), stroke: None }
        }
        TapCell::Lower => triangle(at, radius, false, Ink::Red),
        TapCell::Higher => triangle(at, radius, true, Ink::Blue),
        TapCell::Empty => {
            Item::Circle { centre: at, radius: radius * 0.7, fill: None, stroke: Some((Ink::Grey, 0.8)) }
        }
    }
}
