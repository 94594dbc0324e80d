//! A small disk of its own that fills up, and one that becomes read-only, under the real program. Needs root and
//! loop devices; elsewhere the tests say that they were skipped, and why.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use super::hand::Terminal;
use crate::binary::{Answer, Place, SMALL, contents};

/// Room to begin a session (64 MiB must be free) and little more.
const DISK_BYTES: u64 = 96 * 1024 * 1024;

/// A file system in a file, mounted on the hangar's place. Unmounted when dropped, also by a failing test: it must
/// be declared after its place and before every terminal.
struct SmallDisk {
    at: PathBuf,
    image: PathBuf,
}

fn run(program: &str, args: &[&str]) -> Result<String, String> {
    let output = Command::new(program).args(args).output().map_err(|error| format!("{program}: {error}"))?;
    if output.status.success() {
        return Ok(String::from_utf8_lossy(&output.stdout).into_owned());
    }
    Err(format!("{program} {}: {}", args.join(" "), String::from_utf8_lossy(&output.stderr).trim()))
}

fn words(path: &Path) -> &str {
    path.to_str().expect("UTF-8")
}

impl SmallDisk {
    /// `None`, with the reason printed, where this cannot be had.
    fn on(place: &Place) -> Option<SmallDisk> {
        match SmallDisk::made(place) {
            Ok(disk) => Some(disk),
            Err(why) => {
                say!("SKIPPED: no small disk can be mounted here (it needs root and loop devices): {why}");
                None
            }
        }
    }

    fn made(place: &Place) -> Result<SmallDisk, String> {
        let (at, image) = (place.root(), place.beside("disk.img"));
        std::fs::create_dir_all(&at).map_err(|error| error.to_string())?;
        let file = std::fs::File::create(&image).map_err(|error| error.to_string())?;
        file.set_len(DISK_BYTES).map_err(|error| error.to_string())?;
        // Nothing kept back for root, who runs this.
        run("mkfs.ext4", &["-q", "-F", "-m", "0", words(&image)])?;
        run("mount", &["-o", "loop", words(&image), words(&at)])?;
        let disk = SmallDisk { at, image };
        // The hangar's place must look empty.
        std::fs::remove_dir(disk.at.join("lost+found")).map_err(|error| error.to_string())?;
        Ok(disk)
    }

    fn filler(&self) -> PathBuf {
        self.at.join("filler.bin")
    }

    /// Writes until not one byte more goes in.
    fn fill(&self) {
        let mut options = std::fs::OpenOptions::new();
        let mut file = options.create(true).append(true).open(self.filler()).expect("a filler");
        for size in [1 << 20, 1 << 14, 1 << 12, 1 << 12] {
            while file.write_all(&vec![b'x'; size]).is_ok() {}
            // What was promised and not yet laid out may take or give a little.
            let _ = file.sync_all();
        }
    }

    fn make_room(&self) {
        std::fs::remove_file(self.filler()).expect("room");
    }

    fn remount(&self, how: &str) {
        run("mount", &["-o", &format!("remount,{how}"), words(&self.at)]).expect("remounted");
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let at = words(&self.at);
        // A loop device made by mount goes with its mount; the lazy way is for a file that is still open.
        if run("umount", &[at]).is_err() {
            let _ = run("umount", &["-l", at]);
        }
        for line in run("losetup", &["-j", words(&self.image)]).unwrap_or_default().lines() {
            if let Some((device, _)) = line.split_once(':') {
                let _ = run("losetup", &["-d", device]);
            }
        }
    }
}

/// The picture without its line breaks, so that wrapped words are found.
fn told(terminal: &Terminal) -> String {
    terminal.picture().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// However the text is broken into lines, also within a word.
fn shows(terminal: &Terminal, text: &str) -> bool {
    let bare = |text: &str| text.split_whitespace().collect::<String>();
    bare(&terminal.picture()).contains(&bare(text))
}

/// Notes until one is not recorded any more: the last block of the journal may still have room for some.
fn notes_until_refused(terminal: &mut Terminal, noted: &mut Vec<String>) -> String {
    for number in 0..80 {
        let note = format!("note {} {}", noted.len(), "of some length ".repeat(8)).trim().to_string();
        let before = terminal.last_saved();
        terminal.keys(&format!("n{note}<Enter>"));
        terminal.wait_look("an answer", |screen| {
            let picture = screen.contents();
            picture.contains("NOT RECORDED")
                || picture.contains(&format!("saved, entry {}", before + 1))
                || picture.contains(&format!("saved, entry {}", before + 2))
        });
        if terminal.picture().contains("NOT RECORDED") {
            assert!(number < 79);
            return note;
        }
        noted.push(note);
    }
    panic!("the disk never got full: {}", terminal.picture());
}

fn texts(place: &Place) -> Vec<String> {
    let entries = place.run_by("ada", &["show", SMALL, "--entries", "--json"]).expect(0).json();
    let entries = entries["entries"].as_array().expect("entries").clone();
    entries
        .iter()
        .filter_map(|entry| entry["event"]["body"]["text"].as_str().map(ToString::to_string))
        .collect()
}

#[test]
fn a_full_disk_on_the_screen_or_skipped_without_loop_devices() {
    let place = Place::empty();
    let Some(disk) = SmallDisk::on(&place) else { return };
    let place = place.made_small();
    let mut noted = Vec::new();
    let mut terminal = Terminal::open(&place, &["work", SMALL, "--by", "ada"]);
    terminal.see("? help").keys("nbefore<Enter>").see("saved, entry");
    noted.push("before".to_string());
    disk.fill();
    let refused = notes_until_refused(&mut terminal, &mut noted);
    let words = told(&terminal);
    for word in ["the disk is full", "make room on this disk", "Ctrl-F", "Ctrl-R", "No space left on device"]
    {
        assert!(words.contains(word), "\"{word}\" is missing in {words}");
    }
    assert!(shows(&terminal, &refused), "the typed text stays on the screen: {words}");
    // The ballast, after asking; the text is still there and is saved.
    terminal.keys("<C-f>").see("It helps once").keys("2").see("given back");
    assert!(shows(&terminal, &refused), "{}", terminal.picture());
    let before = terminal.last_saved();
    terminal.keys("<C-s>");
    terminal.see_saved_after(before);
    noted.push(refused);
    // Full again, and no ballast left: room by other means, then the same key.
    disk.fill();
    let refused = notes_until_refused(&mut terminal, &mut noted);
    assert!(!told(&terminal).contains("Ctrl-F"), "the ballast is gone: {}", terminal.picture());
    disk.make_room();
    let before = terminal.last_saved();
    terminal.keys("<C-s>");
    terminal.see_saved_after(before);
    noted.push(refused);
    terminal.kill();
    assert_eq!(texts(&place), noted, "every note that was saved is there, and nothing else");
    // The next opening lays the ballast anew.
    place.run_by("ada", &["note", SMALL, "the day after"]).tells(0, &["saved, entry"]);
    assert!(place.session_folder(SMALL).join("reserve.bin").exists());
}

#[test]
fn a_full_disk_under_commands_or_skipped_without_loop_devices() {
    let place = Place::empty();
    let Some(disk) = SmallDisk::on(&place) else { return };
    let place = place.made_small();
    place.run_by("ada", &["make-room", SMALL]).tells(3, &["the disk is not full", "the ballast stays"]);
    disk.fill();
    let mut noted = Vec::new();
    let note = |noted: &mut Vec<String>| -> Answer {
        let text = format!("note {} {}", noted.len(), "of some length ".repeat(20)).trim().to_string();
        let answer = place.run_by("ada", &["note", SMALL, &text]);
        if answer.code == 0 {
            noted.push(text);
        }
        answer
    };
    let refused = (0..80).map(|_| note(&mut noted)).find(|answer| answer.code != 0).expect("refused");
    refused.tells(1, &["NOT RECORDED, the disk is full", "journal.jsonl", "make room", "spanwise make-room"]);
    assert_eq!(texts(&place), noted);
    // A film is larger than any slack: refused, and no half of it stays.
    let film = place.beside("film.bin");
    std::fs::write(&film, vec![7; 300_000]).expect("a film");
    let before = contents(&place.session_folder(SMALL));
    let args = ["evidence", SMALL, words(&film), "--step", "fin.look"];
    place.run_by("ada", &args).tells(1, &["NOT RECORDED, the disk is full", "spanwise rescue"]);
    assert_eq!(contents(&place.session_folder(SMALL)), before);
    place.run_by("ada", &["make-room", SMALL]).tells(0, &["1048576 bytes given back", "helps only once"]);
    note(&mut noted).tells(0, &["saved, entry"]);
    place.run_by("ada", &["pause", SMALL]).tells(0, &["saved, entry"]);
    place.run_by("ada", &["resume", SMALL]).tells(0, &["saved, entry"]);
    disk.fill();
    place.run_by("ada", &["make-room", SMALL]).tells(3, &["given back before", "spanwise rescue"]);
    // To another disk, while this one is full.
    let into = place.beside("stick");
    let copied = place.run_by("ada", &["rescue", SMALL, "--into", words(&into)]);
    copied.tells(0, &["copied and read back the same", "spanwise --hangar", "one of the two only"]);
    disk.make_room();
    place.run_by("ada", &args).tells(0, &["saved, entry"]);
    assert_eq!(texts(&place), noted);
}

#[test]
fn a_read_only_disk_is_looked_at_or_skipped_without_loop_devices() {
    let place = Place::empty();
    let Some(disk) = SmallDisk::on(&place) else { return };
    let place = place.made_small();
    place.run_by("ada", &["note", SMALL, "before"]).expect(0);
    disk.remount("ro");
    let folder = place.session_folder(SMALL);
    let before = contents(&folder);
    let mut terminal = Terminal::open(&place, &["work", SMALL, "--by", "ada"]);
    terminal.see("shown only: this place is read-only").keys("p").see("nothing can be recorded");
    // A copy to a place that can be written, from the screen.
    let into = place.beside("stick");
    terminal
        .keys("<C-r>")
        .see("new folder")
        .keys(&format!("{}<Enter>", words(&into)))
        .see("copied and read back");
    terminal.keys("q").see("Leave the program?").keys("2");
    assert!(terminal.ended().success());
    drop(terminal);
    place.run_by("ada", &["note", SMALL, "x"]).tells(1, &["this place is read-only", "spanwise rescue"]);
    place.run_by("ada", &["show", SMALL]).tells(0, &["before"]);
    assert_eq!(contents(&folder), before);
    disk.remount("rw");
    place.run_by("ada", &["note", SMALL, "after"]).tells(0, &["saved, entry"]);
    let copy = into.join("sessions").join(folder.file_name().expect("its id"));
    for (path, bytes) in &before {
        let name = path.strip_prefix(&folder).expect("inside");
        if !["lock", "reserve.bin"].contains(&words(name)) {
            assert_eq!(std::fs::read(copy.join(name)).ok().as_ref(), Some(bytes), "{}", name.display());
        }
    }
}
