//! The record is the same in every language; what is refused and declined is told in the one that is spoken. Everybody and
//! everything is invented.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

#[allow(dead_code, reason = "each test uses its own part of it")]
mod carrying;
mod support;

use std::collections::BTreeMap;
use std::path::Path;

use carrying::{Place, REGISTRATION, ok};
use spanwise::checklist::Severity;
use spanwise::event::{DirectiveAnswer, Disposition, Outcome, ReadingValue, StepResult};
use spanwise::hangar::{NewReport, Work, add_report, bring_forward, continue_session};
use spanwise::session::{Declined, NewDefect, Request};
use spanwise::words::{Language, said, with_language};
use support::{Bench, day, quantity};

/// The letters of the proof language (`src/words/proof.rs`); none of them is in the files that the test lays down.
const PROOF_LETTERS: &str = "åƀćđéƒĝĥíĵķłɱńőþɋřśţúʋŵẋýžÅɃĆĐÉƑĜĤÍĴĶŁṀŃŐÞɊŘŚŢÚɅŴẊÝŽ";

fn ad2(answer: DirectiveAnswer, next_due: Option<&str>) -> Request {
    let note = "by its text (invented)".to_string();
    Request::AnswerDirective { directive: "ad2".into(), answer, note, next_due: next_due.map(day) }
}

fn routine(place: &Place, work: &mut Work) {
    place.routine(work, "1234.5 h", "950");
    place.done(work, Request::Note { step: None, text: "cold hall".into() });
    place.read(work, "wing.play", "play", "0.40 mm", Some("gauge"));
    place.pass(work, "wing.play");
}

/// Two sessions: damage found and an overdue directive, signed as not airworthy, then mended and released. With the plan, every
/// paper, a report that came in, a hand-made correction, and the airframe's record brought forward twice.
fn job() -> BTreeMap<String, String> {
    let mut place = Place::new();
    let mut work = place.begin();
    let first = work.view.sid.clone();
    routine(&place, &mut work);
    place.fail(&mut work, "fin.look");
    place.raise_crack(&mut work);
    place.dispose(&mut work, "d1", Disposition::Refer, None);
    place.done(&mut work, ad2(DirectiveAnswer::NotYetDue, Some("2026-11-20")));
    let report = NewReport {
        kind: "radio-fault".into(),
        date: day("2026-11-20"),
        by: "P. W. (invented)".into(),
        text: "it crackles again".into(),
        modules: vec![],
        log: None,
    };
    ok(add_report(&place.hangar, REGISTRATION, &report));
    place.sign(&mut work, Outcome::NotAirworthy);
    drop(work);
    place.reload();
    ok(bring_forward(&place.hangar, &first));

    place.on("2026-12-05");
    let by = ok(place.hangar.actor("ada"));
    let begun = ok(continue_session(&place.hangar, &first, &by, "back from the repairer"));
    let mut work = ok(Work::open(&place.hangar, &begun.sid));
    place.done(&mut work, ad2(DirectiveAnswer::Complied, None));
    place.rectify(&mut work, "d1", "put right by the repairer's data (invented)");
    place.pass(&mut work, "fin.look");
    place.done(&mut work, Request::Pause { note: None });
    place.done(&mut work, Request::Resume);
    place.sign(&mut work, Outcome::Release);
    drop(work);
    ok(bring_forward(&place.hangar, &begun.sid));
    let root = place.root.path().to_string_lossy().into_owned();
    let mut files = BTreeMap::new();
    gather(place.root.path(), &root, &mut files);
    files
}

fn gather(folder: &Path, root: &str, files: &mut BTreeMap<String, String>) {
    for entry in ok(std::fs::read_dir(folder)).flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, root, files);
        } else {
            let text = String::from_utf8_lossy(&ok(std::fs::read(&path))).replace(root, "ROOT");
            files.insert(path.to_string_lossy().replace(root, ""), text);
        }
    }
}

/// Session ids are drawn by lot, and hashes and signatures hang on them: they are exchanged.
fn without_ids(text: &str) -> String {
    let mut shown = String::new();
    for (at, part) in text.split("-----BEGIN SSH SIGNATURE-----").enumerate() {
        let signed = if at > 0 { part.split_once("-----END SSH SIGNATURE-----") } else { None };
        let rest = signed.map_or(part, |(_, rest)| rest);
        let words = rest.split_inclusive(|letter: char| !letter.is_ascii_alphanumeric());
        shown.extend(words.map(|word| {
            let (stem, end) =
                word.split_at(word.trim_end_matches(|c: char| !c.is_ascii_alphanumeric()).len());
            let is_id = stem.len() >= 8 && stem.chars().all(|letter| letter.is_ascii_hexdigit());
            if is_id { format!("*{end}") } else { word.to_string() }
        }));
    }
    shown
}

fn kept(files: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    // Named by session and hash: the sessions are told apart by what they hold.
    let is_text = |name: &str| [".jsonl", ".json", ".toml"].iter().any(|ending| name.ends_with(ending));
    let named = files.iter().filter(|(name, _)| is_text(name));
    named.map(|(name, text)| (format!("{} {}", without_ids(name), text.len()), without_ids(text))).collect()
}

#[test]
fn a_whole_job_leaves_the_same_record_in_every_language() {
    let english = kept(&with_language(Language::English, job));
    let journal =
        english.iter().find(|(name, text)| name.contains("journal") && text.contains("not_airworthy"));
    let (_, journal) = journal.expect("a signed session");
    assert!(journal.contains("fell due on 2026-11-20"), "the list names the overdue directive: {journal}");
    assert!(english.keys().any(|name| name.contains("plan.json")), "{:?}", english.keys());
    for language in [Language::Proof, Language::German] {
        let files = with_language(language, job);
        for (name, text) in &files {
            let found = text.chars().find(|letter| PROOF_LETTERS.contains(*letter));
            assert_eq!(found, None, "{name}: {text}");
        }
        let other = kept(&files);
        assert_eq!(english.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>(), "{language:?}");
        for (name, text) in &english {
            for (line, same) in text.lines().zip(other[name].lines()) {
                assert_eq!(line, same, "{language:?}: {name}");
            }
        }
    }
}

fn refused(bench: &Bench, number: u8) -> (String, String, String) {
    let verdict = bench.verdict_for(Some("ada"));
    let found = verdict.refusals().iter().find(|refusal| refusal.number == number);
    let found = found.unwrap_or_else(|| panic!("no refusal {number}"));
    (said(found.name).to_string(), found.why.clone(), found.clears.clone())
}

#[test]
fn refusals_and_declined_requests_are_told_in_german() {
    with_language(Language::German, || {
        let mut bench = Bench::new();
        let play = ReadingValue::Number { quantity: quantity("0.60 mm") };
        bench.read("wing.play", "play", play, Some("gauge"));
        bench.answer("wing.play", StepResult::Passed);
        let (name, why, clears) = refused(&bench, 3);
        assert_eq!(name, "Wert außerhalb seines Grenzwerts");
        assert!(why.contains("außerhalb") && why.contains("0,60 mm gegen"), "{why}");
        assert_eq!(
            clears,
            "einen Mangel zum Schritt aufnehmen, oder die Ablesung mit Begründung berichtigen"
        );
        let (name, why, _) = refused(&bench, 10);
        assert_eq!(name, "Meldung nicht behandelt");
        assert!(why.contains("vom 01.06.2026: „the radio crackles“ wählte keinen Schritt aus"), "{why}");
        let defer = "2026-11-01";
        let defect = NewDefect {
            step: None,
            what: "crack".into(),
            component: None,
            side: None,
            station_mm: None,
            severity: Severity::Minor,
        };
        bench.done("ada", Request::RaiseDefect(defect));
        let declined = bench.ask("ada", dispose(Disposition::Defer, Some(defer))).err();
        let told = Declined {
            why: "01.11.2026 ist schon vorbei".into(),
            next: "ein künftiges Datum angeben".into(),
        };
        assert_eq!(declined, Some(told));
    });
}

fn dispose(disposition: Disposition, until: Option<&str>) -> Request {
    Request::DisposeDefect { defect: "d1".into(), disposition, note: String::new(), until: until.map(day) }
}

/// Words of four letters and more that are no data and did not come from the catalogue.
fn leftovers(text: &str, data: &str) -> Vec<String> {
    let words = text.split(|letter: char| !letter.is_alphanumeric());
    let plain =
        words.filter(|word| word.len() >= 4 && word.chars().all(|letter| letter.is_ascii_alphabetic()));
    plain.filter(|word| !data.split_whitespace().any(|known| known == *word)).map(str::to_string).collect()
}

#[test]
fn no_word_of_a_refusal_or_a_declined_request_is_left_out_of_the_catalogue() {
    // Names, ids and texts of the example, commands, and the record's own words.
    const DATA: &str = "radio crackles Hook spring Harness harness prep clean look wing play rudder connect oxygen bottle tail \
        flex bulge Finch Marsh ostrel nothing tailplane gaige gauge photo instruments toml";
    with_language(Language::Proof, || {
        let mut bench = Bench::new();
        bench.answer("fin.look", StepResult::Failed);
        bench.read(
            "wing.play",
            "play",
            ReadingValue::Number { quantity: quantity("0.60 mm") },
            Some("old-gauge"),
        );
        bench.answer("wing.play", StepResult::Passed);
        bench.answer("rudder.connect", StepResult::Passed);
        let verdict = bench.verdict_for(None);
        for refusal in verdict.refusals() {
            let text = format!(
                "{} {} {} {}",
                said(refusal.name),
                refusal.subject.words(),
                refusal.why,
                refusal.clears
            );
            assert_eq!(leftovers(&text, DATA), Vec::<String>::new(), "{text}");
        }
        assert!(verdict.refusals().len() > 8, "{:#?}", verdict.refusals());
        let read = |instrument: &str, value| Request::Read {
            step: "wing.play".into(),
            measure: "play".into(),
            value,
            instrument: Some(instrument.into()),
            corrects: None,
            why: None,
        };
        let millimetres = || ReadingValue::Number { quantity: quantity("0.60 mm") };
        for (by, request) in [
            ("bo", support::answer("prep.clean", StepResult::Passed, None)),
            ("ada", support::answer("prep.clean", StepResult::NotApplicable, None)),
            ("ada", support::answer("oxygen.bottle", StepResult::NotApplicable, None)),
            ("ada", support::answer("wing.play", StepResult::Failed, None)),
            ("ada", support::answer("nothing.no", StepResult::Failed, None)),
            ("ada", read("gaige", millimetres())),
            ("ada", read("gauge", ReadingValue::Text { text: "play".into() })),
            ("ada", read("gauge", millimetres())),
            ("ada", Request::Note { step: None, text: String::new() }),
            ("ada", Request::Withdraw { entry: 0, why: "play".into() }),
            ("ada", Request::SetReportAside { report: "r2".into(), reason: String::new() }),
            ("ada", dispose(Disposition::Refer, None)),
            ("ada", Request::Resume),
        ] {
            let told = format!("{request:?}");
            let declined = bench.ask(by, request).err().unwrap_or_else(|| panic!("recorded: {told}"));
            let text = format!("{} {}", declined.why, declined.next);
            assert_eq!(leftovers(&text, DATA), Vec::<String>::new(), "{text}");
        }
    });
}
