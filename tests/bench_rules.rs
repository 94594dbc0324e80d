//! Every rule of the checklist author's bench is tested by its own examples, and every code that can be printed for a
//! checklist has a rule that explains it.
#![allow(clippy::disallowed_methods, reason = "tests read the source tree")]

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::{Arc, LazyLock};

use chrono::NaiveDate;
use spanwise::airframe::read_airframe;
use spanwise::bench::{Bench, FoundBy, RULE_IDS, Reading, Report, check, files_of, rules};
use spanwise::checklist::{Library, builtin_sources};
use spanwise::diagnostic::{Source, Weight, render};
use spanwise::plan::{ComposeInput, compose};
use spanwise::words::{Language, said, with_language};

fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 12, 1).unwrap_or_default()
}

static LIBRARY: LazyLock<Vec<Reading>> =
    LazyLock::new(|| builtin_sources().iter().map(Reading::of).collect());

fn checked(files: &[Arc<Source>]) -> Report {
    let files: Vec<Reading> = files.iter().map(Reading::of).collect();
    check(&Bench { files: &files, library: &LIBRARY, today: day() })
}

fn example(fragment: &str) -> Report {
    let files: Vec<Arc<Source>> = files_of(fragment).into_iter().map(|file| file.source).collect();
    assert!(!files.is_empty(), "no file in the example");
    checked(&files)
}

#[test]
fn every_bad_example_gives_its_code_alone_and_every_good_one_nothing() {
    let mut wrong = Vec::new();
    for rule in rules::ALL
        .iter()
        .filter(|rule| !matches!(rule.found_by, FoundBy::Disk | FoundBy::Pack | FoundBy::Plan))
    {
        let bad = example(rule.bad).found;
        let is_right = !bad.is_empty()
            && bad.iter().all(|fault| fault.code == rule.code && fault.weight == rule.weight)
            && bad.iter().all(|fault| fault.place.span.end <= fault.place.source.text.len());
        if !is_right {
            wrong.push(format!("BAD of {}:\n{}", rule.code, render(&bad, false)));
        }
        let good = example(rule.good).found;
        if !good.is_empty() {
            wrong.push(format!("GOOD of {}:\n{}", rule.code, render(&good, false)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n----\n"));
}

#[test]
fn every_rule_explains_itself() {
    let mut seen = BTreeSet::new();
    for rule in rules::ALL {
        assert!(seen.insert(rule.code), "{} stands twice", rule.code);
        assert!(rule.doc.ends_with('.') && rule.why.ends_with('.'), "{}", rule.code);
        let has_examples = !rule.bad.is_empty() && !rule.good.is_empty();
        assert!(
            has_examples || matches!(rule.found_by, FoundBy::Disk | FoundBy::Pack | FoundBy::Plan),
            "{}",
            rule.code
        );
    }
}

/// Codes stand as literals behind `Diagnostic::new(`, `reject(`, `reject::<…>(`, `unknown_word(` and as `code` of a match.
#[test]
fn every_code_that_can_be_printed_for_a_checklist_is_explained() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut codes = BTreeSet::new();
    for module in ["checklist", "source", "plan", "edition"] {
        for file in std::fs::read_dir(source.join(module)).unwrap_or_else(|error| panic!("{error}")).flatten()
        {
            let text = std::fs::read_to_string(file.path()).unwrap_or_default();
            for call in ["Diagnostic::new(", ".reject(", ".reject::<()>(", "unknown_word(", "=> \"", "fault("]
            {
                for (at, _) in text.match_indices(call) {
                    let rest = text[at + call.len() - usize::from(call == "=> \"")..].trim_start();
                    let literal = rest.strip_prefix('"').and_then(|rest| rest.split('"').next());
                    codes.extend(literal.filter(|code| is_code(call, code)).map(str::to_string));
                }
            }
        }
    }
    assert!(codes.len() > 30, "{codes:?}");
    let missing: Vec<&String> = codes.iter().filter(|code| rules::find(code).is_none()).collect();
    assert!(missing.is_empty(), "not explained: {missing:?}");
}

/// Behind `=>` other words than codes stand, too: only those of a match over errors are codes.
fn is_code(call: &str, literal: &str) -> bool {
    call != "=> \"" || ["unit-missing", "range-upside-down", "not-a-range"].contains(&literal)
}

#[test]
fn the_built_in_library_has_no_fault() {
    let report = check(&Bench { files: &LIBRARY, library: &[], today: day() });
    let errors: Vec<_> = report.found.iter().filter(|fault| fault.is_error()).cloned().collect();
    assert!(errors.is_empty(), "{}", render(&errors, false));
    assert_eq!(report.checklists, builtin_sources().len());
}

/// The id lists that tests/coverage.rs holds the programme to.
#[test]
fn the_rule_ids_hold_every_row_of_the_reference_lists() {
    let listed: BTreeSet<&str> = RULE_IDS.iter().map(|row| row.id).collect();
    assert_eq!(listed.len(), RULE_IDS.len(), "an id stands twice");
    for text in [
        include_str!("../src/coverage/appendix-d.toml"),
        include_str!("../src/coverage/minimum-inspection-programme.toml"),
    ] {
        for id in text.lines().filter_map(|line| line.strip_prefix("id = \"")) {
            assert!(listed.contains(id.trim_end_matches('"')), "{id}");
        }
    }
    assert!(RULE_IDS.iter().all(|row| ["S", "P", "M"].contains(&&row.status[..1])));
}

#[test]
fn syntax_and_meaning_are_told_in_one_pass() {
    let text = "format = 1\nkind = \"module\"\nid = \"m\"\nversion = \"1.0.0\"\ntitle = \"T\"\nissued = 2026-03-01\n\
        [requires]\ncomposite-sailplane = \"^1.0\"\n[selected_by]\nreports = [\"odd-yaw\"]\n\
        [[step]]\nid = \"m.broken\nsection = \"fuselage\"\n\
        [[step]]\nid = \"m.two\"\nsection = \"fuselage\"\ntitel = \"x\"\ninstruction = \"Good: nothing. Bad: a line. Look with a torch, both sides.\"\n\
        basis = [\"common practice\"]\nafter = [\"m.broken\", \"wing.skin\", \"wing.skim\"]\n";
    let source = Source::new("m/1.0.0.toml", text);
    let found = checked(&[source]).found;
    let told: Vec<(usize, &str)> = found.iter().map(|fault| (fault.place.line(), fault.code)).collect();
    assert_eq!(
        told,
        [(12, "toml-syntax"), (17, "unknown-key"), (20, "unknown-step")],
        "{}",
        render(&found, false)
    );
}

#[test]
fn an_array_that_is_not_closed_brings_one_error() {
    let good = "[[step]]\nid = \"m.two\"\nsection = \"fuselage\"\ntitel = \"x\"\ninstruction = \"y\"\n";
    let text = format!("format = 1\n[[step]]\nid = \"m.one\"\nkit = [\"torch\", \"mirror\"\n{good}");
    let found = checked(&[Source::new("m/1.0.0.toml", text)]).found;
    let codes: Vec<&str> = found.iter().map(|fault| fault.code).collect();
    assert_eq!(codes.iter().filter(|code| **code == "toml-syntax").count(), 1, "{codes:?}");
    assert!(codes.contains(&"unknown-key"), "{codes:?}");
}

#[test]
fn what_refers_to_a_faulty_step_section_or_measurement_is_no_fault_of_its_own() {
    let fragment = "[[section]]\nid = \"own\"\n\n[[step]]\nid = \"example-module.one\"\nsection = \"own\"\npeople = \"two\"\n\n\
        [[step]]\nid = \"example-module.two\"\nsection = \"fuselage\"\nafter = [\"example-module.one\"]\n";
    let found = example(fragment).found;
    let codes: Vec<&str> = found.iter().map(|fault| fault.code).collect();
    assert_eq!(codes, ["missing-key", "wrong-type"], "{}", render(&found, false));
}

#[test]
fn carets_stand_right_behind_letters_of_two_bytes_wide_letters_and_tabs() {
    let text = "title = \"Prüfung 漢字 ä\"\n\tconfiguration = { wings = \"rigged\", tailplane = \"öff\" }\n";
    let found = example(text).found;
    assert_eq!(found.len(), 1, "{}", render(&found, false));
    let (line, column) = found[0].place.source.line_column(found[0].place.span.start);
    let text = found[0].place.source.text.lines().nth(line - 1).unwrap_or_default();
    assert_eq!(text.chars().skip(column - 1).collect::<String>(), "\"öff\" }");
    let drawn = render(&found, false);
    let mut lines = drawn.lines().skip_while(|line| !line.contains("öff\" }"));
    let (shown, carets) = (lines.next().unwrap_or_default(), lines.next().unwrap_or_default());
    let (at, caret) = (shown.find("\"öff").unwrap_or(0), carets.find('^').unwrap_or(0));
    assert_eq!(unicode_width::UnicodeWidthStr::width(&shown[..at]), caret, "{drawn}");
}

#[test]
fn a_caret_stands_right_behind_wide_letters_in_the_same_line() {
    let found = example("evidence = [ { id = \"film\", kind = \"fülm\", what = \"漢字 é\" }, { id = \"b\", kind = \"x\", what = \"y\" } ]\n").found;
    assert_eq!(found.len(), 2, "{}", render(&found, false));
    let drawn = render(&found[1..], false);
    let mut lines = drawn.lines().skip_while(|line| !line.contains("漢字"));
    let (shown, carets) = (lines.next().unwrap_or_default(), lines.next().unwrap_or_default());
    let (at, caret) = (shown.find("\"x\"").unwrap_or(0), carets.find('^').unwrap_or(0));
    assert_eq!(unicode_width::UnicodeWidthStr::width(&shown[..at]), caret, "{drawn}");
}

#[test]
fn advice_is_no_error() {
    for rule in rules::ALL.iter().filter(|rule| rule.weight == Weight::Advice) {
        assert_eq!(example(rule.bad).errors(), 0, "{}", rule.code);
    }
}

/// Composes an annual of this type with a report that selects the example's module.
fn composed(fragment: &str, type_id: &str) -> Result<(), String> {
    let record = format!(
        "registration = \"XX-EXA\"\ntype = \"{type_id}\"\nserial = \"1\"\nhours = \"10\"\nlaunches = 5\n\n\
         [[report]]\nid = \"r1\"\nkind = \"odd-yaw\"\ndate = 2026-05-01\ntext = \"Invented.\"\n"
    );
    let airframe_source = Source::new("airframes/XX-EXA.toml", record);
    let airframe = read_airframe(&airframe_source).map_err(|faults| render(&faults, false))?;
    let mut sources = builtin_sources();
    sources.extend(files_of(fragment).into_iter().map(|file| file.source));
    let library = Library::read(&sources);
    let programme = "composite-sailplane";
    compose(&ComposeInput {
        library: &library,
        airframe: &airframe,
        airframe_source: &airframe_source,
        programme,
    })
    .map(drop)
    .map_err(|faults| render(&faults, false))
}

fn is_of_checklists(fragment: &str) -> bool {
    !fragment.is_empty() && !fragment.contains("# file: people") && !fragment.contains("# file: airframes")
}

/// The composition of a plan finds faults by code of its own; the check must not be milder than it.
#[test]
fn what_the_check_lets_pass_can_be_composed() {
    for rule in rules::ALL.iter().filter(|rule| is_of_checklists(rule.good)) {
        let files = files_of(rule.good);
        let is_supplement = files.iter().any(|file| file.source.text.contains("[type]"));
        let type_id = if is_supplement { "example-1" } else { "varn-15" };
        assert_eq!(composed(rule.good, type_id), Ok(()), "{}", rule.code);
    }
}

#[test]
fn what_composition_refuses_the_check_finds() {
    for code in [
        "unknown-step",
        "unknown-section",
        "unknown-measure",
        "circular-dependency",
        "supplements-fight",
        "tightening-impossible",
        "version-not-satisfied",
        "withdrawn-not-programme",
    ] {
        let rule = rules::find(code).unwrap_or_else(|| panic!("{code}"));
        let is_supplement = files_of(rule.bad).iter().any(|file| file.source.text.contains("[type]"));
        assert!(composed(rule.bad, if is_supplement { "example-1" } else { "varn-15" }).is_err(), "{code}");
    }
}

#[test]
fn every_broken_line_of_a_step_is_told_and_what_it_lacks_for_them_is_not() {
    let text = "format = 1\nkind = \"module\"\nid = \"m\"\nversion = \"1.0.0\"\ntitle = \"T\"\nissued = 2026-03-01\n\
        [requires]\ncomposite-sailplane = \"^1.0\"\n[selected_by]\nreports = [\"odd-yaw\"]\n\
        [[section]]\nid = \"m\"\ntitle = \"M\"\n\
        [[step]]\nid = \"m.one\"\nsection = \"m\"\ntitle = \"Flügel ü\n\
        instruction = \"Good: nothing. Bad: a line. Look with a torch, both sides.\"\n\
        caution = 'Obacht\nbasis = \"common practice]\nloads = true\npeople = \"two\"\nminutes = yes\nkit = []\nkit = []\n\
        [[step.measure]]\nid = \"gap\"\ntitle = \"Gap\"\nkind = \"number\"\nunit = \"mmm\"\nnominal = \"1\"\ntolerance = 0,5\n\
        limit_source = \"common practice, no source\"\n";
    let found = checked(&[Source::new("m/1.0.0.toml", text)]).found;
    let told: Vec<(usize, &str)> = found.iter().map(|fault| (fault.place.line(), fault.code)).collect();
    let syntax = "toml-syntax";
    let wanted = [
        (17, syntax),
        (19, syntax),
        (20, syntax),
        (22, "wrong-type"),
        (23, syntax),
        (25, syntax),
        (30, "unknown-unit"),
        (32, syntax),
    ];
    assert_eq!(told, wanted, "{}", render(&found, false));
}

#[test]
fn two_measurements_of_one_id_are_told_at_the_second() {
    let rule = rules::find("duplicate-measure").expect("a rule");
    let found = example(rule.bad).found;
    let place = &found[0].place;
    assert_eq!(&place.source.text[place.span.clone()], "\"play\"");
    assert!(found[0].related[0].place.span.start < place.span.start && found.len() == 1);
}

#[test]
fn every_rule_is_explained_in_german() {
    with_language(Language::German, || {
        for rule in rules::ALL {
            for text in [rule.doc, rule.why] {
                let german = said(text);
                assert!(german != text && german.ends_with('.'), "{}: {german}", rule.code);
            }
        }
    });
}

/// What a message takes over and the example need not name: keys and settings of the format, ids of the library, the words of
/// versions.
const NEUTRAL: &[&str] = &[
    "composite",
    "sailplane",
    "configuration",
    "derigged",
    "tolerance",
    "tailplane",
    "connected",
    "disconnected",
    "number",
    "text",
    "max_load",
    "patch",
    "major",
    "minor",
    "varn",
    "drovel",
    "mine",
    "play",
    "toml",
    "unit",
    "wings",
    // TOML's own name of a type, and a person.
    "float",
    "Venn",
];

/// Plain words of four letters or more that do not stand in the example, nor in quotation marks: what is quoted is a word of the format.
fn leftovers<'t>(text: &'t str, example: &str) -> Vec<&'t str> {
    let unquoted =
        text.split('"').step_by(2).flat_map(|part| part.split(|c: char| !c.is_alphanumeric() && c != '_'));
    unquoted
        .filter(|word| word.len() >= 4 && word.chars().all(|c| c.is_ascii_alphabetic() || c == '_'))
        .filter(|word| !example.contains(word) && !NEUTRAL.contains(word))
        .collect()
}

/// In the proof language every word of the catalogue has other letters: what can still be read does not come from it.
#[test]
fn every_message_of_the_check_comes_from_the_catalogue() {
    let mut wrong = Vec::new();
    let mut judged = 0;
    with_language(Language::Proof, || {
        for rule in rules::ALL {
            // What the readers of TOML and of version numbers say of a broken text is theirs.
            let is_of_library = ["toml-syntax", "version-form"].contains(&rule.code);
            if is_of_library || matches!(rule.found_by, FoundBy::Disk | FoundBy::Pack | FoundBy::Plan) {
                continue;
            }
            for fault in example(rule.bad).found {
                let related = fault.related.iter().map(|beside| beside.label.as_str());
                for text in [fault.message.as_str(), fault.label.as_str()].into_iter().chain(related) {
                    let left = leftovers(text, &fault.place.source.text);
                    if !left.is_empty() {
                        wrong.push(format!("{}: {text} {left:?}", rule.code));
                    }
                    judged += 1;
                }
                if let Some(hint) = fault.hint {
                    let left = leftovers(&hint, &fault.place.source.text);
                    if !left.is_empty() {
                        wrong.push(format!("{}: hint {hint} {left:?}", rule.code));
                    }
                }
            }
        }
    });
    assert!(judged > 100, "{judged}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_faulty_checklist_is_told_in_german() {
    let fragment = "people = 0\nloads = true\nafter = [\"example-module.nowhere\"]\n\
        configuration = { wings = \"derigged\", support = \"trestles\" }\n\
        [[step.measure]]\nid = \"play\"\ntitle = \"Play\"\nkind = \"number\"\nunit = \"mm\"\nmax = \"0.3\"\n";
    let told = with_language(Language::German, || {
        let found = example(fragment).found;
        found
            .iter()
            .map(|fault| (fault.code, fault.message.clone(), fault.hint.clone().unwrap_or_default()))
            .collect::<Vec<_>>()
    });
    for (code, message, hint) in [
        ("zero", "„people“ kann nicht 0 sein", "mindestens 1 angeben"),
        (
            "caution-missing",
            "„example-module.step-1“ belastet die Struktur und hat keinen Vorsichtshinweis",
            "einen Vorsichtshinweis ergänzen, der die Gefahr nennt und auf das Wartungshandbuch des Musters verweist",
        ),
        (
            "unknown-step",
            "„example-module.step-1“ nennt den Schritt „example-module.nowhere“, den es nicht gibt",
            "den Schritt schreiben, oder den Namen herausnehmen",
        ),
        (
            "impossible-configuration",
            "das kann nicht sein: die Böcke stehen unter den Flügeln, und die Flügel sind ab",
            "ein bloßer Rumpf steht auf seinem Rad oder auf einem Rumpfwagen",
        ),
        (
            "limit-source-missing",
            "ein Grenzwert ist ohne seine Quelle angegeben",
            "limit_source = \"…\" ergänzen: Handbuch und Kapitel, oder \"common practice, no source\"",
        ),
    ] {
        let wanted = (code, message.to_string(), hint.to_string());
        assert!(told.contains(&wanted), "{wanted:?} is missing in {told:#?}");
    }
}
