//! Numbers and days that somebody types or reads in German: what is recorded is what English typing records, files are never
//! read so, and a computation says the same figures with commas. Everybody and everything is invented.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

mod binary;

use std::collections::BTreeSet;

use binary::{Answer, Place, SMALL};
use spanwise::compute::{KINDS, Request, kind};
use spanwise::words::{Language, with_language};

fn run(place: &Place, language: &str, args: &[&str]) -> Answer {
    let root = place.root();
    let mut command = place.command();
    command.env("SPANWISE_LANGUAGE", language).arg("--hangar").arg(root).args(["--by", "ada"]).args(args);
    let output = command.output().expect("the program starts");
    Answer {
        code: output.status.code().expect("it was not ended by a signal"),
        out: String::from_utf8(output.stdout).expect("UTF-8"),
        err: String::from_utf8(output.stderr).expect("UTF-8"),
    }
}

/// The bodies of the journal's newest entries, as they are written.
fn bodies(place: &Place, from: usize) -> Vec<String> {
    let entries = place.entries(SMALL);
    entries.values().skip(from).map(ToString::to_string).collect()
}

#[test]
fn a_comma_typed_in_german_is_recorded_as_the_point_typed_in_english() {
    let (english, german) = (Place::small(), Place::small());
    let before = english.entries(SMALL).len();
    let read = ["read", SMALL, "wing.play", "play"];
    let with = |value: &'static str| [&read[..], &[value, "--instrument", "gauge"]].concat();
    run(&english, "en", &with("0.20 mm")).expect(0);
    run(&german, "de", &with("0,20 mm")).tells(0, &["0,20 mm"]);
    let raise = |station| ["defect", "raise", SMALL, "crack", "--component", "fin", "--station", station];
    run(&english, "en", &raise("4250.5")).expect(0);
    run(&german, "de", &raise("4250,5")).expect(0);
    let defer = |until| {
        ["defect", "dispose", SMALL, "d1", "defer", "--note", "look at it (invented)", "--until", until]
    };
    run(&english, "en", &defer("2099-03-09")).expect(0);
    run(&german, "de", &defer("09.03.2099")).expect(0);
    let recorded = bodies(&english, before);
    for neutral in ["\"0.20 mm\"", "\"4250.5\"", "\"2099-03-09\""] {
        assert!(recorded.iter().any(|body| body.contains(neutral)), "{neutral} in {recorded:?}");
    }
    assert_eq!(recorded, bodies(&german, before));
}

#[test]
fn what_could_be_a_thousand_is_refused_and_files_are_read_as_ever() {
    let place = Place::small();
    let before = place.entries(SMALL).len();
    for value in ["1.234,5 mm", "1,234.5 mm", "1.234 mm"] {
        let answer = run(&place, "de", &["read", SMALL, "wing.play", "play", value, "--instrument", "gauge"]);
        answer.tells(3, &["zwei Arten", value.trim_end_matches(" mm")]);
    }
    place.write("play.txt", "1,500 mm\n");
    let file = place.path("play.txt").to_string_lossy().into_owned();
    let read = ["read", SMALL, "wing.play", "play", "--instrument", "gauge", "--file", file.as_str()];
    run(&place, "de", &read).tells(3, &["1,500", "zwei Arten"]);
    run(&place, "de", &["defect", "raise", SMALL, "crack", "--component", "fin", "--station", "4.250"])
        .expect(3);
    assert_eq!(place.entries(SMALL).len(), before, "nothing was recorded");
}

/// Every number of a text, its decimal sign made a point.
fn figures(text: &str, sign: char) -> Vec<String> {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    let mut found: Vec<String> = Vec::new();
    let mut inside = false;
    for (at, letter) in letters.iter().enumerate() {
        let is_sign = *letter == sign && inside && digit(at + 1);
        if !(letter.is_ascii_digit() || is_sign) {
            inside = false;
            continue;
        }
        if !inside {
            found.push(String::new());
        }
        inside = true;
        if let Some(number) = found.last_mut() {
            number.push(if is_sign { '.' } else { *letter });
        }
    }
    found
}

fn computed(name: &str, set: &[&str]) -> (String, serde_json::Value) {
    let kind = kind(name).unwrap_or_else(|| panic!("no kind {name}"));
    let set: Vec<String> = set.iter().map(ToString::to_string).collect();
    let fetch = |wanted: &str| match wanted {
        "example:creaks.wav" => Ok(include_bytes!("../demo/compute/creaks.wav").to_vec()),
        "example:quiet.wav" => Ok(include_bytes!("../demo/compute/quiet.wav").to_vec()),
        _ => Err("there is none here".to_string()),
    };
    let request = Request { file: "-", bytes: kind.example.as_bytes(), set: &set, fetch: &fetch };
    match kind.compute(&request) {
        Ok(report) => (report.text(), report.json("-")["figures"].clone()),
        Err(faults) => panic!("{name}: {}", faults[0]),
    }
}

#[test]
fn a_computation_says_the_same_figures_with_commas_and_other_programs_get_the_same_numbers() {
    let (english, numbers) = computed("flex", &["ceiling=25.5 kgf"]);
    let (german, same) = with_language(Language::German, || computed("flex", &["ceiling=25,5 kgf"]));
    assert!(english.contains("Stiffness 10.51 N/mm (10.44 to 10.59), 95 % interval."), "{english}");
    assert!(german.contains("Steifigkeit 10,51 N/mm (10,44 bis 10,59), 95 %-Intervall."), "{german}");
    assert_eq!(figures(&english, '.'), figures(&german, ','));
    assert!(figures(&english, '.').len() > 50);
    assert_eq!(numbers["stiffness_n_per_mm"], same["stiffness_n_per_mm"]);
    assert_eq!(numbers["linearity"], same["linearity"], "a word for programs is the same in every language");
    let life = |language, today| with_language(language, || computed("life", &[today]));
    let typed = life(Language::German, "today=01.03.2026");
    assert!(typed.0.contains("20.03.2026"), "{}", typed.0);
    assert_eq!(typed.1["items"][0]["valid_through"], "2026-03-20");
    let iso = life(Language::English, "today=2026-03-01");
    assert_eq!(iso.1["items"][0]["days_left"], typed.1["items"][0]["days_left"]);
}

/// Words of at least four plain letters.
fn plain_words(text: &str) -> BTreeSet<String> {
    let words = text.split(|letter: char| !letter.is_alphabetic());
    let plain = words.filter(|word| word.len() >= 4 && word.is_ascii());
    plain.map(str::to_lowercase).collect()
}

#[test]
fn every_word_of_a_result_comes_from_the_catalogue_or_from_its_file() {
    for kind in KINDS {
        let (shown, _) = with_language(Language::Proof, || computed(kind.name, &[]));
        let shown = plain_words(&shown);
        // What the file says itself, and the names of the methods.
        let known = plain_words(&format!("{} {}", kind.example, shown_methods(kind.name)));
        let left: Vec<&String> = shown.difference(&known).collect();
        assert!(left.is_empty(), "{}: {left:?}", kind.name);
    }
}

fn shown_methods(name: &str) -> String {
    let (text, _) = computed(name, &[]);
    text.lines().filter(|line| line.starts_with("Method: ")).map(|line| &line[8..]).collect()
}
