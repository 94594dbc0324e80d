//! kill -9 at any moment: whatever was shown as saved is there afterwards, with its content.
//!
//! SIGKILL leaves the system's cache as it is: this attacks the program's logic, not the disk (for power cuts see
//! `tests/store_crash.rs`). 20 rounds each by default; a long campaign, with its figures:
//!
//! ```text
//! SPANWISE_KILL_ROUNDS=2000 SPANWISE_KILL_SEED=7 cargo test --release --test terminal killed -- --nocapture
//! ```

use std::collections::{BTreeMap, BTreeSet};
use std::process::Stdio;

use serde_json::Value;

use super::figures::{Figures, delay, rounds, seed};
use super::hand::Terminal;
use crate::binary::routine::{list, text};
use crate::binary::{GLIDER, INSPECTOR, Place};

/// A session is left behind before it grows so long that only its length is tested.
const ROUNDS_A_SESSION: u64 = 12;

/// What one piece of typing becomes: the kind of event, and words that it must contain.
struct Expected {
    keys: String,
    kind: &'static str,
    words: String,
}

/// Notes, an answer, a defect and a further reading, so that the kill may fall between or inside any of them.
fn script(round: u64, step: &str) -> Vec<Expected> {
    let note = |n: u64| {
        let words = format!("round {round} note {n}");
        Expected { keys: format!("5n{words}<Enter>"), kind: "noted", words }
    };
    let (defect, pressure) = (format!("round {round} defect"), format!("3.{:04} bar", round % 10_000));
    let reading = format!("1/gear.tyre-pressure<Enter>r{pressure}<Tab>1<Tab>once more<C-s>");
    vec![
        note(0),
        Expected { keys: format!("1/{step}<Enter>p"), kind: "answered", words: format!("\"{step}\"") },
        note(1),
        Expected { keys: format!("2d{defect}<C-s>"), kind: "defect_raised", words: defect },
        note(2),
        Expected { keys: reading, kind: "reading_taken", words: pressure },
        note(3),
    ]
}

/// Steps that a single key answers: no configuration, nothing before them.
fn free_steps(place: &Place) -> Vec<String> {
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    let is_free = |step: &&Value| {
        list(&step["after"]).is_empty()
            && step["configuration"].as_object().is_none_or(serde_json::Map::is_empty)
            && list(&step["measures"]).is_empty()
    };
    list(&plan["steps"]).iter().filter(is_free).map(|step| text(&step["id"]).to_string()).collect()
}

/// A session whose demanded reading is taken, so that each further one asks for its reason.
fn session() -> Place {
    let place = Place::begun();
    let taken = ["read", GLIDER, "gear.tyre-pressure"];
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    let step = list(&plan["steps"]).iter().find(|step| step["id"] == taken[2]).expect("the step").clone();
    let measure = text(&list(&step["measures"])[0]["id"]).to_string();
    place.run(&[&taken[..], &[&measure, "3.05 bar", "--instrument", "tyre-gauge"]].concat()).expect(0);
    place
}

/// Nothing but what was typed, in the order in which it was typed. Gives the numbers of those entries.
#[track_caller]
fn in_order(new: &BTreeMap<u64, &Value>, script: &[Expected], round: u64) -> Vec<u64> {
    let is_own = |kind: &str| ["run_started", "recovered", "clock_stepped"].contains(&kind);
    let recorded: Vec<(u64, &Value)> = new
        .iter()
        .filter(|(_, event)| !is_own(text(&event["kind"])))
        .map(|(entry, event)| (*entry, *event))
        .collect();
    assert!(recorded.len() <= script.len(), "round {round}: more than was typed: {recorded:?}");
    for ((entry, event), expected) in recorded.iter().zip(script) {
        let is_it = event["kind"] == expected.kind && event.to_string().contains(&expected.words);
        assert!(
            is_it,
            "round {round}: entry {entry} should be {} {}: {event}",
            expected.kind, expected.words
        );
    }
    recorded.into_iter().map(|(entry, _)| entry).collect()
}

#[test]
fn killed_at_any_moment_the_screens_lose_nothing() {
    let mut figures = Figures::default();
    let mut random = seed();
    let (mut place, mut steps, mut before) = (session(), Vec::new(), BTreeMap::new());
    for round in 0..rounds() {
        if round % ROUNDS_A_SESSION == 0 {
            if round > 0 {
                place = session();
            }
            steps = free_steps(&place);
            before = place.entries(GLIDER);
        }
        let at = usize::try_from(round % ROUNDS_A_SESSION).expect("small");
        let script = script(round, &steps[at]);
        let unrecorded = format!("half of round {round}!");
        let folder = place.session_folder(GLIDER);
        let (saved, picture) = type_and_kill(&place, &script, &unrecorded, round, &mut random);
        figures.rounds += 1;
        figures.look(&folder);
        // The restart: its entries, whole and in order, the earlier ones untouched.
        let entries = place.entries(GLIDER);
        for (entry, event) in &before {
            assert_eq!(entries.get(entry), Some(event), "round {round}: entry {entry} is another one");
        }
        let new = entries.iter().filter(|(entry, _)| !before.contains_key(entry));
        let recorded = in_order(&new.map(|(entry, event)| (*entry, event)).collect(), &script, round);
        for entry in saved.iter().filter(|entry| !before.contains_key(entry)) {
            figures.saved_seen += 1;
            assert!(recorded.contains(entry), "round {round}: entry {entry} was shown as saved and is gone");
            figures.found += 1;
        }
        let seen_last = saved.last().copied().unwrap_or(0);
        let unseen = recorded.iter().filter(|entry| **entry > seen_last).count();
        assert!(unseen <= 1, "round {round}: {unseen} entries more than were shown: {recorded:?}, {saved:?}");
        figures.one_more += unseen as u64;
        typed_text_is_kept(&place, &picture, &unrecorded, round, &mut figures);
        before = place.entries(GLIDER);
    }
    say!("kill -9 of the screens: {figures}");
    place.run(&["note", GLIDER, "after all that"]).tells(0, &["saved, entry"]);
    assert!(figures.saved_seen > 0, "no kill came after a saved entry: the delays test nothing");
    assert!(figures.found < figures.rounds * 7, "no kill came before the last entry");
}

fn type_and_kill(
    place: &Place,
    script: &[Expected],
    unrecorded: &str,
    round: u64,
    random: &mut u64,
) -> (BTreeSet<u64>, String) {
    let mut terminal = Terminal::open(place, &["work", GLIDER, "--by", INSPECTOR]);
    terminal.see("? help");
    let keys: String = script.iter().map(|expected| expected.keys.as_str()).collect();
    terminal.keys(&keys).keys("5n").keys(unrecorded);
    match round % 4 {
        // After the first "saved", so that a slow machine has promised something, too.
        0 => drop(terminal.see_saved_after(0)),
        // After everything, so that the text that nobody saved is on the screen.
        2 => drop(terminal.see(unrecorded)),
        _ => {}
    }
    std::thread::sleep(delay(random, round, 50));
    terminal.kill_and_look()
}

/// What stood on the screen is in the session's folder, and comes back into its form.
fn typed_text_is_kept(place: &Place, picture: &str, unrecorded: &str, round: u64, figures: &mut Figures) {
    let file = place.session_folder(GLIDER).join("unsaved.txt");
    if picture.contains(unrecorded) {
        figures.typed_seen += 1;
        let kept = std::fs::read_to_string(&file).unwrap_or_default();
        assert!(kept.contains(unrecorded), "round {round}: \"{unrecorded}\" was on the screen: {kept:?}");
        figures.typed_kept += 1;
    }
    if picture.contains(unrecorded) && round % 8 == 2 {
        let mut terminal = Terminal::open(place, &["work", GLIDER, "--by", INSPECTOR]);
        terminal.see("NOT recorded: note").keys("5n").see(unrecorded).keys("<C-x><C-x>").see("thrown away");
        terminal.keys("q2");
        assert!(terminal.ended().success());
        assert!(!file.exists(), "what is thrown away is kept no longer");
    }
    // Else the next round would find it in its forms.
    let _ = std::fs::remove_file(&file);
}

/// A session is there as a whole or not at all, whenever its beginning is cut short.
#[test]
fn a_beginning_killed_at_any_moment_leaves_nothing_damaged() {
    let place = Place::demo();
    let root = place.root().to_string_lossy().into_owned();
    let mut random = seed();
    let mut interrupted = 0;
    for round in 0..rounds().min(100) {
        let mut child = place
            .command()
            .args(["--hangar", &root, "--by", INSPECTOR, "begin", "XX-VB2"])
            .stdout(Stdio::null())
            .spawn()
            .expect("it starts");
        std::thread::sleep(delay(&mut random, round, 50));
        child.kill().expect("killed, or ended before");
        interrupted += u32::from(!child.wait().expect("it ended").success());
        let list = place.run(&["list", "--json"]).expect(0).json();
        for session in list["sessions"].as_array().expect("a list") {
            let standing = session["standing"].as_str().expect("words");
            let is_whole = ["running", "paused"].contains(&standing);
            let is_none = standing == "interrupted while being created; nothing was recorded in it";
            assert!(is_whole || is_none, "round {round}: {session:#}");
        }
    }
    assert!(interrupted > 0, "no kill came early enough: the delays test nothing");
    place.run(&["begin", "XX-VB2"]).tells(0, &["begun"]);
    place.run(&["note", "XX-VB2", "after all that"]).tells(0, &["saved, entry"]);
}
