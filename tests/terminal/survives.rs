//! kill -9 at any moment: whatever was shown as saved is there afterwards.

use std::time::Duration;

use super::hand::Terminal;
use crate::binary::{GLIDER, INSPECTOR, Place};

const ROUNDS: u64 = 20;
/// Notes typed in a row, so that the kill may fall between two of them or inside one.
const NOTES: u64 = 4;
const SEED: u64 = 0x5EED_0FFA_1100;

/// xorshift64 (G. Marsaglia, Xorshift RNGs, 2003; shifts 13, 7, 17).
fn next(state: &mut u64) -> u64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    *state
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
        // The delay is the test: the moment of the kill, 0 to 50 ms after the keys.
        std::thread::sleep(Duration::from_micros(next(&mut random) % 50_001));
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
