//! The PDF: the same bytes twice, pages, bookmarks, fonts, every step, nothing beside the paper.

use super::made::{bench, forms, steps_of_the_walk, tool, walked, written};
use crate::binary::GLIDER;

fn count(bytes: &[u8], what: &str) -> usize {
    bytes.windows(what.len()).filter(|window| *window == what.as_bytes()).count()
}

#[test]
fn the_same_record_gives_the_same_bytes() {
    for paper in ["a4", "letter"] {
        let first =
            std::fs::read(written(GLIDER, &format!("one-{paper}.pdf"), &["--paper", paper])).expect("read");
        let second =
            std::fs::read(written(GLIDER, &format!("two-{paper}.pdf"), &["--paper", paper])).expect("read");
        assert!(first == second, "{paper}");
    }
    let session = bench("twice");
    assert!(forms(&session).pdf == forms(&session).pdf);
}

#[test]
fn fonts_bookmarks_tags_and_language_are_inside() {
    let bytes = std::fs::read(written(GLIDER, "inside.pdf", &[])).expect("read");
    assert_eq!(count(&bytes, "/FontFile2"), 3, "regular, bold and one width, each cut to its letters");
    for what in ["/Outlines", "/StructTreeRoot", "/Marked true", "/Lang"] {
        assert!(count(&bytes, what) > 0, "{what}");
    }
    // Whole fonts would be larger than this file.
    assert!(bytes.len() < 700_000, "{}", bytes.len());
    // PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1), as the writer's own validators understand them.
    for what in ["<pdfaid:part>2<", "<pdfaid:conformance>A<", "<pdfuaid:part>1<"] {
        assert_eq!(count(&bytes, what), 1, "{what}");
    }
    // The file's day is that of the record's last entry.
    let facts = walked().run(&["report", GLIDER, "--form", "json"]).expect(0).json();
    let wall = facts["as_of"]["wall"].as_str().expect("a time");
    let day: String = wall[..10].chars().filter(char::is_ascii_digit).collect();
    assert!(wall.ends_with("+00:00"), "the tests work in UTC: {wall}");
    assert_eq!(count(&bytes, &format!("/CreationDate(D:{day}")), 1);
}

#[test]
fn text_can_be_taken_out_and_names_every_step_and_page() {
    let steps = steps_of_the_walk();
    for paper in ["a4", "letter"] {
        let file = written(GLIDER, &format!("words-{paper}.pdf"), &["--paper", paper]);
        let file = file.to_str().expect("a path");
        let Some(info) = tool("pdfinfo", &[file]) else { return };
        let size = if paper == "a4" { "595.28 x 841.89" } else { "612 x 792" };
        assert!(info.contains(size), "{info}");
        assert!(info.contains("Tagged:          yes") && info.contains("Annual inspection: XX-VA7"));
        let Some(text) = tool("pdftotext", &["-layout", file, "-"]) else { return };
        let pages: Vec<&str> = text.split('\u{c}').filter(|page| !page.trim().is_empty()).collect();
        for (index, page) in pages.iter().enumerate() {
            let number = format!("page {} of {}", index + 1, pages.len());
            assert!(page.contains(&number), "{number}: {page}");
            assert!(page.contains("INVENTED: people"), "page {}", index + 1);
        }
        let Some(raw) = tool("pdftotext", &["-raw", file, "-"]) else { return };
        let letters: String = raw.split_whitespace().collect();
        for (id, title) in &steps {
            let title: String = title.split_whitespace().collect();
            assert!(letters.contains(&title), "{id}: {title}");
        }
    }
}

#[test]
fn every_letter_lies_on_the_paper_within_its_margins() {
    let file = written(GLIDER, "margins.pdf", &[]);
    let Some(boxes) = tool("pdftotext", &["-bbox", file.to_str().expect("a path"), "-"]) else { return };
    let mut words = 0;
    for line in boxes.lines().filter(|line| line.trim_start().starts_with("<word")) {
        let value = |key: &str| -> f64 {
            let rest = line.split(&format!("{key}=\"")).nth(1).expect("a place");
            rest.split('"').next().and_then(|text| text.parse().ok()).expect("a number")
        };
        let (left, top, right, bottom) = (value("xMin"), value("yMin"), value("xMax"), value("yMax"));
        assert!(left >= 44.0 && right <= 595.28 - 44.0 && top >= 15.0 && bottom <= 841.89 - 15.0, "{line}");
        words += 1;
    }
    assert!(words > 2000, "{words}");
}

#[test]
fn a_draft_says_so_on_every_page() {
    let file = written("XX-DR4", "draft.pdf", &[]);
    let Some(text) = tool("pdftotext", &["-layout", file.to_str().expect("a path"), "-"]) else { return };
    let pages: Vec<&str> = text.split('\u{c}').filter(|page| !page.trim().is_empty()).collect();
    assert!(pages.len() > 5);
    assert!(pages.iter().all(|page| page.contains("DRAFT, NOT SIGNED")));
}

#[test]
fn every_sign_of_the_trade_has_a_glyph() {
    // ✓ ✗ ○ · – ▲ → ≤ ≥ ± × ° Ω µ, German letters, Latin-1: none is replaced when it is taken out again.
    let say = "✓ ✗ ○ · – ▲ → ≤ ≥ ± × ° Ω µ Å ÄÖÜäöüß éñç";
    let made = forms(&bench(say));
    let file = walked().beside("signs.pdf");
    std::fs::write(&file, &made.pdf).expect("written");
    let Some(text) = tool("pdftotext", &["-raw", file.to_str().expect("a path"), "-"]) else { return };
    let letters: String = text.split_whitespace().collect();
    assert!(letters.contains(&say.split_whitespace().collect::<String>()), "{text}");
}
