//! The work of a session in German, and in the proof language, where a word that stays readable is one that the
//! catalogue does not have. What was typed, ids, keys and units stay as they are in every language, and so does the record.

use std::collections::BTreeSet;

use spanwise::command::Place;
use spanwise::event::Outcome;
use spanwise::screen::Start;
use spanwise::screen::desk::Desk;
use spanwise::signoff::statement;
use spanwise::state::StepStanding;
use spanwise::words::{Language, with_language};

use crate::fake::FakeDesk;
use crate::hand::{Hand, SERIES};
use crate::pictures::busy;

/// Screens and forms: the keys that lead there from the worksheet, and German that is seen there on 80 columns.
const SCREENS: &[(&str, &[&str])] = &[
    (
        "<Home>",
        &["✗ nicht bestanden Fin skin", "durchgestrichen von Ines Marlow", "25.11.2026 09:01 (Eintrag 1)"],
    ),
    ("<Home><Down><Down>", &["1 Ablesung fehlt · Nachweis fehlt", "braucht noch:", "Ablesungen"]),
    (
        "<Home><Down><Down><Down>",
        &["Rüstzustand Höhenleitwerk abgenommen (k)", "▲ VORSICHT:", "▲ LAST höchstens 147 N"],
    ),
    ("3<Home>", &["Meldungen und Vorkommnisse", "wählte 1 Schritt", "am 14.06.2026"]),
    ("3<Down><Down>", &["trifft zu: ja, nach der Akte", "31.12.2026"]),
    ("3<Down><Down><Down>", &["○ unbeantwortet; Enter beantwortet"]),
    ("4<Home>", &["[alle 5] · fehlt 5", "fehlt: 0 von 1 abgelesen", "Grenzwert:"]),
    ("4<Down><Down><Down>", &["Frühere Jahresnachprüfungen dieses Flugzeugs", "20.11.2025: 1,8 mm"]),
    ("6", &["Freigabe: lufttüchtig: gesperrt, 8 Gründe", "Unterzeichner: Ines Marlow"]),
    ("6<Down>", &["Abgeschlossen, nicht lufttüchtig", "Beanstandungen"]),
    ("7<Home>", &["25.11. 09:01", "Eintrag 0: Jahresnachprüfung begonnen", "Hash beginnt"]),
    ("7<Home><Tab>", &["offen", "Warum er hier ist"]),
    ("9", &["Block 1: wie es steht · 3 Schritte", "Personenminuten", "Helfer vor Ort"]),
    ("2v", &["Mängel von X-LARK am Flugzeug"]),
    ("<Home><Down><Down>d", &["Was es meist bedeutet", "Schwere", "flugverbietend: betrifft"]),
    ("<Home>f", &["Antwort berichtigen", "„bestanden“ beantwortet von Ines Marlow am 25.11.2026 09:02"]),
    ("<Home>c", &["Was ist zu berichtigen?", "zurücknehmen: Antwort „bestanden“ (Eintrag 2)"]),
    ("<End>r", &["Welche Messung?", "fehlt)"]),
    ("<End>i", &["Unabhängige Kontrolle", "welche Anschlüsse"]),
    ("2a", &["Entscheidung zu d1", "was daraus wird", "beheben: jetzt in Ordnung bringen"]),
    ("l", &["Fortschritt und Zeit", "Pflichtschritte:"]),
    ("/", &["Schritte, Notizen, Antworten, Nachweise und Mängel durchsuchen"]),
    (
        "<Home><Down><Down><Down>r",
        &["Nr.  Richtung     Gang     Last N         Auslenkung mm", "Last abgelesen mit"],
    ),
    ("w", &["Wer arbeitet?"]),
];

/// What a person typed or the record holds, and what is signed: the same in every language.
const TYPED: &str = "crack across the fibres at the fin root; the placard was behind the seat; to the repairer; helper is late; \
    creaks in a slip to the left; radio cuts out; a pilot of the invented club; Inspect the tow release; Harness, left shoulder; \
    Ines Marlow; Tomas Reed, second-inspector; larkspur; tail-noise; composite-sailplane; ines; \
    (referred to a repairer); Enter PgDn LARK";

fn at(keys: &str) -> Hand {
    let mut hand = busy();
    hand.keys(keys);
    hand
}

#[test]
fn every_screen_of_the_work_speaks_german_on_eighty_columns() {
    with_language(Language::German, || {
        for (keys, shown) in SCREENS {
            let picture = at(keys).picture();
            for text in *shown {
                assert!(picture.contains(text), "{keys}: no \"{text}\" on\n{picture}");
            }
        }
    });
}

/// Words of four and more letters that the proof language would have changed; ids and figures are none.
fn plain_words(text: &str) -> BTreeSet<String> {
    let is_data = |word: &&str| {
        word.contains(|c: char| c == '…' || c.is_ascii_digit()) || word.trim_matches('.').contains('.')
    };
    let words = text.split_whitespace().filter(|word| !is_data(word));
    words
        .flat_map(|word| word.split(|c: char| !c.is_alphabetic()))
        .filter(|word| word.len() > 3 && word.is_ascii())
        .map(str::to_string)
        .collect()
}

/// Limits are told by the checklist's own words; what is signed is signed in English.
fn same_in_every_language(desk: &FakeDesk) -> BTreeSet<String> {
    let view = desk.session().expect("opened");
    let measures = view.plan.steps.iter().flat_map(|planned| &planned.step.measures);
    let mut same: String = measures.filter_map(|measure| measure.limit_words()).collect::<Vec<_>>().join(" ");
    for outcome in [Outcome::Release, Outcome::NotAirworthy] {
        same.push_str(&format!(" {}", statement(outcome, desk.today())));
    }
    plain_words(&format!("{same} {TYPED}"))
}

#[test]
fn no_word_of_these_screens_is_outside_the_catalogue() {
    let screens = [
        "<Home>",
        "<Home><Down><Down>",
        "<Home><Down><Down><Down>",
        "<Home><Down><Down><Down><Down>",
        "<End>",
        "3<Home>",
        "3<Down>",
        "3<Down><Down>",
        "3<Down><Down><Down>",
        "3<Down><Down><Down><Down>",
        "3<End>",
        "4<Home>",
        "4<Down><Down><Down>",
        "4m",
        "6",
        "6<Down>",
        "7<Home>",
        "7<Home><Tab>",
        "9",
        "9<End>",
        "2v",
        "<Home>n",
        "<Home><Down>x",
        "<Home>c",
        "<Home>u",
        "l",
        "w",
    ];
    let same = same_in_every_language(&busy().desk);
    with_language(Language::Proof, || {
        let mut left = BTreeSet::new();
        for keys in screens {
            let picture = at(keys).picture();
            // Head and footer have tests of their own.
            let lines: Vec<&str> = picture.lines().collect();
            let body = lines.get(2..lines.len().saturating_sub(3)).unwrap_or_default();
            let body: Vec<&str> = body.iter().filter(|line| !line.starts_with("──")).copied().collect();
            left.extend(
                plain_words(&body.join("\n")).difference(&same).map(|word| format!("{word} ({keys})")),
            );
        }
        assert!(left.is_empty(), "{left:#?}");
    });
}

#[test]
fn the_record_is_the_same_whatever_language_is_spoken() {
    with_language(Language::German, || {
        let mut hand = Hand::at_work();
        hand.keys("<Down><Down>fRiss<Enter><Enter>Flosse<Enter>1<Enter>4250<Enter>");
        let raised = &hand.desk.state().defect("d1").expect("raised").raised;
        assert_eq!(raised.side.as_deref(), Some("left"));
        assert_eq!(raised.severity.word(), "grounding");
        // Taking back: the slip is chosen by its German word and recorded as ever.
        hand.keys("<Home>p");
        assert_eq!(hand.message(), "gespeichert, Eintrag 3");
        hand.keys("u");
        assert!(hand.sees("was schiefging") && hand.sees("falsche Taste"), "{}", hand.picture());
        hand.keys("<Tab>vertippt<Enter>");
        assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Open);
        let answers = &hand.desk.state().step("intake.papers").expect("planned").answers;
        let struck = answers[0].struck.as_ref().expect("taken back");
        assert_eq!(struck.why, "wrong key: vertippt");
    });
}

#[test]
fn a_series_is_typed_and_judged_in_german_and_kept_with_the_checklists_words() {
    with_language(Language::German, || {
        let mut hand = Hand::with(FakeDesk::at_work(), Start::Worksheet);
        hand.keys("<Home><Down><Down><Down>").keys(SERIES);
        assert_eq!(hand.app.key_place(), Place::Worksheet, "{}", hand.picture());
        assert!(hand.message().starts_with("gespeichert, Eintrag 1;"), "{}", hand.message());
        let read = hand.desk.state().step("fin.flex").expect("planned").readings.clone();
        let spanwise::event::ReadingValue::Series { points } = &read[0].taken.value else {
            panic!("a series")
        };
        assert_eq!(points[0].direction, "left");
        let told = hand.keys("4<Home><Down><Down>").picture();
        assert!(told.contains("10 Punkte"), "{told}");
    });
}

#[test]
fn what_was_typed_and_not_recorded_comes_back_in_another_language() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down>dcrack<Esc>");
    let kept = hand.desk.unsaved().expect("kept");
    let mut hand = Hand::with(FakeDesk::at_work(), Start::Worksheet);
    hand.desk.keep_unsaved(&kept).expect("kept");
    with_language(Language::German, || {
        let mut hand = Hand::with(hand.desk, Start::Worksheet);
        assert!(hand.message().contains("früher eingetippt und NICHT eingetragen"), "{}", hand.message());
        hand.keys("<Home><Down><Down>d");
        assert!(hand.sees("crack"), "{}", hand.picture());
    });
}
