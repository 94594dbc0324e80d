//! The brief in other languages, and the note of it in the record, which is the same in all of them.

use spanwise::checklist::Severity;
use spanwise::event::ReadingValue;
use spanwise::handover::{Material, Proposal, brief_of, brief_text, check_text, handover_note};
use spanwise::session::{NewDefect, Request};
use spanwise::state::{Defect, State};
use spanwise::words::{Language, with_language};

use crate::{check, margin, one_rib, support};
use spanwise::handover::Opening;
use support::Bench;

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The figures of the hand-worked case in `tests/handover.rs`, with a decimal comma (DIN 5008, from memory).
#[test]
fn a_check_is_german_with_its_figures() {
    let cut = check("fin 50..110.25 x 20..60", "20", &one_rib());
    let words = with_language(Language::German, || one_line(&check_text(&cut)));
    for told in [
        "Vorgeschlagene Öffnung",
        "VORSICHT: Für einen zugelassenen Instandsetzer",
        "dies sind keine Reparaturdaten",
        "SCHNEIDET, oder kann schneiden: 1 verdecktes Teil",
        "um 10,25 mm wie eingetragen",
        "bis zu 12,25 mm",
        "fehlen 32,25 mm",
        "beide Seiten",
    ] {
        assert!(words.contains(told), "{told}\n{words}");
    }
    assert!(!words.contains("10.25"), "{words}");
}

fn made(language: Language) -> (String, String) {
    let mut plan = support::small_plan();
    plan.of_type = Some(one_rib());
    let state = State::new(&plan);
    let faults = [];
    let material =
        Material { session: "s", plan: &plan, plan_hash: "h", state: &state, record_faults: &faults };
    let opening = Opening::parse("fin 50..110.25 x 20..60").unwrap_or_else(|error| panic!("{error}"));
    let proposal = Proposal { opening, margin: margin("20") };
    with_language(language, || {
        let brief = brief_of(&material, &[], &[proposal]);
        (brief_text(&brief), handover_note(&brief, "brief.txt", "text"))
    })
}

#[test]
fn the_note_in_the_record_is_the_same_in_every_language() {
    let (english, note) = made(Language::English);
    for language in [Language::German, Language::Proof] {
        let (text, told) = made(language);
        assert_ne!(text, english);
        assert_eq!(told, note, "{language:?}");
    }
}

/// The JSON form is the same moment in every language (ISO 8601's order); the text has the day as DIN 5008 writes it (from
/// memory).
#[test]
fn a_reading_of_the_brief_keeps_its_moment_neutral_and_shows_it_in_german() {
    let mut bench = support::Bench::new();
    let value = ReadingValue::Number { quantity: support::quantity("0.60 mm") };
    bench.read("wing.play", "play", value, Some("gauge"));
    bench.done(
        "ada",
        Request::RaiseDefect(NewDefect {
            step: Some("wing.play".into()),
            what: "loose".into(),
            component: None,
            side: None,
            station_mm: None,
            severity: Severity::Minor,
        }),
    );
    let faults = [];
    let Bench { plan, state, .. } = &bench;
    let material = Material { session: "s", plan, plan_hash: "h", state, record_faults: &faults };
    let defects: Vec<&Defect> = state.standing_defects().collect();
    let taken = |language| {
        with_language(language, || {
            let brief = brief_of(&material, &defects, &[]);
            let json = serde_json::to_value(&brief).unwrap_or_else(|error| panic!("{error}"));
            let readings = json.pointer("/steps/0/readings/0/taken").cloned();
            (readings.unwrap_or_else(|| panic!("{json:#}")), brief_text(&brief))
        })
    };
    let (english, text) = taken(Language::English);
    assert_eq!(english, "2026-11-25 10:00");
    assert!(text.contains("2026-11-25 10:00"), "{text}");
    let (german, text) = taken(Language::German);
    assert_eq!(german, english);
    assert!(text.contains("25.11.2026 10:00") && !text.contains("2026-11-25 10:00"), "{text}");
}

#[test]
fn no_word_of_the_brief_is_outside_of_the_catalogue() {
    let (text, _) = made(Language::Proof);
    let plain = |word: &&str| word.len() >= 4 && word.chars().all(|c| c.is_ascii_alphabetic());
    // Ids, and what the test itself names.
    let data = ["ostrel", "invented", "test", "supplement"];
    let left: Vec<&str> = text
        .split(|c: char| !c.is_alphabetic())
        .filter(plain)
        .filter(|word| !data.contains(&word.to_lowercase().as_str()))
        .collect();
    assert_eq!(left, Vec::<&str>::new(), "{text}");
}
