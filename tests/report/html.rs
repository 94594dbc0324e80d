//! The HTML: well-formed, one file alone, ids once, contrast, words for whoever cannot see it.

use std::collections::{BTreeMap, BTreeSet};

use super::made::{bench, forms, text_of};
use crate::binary::GLIDER;

const VOID: [&str; 3] = ["meta", "br", "hr"];

/// Elements with their attributes; panics where tags do not close in their order.
pub fn elements(html: &str) -> Vec<(String, BTreeMap<String, String>)> {
    let body = html.strip_prefix("<!DOCTYPE html>\n").expect("the document type");
    let mut open: Vec<String> = Vec::new();
    let mut found = Vec::new();
    let mut rest = body;
    while let Some(at) = rest.find('<') {
        rest = &rest[at + 1..];
        let end = rest.find('>').unwrap_or_else(|| panic!("no end: {}", &rest[..rest.len().min(80)]));
        let (tag, after) = (&rest[..end], &rest[end + 1..]);
        rest = after;
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(name), "…{}", &rest[..rest.len().min(80)]);
            continue;
        }
        let is_closed = tag.ends_with('/');
        let tag = tag.trim_end_matches('/');
        let (name, mut attributes) = tag.split_once([' ', '\n']).unwrap_or((tag, ""));
        let mut pairs = BTreeMap::new();
        while let Some((key, value)) = attributes.split_once("=\"") {
            let (value, more) =
                value.split_once('"').unwrap_or_else(|| panic!("no end of an attribute: {tag}"));
            let key = key.trim().to_string();
            assert!(pairs.insert(key, value.to_string()).is_none(), "twice: {tag}");
            attributes = more;
        }
        assert!(attributes.trim().is_empty(), "attributes without quotes: {tag}");
        assert!(name.chars().all(|c| c.is_ascii_alphanumeric()), "{name}");
        found.push((name.to_string(), pairs));
        if name == "style" {
            let end = rest.find("</style>").expect("the end of the style");
            rest = &rest[end..];
        }
        if !is_closed && !VOID.contains(&name) {
            open.push(name.to_string());
        }
    }
    assert!(open.is_empty(), "{open:?}");
    found
}

fn page() -> String {
    text_of(GLIDER, "page.html", &["--form", "html"])
}

#[test]
fn it_is_well_formed_and_ids_come_once_and_links_lead_somewhere() {
    let page = page();
    let elements = elements(&page);
    let mut ids = BTreeSet::new();
    for (name, attributes) in &elements {
        if let Some(id) = attributes.get("id") {
            assert!(ids.insert(id.clone()), "{name} {id}");
        }
    }
    for (_, attributes) in &elements {
        if let Some(target) = attributes.get("href") {
            assert!(target.strip_prefix('#').is_some_and(|id| ids.contains(id)), "{target}");
        }
        for id in attributes.get("aria-labelledby").into_iter().flat_map(|ids| ids.split(' ')) {
            assert!(ids.contains(id), "{id}");
        }
    }
}

#[test]
fn it_stands_alone_without_script_and_speaks_to_readers() {
    let page = page();
    let elements = elements(&page);
    let count = |wanted: &str| elements.iter().filter(|(name, _)| name == wanted).count();
    assert_eq!(count("script") + count("link") + count("img") + count("iframe"), 0);
    for far in ["http://", "https://", "url(", "@import"] {
        assert!(!page.replace("http://www.w3.org/2000/svg", "").contains(far), "{far}");
    }
    assert!(elements.iter().all(|(_, attributes)| attributes.keys().all(|key| !key.starts_with("on"))));
    assert!(page.contains("<html lang=\"en\">") && page.contains("class=\"skip\" href=\"#content\""));
    assert_eq!(count("main"), 1);
    assert_eq!(count("table"), count("caption"));
    assert!(count("svg") >= 3 && count("svg") == count("desc"));
    assert_eq!(count("svg") + 1, count("title"));
    let heads = elements.iter().filter(|(name, _)| name == "th");
    assert!(
        heads.clone().count() > 100 && heads.clone().all(|(_, attributes)| attributes.contains_key("scope"))
    );
    // Headings never skip a level.
    let mut last = 1;
    for (name, _) in &elements {
        if let Some(level) = name.strip_prefix('h').and_then(|digits| digits.parse::<u32>().ok()) {
            assert!(level <= last + 1, "h{level} after h{last}");
            last = level;
        }
    }
}

/// Relative luminance and contrast, WCAG 2.2 (its formulas, from memory).
pub fn contrast(one: &str, other: &str) -> f64 {
    let luminance = |hex: &str| {
        let part = |at: usize| {
            let value = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).expect("a colour")) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
    };
    let (light, dark) = (luminance(one).max(luminance(other)), luminance(one).min(luminance(other)));
    (light + 0.05) / (dark + 0.05)
}

#[test]
fn words_are_dark_enough_on_their_ground() {
    let page = page();
    let root = page.split(":root {").nth(1).and_then(|rest| rest.split('}').next()).expect("the colours");
    let colours: BTreeMap<&str, &str> = root
        .split(';')
        .filter_map(|pair| pair.split_once(':'))
        .map(|(name, hex)| (name.trim(), hex.trim()))
        .collect();
    for (ink, ground) in [
        ("--ink", "#ffffff"),
        ("--ink", colours["--mist"]),
        ("--quiet", "#ffffff"),
        ("--quiet", colours["--mist"]),
        ("--quiet", colours["--caution-back"]),
        ("--link", "#ffffff"),
        ("--link", colours["--mist"]),
        ("--grave", colours["--grave-back"]),
        ("--caution", colours["--caution-back"]),
        ("--good", colours["--good-back"]),
    ] {
        let found = contrast(colours[ink], ground);
        // 4.5 to 1 is the least for text of common size (WCAG 2.2, 1.4.3).
        assert!(found >= 4.5, "{ink} on {ground}: {found:.2}");
    }
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 0.01);
}

#[test]
fn it_looks_as_it_did() {
    let made = forms(&bench("a free text"));
    let page = made.html.split("</style>").nth(1).expect("the body");
    insta::assert_snapshot!("page", page);
}

#[test]
fn the_text_looks_as_it_did() {
    insta::assert_snapshot!("text", forms(&bench("a free text")).text);
}
