//! kill -9 of the recording commands and of the signature; see `survives.rs` for long campaigns.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::Instant;

use super::figures::{Figures, delay, rounds, seed};
use crate::binary::{Place, SMALL, contents};

/// Answered and read once, so that each round can correct and read again.
fn session() -> Place {
    let place = Place::small();
    place.run_by("ada", &["answer", SMALL, "prep.clean", "pass"]).expect(0);
    place.run_by("ada", &["read", SMALL, "wing.play", "play", "0.20 mm", "--instrument", "gauge"]).expect(0);
    place
}

/// Starts the command, kills it after a random delay within what it takes when it is left alone, and gives what it
/// had printed by then.
fn killed(place: &Place, args: &[String], round: u64, most_ms: u64, random: &mut u64) -> (String, bool) {
    let mut child = place
        .command()
        .arg("--hangar")
        .arg(place.root())
        .args(["--by", "ada"])
        .args(args)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    std::thread::sleep(delay(random, round, most_ms));
    child.kill().expect("killed, or ended before");
    let mut out = String::new();
    child.stdout.take().expect("its output").read_to_string(&mut out).expect("UTF-8");
    let is_over = child.wait().expect("it ended").success();
    (out, is_over)
}

fn duration_ms(run: impl FnOnce()) -> u64 {
    let began = Instant::now();
    run();
    u64::try_from(began.elapsed().as_millis()).expect("short").max(1)
}

/// The command of this round, the kind of its event and words that it must contain.
fn command(place: &Place, round: u64) -> (Vec<String>, &'static str, String) {
    let words = format!("round {round} (invented)");
    let owned = |args: &[&str]| args.iter().map(|arg| (*arg).to_string()).collect::<Vec<_>>();
    match round % 5 {
        0 => (owned(&["note", SMALL, &words]), "noted", words),
        1 => (owned(&["answer", SMALL, "prep.clean", "pass", "--correct", &words]), "answered", words),
        2 => {
            // Large enough that the kill may fall inside the copying.
            let name = format!("film-{round}.bin");
            let size = 200_000 + usize::try_from(round).expect("small");
            std::fs::write(place.path(&name), vec![7; size]).expect("a film");
            let path = place.path(&name).to_string_lossy().into_owned();
            (owned(&["evidence", SMALL, &path, "--step", "fin.look"]), "evidence_added", name)
        }
        3 => (owned(&["defect", "raise", SMALL, &words]), "defect_raised", words),
        _ => {
            let play = format!("0.{:04} mm", round % 5000);
            let read = ["read", SMALL, "wing.play", "play", &play, "--instrument", "gauge", "--why", &words];
            (owned(&read), "reading_taken", play)
        }
    }
}

#[test]
fn killed_at_any_moment_the_commands_lose_nothing() {
    let mut figures = Figures::default();
    let mut random = seed();
    let mut place = session();
    for round in 0..rounds() * 2 {
        if round % 50 == 49 {
            place = session();
        }
        // The restart, which heals what the last kill left, and tells how long a command takes now.
        let after = ["note", SMALL, "after the kill"];
        let most = duration_ms(|| drop(place.run_by("ada", &after).tells(0, &["saved, entry"])));
        let before = place.entries(SMALL);
        let (args, kind, words) = command(&place, round);
        let (out, is_over) = killed(&place, &args, round, most + most / 2, &mut random);
        figures.rounds += 1;
        figures.too_late += u64::from(is_over);
        figures.look(&place.session_folder(SMALL));
        let entries = place.entries(SMALL);
        assert!(before.iter().all(|(entry, event)| entries.get(entry) == Some(event)), "round {round}");
        let new: BTreeMap<_, _> = entries
            .iter()
            .filter(|(entry, event)| !before.contains_key(entry) && event["kind"] != "run_started")
            .collect();
        assert!(new.len() <= 1, "round {round}: {new:?}");
        for event in new.values() {
            assert!(event["kind"] == kind && event.to_string().contains(&words), "round {round}: {event}");
        }
        if out.contains("saved, entry ") {
            figures.saved_seen += 1;
            assert_eq!(new.len(), 1, "round {round}: it was told as saved and is gone: {out}");
            figures.found += 1;
        } else {
            figures.one_more += new.len() as u64;
        }
    }
    say!("kill -9 of the commands: {figures}");
    // Evidence that is in the record is on the disk, whole: an entry never cites what is not durable.
    let status = place.run_by("ada", &["status", SMALL, "--json"]).json();
    let missing =
        status["refusals"].as_array().expect("refusals").iter().any(|refusal| refusal["number"] == 9);
    assert!(!missing, "{status:#}");
    place.run_by("ada", &["note", SMALL, "after all that"]).tells(0, &["saved, entry"]);
    assert!(figures.rounds > figures.too_late, "no kill came early enough: the delays test nothing");
}

/// Everything done, nothing stands against the release.
fn complete() -> Place {
    let place = session();
    place.write("photo.txt", "stands in for a photo");
    let photo = place.path("photo.txt").to_string_lossy().into_owned();
    let commands: &[&[&str]] = &[
        &["set-aside", SMALL, "r1", "a loose plug, reseated and tried"],
        &["directive", SMALL, "INV-1", "complied", "--next-due", "2099-12-31"],
        &["life-item", SMALL, "harness", "within-life"],
        &["confirm", SMALL, "tailplane=off"],
        &["evidence", SMALL, &photo, "--step", "fin.look", "--demand", "photo"],
        &["answer", SMALL, "fin.look", "pass"],
        &["answer", SMALL, "wing.play", "pass"],
        &["answer", SMALL, "rudder.connect", "pass"],
    ];
    for args in commands {
        place.run_by("ada", args).expect(0);
    }
    let checked = ["--checked", "assembly,locking,sense,range"];
    place.run_by("bo", &[&["inspect", SMALL, "rudder.connect", "all"][..], &checked].concat()).expect(0);
    place
}

fn put_back(folder: &Path, files: &BTreeMap<PathBuf, Vec<u8>>) {
    std::fs::remove_dir_all(folder).expect("taken away");
    for (path, bytes) in files {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, bytes).expect("written");
    }
}

/// A signature is there as a whole or not at all, and one that was told is there.
#[test]
fn killed_at_any_moment_a_signature_is_whole_or_not_there() {
    let mut figures = Figures::default();
    let mut random = seed();
    let place = complete();
    let folder = place.session_folder(SMALL);
    let unsigned = contents(&folder);
    let sign = ["sign", SMALL, "release", "--confirm", SMALL].map(ToString::to_string).to_vec();
    let args: Vec<&str> = sign.iter().map(String::as_str).collect();
    let mut most = duration_ms(|| drop(place.run_by("ada", &args).tells(0, &["signed off, entry"])));
    for round in 0..rounds() {
        put_back(&folder, &unsigned);
        let (out, is_over) = killed(&place, &sign, round, most + most / 2, &mut random);
        figures.rounds += 1;
        figures.too_late += u64::from(is_over);
        figures.look(&folder);
        let status = place.run_by("ada", &["status", SMALL, "--json"]).json();
        let is_signed = !status["signed"].is_null();
        if out.contains("signed off, entry ") {
            figures.saved_seen += 1;
            assert!(is_signed, "round {round}: it was told as signed: {status:#}");
            figures.found += 1;
        } else {
            figures.one_more += u64::from(is_signed);
        }
        // Whatever was found: closed for good, or it can still be signed.
        let began = Instant::now();
        let again = place.run_by("ada", &args);
        most = u64::try_from(began.elapsed().as_millis()).expect("short").max(1);
        assert_eq!(again.code, if is_signed { 3 } else { 0 }, "round {round}: {}{}", again.out, again.err);
    }
    say!("kill -9 of the signature: {figures}");
    assert!(figures.rounds > figures.too_late, "no kill came early enough: the delays test nothing");
}
