//! What stands on every page: head, marks, foot with the number of the page.

use super::Paper;
use super::fonts::{Face, Fonts};
use super::sheet::{Draw, SIDE};
use crate::report::model::{Document, Tone};
use crate::report::picture::Ink;
use crate::report::words;

const HEAD_BASE: f32 = 30.0;
const MARK_HEIGHT: f32 = 14.0;
const SIZE: f32 = 7.5;

/// Where the text of a page begins.
pub(super) fn top(document: &Document) -> f32 {
    HEAD_BASE + 10.0 + (MARK_HEIGHT + 2.0) * document.marks.len() as f32 + 8.0
}

pub(super) fn inks(tone: Tone) -> (Ink, Ink) {
    match tone {
        Tone::Grave => (Ink::RedMist, Ink::Red),
        Tone::Caution => (Ink::AmberMist, Ink::Amber),
        Tone::Good => (Ink::GreenMist, Ink::Green),
        Tone::Plain => (Ink::Mist, Ink::Black),
    }
}

/// The frame of page `number` of `of`.
pub(super) fn frame(document: &Document, fonts: &Fonts, paper: Paper, number: usize, of: usize) -> Vec<Draw> {
    let (width, height) = paper.size();
    let (left, right) = (SIDE, width - SIDE);
    let mut items = vec![
        text(
            (left, HEAD_BASE),
            Face::Bold,
            Ink::Black,
            cut(fonts, Face::Bold, &document.head, 0.55 * (right - left)),
        ),
        at_right(
            fonts,
            (right, HEAD_BASE),
            &cut(fonts, Face::Regular, &document.title, 0.42 * (right - left)),
        ),
        rule((left, HEAD_BASE + 5.0), (right, HEAD_BASE + 5.0)),
    ];
    let mut y = HEAD_BASE + 9.0;
    for mark in &document.marks {
        let (back, ink) = inks(mark.tone);
        let points = vec![(left, y), (right, y), (right, y + MARK_HEIGHT), (left, y + MARK_HEIGHT)];
        let stroke = Some((ink, 0.6));
        items.push(Draw::Path { points, closed: true, fill: Some(back), stroke, dashed: false });
        let shown = cut(fonts, Face::Bold, &mark.text, right - left - 10.0);
        let wide = fonts.width(Face::Bold, &shown, SIZE);
        items.push(text(((left + right - wide) / 2.0, y + 9.8), Face::Bold, ink, shown));
        y += MARK_HEIGHT + 2.0;
    }
    let foot = height - 26.0;
    items.push(rule((left, foot - 10.0), (right, foot - 10.0)));
    let pages = words::page_of(number, of);
    let room = right - left - fonts.width(Face::Regular, &pages, SIZE) - 12.0;
    items.push(text((left, foot), Face::Regular, Ink::Grey, cut(fonts, Face::Regular, &document.foot, room)));
    items.push(at_right(fonts, (right, foot), &pages));
    items
}

fn text(at: (f32, f32), face: Face, ink: Ink, text: String) -> Draw {
    Draw::Text { at, size: SIZE, face, ink, text }
}

fn at_right(fonts: &Fonts, (right, y): (f32, f32), words: &str) -> Draw {
    let wide = fonts.width(Face::Regular, words, SIZE);
    text((right - wide, y), Face::Regular, Ink::Grey, words.to_string())
}

fn rule(from: (f32, f32), to: (f32, f32)) -> Draw {
    Draw::Path {
        points: vec![from, to],
        closed: false,
        fill: None,
        stroke: Some((Ink::Pale, 0.6)),
        dashed: false,
    }
}

/// As much of the text as has room, with an ellipsis where something was left off.
fn cut(fonts: &Fonts, face: Face, text: &str, room: f32) -> String {
    if fonts.width(face, text, SIZE) <= room {
        return text.to_string();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if fonts.width(face, &kept, SIZE) + fonts.width(face, "…", SIZE) > room {
            kept.pop();
            break;
        }
    }
    kept + "…"
}
