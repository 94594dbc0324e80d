//! kill -9 at any moment: whatever was shown as saved is there afterwards.

use std::process::Stdio;
use std::time::Duration;

use super::hand::Terminal;
use crate::binary::{GLIDER, INSPECTOR, Place};

const ROUNDS: u64 = 20;
/// Notes typed in a row, so that the kill may fall between two of them or inside one.
const NOTES: u64 = 8;
const SEED: u64 = 0x5EED_0FFA_1100;

/// xorshift64 (G. Marsaglia, Xorshift RNGs, 2003; shifts 13, 7, 17).
fn next(state: &mut u64) -> u64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    *state
}

/// The delay is the test: 0 to 50 ms, and at once in every fourth round.
fn delay(random: &mut u64, round: u64) -> Duration {
    let micros = next(random) % 50_001;
    Duration::from_micros(if round % 4 == 1 { 0 } else { micros })
}

#[test]
fn kill_loop() {
    let place = Place::begun();
    let mut random = SEED;
    let (mut promised, mut noted) = (0, 0);
    for round in 0..ROUNDS {
        let mut terminal = Terminal::open(&place, &["work", GLIDER, "--by", INSPECTOR]);
        terminal.see("Identity and build standard").see("? help");
        let keys: String = (0..NOTES).map(|note| format!("nround {round} note {note}<Enter>")).collect();
        terminal.keys(&keys);
        // Every second time after the first "saved", so that a slow machine has promised something, too.
        if round % 2 == 0 {
            terminal.see_saved_after(0);
        }
        std::thread::sleep(delay(&mut random, round));
        let saved = terminal.kill();
        let entries = place.entries(GLIDER);
        for entry in &saved {
            assert!(
                entries.contains_key(entry),
                "round {round}: entry {entry} was shown as saved and is gone"
            );
        }
        // Nothing is there that was not typed, and in the order in which it was typed.
        let texts: Vec<&str> = entries
            .values()
            .filter_map(|event| event["body"]["text"].as_str())
            .filter(|text| text.starts_with(&format!("round {round} ")))
            .collect();
        let wanted: Vec<String> = (0..texts.len()).map(|note| format!("round {round} note {note}")).collect();
        assert_eq!(texts, wanted);
        let list = place.run(&["list"]).expect(0).out;
        assert!(!list.contains("damaged"), "round {round}: {list}");
        promised += saved.len();
        noted += texts.len();
    }
    place.run(&["note", GLIDER, "after all that"]).tells(0, &["saved, entry"]);
    assert!(promised > 0, "no kill came after a saved note: the delays test nothing");
    assert!(noted < usize::try_from(ROUNDS * NOTES).expect("small"), "no kill came before the last note");
}

/// A session is there as a whole or not at all, whenever its beginning is cut short.
#[test]
fn a_beginning_killed_at_any_moment_leaves_nothing_damaged() {
    let place = Place::demo();
    let root = place.root().to_string_lossy().into_owned();
    let mut random = SEED;
    let mut interrupted = 0;
    for round in 0..ROUNDS {
        let mut child = place
            .command()
            .args(["--hangar", &root, "--by", INSPECTOR, "begin", "XX-VB2"])
            .stdout(Stdio::null())
            .spawn()
            .expect("it starts");
        std::thread::sleep(delay(&mut random, round));
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
