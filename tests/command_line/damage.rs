//! A damaged record is shown as far as it verifies, told in plain words, and never written to again.

use std::path::PathBuf;

use crate::binary::{Place, SMALL, contents};

/// A session with a few entries, and its folder.
fn annual() -> (Place, PathBuf) {
    let place = Place::small();
    for note in ["one", "two", "three"] {
        place.run_by("ada", &["note", SMALL, note]).expect(0);
    }
    let folder = place.session_folder(SMALL);
    (place, folder)
}

/// What every command does with it: told as damaged with code 4, and not a byte changes.
#[track_caller]
fn is_damaged(place: &Place, folder: &std::path::Path, words: &[&str]) {
    let before = contents(folder);
    let sid = folder.file_name().expect("a name").to_string_lossy().into_owned();
    let commands: &[&[&str]] = &[
        &["note", &sid, "more"],
        &["answer", &sid, "prep.clean", "pass"],
        &["sign", &sid, "release", "--confirm", SMALL],
        &["pause", &sid],
    ];
    for args in commands {
        let answer = place.run_by("ada", args).tells(4, words).tells(4, &["the record is damaged"]);
        assert!(answer.err.contains("keep it as it is"), "what to do next: {}", answer.err);
        assert!(answer.out.is_empty(), "nothing is said to be saved: {}", answer.out);
    }
    place.run_by("ada", &["show", &sid]).tells(4, words);
    place.run_by("ada", &["show", &sid, "--entries", "--json"]).expect(4);
    place.run_by("ada", &["status", &sid]).tells(4, words);
    place.run_by("ada", &["findings", &sid]).tells(4, words);
    let list = place.run_by("ada", &["list"]).tells(0, &["damaged"]).out;
    assert!(!list.contains("mandatory open"), "what is open cannot be known: {list}");
    assert_eq!(contents(folder), before, "a damaged record is left as it is");
}

#[test]
fn a_flipped_byte_anywhere_in_the_last_acknowledged_lines() {
    let (place, folder) = annual();
    let journal = folder.join("journal.jsonl");
    let sound = std::fs::read(&journal).expect("read");
    let lines = sound.iter().filter(|byte| **byte == b'\n').count();
    // One byte in each line: a digit of its hash, near the end.
    let ends: Vec<usize> = (0..sound.len()).filter(|at| sound[*at] == b'\n').collect();
    assert_eq!(ends.len(), lines);
    for end in ends {
        let mut altered = sound.clone();
        // Another digit, and still a digit: the line keeps its form.
        altered[end - 5] = if altered[end - 5] == b'0' { b'1' } else { b'0' };
        std::fs::write(&journal, &altered).expect("altered");
        is_damaged(&place, &folder, &["does not match its hash", "The session can be read"]);
    }
    std::fs::write(&journal, &sound).expect("put back");
    place.run_by("ada", &["note", SMALL, "sound again"]).expect(0);
}

#[test]
fn an_altered_word_is_told_by_its_line() {
    let (place, folder) = annual();
    let journal = folder.join("journal.jsonl");
    let sound = std::fs::read_to_string(&journal).expect("read");
    std::fs::write(&journal, sound.replacen("\"two\"", "\"too\"", 1)).expect("altered");
    is_damaged(&place, &folder, &["does not match its hash"]);
    let shown = place.run_by("ada", &["show", SMALL, "--entries"]).expect(4).out;
    assert!(shown.contains("note: one") && !shown.contains("note: too"), "{shown}");
}

#[test]
fn a_line_cut_out_or_cut_off() {
    let (place, folder) = annual();
    let journal = folder.join("journal.jsonl");
    let sound = std::fs::read_to_string(&journal).expect("read");
    let lines: Vec<&str> = sound.split_inclusive('\n').collect();
    let without_last = lines[..lines.len() - 1].concat();
    std::fs::write(&journal, without_last).expect("cut");
    is_damaged(&place, &folder, &["Answers that were shown as saved are missing", "the file ends there"]);
    let without_second = [&lines[..1], &lines[2..]].concat().concat();
    std::fs::write(&journal, without_second).expect("cut");
    is_damaged(&place, &folder, &["Answers that were shown as saved are missing", "it carries number 2"]);
}

#[test]
fn the_register_of_acknowledgements_lost() {
    let (place, folder) = annual();
    std::fs::write(folder.join("acked.reg"), vec![0; 1024]).expect("wiped");
    is_damaged(&place, &folder, &["acknowledgement register is missing or unreadable"]);
}

#[test]
fn the_plan_exchanged_or_cut() {
    let (place, folder) = annual();
    let plan = folder.join("plan.json");
    let sound = std::fs::read_to_string(&plan).expect("read");
    std::fs::write(&plan, sound.replacen("0.50 mm", "0.90 mm", 1)).expect("altered");
    is_damaged(&place, &folder, &["the plan is not the one that this session was begun with"]);
    std::fs::write(&plan, &sound[..100]).expect("cut");
    let sid = folder.file_name().expect("a name").to_string_lossy().into_owned();
    for args in [&["show", &sid][..], &["note", &sid, "x"], &["status", &sid]] {
        place.run_by("ada", args).tells(4, &["the frozen plan cannot be read"]);
    }
    // Its airframe is not known any more; the message says where to look.
    place.run_by("ada", &["show", SMALL]).tells(1, &["one cannot be read", "spanwise list"]);
    place.run_by("ada", &["list"]).tells(0, &["cannot be read", "the frozen plan cannot be read"]);
}

/// A torn last line is what a power cut leaves: it was never acknowledged, is set aside, and work goes on.
#[test]
fn a_torn_line_is_no_damage() {
    let (place, folder) = annual();
    let journal = folder.join("journal.jsonl");
    let mut bytes = std::fs::read(&journal).expect("read");
    bytes.extend_from_slice(b"{\"e\":{\"body\":{\"by\"");
    std::fs::write(&journal, bytes).expect("torn");
    let answer = place.run_by("ada", &["note", SMALL, "after the power cut"]);
    answer.tells(0, &["saved, entry"]);
    assert!(place.run_by("ada", &["status", SMALL, "--json"]).json()["entries"].as_u64() > Some(4));
}

#[test]
fn what_follows_the_damage_is_never_told_as_not_done() {
    let (place, folder) = annual();
    let told = place.run(&["replay", SMALL, "--json"]).expect(0).json();
    assert!(told["fault"].is_null(), "it is sound: {told:#}");
    let step = "prep.clean";
    place.run_by("ada", &["answer", SMALL, step, "pass"]).expect(0);
    let journal = folder.join("journal.jsonl");
    let mut bytes = std::fs::read(&journal).expect("read");
    // A digit of the hash of the last line, which is the answer.
    let last = bytes.len() - 1;
    let begins = bytes[..last].iter().rposition(|byte| *byte == b'\n').expect("more lines") + 1;
    let entries = bytes[..begins].iter().filter(|byte| **byte == b'\n').count();
    bytes[last - 4] = if bytes[last - 4] == b'0' { b'1' } else { b'0' };
    std::fs::write(&journal, &bytes).expect("altered");
    let sid = folder.file_name().expect("a name").to_string_lossy().into_owned();

    for args in [
        &["replay", &sid, "--json"][..],
        &["replay", &sid, "--step", step, "--json"],
        &["replay", &sid, "--at", "0", "--json"],
        &["findings", &sid, "--json"],
    ] {
        let fault = place.run(args).expect(4).json()["fault"].clone();
        assert_eq!(fault["first_bad_entry"], entries, "{args:?}: {fault}");
        assert_eq!(fault["byte"], begins, "{args:?}: {fault}");
        assert!(
            fault["what"].as_str().is_some_and(|what| what.contains("does not match its hash")),
            "{fault}"
        );
    }
    let banner = format!("THE RECORD IS DAMAGED after entry {}: what follows cannot be told", entries - 1);
    for args in [&["replay", &sid][..], &["replay", &sid, "--at", "0"], &["findings", &sid]] {
        let out = place.run(args).expect(4).out;
        assert!(out.starts_with(&banner), "{args:?}: {out}");
    }
    let story = place.run(&["replay", &sid, "--step", step]).expect(4).out;
    let verified = format!("as far as the record verifies (entries 0 to {})", entries - 1);
    assert!(story.starts_with(&banner) && story.contains(&verified), "{story}");
    assert!(!story.contains("never") && !story.contains("open:"), "the answer may have been given: {story}");
}
