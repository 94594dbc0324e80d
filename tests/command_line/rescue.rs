//! `rescue`: everything that can be read goes into a new place, byte for byte, whatever is wrong with the original.

use std::path::{Path, PathBuf};

use crate::binary::{Place, SMALL, contents};

/// A session with notes, a film and a fragment set aside, and its folder.
fn annual() -> (Place, PathBuf) {
    let place = Place::small();
    place.run_by("ada", &["note", SMALL, "one"]).expect(0);
    let film = place.path("film.bin");
    // Larger than one piece of the copying, and no multiple of it.
    std::fs::write(&film, (0..200_003u32).map(|n| n.to_le_bytes()[0]).collect::<Vec<_>>()).expect("a film");
    place.run_by("ada", &["evidence", SMALL, &text(&film), "--step", "fin.look"]).expect(0);
    let folder = place.session_folder(SMALL);
    let journal = folder.join("journal.jsonl");
    let torn = [std::fs::read(&journal).expect("read"), b"{\"e\":{\"body".to_vec()].concat();
    std::fs::write(&journal, torn).expect("torn");
    place.run_by("ada", &["note", SMALL, "two"]).expect(0);
    (place, folder)
}

fn text(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

fn id(folder: &Path) -> String {
    text(Path::new(folder.file_name().expect("an id")))
}

/// Every file of the session but lock and ballast, and nothing else.
#[track_caller]
fn is_same(from: &Path, to: &Path, without: &[&str]) {
    let left_out = |path: &Path| {
        let name = path.file_name().expect("a name").to_string_lossy();
        ["lock", "reserve.bin"].contains(&&*name) || without.contains(&&*name)
    };
    let files = |folder: &Path| {
        let all = contents(folder).into_iter();
        let kept = all.filter(|(path, _)| !left_out(path));
        kept.map(|(path, bytes)| (path.strip_prefix(folder).expect("inside").to_path_buf(), bytes)).collect()
    };
    let (wanted, found): (Vec<_>, Vec<_>) = (files(from), files(to));
    assert!(wanted.len() >= 3, "there is something to copy");
    assert!(wanted == found, "not the same files or bytes");
}

#[test]
fn a_copy_is_a_hangar_in_which_the_work_can_go_on() {
    let (place, folder) = annual();
    let before = contents(&folder);
    let into = place.beside("deep/stick");
    let told = place.run_by("ada", &["rescue", SMALL, "--into", &text(&into)]);
    let told = told
        .tells(0, &["copied and read back the same: ", "spanwise --hangar", "go on in one of the two only"]);
    // Journal, register, plan, film, fragment; people and instruments beside the session.
    assert!(told.out.contains("7 files"), "{}", told.out);
    assert_eq!(contents(&folder), before, "nothing is written to the original");
    let copy = into.join("sessions").join(id(&folder));
    is_same(&folder, &copy, &[]);
    let shown = place.bare(["--hangar", &text(&into), "show", SMALL]).expect(0).out;
    assert!(shown.contains("one") && shown.contains("two"), "{shown}");
    place.bare(["--hangar", &text(&into), "--by", "ada", "note", SMALL, "three"]).tells(0, &["saved, entry"]);
    // Not a second time over it.
    let again = place.run_by("ada", &["rescue", SMALL, "--into", &text(&into)]);
    again.tells(3, &["is there already; nothing is overwritten", "name a new folder"]);
}

#[test]
fn a_damaged_record_is_copied_as_it_is() {
    let (place, folder) = annual();
    let journal = folder.join("journal.jsonl");
    let sound = std::fs::read_to_string(&journal).expect("read");
    std::fs::write(&journal, sound.replacen("\"one\"", "\"uno\"", 1)).expect("altered");
    let into = place.beside("stick");
    let told = place.run_by("ada", &["rescue", &id(&folder), "--into", &text(&into)]);
    told.tells(
        0,
        &["copied and read back the same", "the record itself is damaged", "does not match its hash"],
    );
    is_same(&folder, &into.join("sessions").join(id(&folder)), &[]);
    // Register and plan gone, too: what is left is still copied.
    std::fs::remove_file(folder.join("acked.reg")).expect("gone");
    std::fs::write(folder.join("plan.json"), "{").expect("cut");
    let into = place.beside("other-stick");
    let told = place.run_by("ada", &["rescue", &id(&folder), "--into", &text(&into)]);
    told.tells(1, &["not whole: ", "acked.reg", "copied as far as it can be read (1 not whole)"]);
    is_same(&folder, &into.join("sessions").join(id(&folder)), &["acked.reg"]);
}

/// What must not be read for ever is told, and the rest is copied.
#[cfg(unix)]
#[test]
fn a_device_in_the_folder_is_left_out_and_told() {
    let (place, folder) = annual();
    std::os::unix::fs::symlink("/dev/null", folder.join("device")).expect("a link");
    let into = place.beside("stick");
    let told = place.run_by("ada", &["rescue", SMALL, "--into", &text(&into)]);
    told.tells(1, &["device is no file", "1 not whole"]);
    is_same(&folder, &into.join("sessions").join(id(&folder)), &["device"]);
}

#[test]
fn a_place_that_cannot_be_written_is_told() {
    let (place, folder) = annual();
    let file = place.path("people.toml");
    let told = place.run_by("ada", &["rescue", SMALL, "--into", &text(&file)]);
    told.tells(1, &["people.toml", "name a new folder, best on another medium"]);
    let inside = place.run_by("ada", &["rescue", SMALL, "--into", &text(&folder.join("copy"))]);
    inside.tells(3, &["lies in the session itself", "name a new folder"]);
    assert!(!folder.join("copy").exists());
    place.run_by("ada", &["rescue", "XX-NONE", "--into", "/tmp"]).tells(1, &["there is no session"]);
}
