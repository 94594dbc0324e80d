//! Laid-out pages into the bytes of a PDF.

use chrono::{Datelike, Timelike};
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::color::rgb;
use krilla::configure::{Accessibility, Archival, Configuration, ConfigurationBuilder};
use krilla::destination::{Destination, XyzDestination};
use krilla::geom::{Path, PathBuilder, Point as At, Rect};
use krilla::metadata::{DateTime, Metadata};
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag};
use krilla::{Document as Pdf, SerializeSettings};

use super::fonts::Fonts;
use super::sheet::{Bookmark, Draw, Laid, Page, Placed};
use super::tags::Drawn;
use super::{Paper, PdfError, frame};
use crate::report::model::Document;
use crate::report::picture::Ink;

/// What the file promises: to be read in decades (PDF/A-2a, ISO 19005-2) and by anybody (PDF/UA-1, ISO 14289-1), or by
/// anybody alone. What breaks a promise, such as a letter for private use in somebody's note, is no reason to give no
/// paper: the file is then written without it.
pub(super) fn write(
    document: &Document,
    fonts: &Fonts,
    paper: Paper,
    laid: &Laid,
) -> Result<Vec<u8>, PdfError> {
    let anybody = || ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1);
    let promises = [
        anybody().with_archival_validator(Archival::A2_A).finish().ok(),
        anybody().finish().ok(),
        Some(Configuration::default()),
    ];
    let mut why = PdfError(say!("no form of PDF is known").to_string());
    for promise in promises.into_iter().flatten() {
        match write_as(document, fonts, paper, laid, promise) {
            Ok(bytes) => return Ok(bytes),
            Err(error) => why = error,
        }
    }
    Err(why)
}

fn write_as(
    document: &Document,
    fonts: &Fonts,
    paper: Paper,
    laid: &Laid,
    configuration: Configuration,
) -> Result<Vec<u8>, PdfError> {
    let (width, height) = paper.size();
    let settings = PageSettings::from_wh(width, height)
        .ok_or_else(|| PdfError(say!("the paper has no size").to_string()))?;
    let mut pdf = Pdf::new_with(SerializeSettings {
        enable_tagging: true,
        configuration,
        ..SerializeSettings::default()
    });
    let mut drawn = Drawn::new(&laid.tags);
    for (index, page) in laid.pages.iter().enumerate() {
        let mut sheet = pdf.start_page_with(settings.clone());
        let mut surface = sheet.surface();
        let artifact = |kind| ContentTag::Artifact(Artifact::with_kind(kind));
        surface.start_tagged(artifact(ArtifactType::PaginationOther));
        for draw in frame::frame(document, fonts, paper, index + 1, laid.pages.len()) {
            put(&mut surface, fonts, &draw);
        }
        surface.end_tagged();
        put_all(&mut surface, fonts, page, &mut drawn);
        surface.finish();
        for jump in &page.jumps {
            let Some((target, y)) = laid.targets.get(&jump.target) else { continue };
            let (left, top, right, bottom) = jump.area;
            let Some(area) = Rect::from_ltrb(left, top, right, bottom) else { continue };
            let to = Target::Destination(Destination::Xyz(destination(*target, *y)));
            let link = Annotation::new_link(LinkAnnotation::new(area, to), Some(jump.target.clone()));
            let identifier = sheet.add_tagged_annotation(link);
            drawn.content(jump.tag, identifier);
        }
        sheet.finish();
    }
    pdf.set_outline(outline(&laid.bookmarks));
    pdf.set_metadata(metadata(document));
    pdf.set_tag_tree(drawn.tree(document.language));
    pdf.finish().map_err(|error| PdfError(format!("{error:?}")))
}

/// The day of the file is that of the record's last entry, not of the writing: the same record gives the same bytes.
fn metadata(document: &Document) -> Metadata {
    let metadata = Metadata::new()
        .title(document.title.clone())
        .language(document.language.to_string())
        .creator("spanwise".to_string());
    match document.dated {
        Some(at) => metadata.creation_date(moment(&at.to_utc())),
        None => metadata,
    }
}

fn moment(at: &chrono::DateTime<chrono::Utc>) -> DateTime {
    // Each part has at most as much as its kind holds.
    let small = |part: u32| u8::try_from(part).unwrap_or(0);
    DateTime::new(u16::try_from(at.year()).unwrap_or(0))
        .month(small(at.month()))
        .day(small(at.day()))
        .hour(small(at.hour()))
        .minute(small(at.minute()))
        .second(small(at.second()))
        .utc_offset_hour(0)
}

fn destination(page: usize, y: f32) -> XyzDestination {
    XyzDestination::new(page, At::from_xy(0.0, (y - 8.0).max(0.0)))
}

/// Two levels: parts, and the headings in them.
fn outline(bookmarks: &[Bookmark]) -> Outline {
    let mut outline = Outline::new();
    let mut open: Option<OutlineNode> = None;
    for mark in bookmarks {
        let node = OutlineNode::new(mark.text.clone(), destination(mark.page, mark.y));
        match (&mut open, mark.level) {
            (Some(parent), 2..) => parent.push_child(node),
            _ => {
                if let Some(done) = open.replace(node) {
                    outline.push_child(done);
                }
            }
        }
    }
    if let Some(last) = open {
        outline.push_child(last);
    }
    outline
}

/// Neighbours of one tag are one stretch; what belongs to no text is marked as such.
fn put_all(surface: &mut Surface<'_>, fonts: &Fonts, page: &Page, drawn: &mut Drawn) {
    for stretch in page.items.chunk_by(|a, b| a.tag == b.tag) {
        match stretch.first().and_then(|placed| placed.tag) {
            None => {
                surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
            }
            Some(tag) => {
                let identifier = surface.start_tagged(ContentTag::Other);
                drawn.content(tag, identifier);
            }
        }
        for Placed { draw, .. } in stretch {
            put(surface, fonts, draw);
        }
        surface.end_tagged();
    }
}

fn put(surface: &mut Surface<'_>, fonts: &Fonts, draw: &Draw) {
    match draw {
        Draw::Text { at, size, face, ink, text } => {
            surface.set_stroke(None);
            surface.set_fill(Some(fill(*ink)));
            let glyphs = fonts.glyphs(*face, text);
            surface.draw_glyphs(At::from_xy(at.0, at.1), &glyphs, fonts.font(*face), text, *size, false);
        }
        Draw::Path { points, closed, fill: inside, stroke, dashed } => {
            if let Some(path) = path(points, *closed) {
                surface.set_fill(inside.map(fill));
                surface.set_stroke(stroke.map(|(ink, width)| pen(ink, width, *dashed)));
                surface.draw_path(&path);
            }
        }
        Draw::Circle { centre, radius, fill: inside, stroke } => {
            if let Some(path) = circle(*centre, *radius) {
                surface.set_fill(inside.map(fill));
                surface.set_stroke(stroke.map(|(ink, width)| pen(ink, width, false)));
                surface.draw_path(&path);
            }
        }
    }
}

fn colour(ink: Ink) -> rgb::Color {
    let (r, g, b) = ink.rgb();
    rgb::Color::new(r, g, b)
}

fn fill(ink: Ink) -> Fill {
    Fill { paint: colour(ink).into(), opacity: NormalizedF32::ONE, rule: FillRule::EvenOdd }
}

fn pen(ink: Ink, width: f32, dashed: bool) -> Stroke {
    let dash = dashed.then(|| StrokeDash { array: vec![3.0, 2.0], offset: 0.0 });
    Stroke { paint: colour(ink).into(), width, dash, ..Stroke::default() }
}

fn path(points: &[(f32, f32)], closed: bool) -> Option<Path> {
    if points.iter().any(|(x, y)| !(x.is_finite() && y.is_finite())) {
        return None;
    }
    let mut builder = PathBuilder::new();
    let (first, rest) = points.split_first()?;
    builder.move_to(first.0, first.1);
    rest.iter().for_each(|(x, y)| builder.line_to(*x, *y));
    if closed {
        builder.close();
    }
    builder.finish()
}

/// Four arcs; the constant brings a cubic nearest to a quarter of a circle.
fn circle((x, y): (f32, f32), radius: f32) -> Option<Path> {
    if !(x.is_finite() && y.is_finite() && radius > 0.0) {
        return None;
    }
    let k = radius * 0.552_284_8;
    let mut builder = PathBuilder::new();
    builder.move_to(x + radius, y);
    builder.cubic_to(x + radius, y + k, x + k, y + radius, x, y + radius);
    builder.cubic_to(x - k, y + radius, x - radius, y + k, x - radius, y);
    builder.cubic_to(x - radius, y - k, x - k, y - radius, x, y - radius);
    builder.cubic_to(x + k, y - radius, x + radius, y - k, x + radius, y);
    builder.close();
    builder.finish()
}
