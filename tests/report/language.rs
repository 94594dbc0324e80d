//! The hand-out in another language: whole on paper, and the same for programs.

use std::collections::BTreeSet;

use serde_json::Value;
use spanwise::words::{Language, with_language};

use super::made::{bench, forms, tool, walked, written};
use crate::binary::GLIDER;

/// Sentences of the program in the JSON form; everything else there is the same in every language.
const SENTENCES: [&str; 5] = ["language", "grounded_by", "record_faults", "words", "trouble"];

fn made(language: &str, form: &str) -> String {
    walked().run(&["report", GLIDER, "--form", form, "--out", "-", "--language", language]).expect(0).out
}

fn facts() -> Value {
    serde_json::from_str(&made("en", "json")).expect("JSON")
}

#[test]
fn german_text_has_german_words_figures_and_days_within_eighty_columns() {
    let text = made("de", "text");
    for words in [
        "Jahresnachprüfung",
        "Bordbucheintrag",
        "Liste der Beanstandungen",
        "Bauzustand",
        "Freigabebescheinigung, Teil-ML",
        "ERFUNDEN: Personen",
        "Wie diese Aufzeichnung verifiziert wird",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    // DIN 5008 (from memory): decimal comma, day.month.year. The signed day stands so, and never as ISO 8601 has it in a fact.
    let facts = facts();
    let iso = facts["sign_off"]["date"].as_str().expect("a day").to_string();
    let parts: Vec<&str> = iso.split('-').collect();
    assert!(text.contains(&format!("{}.{}.{}", parts[2], parts[1], parts[0])), "{iso}");
    let hours = facts["sign_off"]["hours"].as_str().expect("hours");
    assert!(hours.contains('.'), "the example has no decimal to look at: {hours}");
    assert!(text.contains(&format!("{} h", hours.replace('.', ","))), "{hours}");
    let wide = text.lines().filter(|line| line.chars().count() > 80 && !line.starts_with("  ")).count();
    assert_eq!(wide, 0);
}

/// 14 CFR 43.11(a)(4) words the statement in English: it stays letter by letter, and what it says stands beside it.
#[test]
fn the_signed_statement_stays_as_it_was_signed_with_its_meaning_beside_it() {
    let statement = facts()["sign_off"]["statement"].as_str().expect("the statement").to_string();
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = one_line(&made("de", "text"));
    assert!(text.contains(&one_line(&statement)), "{statement}");
    assert!(text.contains("Was die unterschriebene Erklärung besagt"));
    // The German of the certificate of release is from memory and says so.
    assert!(text.contains("Deutscher Wortlaut der Freigabebescheinigung"));
    assert!(text.contains("aus dem Gedächtnis"));
    let html = made("de", "html");
    assert!(html.contains(&format!("<span lang=\"en\">{statement}</span>")));
    assert!(!one_line(&made("en", "text")).contains("What the signed statement says"));
}

#[test]
fn german_html_tells_its_language_and_its_title() {
    let page = made("de", "html");
    assert!(page.contains("<html lang=\"de\">"));
    assert!(page.contains(&format!("<title>Jahresnachprüfung: {GLIDER}</title>")));
    assert!(page.contains("Zum Inhalt springen") && page.contains(">Inhalt</h2>"));
    assert_eq!(page, made("de", "html"), "the same record gives the same bytes");
}

#[test]
fn german_pdf_has_umlauts_numbered_pages_and_the_same_bytes_each_time() {
    let file = written(GLIDER, "german.pdf", &["--language", "de"]);
    let again = written(GLIDER, "german-again.pdf", &["--language", "de"]);
    let bytes = std::fs::read(&file).expect("a PDF");
    assert!(bytes == std::fs::read(again).expect("a PDF"), "the same record gives the same bytes");
    let Some(text) = tool("pdftotext", &["-layout", file.to_str().expect("a path"), "-"]) else { return };
    let pages = text.matches('\u{c}').count();
    for page in [1, 2, pages] {
        assert!(text.contains(&format!("Seite {page} von {pages}")), "{page} of {pages}");
    }
    for letter in ['ä', 'ö', 'ü', 'ß', 'Ä', 'Ü', '„', '“'] {
        assert!(text.contains(letter), "{letter}");
    }
}

/// Without the sentences that the program says; numbers, days, codes and what people wrote are left.
fn without_sentences(value: &mut Value) {
    match value {
        Value::Object(keys) => {
            keys.retain(|key, _| !SENTENCES.contains(&key.as_str()));
            keys.values_mut().for_each(without_sentences);
        }
        Value::Array(items) => items.iter_mut().for_each(without_sentences),
        _ => {}
    }
}

#[test]
fn json_says_its_language_and_differs_in_nothing_but_sentences() {
    let [mut english, mut german]: [Value; 2] =
        ["en", "de"].map(|language| serde_json::from_str(&made(language, "json")).expect("JSON"));
    assert_eq!((&english["language"], &german["language"]), (&Value::from("en"), &Value::from("de")));
    // Kinds of reports and titles of what falls due are words of the program, too.
    for facts in [&mut english, &mut german] {
        without_sentences(facts);
        for report in facts["reports"].as_array_mut().expect("reports") {
            report.as_object_mut().expect("a report").remove("kind");
        }
        for row in facts["due"]["rows"].as_array_mut().expect("rows") {
            let row = row.as_object_mut().expect("a row");
            let has_own_title = ["annual", "weighing"].contains(&row["id"].as_str().expect("an id"));
            row.retain(|key, _| !(has_own_title && key == "title"));
        }
        for decision in facts["defects"].as_array_mut().expect("defects").iter_mut() {
            decision.as_object_mut().expect("a defect").retain(|key, _| key != "decisions");
        }
    }
    assert_eq!(english, german);
}

#[test]
fn tables_for_other_programs_are_the_same_in_every_language() {
    for table in spanwise::report::csv::TABLES {
        let made = |language: &str| {
            let args = ["report", GLIDER, "--form", "csv", "--only", table.name, "--language", language];
            walked().run(&args).expect(0).out
        };
        assert_eq!(made("en"), made("de"), "{}", table.name);
    }
}

/// What a person or a file wrote, and the statement that was signed in English.
fn data_words(value: &Value, words: &mut BTreeSet<String>) {
    // Sentences about readings are those of other parts, and are held there.
    const DATA: [&str; 46] = [
        "id",
        "session",
        "registration",
        "type_id",
        "serial",
        "build_standard",
        "owner",
        "hash",
        "head",
        "key",
        "by",
        "name",
        "text",
        "note",
        "why",
        "component",
        "certificate",
        "authorisation",
        "statement",
        "step",
        "measure",
        "origin",
        "because",
        "modules",
        "checklist",
        "version",
        "code",
        "file",
        "person",
        "namespace",
        "sha256",
        "types",
        "steps",
        "demand",
        "defect",
        "evidence",
        "reason",
        "work",
        "initials",
        "plan",
        "value",
        "limit",
        "words",
        "uncertainty",
        "connections",
        "title",
    ];
    match value {
        Value::Object(keys) => {
            for (key, value) in keys {
                if DATA.contains(&key.as_str()) {
                    take_words(value, words);
                }
                data_words(value, words);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| data_words(item, words)),
        _ => {}
    }
}

fn take_words(value: &Value, words: &mut BTreeSet<String>) {
    match value {
        Value::String(text) => words.extend(plain_words(text)),
        Value::Array(items) => items.iter().for_each(|item| take_words(item, words)),
        _ => {}
    }
}

/// Words of four plain letters or more. What has a digit in it is a hash, a code or an id.
fn plain_words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| word.len() >= 4 && word.chars().all(|c| c.is_ascii_alphabetic()))
        .map(str::to_lowercase)
        .collect()
}

#[test]
fn no_word_of_the_program_is_outside_of_the_catalogue() {
    let mut known: BTreeSet<String> = BTreeSet::new();
    data_words(&facts(), &mut known);
    let mut facts = facts();
    for defect in facts["defects"].as_array_mut().expect("defects") {
        take_words(&defect["what"].take(), &mut known);
    }
    for row in facts["due"]["rows"].as_array().expect("rows") {
        take_words(&row["title"], &mut known);
    }
    // Units, names of programs and their arguments.
    known.extend(plain_words(
        "sha256sum printf journal jsonl head tail verify signers json spanwise event keygen quot",
    ));
    let page = made("qps", "html");
    let (_, body) = page.split_once("<body>").expect("a body");
    let shown = body.split('<').filter_map(|piece| piece.split_once('>')).map(|(_, text)| text);
    let left: BTreeSet<String> = shown.flat_map(plain_words).filter(|word| !known.contains(word)).collect();
    assert_eq!(left, BTreeSet::new());
    // Labels hold no data: there no word may hide behind one that somebody wrote.
    for label in ["<dt>", "<th scope=\"col\"", "<caption>"] {
        let pieces = body.split(label).skip(1).filter_map(|piece| piece.split('<').next());
        let words: Vec<String> = pieces
            .map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text))
            .flat_map(plain_words)
            .collect();
        assert_eq!(words, Vec::<String>::new(), "{label}");
    }
}

/// A bench of its own, with a struck answer and a struck reading.
#[test]
fn what_was_struck_says_so_in_german() {
    let forms = with_language(Language::German, || forms(&bench("ein Wort")));
    assert!(forms.text.contains("[gestrichen: ") && forms.text.contains("gestrichen von"), "{}", forms.text);
    assert!(forms.html.contains("<span class=\"unseen\">[gestrichen: </span><del>"));
    assert!(forms.text.contains("ENTWURF, NICHT UNTERSCHRIEBEN"));
    assert!(forms.text.contains("0,420 mm") && !forms.text.contains("0.420 mm"), "{}", forms.text);
    // The hand-over of its grounding defect.
    assert!(forms.text.contains("VORSICHT: Für einen zugelassenen Instandsetzer"));
}
