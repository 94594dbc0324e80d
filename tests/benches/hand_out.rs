//! The hand-out of a whole annual, from the record in memory to the bytes of each form.
//!
//! PDF against the same words as plain lines on as many pages, by the same PDF library with the same font: what layout, tables,
//! pictures, tags and links cost beyond that. HTML and text against the bare JSON writer over the same facts.

use std::collections::HashMap;
use std::hint::black_box;

use krilla::Document as Pdf;
use krilla::geom::Point;
use krilla::page::PageSettings;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};
use spanwise::hangar::{Hangar, Viewing, find_session};
use spanwise::report::{Material, Paper, document_of, facts, html, json, pdf, text};

use super::binary::{GLIDER, Place};
use super::ratio::{in_turns, timed};
use super::table::Table;

const TURNS: usize = 15;
const FONT: &[u8] = include_bytes!("../../src/report/fonts/DejaVuSansCondensed.ttf");
/// Points.
const LETTERS: f32 = 7.0;

pub fn measure(table: &mut Table) {
    let place = Place::empty();
    let root = place.root();
    place.bare(["demo", "--walkthrough", "--into", root.to_str().expect("a path")]).expect(0);
    let hangar = Hangar::load(&root);
    let sid = find_session(&hangar, GLIDER).expect("the annual of the walkthrough");
    let view = Viewing::open(&hangar, &sid).expect("it opens");
    let material = Material {
        session: &view.sid,
        plan: &view.plan,
        plan_hash: &view.plan_hash,
        state: &view.state,
        entries: &view.entries,
        record_faults: &view.integrity,
        is_invented: true,
        signatures: &[],
        program: "benchmark",
    };
    let whole = || {
        let facts = facts(&material);
        document_of(&material, &facts, &[])
    };
    let words = text(&whole());
    let lines: Vec<&str> = words.lines().collect();
    let pages = pages(&pdf(&whole(), Paper::A4).expect("a PDF"));
    assert!(pages > 10 && pages == self::pages(&plain(&lines, pages)), "{pages} pages");
    let pair = in_turns(
        TURNS,
        || timed(|| drop(black_box(pdf(&whole(), Paper::A4)))),
        || timed(|| drop(black_box(plain(&lines, pages)))),
    );
    let peer =
        format!("the same words as {} plain lines on {pages} pages by the same PDF library", lines.len());
    table.row(&format!("hand-out of a full annual as PDF, {pages} pages"), &peer, "ms", &pair);
    let bare = || timed(|| drop(black_box(json(&facts(&material)))));
    let peer = "the same facts through serde_json alone";
    let pair = in_turns(TURNS, || timed(|| drop(black_box(html(&whole())))), bare);
    table.row("hand-out as HTML", peer, "ms", &pair);
    let pair = in_turns(TURNS, || timed(|| drop(black_box(text(&whole())))), bare);
    table.row("hand-out as text", peer, "ms", &pair);
}

/// Pages of a PDF, by their objects.
fn pages(pdf: &[u8]) -> usize {
    const PAGE: &[u8] = b"/Type/Page";
    pdf.windows(PAGE.len() + 1)
        .filter(|window| window.starts_with(PAGE) && window.last() != Some(&b's'))
        .count()
}

/// The lines spread over so many pages of A4.
fn plain(lines: &[&str], pages: usize) -> Vec<u8> {
    let font = Font::new(FONT.into(), 0).expect("a font");
    let parsed = FontRef::new(FONT).expect("a font");
    let mut known = HashMap::new();
    let (width, height) = Paper::A4.size();
    let mut pdf = Pdf::new();
    let step = height / (lines.len() as f32 / pages as f32 + 2.0);
    for page in 0..pages {
        let mut sheet = pdf.start_page_with(PageSettings::from_wh(width, height).expect("a size"));
        let mut surface = sheet.surface();
        let shown = &lines[page * lines.len() / pages..(page + 1) * lines.len() / pages];
        for (line, number) in shown.iter().zip(1_u16..) {
            let glyphs = glyphs(&parsed, &mut known, line);
            let at = Point::from_xy(30.0, step * f32::from(number));
            surface.draw_glyphs(at, &glyphs, font.clone(), line, LETTERS, false);
        }
        surface.finish();
        sheet.finish();
    }
    pdf.finish().expect("a PDF")
}

fn glyphs(font: &FontRef<'_>, known: &mut HashMap<char, (u32, f32)>, text: &str) -> Vec<KrillaGlyph> {
    let mut glyph = |c: char| {
        *known.entry(c).or_insert_with(|| {
            let glyph = font.charmap().map(c).unwrap_or_default();
            let metrics = font.glyph_metrics(Size::new(1.0), LocationRef::default());
            (glyph.to_u32(), metrics.advance_width(glyph).unwrap_or(0.5))
        })
    };
    text.char_indices()
        .map(|(at, c)| {
            let (glyph, x_advance) = glyph(c);
            KrillaGlyph {
                glyph_id: GlyphId::new(glyph),
                text_range: at..at + c.len_utf8(),
                x_advance,
                x_offset: 0.0,
                y_offset: 0.0,
                y_advance: 0.0,
                location: None,
            }
        })
        .collect()
}
