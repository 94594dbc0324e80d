//! Texts that want to do harm, and whether a struck answer is seen in every form.

use proptest::prelude::*;

use super::html::elements;
use super::made::{bench, forms};

const HOSTILE: &[&str] = &[
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>",
    "</title></style><script>x</script>",
    "&lt;already&gt; & 'quoted' \"twice\"",
    "=HYPERLINK(\"x\")",
    "@SUM(A1)",
    "bell\u{7} escape\u{1b}[31m null\u{0} del\u{7f} next\u{85}line\u{2028}end",
    "right\u{202e}tfel ot\u{202c} and \u{2066}inside\u{2069}",
    "עברית العربية 日本語 한국어 ไทย",
    "👩‍🔧✈️🛩️ family 👨‍👩‍👧‍👦 flag 🇩🇪",
    "e\u{301}\u{301}\u{301}\u{301}\u{301} combining",
    "(((\\) TJ ET Q endstream endobj",
    "[struck: not struck]",
    "lines\n\n\t\r\n",
    "}}{{ \\62  @page",
];

fn long() -> String {
    format!("{} {}", "Donaudampfschifffahrtsgesellschaft".repeat(60), "a".repeat(5000))
}

#[test]
fn hostile_texts_are_only_texts() {
    for say in HOSTILE.iter().map(ToString::to_string).chain([long()]) {
        let mut session = bench(&say);
        session.plan.airframe.registration = say.clone();
        session.plan.airframe.owner = Some(say.clone());
        session.integrity = vec![say.clone()];
        let made = forms(&session);
        let elements = elements(&made.html);
        assert!(elements.iter().all(|(name, _)| name != "script" && name != "img"), "{say}");
        assert!(elements.iter().all(|(_, attributes)| !attributes.contains_key("onerror")));
        for text in [&made.html, &made.text] {
            assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{say:?}");
            assert!(!text.contains(['\u{202e}', '\u{2066}', '\u{2028}']), "{say:?}");
        }
        assert!(made.pdf.starts_with(b"%PDF-"));
        let json: serde_json::Value = serde_json::from_str(&made.json).expect("JSON");
        assert_eq!(json["airframe"]["registration"], say.as_str(), "JSON keeps what was written");
        for cell in made.csv.lines().flat_map(|line| line.split(',')) {
            assert!(!cell.trim_matches('"').starts_with(['=', '@', '+']), "{cell}");
        }
    }
}

#[test]
fn long_words_and_tables_break_and_nothing_lies_beside_the_paper() {
    let made = forms(&bench(&long()));
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("long.pdf");
    std::fs::write(&file, &made.pdf).expect("written");
    let Some(boxes) = super::made::tool("pdftotext", &["-bbox", file.to_str().expect("a path"), "-"]) else {
        return;
    };
    for line in boxes.lines().filter(|line| line.trim_start().starts_with("<word")) {
        let value = |key: &str| -> f64 {
            let rest = line.split(&format!("{key}=\"")).nth(1).expect("a place");
            rest.split('"').next().and_then(|text| text.parse().ok()).expect("a number")
        };
        assert!(value("xMin") >= 44.0 && value("xMax") <= 595.28 - 44.0, "{line}");
        assert!(value("yMax") <= 841.89 - 15.0, "{line}");
    }
}

#[test]
fn a_struck_answer_is_seen_in_every_form() {
    let made = forms(&bench("read the wrong line"));
    assert!(made.text.contains("[struck: failed]"), "{}", made.text);
    assert!(made.text.contains("[struck: 4.20 mm]"));
    assert!(
        made.text.contains("read the wrong line")
            && made.text.contains("struck by Ada Finch, 2026-11-25 10:00")
    );
    assert!(made.html.contains("<del>failed</del>") && made.html.contains("<del>4.20 mm</del>"));
    let step = &made.facts.sections[0].steps[0];
    assert_eq!(
        step.answers[0].struck.as_ref().map(|struck| struck.why.as_str()),
        Some("read the wrong line")
    );
    assert!(made.json.contains("\"why\": \"read the wrong line\""));
    let row = made.csv.lines().find(|line| line.contains("prep.clean") && line.contains(",failed,"));
    assert!(row.is_some_and(|row| row.contains("Ada Finch,read the wrong line")), "{}", made.csv);
    assert!(made.text.contains("0.420 mm"), "as entered, with its zero");
}

#[test]
fn a_struck_answer_is_drawn_through_in_the_pdf() {
    use spanwise::report::model::{Block, Document, Part, Text};
    let document = |text: Text| Document {
        language: "en",
        title: "t".into(),
        dated: None,
        head: "h".into(),
        marks: Vec::new(),
        foot: "f".into(),
        parts: vec![Part { id: "p", title: "p".into(), starts_page: true, blocks: vec![Block::Para(text)] }],
    };
    let lines = |text: Text| {
        let bytes = spanwise::report::pdf(&document(text), spanwise::report::Paper::A4).expect("a PDF");
        strokes(&bytes)
    };
    assert_eq!(lines(Text::struck("failed")), lines(Text::plain("failed")) + 1);
}

/// A letter for private use means something else to everyone: no archive form may hold it. The paper is made all the same.
#[test]
fn a_letter_for_private_use_costs_the_promise_and_not_the_paper() {
    let holds = |bytes: &[u8], what: &str| bytes.windows(what.len()).any(|window| window == what.as_bytes());
    let (sound, private) = (forms(&bench("rib")), forms(&bench("rib \u{E000}")));
    assert!(holds(&sound.pdf, "pdfaid:part") && holds(&sound.pdf, "pdfuaid:part"));
    assert!(private.pdf.starts_with(b"%PDF-") && !holds(&private.pdf, "pdfaid:part"));
}

/// Stroking operators in all content streams.
fn strokes(bytes: &[u8]) -> usize {
    use std::io::Read;
    let mut count = 0;
    let mut rest = bytes;
    while let Some(at) = rest.windows(7).position(|window| window == b"stream\n") {
        rest = &rest[at + 7..];
        let mut plain = Vec::new();
        if flate2::read::ZlibDecoder::new(rest).read_to_end(&mut plain).is_ok() {
            let text = String::from_utf8_lossy(&plain);
            count += text.lines().filter(|line| line.trim() == "S").count();
        }
    }
    count
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn no_text_panics_in_any_form(say in "\\PC{1,200}|(.|\\n){1,200}") {
        prop_assume!(!say.trim().is_empty());
        let made = forms(&bench(&say));
        elements(&made.html);
        prop_assert!(made.pdf.starts_with(b"%PDF-"));
    }
}
