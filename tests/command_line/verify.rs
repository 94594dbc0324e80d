//! `verify` and `anchor` on sessions that were altered by hand: words, exit codes, JSON.

use std::path::{Path, PathBuf};

use crate::binary::{Place, SMALL, contents};

/// A session with a pause in it, and its folder.
fn annual() -> (Place, PathBuf) {
    let place = Place::small();
    for note in ["one", "two", "three"] {
        place.run_by("ada", &["note", SMALL, note]).expect(0);
    }
    let folder = place.session_folder(SMALL);
    (place, folder)
}

/// Verified by its path, outside of any hangar.
fn verify(place: &Place, folder: &Path) -> crate::binary::Answer {
    place.bare([std::ffi::OsStr::new("verify"), folder.as_os_str()])
}

#[test]
fn a_sound_session_by_name_by_path_and_among_others() {
    let (place, folder) = annual();
    let before = contents(&folder);
    place.run_by("ada", &["verify", SMALL]).tells(0, &["NOT SIGNED", "each names the one before", "code "]);
    verify(&place, &folder).tells(0, &["NOT SIGNED", "XX-SM1"]);
    place.run_by("ada", &["verify", SMALL, "--sealed"]).expect(3);
    place.run_by("ada", &["verify"]).tells(0, &["sessions verified: 1", "1 not signed", "XX-SM1"]);
    place.run_by("ada", &["verify", "XX-NO1"]).tells(1, &["there is no session"]);
    assert_eq!(contents(&folder), before, "verifying writes nothing");
}

#[test]
fn altered_by_hand() {
    let (place, folder) = annual();
    let cases: &[(&str, &str, &str, &[&str])] = &[
        (
            "journal.jsonl",
            "\"two\"",
            "\"too\"",
            &["its text was changed", "the line now reads: noted", "\"too\"", "First fault"],
        ),
        (
            "journal.jsonl",
            "\"three\"",
            "\"trees\"",
            &["acked.reg, the note of what was confirmed as saved,", "trees"],
        ),
        (
            "plan.json",
            "0.50 mm",
            "0.90 mm",
            &["plan.json is not the plan that entry 0 names", "which word was changed"],
        ),
    ];
    for (name, from, to, words) in cases {
        let file = folder.join(name);
        let sound = std::fs::read_to_string(&file).expect("read");
        let altered = sound.replacen(from, to, 1);
        assert_ne!(altered, sound, "{from} stands in {name}");
        std::fs::write(&file, altered).expect("altered");
        verify(&place, &folder)
            .tells(4, words)
            .tells(4, &["DAMAGED OR ALTERED", "what to do", "change nothing"]);
        place.run_by("ada", &["verify"]).tells(4, &["first fault", name, "1 damaged or altered"]);
        std::fs::write(&file, sound).expect("put back");
    }
    let register = folder.join("acked.reg");
    let sound = std::fs::read(&register).expect("read");
    std::fs::write(&register, &sound[..1023]).expect("cut");
    verify(&place, &folder).tells(4, &["it has 1023 bytes", "First fault: acked.reg"]);
    std::fs::remove_file(&register).expect("removed");
    verify(&place, &folder).tells(4, &["the file is missing", "nobody can show that no entry was cut off"]);
    std::fs::write(&register, sound).expect("put back");
    std::fs::remove_file(folder.join("journal.jsonl")).expect("removed");
    place.run_by("ada", &["verify"]).tells(1, &["CANNOT BE READ"]);
}

#[test]
fn json_of_one_and_of_a_folder() {
    let (place, folder) = annual();
    let one = place.run_by("ada", &["verify", SMALL, "--json"]).expect(0).json();
    for key in [
        "path",
        "sid",
        "registration",
        "standing",
        "verdict",
        "entries",
        "head",
        "sign_off",
        "checks",
        "fault",
    ] {
        assert!(one.get(key).is_some(), "\"{key}\" is missing in {one:#}");
    }
    assert_eq!(one["verdict"], "unsigned");
    for check in one["checks"].as_array().expect("a list") {
        assert!(check["name"].is_string() && check["found"].is_string() && check["words"].is_string());
    }
    std::fs::write(folder.join("plan.json"), "{}").expect("altered");
    let all = place.run_by("ada", &["verify", "--json"]).expect(4).json();
    for key in ["sessions", "unfinished", "observations", "damaged", "unreadable"] {
        assert!(all.get(key).is_some(), "\"{key}\" is missing in {all:#}");
    }
    let fault = &all["sessions"][0]["fault"];
    for key in ["file", "entry", "byte", "stands", "should", "next"] {
        assert!(fault.get(key).is_some(), "\"{key}\" is missing in {fault:#}");
    }
    assert_eq!((&fault["file"], &all["damaged"]), (&"plan.json".into(), &1.into()));
}

/// An older copy beside the record, a fork of it, and what an interrupted creation left.
#[test]
fn copies_in_one_folder() {
    let (place, folder) = annual();
    let copy = |name: &str| {
        let target = place.path("sessions").join(name);
        for (path, bytes) in contents(&folder) {
            let inner = target.join(path.strip_prefix(&folder).expect("inside"));
            std::fs::create_dir_all(inner.parent().expect("a folder")).expect("made");
            std::fs::write(inner, bytes).expect("copied");
        }
        target
    };
    let older = copy("older");
    place.run_by("ada", &["note", SMALL, "four"]).expect(0);
    std::fs::create_dir(place.path("sessions/tmp-00112233445566778899aabbccddeeff")).expect("made");
    place.run_by("ada", &["verify"]).tells(0, &["is an older copy of", "left by an interrupted creation"]);
    std::fs::remove_dir_all(older).expect("removed");
    let sid = folder.file_name().expect("a name").to_string_lossy().into_owned();
    copy("other");
    place.run_by("ada", &["verify"]).tells(0, &["is an equal copy of"]);
    // Both go on by themselves.
    let away = place.path("sessions").join("away");
    place.run_by("ada", &["note", &sid, "five"]).expect(0);
    std::fs::rename(&folder, &away).expect("moved");
    std::fs::rename(place.path("sessions/other"), &folder).expect("moved");
    place.run_by("ada", &["note", &sid, "another five"]).expect(0);
    place
        .run_by("ada", &["verify"])
        .tells(4, &["CONTRADICTION", "two different records of one session", "they part at entry"]);
}

#[test]
fn codes_on_paper() {
    let (place, folder) = annual();
    let paused = place.run_by("ada", &["pause", SMALL]);
    let paused = paused.tells(0, &["write it on the worksheet with time and initials"]);
    let code =
        paused.out.lines().find_map(|line| line.strip_prefix("paper code: ")).expect("a code").to_string();
    place.run_by("ada", &["resume", SMALL]).expect(0);
    let told = place.run_by("ada", &["anchor", SMALL]);
    told.tells(0, &[&code, "pause of", "the last entry now"]);
    let typed = code.to_lowercase().replace('-', " ");
    place
        .run_by("ada", &["anchor", SMALL, &typed])
        .tells(0, &["it belongs to entry", "pause", "entries after it: 1"]);
    place.run_by("ada", &["anchor", SMALL, &code[1..]]).tells(2, &["26 characters were typed"]);
    // The code of the FIPS 180-4 example value "abc", computed independently; no session has it.
    let other = "XJ4BN-P4PAH-H6UQK-BIDPF-3LRCE-18";
    place.run_by("ada", &["anchor", SMALL, other]).tells(4, &["belongs to no entry of this session"]);
    let json = place.run_by("ada", &["anchor", SMALL, "--json"]).expect(0).json();
    assert_eq!(json["anchors"].as_array().map(Vec::len), Some(2));
    // Altered near the beginning: the pause stands behind the fault.
    let journal = folder.join("journal.jsonl");
    let altered = std::fs::read_to_string(&journal).expect("read").replacen("\"one\"", "\"own\"", 1);
    std::fs::write(&journal, altered).expect("altered");
    let told = place.run_by("ada", &["anchor", SMALL, &typed]);
    told.tells(4, &["cannot be told, the record cannot be followed after entry"]);
    place
        .run_by("ada", &["seal-files", SMALL, "--into", &place.beside("out").to_string_lossy()])
        .tells(4, &["the record is damaged", "whether anything is signed in this session cannot be told"]);
}

/// Folders of one session named one by one are compared; a bad word hides none of them; nothing at all is a failure.
#[test]
fn several_paths_and_none() {
    let (place, folder) = annual();
    let copy = place.beside("copy").join("one");
    for (path, bytes) in contents(&folder) {
        let inner = copy.join(path.strip_prefix(&folder).expect("inside"));
        std::fs::create_dir_all(inner.parent().expect("a folder")).expect("made");
        std::fs::write(inner, bytes).expect("copied");
    }
    let words = |paths: &[&Path], more: &[&str]| {
        let mut args = vec![std::ffi::OsString::from("verify")];
        args.extend(paths.iter().map(|path| path.as_os_str().to_owned()));
        args.extend(more.iter().map(Into::into));
        place.bare(args)
    };
    words(&[&folder, &copy], &[]).tells(0, &["is an equal copy of", "sessions verified: 2"]);
    let nowhere = place.beside("nowhere").join("at-all");
    words(&[&folder, &nowhere, &copy], &[]).tells(1, &["equal copy", "there is no folder", "verified: 2"]);
    let json = words(&[&folder, &nowhere], &["--json"]).expect(1).json();
    assert_eq!(json["sessions"].as_array().map(Vec::len), Some(2), "{json:#}");
    assert!(words(&[&nowhere], &["--json"]).expect(1).json()["sessions"][0]["error"].is_string());
    place.run_by("ada", &["note", SMALL, "four"]).expect(0);
    words(&[&folder, &copy], &[]).tells(0, &["is an older copy of"]);
    // Damaged comes before what is not there.
    std::fs::write(copy.join("plan.json"), "{}").expect("altered");
    words(&[&nowhere, &copy, &folder], &[]).tells(4, &["DAMAGED", "there is no folder", "older copy"]);
    std::fs::remove_file(copy.join("journal.jsonl")).expect("removed");
    words(&[&copy], &["--sealed"]).tells(1, &["journal.jsonl is missing"]);
    let empty = place.beside("empty");
    std::fs::create_dir_all(&empty).expect("made");
    words(&[&empty], &["--sealed"]).tells(1, &["nothing was verified", "sessions verified: 0"]);
}
