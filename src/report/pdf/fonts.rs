//! The fonts, and how wide their letters are.

use std::cell::RefCell;
use std::collections::HashMap;

use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

use super::PdfError;
use crate::report::model::Style;

const FILES: [(&str, &[u8]); 3] = [
    ("regular", include_bytes!("../fonts/DejaVuSansCondensed.ttf")),
    ("bold", include_bytes!("../fonts/DejaVuSansCondensed-Bold.ttf")),
    ("mono", include_bytes!("../fonts/DejaVuSansMono.ttf")),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Face {
    Regular,
    Bold,
    Mono,
}

impl Face {
    pub(super) fn of(style: Style) -> Face {
        match (style.mono, style.strong) {
            (true, _) => Face::Mono,
            (false, true) => Face::Bold,
            (false, false) => Face::Regular,
        }
    }
}

struct Loaded {
    font: Font,
    parsed: FontRef<'static>,
    /// Glyph and advance as a share of the size.
    known: RefCell<HashMap<char, (u32, f32)>>,
}

pub(super) struct Fonts {
    faces: Vec<Loaded>,
}

impl Fonts {
    pub(super) fn load() -> Result<Fonts, PdfError> {
        let load = |(name, bytes): (&str, &'static [u8])| {
            let broken = || PdfError(say!("its {name} font cannot be read", name));
            Ok(Loaded {
                font: Font::new(bytes.into(), 0).ok_or_else(broken)?,
                parsed: FontRef::new(bytes).map_err(|_| broken())?,
                known: RefCell::new(HashMap::new()),
            })
        };
        Ok(Fonts { faces: FILES.into_iter().map(load).collect::<Result<_, PdfError>>()? })
    }

    fn face(&self, face: Face) -> &Loaded {
        // Face has exactly as many kinds as there are files.
        &self.faces[face as usize]
    }

    pub(super) fn font(&self, face: Face) -> Font {
        self.face(face).font.clone()
    }

    /// Glyph and advance of a letter. One that the font lacks is drawn as U+FFFD; the text itself keeps the letter.
    fn glyph(&self, face: Face, c: char) -> (u32, f32) {
        let loaded = self.face(face);
        if let Some(known) = loaded.known.borrow().get(&c) {
            return *known;
        }
        let map = loaded.parsed.charmap();
        let glyph = map.map(c).or_else(|| map.map('\u{FFFD}')).unwrap_or_default();
        let metrics = loaded.parsed.glyph_metrics(Size::new(1.0), LocationRef::default());
        let found = (glyph.to_u32(), metrics.advance_width(glyph).unwrap_or(0.5));
        loaded.known.borrow_mut().insert(c, found);
        found
    }

    pub(super) fn width(&self, face: Face, text: &str, size: f32) -> f32 {
        text.chars().map(|c| self.glyph(face, c).1).sum::<f32>() * size
    }

    /// The glyphs of a text, one for each letter.
    pub(super) fn glyphs(&self, face: Face, text: &str) -> Vec<KrillaGlyph> {
        text.char_indices()
            .map(|(at, c)| {
                let (glyph, advance) = self.glyph(face, c);
                KrillaGlyph {
                    glyph_id: GlyphId::new(glyph),
                    text_range: at..at + c.len_utf8(),
                    x_advance: advance,
                    x_offset: 0.0,
                    y_offset: 0.0,
                    y_advance: 0.0,
                    location: None,
                }
            })
            .collect()
    }
}
