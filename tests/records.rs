//! Records and registers changed in their files: only what is changed is written anew, a fault or another hand's change
//! leaves the file as it is, and a cut at any moment leaves one of the two texts.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

use std::path::Path;
use std::sync::Arc;

use spanwise::airframe::edit::{Change, Edit, Written};
use spanwise::airframe::sheet::RecordFile;
use spanwise::event::Actor;
use spanwise::hangar::records::{Register, create_airframe, edit_airframe, edit_register, init, shown};
use spanwise::hangar::{Hangar, HangarError, begin};
use spanwise::store::sim_disk::SimFault;
use spanwise::store::{Disk, RealDisk, SimDisk};

fn text(key: &str, value: &str) -> Change {
    (key.to_string(), Some(Written::Text(value.to_string())))
}

fn day(key: &str, value: &str) -> Change {
    (key.to_string(), Some(Written::Date(value.parse().expect("a day"))))
}

fn number(key: &str, value: &str) -> Change {
    (key.to_string(), Some(Written::Number(value.parse().expect("a number"))))
}

fn head(registration: &str) -> Vec<Change> {
    vec![
        text("registration", registration),
        text("type", "varn-15"),
        text("serial", "0107"),
        number("hours", "10.50"),
    ]
}

fn report(id: &str) -> Edit {
    let changes = vec![
        text("id", id),
        text("kind", "tail-noise"),
        day("date", "2026-09-06"),
        text("text", "it creaks"),
    ];
    Edit::Add { list: "report".into(), below: None, changes }
}

fn person(id: &str) -> Edit {
    let changes = vec![text("id", id), text("name", "Ada Example"), text("role", "inspector")];
    Edit::Add { list: "person".into(), below: None, changes }
}

fn remove(list: &str, at: usize) -> Edit {
    Edit::Remove { list: list.into(), at, below: None }
}

struct Place {
    folder: tempfile::TempDir,
    hangar: Hangar,
}

impl Place {
    fn new() -> Place {
        let folder = tempfile::tempdir().expect("a folder");
        let hangar = Hangar::load(folder.path());
        Place { folder, hangar }
    }

    /// With one airframe.
    fn with_airframe() -> Place {
        let mut place = Place::new();
        create_airframe(&place.hangar, &head("XX-EX1")).expect("created");
        place.hangar.reload();
        place
    }

    fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.folder.path().join(name)).unwrap_or_default()
    }

    fn write(&mut self, name: &str, text: &str) {
        std::fs::write(self.folder.path().join(name), text).expect("written");
        self.hangar.reload();
    }
}

fn why(refused: Result<impl std::fmt::Debug, HangarError>) -> String {
    refused.expect_err("it must be refused").to_string()
}

const RECORD: &str = "airframes/XX-EX1.toml";

#[test]
fn a_new_record_is_one_that_its_reader_takes() {
    let mut place = Place::with_airframe();
    let file = place.hangar.airframe("xx-ex1").expect("there");
    assert_eq!(file.airframe.as_ref().map(|airframe| airframe.hours.to_string()), Ok("10.50".to_string()));
    let before = place.read(RECORD);
    for same in ["XX-EX1", "xx-ex1", "XX EX1"] {
        assert!(why(create_airframe(&place.hangar, &head(same))).contains("already"), "{same}");
    }
    let mut lacking = head("XX-EX2");
    lacking.retain(|(key, _)| key != "type" && key != "hours");
    let told = why(create_airframe(&place.hangar, &lacking));
    assert!(told.contains("\"type\"") && told.contains("\"hours\""), "every fault at once: {told}");
    assert!(!place.folder.path().join("airframes/XX-EX2.toml").exists());
    assert_eq!(place.read(RECORD), before);
    place.hangar.reload();
    assert_eq!(place.hangar.airframes.len(), 1);
}

#[test]
fn a_registration_is_no_path() {
    let place = Place::new();
    for (registration, name) in
        [("../../EVIL", "EVIL.toml"), ("D 12/3", "D-12-3.toml"), ("CON", "airframe-CON.toml")]
    {
        create_airframe(&place.hangar, &head(registration)).expect(registration);
        assert!(place.folder.path().join("airframes").join(name).exists(), "{registration}");
    }
    for none in ["/", "..", &"X".repeat(400)] {
        assert!(create_airframe(&place.hangar, &head(none)).is_err(), "{none}");
    }
    let beside: Vec<_> = std::fs::read_dir(place.folder.path()).expect("listed").flatten().collect();
    assert!(
        beside
            .iter()
            .all(|entry| ["airframes", "records.lock"].contains(&&*entry.file_name().to_string_lossy()))
    );
}

/// Everything but the changed line is the same, byte for byte.
#[test]
fn comments_order_and_odd_spacing_stay() {
    let mut place = Place::with_airframe();
    let by_hand = "# our glider\nserial   =  \"0107\" # plate\ntype=\"varn-15\"\nregistration = 'XX-EX1'\n\nhours = \"10.50\"\n\n\n# the pilots say\n[[report]]\ntext = \"\"\"\nit creaks\n\"\"\"\nid = \"r1\"   # the first\nkind = \"hail\"\ndate = 2026-09-06\n# end\n";
    place.write(RECORD, by_hand);
    let change =
        Edit::Alter { list: "report".into(), at: 0, below: None, changes: vec![text("kind", "tail-noise")] };
    edit_airframe(&place.hangar, "XX-EX1", &[change], None).expect("changed");
    assert_eq!(place.read(RECORD), by_hand.replace("\"hail\"", "\"tail-noise\""));
    edit_airframe(&place.hangar, "XX-EX1", &[report("r2"), remove("report", 1)], None)
        .expect("there and back");
    assert_eq!(place.read(RECORD), by_hand.replace("\"hail\"", "\"tail-noise\""));
}

#[test]
fn a_text_that_another_hand_changed_is_not_written_over() {
    let mut place = Place::with_airframe();
    let seen = shown(&place.hangar, &RecordFile::Airframe("XX-EX1".into())).expect("shown");
    let now = format!("{}owner = \"another hand\"\n", place.read(RECORD));
    place.write(RECORD, &now);
    let told = why(edit_airframe(&place.hangar, "XX-EX1", &[report("r1")], Some(&seen.hash)));
    assert!(
        told.contains("changed by another hand meanwhile") && told.contains("look at it again"),
        "{told}"
    );
    assert_eq!(place.read(RECORD), now);
    let again = shown(&place.hangar, &RecordFile::Airframe("XX-EX1".into())).expect("shown");
    let done = edit_airframe(&place.hangar, "XX-EX1", &[report("r1")], Some(&again.hash)).expect("written");
    let next = edit_airframe(&place.hangar, "XX-EX1", &[report("r2")], Some(&done.hash)).expect("written");
    assert_eq!(next.sheet.entries_of("report").count(), 2, "what was handed back is the next one's start");
}

#[test]
fn a_fault_is_told_with_its_place_and_nothing_is_written() {
    let place = Place::with_airframe();
    let before = place.read(RECORD);
    let bad = Edit::Add {
        list: "report".into(),
        below: None,
        changes: vec![text("id", "r1"), text("kind", "tail-nose")],
    };
    let told = why(edit_airframe(&place.hangar, "XX-EX1", &[bad], None));
    for word in ["XX-EX1.toml:", "tail-noise", "\"date\"", "\"text\""] {
        assert!(told.contains(word), "{word}: {told}");
    }
    let twice = why(edit_airframe(&place.hangar, "XX-EX1", &[report("r1"), report("r1")], None));
    assert!(twice.contains("r1"), "{twice}");
    assert_eq!(place.read(RECORD), before);
}

/// A record with a fault can be put right through the same way, and only through a change that does.
#[test]
fn a_faulty_record_can_be_put_right() {
    let mut place = Place::with_airframe();
    let faulty = place.read(RECORD).replace("10.50", "much");
    place.write(RECORD, &faulty);
    assert!(edit_airframe(&place.hangar, "xx-ex1", &[report("r1")], None).is_err());
    assert_eq!(place.read(RECORD), faulty);
    let right = Edit::Head(vec![number("hours", "11")]);
    edit_airframe(&place.hangar, "xx-ex1", &[right], None).expect("put right");
    place.hangar.reload();
    assert!(place.hangar.airframes[0].airframe.is_ok());
}

#[test]
fn what_a_session_rests_on_stays() {
    let mut place = Place::with_airframe();
    edit_register(&place.hangar, Register::People, &[person("ada"), person("unused")], None).expect("people");
    edit_airframe(&place.hangar, "XX-EX1", &[report("r1"), report("r2")], None).expect("reports");
    place.hangar.reload();
    let rename = [Edit::Head(vec![text("registration", "XX-EX9")])];
    edit_airframe(&place.hangar, "XX-EX1", &rename, None).expect("no session yet");
    place.hangar.reload();
    let by = Actor { id: "ada".into(), name: "Ada Example".into() };
    begin(&place.hangar, "XX-EX9", &by).expect("begun");
    let back = [Edit::Head(vec![text("registration", "XX-EX1")])];
    assert!(
        why(edit_airframe(&place.hangar, "XX-EX9", &back, None)).contains("there are sessions of XX-EX9")
    );
    assert!(why(edit_airframe(&place.hangar, "XX-EX9", &[remove("report", 0)], None)).contains("report r1"));
    edit_airframe(&place.hangar, "XX-EX9", &[report("r3")], None).expect("added");
    edit_airframe(&place.hangar, "XX-EX9", &[remove("report", 2)], None)
        .expect("the session knows nothing of it");
    assert!(
        why(edit_register(&place.hangar, Register::People, &[remove("person", 0)], None))
            .contains("ada appears")
    );
    let renamed = Edit::Alter { list: "person".into(), at: 0, below: None, changes: vec![text("id", "eve")] };
    assert!(why(edit_register(&place.hangar, Register::People, &[renamed], None)).contains("ada appears"));
    edit_register(&place.hangar, Register::People, &[remove("person", 1)], None).expect("appears nowhere");
}

#[test]
fn an_empty_folder_gets_registers_that_can_be_added_to() {
    let mut place = Place::new();
    let made = init(&place.hangar).expect("made");
    assert!(made.iter().all(|made| made.is_new) && made.len() == 5, "{made:?}");
    let comments = place.read("people.toml");
    place.hangar.reload();
    assert!(place.hangar.people.0.is_empty() && place.hangar.faults.is_empty());
    edit_register(&place.hangar, Register::People, &[person("ada")], None).expect("added");
    assert!(place.read("people.toml").starts_with(comments.trim_end()), "the example stays above");
    let again = init(&place.hangar).expect("made");
    assert!(again.iter().all(|made| !made.is_new), "{again:?}");
    assert!(place.read("people.toml").contains("ada\""));
}

/// The example in the comments is one that the readers take.
#[test]
fn the_commented_examples_are_sound() {
    let place = Place::new();
    init(&place.hangar).expect("made");
    for name in ["people.toml", "instruments.toml"] {
        let text = place.read(name);
        let from = text.find("# [[").expect("an example");
        let lines = text[from..].lines().take_while(|line| !line.starts_with("# The key"));
        let bare: Vec<&str> =
            lines.map(|line| line.trim_start_matches("# ").trim_start_matches('#')).collect();
        std::fs::write(place.folder.path().join(name), bare.join("\n")).expect("written");
    }
    let hangar = Hangar::load(place.folder.path());
    assert_eq!(hangar.faults, []);
    assert_eq!(
        (hangar.people.0.len(), hangar.people.0[0].authorisations.len(), hangar.instruments.0.len()),
        (1, 1, 1)
    );
}

#[test]
fn while_another_program_writes_nothing_is_lost_to_it() {
    let place = Place::with_airframe();
    let held = RealDisk.lock(&place.folder.path().join("records.lock")).expect("the lock");
    let told = why(edit_airframe(&place.hangar, "XX-EX1", &[report("r1")], None));
    assert!(told.contains("another program is changing a record"), "{told}");
    drop(held);
    edit_airframe(&place.hangar, "XX-EX1", &[report("r1")], None).expect("written");
}

/// The power goes at each call in turn: the old text is on the disk, or the new one, and never half of one. What was told
/// as written is there.
#[test]
fn a_cut_at_any_call_leaves_one_of_the_two_texts() {
    let mut place = Place::with_airframe();
    let root = place.folder.path().to_path_buf();
    let path = root.join(RECORD);
    let old = place.read(RECORD).into_bytes();
    let (mut kept, mut written) = (0, 0);
    for call in 0.. {
        let disk = SimDisk::new();
        copy_into(&disk, &root, &path, &old);
        place.hangar.disk = Arc::new(disk.clone());
        disk.fail_at(disk.calls() + call, SimFault::power_off());
        let done = edit_airframe(&place.hangar, "XX-EX1", &[report("r1")], None);
        for image in disk.crash_images(call) {
            let found = image.read(&path).expect("the record is there");
            if found == old {
                kept += 1;
                assert!(done.is_err(), "it was told as written");
            } else {
                let found = String::from_utf8(found).expect("text");
                assert!(
                    found.starts_with(std::str::from_utf8(&old).expect("text"))
                        && found.ends_with("text = \"it creaks\"\n"),
                    "{found}"
                );
                written += 1;
            }
        }
        if done.is_ok() {
            break;
        }
    }
    assert!(kept > 0 && written > 0, "{kept} {written}");
}

/// A full disk at each call in turn: refused in words, the text as it was.
#[test]
fn a_full_disk_leaves_the_text_as_it_was() {
    let mut place = Place::with_airframe();
    let root = place.folder.path().to_path_buf();
    let path = root.join(RECORD);
    let old = place.read(RECORD).into_bytes();
    let mut full = 0;
    for call in 0..40 {
        let disk = SimDisk::new();
        copy_into(&disk, &root, &path, &old);
        place.hangar.disk = Arc::new(disk.clone());
        let fault = SimFault::once(std::io::ErrorKind::StorageFull);
        disk.fail_at(disk.calls() + call, fault);
        match edit_airframe(&place.hangar, "XX-EX1", &[report("r1")], None) {
            Err(HangarError::Full { next, .. }) => {
                full += 1;
                assert!(next.contains("make room"), "{next}");
                let found = disk.read(&path).expect("there");
                // Only the last flush fails after the new text is in place.
                assert!(found == old || found.ends_with(b"text = \"it creaks\"\n"));
            }
            Err(other) => panic!("call {call}: {other}"),
            Ok(_) => {}
        }
    }
    assert!(full > 3, "{full}");
}

fn copy_into(disk: &SimDisk, root: &Path, path: &Path, text: &[u8]) {
    let mut folders: Vec<&Path> =
        path.ancestors().skip(1).filter(|folder| *folder != Path::new("/")).collect();
    folders.reverse();
    for folder in folders {
        disk.create_dir(folder).expect("made");
        disk.sync_dir(folder.parent().expect("a parent")).expect("flushed");
    }
    let mut file = disk.create_new(path).expect("made");
    file.append(text).expect("written");
    file.sync_all().expect("flushed");
    disk.sync_dir(path.parent().expect("a parent")).expect("flushed");
    disk.create_new(&root.join("records.lock")).expect("made");
    disk.sync_dir(root).expect("flushed");
}
