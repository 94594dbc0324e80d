//! Sessions to report on: the walkthrough, worked once for all tests, and one in memory.

use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

use spanwise::event::{ReadingValue, StepResult};
use spanwise::report::{Facts, Material, Paper, SignatureFile, document_of, facts, html, json, pdf, text};
use spanwise::session::{NewDefect, Request};

use crate::binary::{GLIDER, Place};
use crate::support::{Bench, SID, quantity};

/// The invented hangar after `demo --walkthrough`: one annual released, one half done.
pub fn walked() -> &'static Place {
    static PLACE: OnceLock<Place> = OnceLock::new();
    PLACE.get_or_init(|| {
        let place = Place::empty();
        let root = place.root();
        place.bare(["demo", "--walkthrough", "--into", root.to_str().expect("a path")]).expect(0);
        place
    })
}

/// A report of the walkthrough as a file, under a name of its own for each test.
pub fn written(registration: &str, name: &str, args: &[&str]) -> PathBuf {
    let place = walked();
    let file = place.beside(name);
    let out = file.to_str().expect("a path").to_string();
    let mut all = vec!["report", registration, "--out", &out];
    all.extend(args);
    // In whatever language it is said.
    place.run(&all).tells(0, &[name]);
    file
}

pub fn text_of(registration: &str, name: &str, args: &[&str]) -> String {
    std::fs::read_to_string(written(registration, name, args)).expect("text")
}

/// Every step of the glider's plan: id and title.
pub fn steps_of_the_walk() -> Vec<(String, String)> {
    let plan = walked().run(&["report", GLIDER, "--form", "json"]).expect(0).json();
    let sections = plan["sections"].as_array().expect("sections");
    let steps = sections.iter().flat_map(|section| section["steps"].as_array().expect("steps"));
    let words = |step: &serde_json::Value, key: &str| step[key].as_str().expect("a text").to_string();
    steps.map(|step| (words(step, "id"), words(step, "title"))).collect()
}

/// A program that the machine may lack.
pub fn tool(name: &str, args: &[&str]) -> Option<String> {
    match Command::new(name).args(args).output() {
        Ok(output) => {
            assert!(output.status.success(), "{name}: {}", String::from_utf8_lossy(&output.stderr));
            Some(String::from_utf8_lossy(&output.stdout).into_owned())
        }
        Err(_) => {
            eprintln!("SKIPPED: {name} is not installed");
            None
        }
    }
}

/// Whether the machine has the program at all.
pub fn is_there(name: &str) -> bool {
    let found = Command::new(name).arg("-?").output().is_ok();
    if !found {
        eprintln!("SKIPPED: {name} is not installed");
    }
    found
}

/// A session in memory with a struck answer, a struck reading, a defect and a note. `say` stands wherever a person may
/// write freely.
pub fn bench(say: &str) -> Bench {
    let mut bench = Bench::new();
    bench.confirm("tailplane=off");
    bench.answer("prep.clean", StepResult::Failed);
    bench.correct("prep.clean", StepResult::Passed, say);
    bench.answer("fin.look", StepResult::Passed);
    let number = |text: &str| ReadingValue::Number { quantity: quantity(text) };
    let wrong = bench.read("wing.play", "play", number("4.20 mm"), Some("gauge"));
    bench.done("ada", Request::Withdraw { entry: wrong, why: say.to_string() });
    bench.read("wing.play", "play", number("0.420 mm"), Some("gauge"));
    bench.done("ada", Request::Note { step: Some("wing.play".to_string()), text: say.to_string() });
    bench.done(
        "ada",
        Request::RaiseDefect(NewDefect {
            step: Some("fin.look".to_string()),
            what: say.to_string(),
            component: Some(say.to_string()),
            side: Some(say.to_string()),
            station_mm: Some(quantity("4310 mm").value),
            severity: spanwise::checklist::Severity::Grounding,
        }),
    );
    bench
}

/// All forms of a session in memory.
pub struct Forms {
    pub facts: Facts,
    pub pdf: Vec<u8>,
    pub html: String,
    pub text: String,
    pub json: String,
    /// Every CSV table, one behind the other.
    pub csv: String,
}

pub fn forms(bench: &Bench) -> Forms {
    let signatures: Vec<SignatureFile> = Vec::new();
    let plan_hash = "00".repeat(32);
    let material = Material {
        session: SID,
        plan: &bench.plan,
        plan_hash: &plan_hash,
        state: &bench.state,
        entries: &bench.entries,
        record_faults: &bench.integrity,
        is_invented: true,
        signatures: &signatures,
        program: "test",
    };
    let facts = facts(&material);
    let document = document_of(&material, &facts, &[]);
    let csv = spanwise::report::csv::TABLES
        .iter()
        .map(|table| String::from_utf8(table.bytes(&facts).expect("a table")).expect("UTF-8"))
        .collect();
    Forms {
        pdf: pdf(&document, Paper::A4).expect("a PDF"),
        html: html(&document),
        text: text(&document),
        json: json(&facts).expect("JSON"),
        csv,
        facts,
    }
}
