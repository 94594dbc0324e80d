//! Pages under way: where the next line goes, what stands on each page, what can be jumped to.

use std::collections::HashMap;

use super::Paper;
use super::fonts::{Face, Fonts};
use super::frame;
use super::lines::{Line, Span, break_lines};
use super::tags::{Kind, TagIndex, Tags};
use crate::report::model::{Document, Text};
use crate::report::picture::{Ink, Point};

/// Room at the sides and at the foot, points.
pub(super) const SIDE: f32 = 45.0;
pub(super) const FOOT: f32 = 46.0;
/// From one base line to the next, in sizes.
pub(super) const LEADING: f32 = 1.34;
/// Where the base line lies in its line, in sizes.
pub(super) const BASE: f32 = 0.98;

#[derive(Debug, Clone)]
pub(super) enum Draw {
    Text { at: Point, size: f32, face: Face, ink: Ink, text: String },
    Path { points: Vec<Point>, closed: bool, fill: Option<Ink>, stroke: Option<(Ink, f32)>, dashed: bool },
    Circle { centre: Point, radius: f32, fill: Option<Ink>, stroke: Option<(Ink, f32)> },
}

#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub draw: Draw,
    /// None: it stands on the page and is no part of the text.
    pub tag: Option<TagIndex>,
}

#[derive(Debug, Clone)]
pub(super) struct Jump {
    /// Left, top, right, bottom.
    pub area: (f32, f32, f32, f32),
    pub target: String,
    pub tag: TagIndex,
}

#[derive(Debug, Default)]
pub(super) struct Page {
    pub items: Vec<Placed>,
    pub jumps: Vec<Jump>,
}

#[derive(Debug, Clone)]
pub(super) struct Bookmark {
    pub level: u8,
    pub text: String,
    pub page: usize,
    pub y: f32,
}

/// Everything laid out.
pub(super) struct Laid {
    pub pages: Vec<Page>,
    pub bookmarks: Vec<Bookmark>,
    pub targets: HashMap<String, (usize, f32)>,
    pub tags: Tags,
}

pub(super) struct Sheets<'f> {
    pub fonts: &'f Fonts,
    paper: Paper,
    document: &'f Document,
    pub tags: Tags,
    pages: Vec<Page>,
    pub y: f32,
    bookmarks: Vec<Bookmark>,
    targets: HashMap<String, (usize, f32)>,
}

impl<'f> Sheets<'f> {
    pub(super) fn new(fonts: &'f Fonts, paper: Paper, document: &'f Document) -> Sheets<'f> {
        Sheets {
            fonts,
            paper,
            document,
            tags: Tags::default(),
            pages: Vec::new(),
            y: 0.0,
            bookmarks: Vec::new(),
            targets: HashMap::new(),
        }
    }

    pub(super) fn left(&self) -> f32 {
        SIDE
    }

    pub(super) fn width(&self) -> f32 {
        self.paper.size().0 - 2.0 * SIDE
    }

    fn top(&self) -> f32 {
        frame::top(self.document)
    }

    fn bottom(&self) -> f32 {
        self.paper.size().1 - FOOT
    }

    /// Height of an empty page.
    pub(super) fn page_height(&self) -> f32 {
        self.bottom() - self.top()
    }

    pub(super) fn room(&self) -> f32 {
        if self.pages.is_empty() { 0.0 } else { self.bottom() - self.y }
    }

    pub(super) fn is_fresh(&self) -> bool {
        !self.pages.is_empty() && self.y <= self.top()
    }

    pub(super) fn new_page(&mut self) {
        self.pages.push(Page::default());
        self.y = self.top();
    }

    /// A new page where less than this is left; what is higher than a page begins where it is.
    pub(super) fn ensure(&mut self, height: f32) {
        let height = height.min(self.page_height());
        if self.pages.is_empty() || (self.room() < height && !self.is_fresh()) {
            self.new_page();
        }
    }

    fn page(&mut self) -> &mut Page {
        if self.pages.is_empty() {
            self.new_page();
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    pub(super) fn put(&mut self, draw: Draw, tag: Option<TagIndex>) {
        self.page().items.push(Placed { draw, tag });
    }

    pub(super) fn fill(&mut self, (left, top, right, bottom): (f32, f32, f32, f32), ink: Ink) {
        let points = vec![(left, top), (right, top), (right, bottom), (left, bottom)];
        self.put(Draw::Path { points, closed: true, fill: Some(ink), stroke: None, dashed: false }, None);
    }

    pub(super) fn rule(&mut self, from: Point, to: Point, ink: Ink, width: f32) {
        let stroke = Some((ink, width));
        self.put(
            Draw::Path { points: vec![from, to], closed: false, fill: None, stroke, dashed: false },
            None,
        );
    }

    pub(super) fn bookmark(&mut self, level: u8, text: &str) {
        let page = self.pages.len().saturating_sub(1);
        self.bookmarks.push(Bookmark { level, text: text.to_string(), page, y: self.y });
    }

    pub(super) fn target(&mut self, id: &str) {
        let here = (self.pages.len().saturating_sub(1), self.y);
        self.targets.entry(id.to_string()).or_insert(here);
    }

    pub(super) fn lines(&self, text: &Text, size: f32, width: f32) -> Vec<Line> {
        break_lines(self.fonts, text, size, width)
    }

    /// One line with its top at `top`. Struck stretches are drawn through; links can be followed.
    pub(super) fn line(&mut self, line: &Line, left: f32, top: f32, size: f32, ink: Ink, tag: TagIndex) {
        let mut x = left;
        for span in &line.spans {
            self.span(span, (x, top), size, ink, tag);
            x += span.width;
        }
    }

    fn span(&mut self, span: &Span, (x, top): Point, size: f32, ink: Ink, tag: TagIndex) {
        let base = top + BASE * size;
        let ink = match (&span.link, span.style.quiet || span.style.struck) {
            (Some(_), _) => Ink::Blue,
            (None, true) => Ink::Grey,
            (None, false) => ink,
        };
        let tag = match &span.link {
            None => tag,
            Some(target) => {
                let link = self.tags.add(Kind::Link, Some(tag));
                let area = (x, top, x + span.width, top + LEADING * size);
                self.page().jumps.push(Jump { area, target: target.clone(), tag: link });
                link
            }
        };
        let text =
            Draw::Text { at: (x, base), size, face: Face::of(span.style), ink, text: span.text.clone() };
        self.put(text, Some(tag));
        if span.style.struck {
            let y = base - 0.27 * size;
            self.rule((x, y), (x + span.width, y), Ink::Black, (size * 0.09).max(0.6));
        }
    }

    pub(super) fn finish(self) -> Laid {
        Laid { pages: self.pages, bookmarks: self.bookmarks, targets: self.targets, tags: self.tags }
    }
}
