//! A rescue copy under a disk that fails at any one call: it is whole, or says what is not, and never harms the original.
#![allow(clippy::disallowed_methods, reason = "a test writes the hangar's files")]

use std::path::Path;
use std::sync::Arc;

use spanwise::event::Actor;
use spanwise::hangar::{Hangar, HangarError, Rescued, Work, begin, rescue};
use spanwise::session::Request;
use spanwise::store::session_dir::{JOURNAL, REGISTER};
use spanwise::store::sim_disk::SimFault;
use spanwise::store::{Disk, SimDisk};

const FILES: [(&str, &str); 5] = [
    ("checklists/composite-sailplane/9.0.0.toml", include_str!("binary/small/programme.toml")),
    ("checklists/type-small-1/1.0.0.toml", include_str!("binary/small/supplement.toml")),
    ("airframes/XX-SM1.toml", include_str!("binary/small/airframe.toml")),
    ("people.toml", include_str!("binary/small/people.toml")),
    ("instruments.toml", include_str!("binary/small/instruments.toml")),
];

fn ada() -> Actor {
    Actor { id: "ada".to_string(), name: "Ada (invented)".to_string() }
}

fn note(text: &str) -> Request {
    Request::Note { step: None, text: text.to_string() }
}

/// The hangar's files on the real disk, its sessions on a simulated one.
struct Scene {
    _place: tempfile::TempDir,
    hangar: Hangar,
    disk: SimDisk,
    sid: String,
}

fn scene() -> Scene {
    let place = tempfile::tempdir().expect("a folder");
    for (name, text) in FILES {
        let path = place.path().join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, text).expect("written");
    }
    let disk = SimDisk::new();
    let mut hangar = Hangar::load(place.path());
    hangar.disk = Arc::new(disk.clone());
    let sid = begin(&hangar, "XX-SM1", &ada()).expect("begun").sid;
    let mut work = Work::open(&hangar, &sid).expect("open");
    work.record(&hangar, &ada(), note("one")).expect("noted");
    drop(work);
    Scene { _place: place, hangar, disk, sid }
}

impl Scene {
    fn original(&self, name: &str) -> Vec<u8> {
        self.disk.read(&self.hangar.sessions_folder().join(&self.sid).join(name)).expect("read")
    }

    fn copied(&self, done: &Rescued, name: &str) -> Vec<u8> {
        self.disk.read(&done.session.join(name)).expect("read")
    }
}

#[test]
fn a_copy_is_whole_or_says_what_is_not_whichever_call_fails() {
    let kind = std::io::ErrorKind::Other;
    let (mut whole, mut partial, mut refused) = (0, 0, 0);
    for call in 0.. {
        let scene = scene();
        let (journal, register) = (scene.original(JOURNAL), scene.original(REGISTER));
        scene.disk.fail_at(scene.disk.calls() + call, fault(kind));
        let outcome = rescue(&scene.hangar, &scene.sid, Path::new("/stick"));
        let fired = scene.disk.fault_fired();
        scene.disk.fail_at(u64::MAX, fault(kind));
        match outcome {
            Ok(done) if done.problems.is_empty() => {
                assert_eq!(scene.copied(&done, JOURNAL), journal, "call {call}");
                assert_eq!(scene.copied(&done, REGISTER), register, "call {call}");
                whole += 1;
            }
            Ok(_) => partial += 1,
            Err(error) => {
                assert!(error.to_string().contains("folder"), "what next? {error}");
                refused += 1;
            }
        }
        assert_eq!((scene.original(JOURNAL), scene.original(REGISTER)), (journal, register));
        // Whatever happened, another place takes all of it.
        let again = rescue(&scene.hangar, &scene.sid, Path::new("/other")).expect("copied");
        assert_eq!((again.problems, again.entries), (vec![], 2), "call {call}");
        if !fired {
            println!("{kind:?}: {whole} whole, {partial} told as partial, {refused} told as failed");
            break;
        }
    }
    assert!(whole > 0 && refused > 0, "{whole} {partial} {refused}");
}

/// What could not be saved is in the copy: from the writer's memory, not from a disk that may have dropped it.
#[test]
fn an_answer_that_a_failed_flush_did_not_save_is_in_the_copy() {
    let scene = scene();
    let mut work = Work::open(&scene.hangar, &scene.sid).expect("open");
    work.record(&scene.hangar, &ada(), note("two")).expect("noted");
    // The next record is written and its flush fails.
    scene.disk.fail_at(scene.disk.calls() + 1, fault(std::io::ErrorKind::Other));
    let lost = work.record(&scene.hangar, &ada(), note("three")).expect_err("not saved");
    assert!(matches!(lost, HangarError::Disk { .. }), "{lost}");
    assert!(lost.to_string().contains("copy the session to another medium"), "{lost}");
    let done = work.rescue(&scene.hangar, Path::new("/stick")).expect("copied");
    assert_eq!((done.problems.clone(), done.damage.clone()), (vec![], None));
    let journal = String::from_utf8(scene.copied(&done, JOURNAL)).expect("text");
    for text in ["\"one\"", "\"two\"", "\"three\""] {
        assert!(journal.contains(text), "{text} is missing in {journal}");
    }
}

fn fault(kind: std::io::ErrorKind) -> SimFault {
    SimFault { written: 3, ..SimFault::once(kind) }
}
