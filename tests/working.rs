//! A session at work on a real folder with a clock that can be set: what the joined parts promise.
#![allow(clippy::disallowed_methods, reason = "tests damage files on purpose")]

mod support;

use std::path::Path;
use std::sync::Arc;

use chrono::DateTime;
use spanwise::event::{Event, Outcome, StepResult};
use spanwise::hangar::{
    EvidenceTarget, Hangar, HangarError, Viewing, Work, begin, find_session, unfinished_annual,
};
use spanwise::session::Request;
use spanwise::store::FakeClock;
use spanwise::store::unpack::write_file;

use support::key_of;

const REGISTRATION: &str = "QQ-T1";

/// A hangar with one airframe of the built-in type, and a clock of its own.
fn hangar(root: &Path) -> (Hangar, Arc<FakeClock>) {
    let airframe = format!(
        "registration = \"{REGISTRATION}\"\ntype = \"varn-15\"\nserial = \"9\"\nhours = \"10.0\"\nbuild_standard = [\"A\"]\n"
    );
    let people = support::PEOPLE.replace("types = [\"ostrel\"]", "types = [\"*\"]");
    let files = [
        ("airframes/QQ-T1.toml", airframe.as_str()),
        ("people.toml", people.as_str()),
        ("instruments.toml", support::INSTRUMENTS),
    ];
    for (name, text) in files {
        write_file(&root.join(name), text.as_bytes()).unwrap_or_else(|error| panic!("{error}"));
    }
    let start =
        DateTime::parse_from_rfc3339("2026-11-25T09:00:00+01:00").unwrap_or_else(|error| panic!("{error}"));
    let clock = Arc::new(FakeClock::fixed(start));
    let mut hangar = Hangar::load(root);
    hangar.clock = clock.clone();
    (hangar, clock)
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().unwrap_or_else(|error| panic!("{error}"))
}

fn started(hangar: &Hangar) -> Work {
    let by = hangar.actor("ada").unwrap_or_else(|error| panic!("{error}"));
    let begun = begin(hangar, REGISTRATION, &by).unwrap_or_else(|error| panic!("{error}"));
    Work::open(hangar, &begun.sid).unwrap_or_else(|error| panic!("{error}"))
}

fn pass(hangar: &Hangar, work: &mut Work, step: &str) -> Result<u64, HangarError> {
    let by = hangar.actor("ada")?;
    let request = Request::Answer { step: step.into(), result: StepResult::Passed, reason: None, why: None };
    work.record(hangar, &by, request).map(|recorded| recorded.entry)
}

#[test]
fn a_clock_set_back_is_recorded_and_nothing_is_corrected() {
    let root = folder();
    let (hangar, clock) = hangar(root.path());
    let mut work = started(&hangar);
    pass(&hangar, &mut work, "records.identity").unwrap_or_else(|error| panic!("{error}"));
    clock.advance_ms(60_000);
    pass(&hangar, &mut work, "records.times").unwrap_or_else(|error| panic!("{error}"));
    let earlier =
        DateTime::parse_from_rfc3339("2025-01-01T00:00:00+01:00").unwrap_or_else(|error| panic!("{error}"));
    clock.set_wall(earlier);
    pass(&hangar, &mut work, "records.technical-log").unwrap_or_else(|error| panic!("{error}"));
    let steps: Vec<&Event> = work
        .view
        .entries
        .iter()
        .map(|stamped| &stamped.event)
        .filter(|event| matches!(event, Event::ClockStepped { .. }))
        .collect();
    let [Event::ClockStepped { wall_change_ms, elapsed_ms, .. }] = steps[..] else { panic!("{steps:?}") };
    assert!(*wall_change_ms < -1_000_000 && *elapsed_ms < 1_000, "{wall_change_ms} {elapsed_ms}");
}

#[test]
fn one_writer_any_number_of_readers() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    let mut work = started(&hangar);
    let sid = work.view.sid.clone();
    let second = Work::open(&hangar, &sid);
    assert!(matches!(second, Err(HangarError::InUse { .. })), "{second:?}");
    pass(&hangar, &mut work, "records.identity").unwrap_or_else(|error| panic!("{error}"));
    let view = Viewing::open(&hangar, &sid).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(view.state, work.view.state, "a reader sees what is acknowledged");
    drop(work);
    assert!(Work::open(&hangar, &sid).is_ok(), "the lock goes with its holder");
}

#[test]
fn evidence_is_kept_by_content_and_a_change_refuses_the_signature() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    let mut work = started(&hangar);
    let by = hangar.actor("ada").unwrap_or_else(|error| panic!("{error}"));
    let file = root.path().join("film.txt");
    write_file(&file, b"frames").unwrap_or_else(|error| panic!("{error}"));
    let target = EvidenceTarget { step: Some("wing.inside".into()), demand: None, defect: None };
    work.add_evidence(&hangar, &by, target, &file).unwrap_or_else(|error| panic!("{error}"));
    let wrong = EvidenceTarget { step: Some("no.such".into()), demand: None, defect: None };
    assert!(work.add_evidence(&hangar, &by, wrong, &file).is_err());
    // `printf frames | sha256sum`, GNU coreutils.
    let sha256 = &work.view.state.evidence[0].what.sha256.clone();
    assert_eq!(sha256, "594cfd2607d4f09e1ce6241203e418cacfed545063792bc5eab7afaadbf0c4e0");
    let kept = work.view.dir.join("evidence").join(&sha256[..2]).join(sha256);
    let nine =
        |work: &Work| work.view.verdict(None).refusals().iter().filter(|refusal| refusal.number == 9).count();
    assert_eq!(nine(&work), 0);
    drop(work);
    // Content that is read-only on purpose is replaced as an intruder would.
    std::fs::remove_file(&kept).unwrap_or_else(|error| panic!("{error}"));
    write_file(&kept, b"other!").unwrap_or_else(|error| panic!("{error}"));
    let sid = find_session(&hangar, REGISTRATION).unwrap_or_else(|error| panic!("{error}"));
    let work = Work::open(&hangar, &sid).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(nine(&work), 1);
}

#[test]
fn signing_reads_the_disk_again_and_a_closed_session_stays_closed() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    let mut work = started(&hangar);
    let ada = hangar.person("ada").unwrap_or_else(|error| panic!("{error}")).clone();
    let refused =
        work.sign(&hangar, &ada, Outcome::Release, &key_of("ada")).unwrap_or_else(|error| panic!("{error}"));
    let refusals = refused.err().unwrap_or_else(|| panic!("signed with everything open"));
    assert!(refusals.iter().any(|refusal| refusal.number == 1));
    assert!(work.view.state.signed.is_none());
}

#[test]
fn a_changed_plan_is_damage_and_nothing_can_be_added() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    let work = started(&hangar);
    let plan = work.view.dir.join("plan.json");
    let sid = work.view.sid.clone();
    drop(work);
    let mut text = String::from_utf8(bytes_of(&plan)).unwrap_or_default();
    text = text.replace("\"mandatory\":true", "\"mandatory\":false");
    std::fs::remove_file(&plan).unwrap_or_else(|error| panic!("{error}"));
    write_file(&plan, text.as_bytes()).unwrap_or_else(|error| panic!("{error}"));
    assert!(matches!(Work::open(&hangar, &sid), Err(HangarError::Damaged { .. })));
    let view = Viewing::open(&hangar, &sid).unwrap_or_else(|error| panic!("{error}"));
    assert!(view.integrity[0].contains("plan"), "{:?}", view.integrity);
    assert!(view.verdict(None).refusals().iter().any(|refusal| refusal.number == 12));
}

fn bytes_of(path: &Path) -> Vec<u8> {
    std::fs::read(path).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn evidence_is_one_file_that_ends() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    let mut work = started(&hangar);
    let by = hangar.actor("ada").unwrap_or_else(|error| panic!("{error}"));
    // A folder stands for everything that is no file; a device would fill the disk.
    let target = EvidenceTarget { step: Some("records.identity".into()), ..EvidenceTarget::default() };
    let declined = work.add_evidence(&hangar, &by, target.clone(), root.path());
    assert!(matches!(declined, Err(HangarError::Declined(_))), "{declined:?}");
    let empty = root.path().join("empty.jpg");
    write_file(&empty, b"").unwrap_or_else(|error| panic!("{error}"));
    let declined = work.add_evidence(&hangar, &by, target, &empty);
    assert!(matches!(declined, Err(HangarError::Declined(_))), "{declined:?}");
}

#[test]
fn an_annual_under_way_is_found_until_it_is_gone() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    assert_eq!(unfinished_annual(&hangar, REGISTRATION), None);
    let sid = started(&hangar).view.sid.clone();
    assert_eq!(unfinished_annual(&hangar, "qq-t1").map(|found| found.sid), Some(sid));
    assert_eq!(unfinished_annual(&hangar, "QQ-T2"), None);
}

#[test]
fn one_file_for_two_demands_is_told() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    let mut work = started(&hangar);
    let by = hangar.actor("ada").unwrap_or_else(|error| panic!("{error}"));
    let file = root.path().join("film.mp4");
    write_file(&file, b"left, then right").unwrap_or_else(|error| panic!("{error}"));
    let mut add = |step: &str| {
        let target = EvidenceTarget { step: Some(step.into()), ..EvidenceTarget::default() };
        let recorded =
            work.add_evidence(&hangar, &by, target, &file).unwrap_or_else(|error| panic!("{error}"));
        work.same_content(recorded.entry)
    };
    assert_eq!(add("records.identity"), None);
    let told = add("records.times").unwrap_or_default();
    assert!(told.contains("records.identity"), "{told}");
}

#[test]
fn a_paused_session_is_not_signed() {
    let root = folder();
    let (hangar, _) = hangar(root.path());
    let mut work = started(&hangar);
    let by = hangar.actor("ada").unwrap_or_else(|error| panic!("{error}"));
    let ada = hangar.person("ada").unwrap_or_else(|error| panic!("{error}")).clone();
    work.record(&hangar, &by, Request::Pause { note: None }).unwrap_or_else(|error| panic!("{error}"));
    let signed = work.sign(&hangar, &ada, Outcome::Release, &key_of("ada"));
    assert!(matches!(&signed, Err(HangarError::Declined(why)) if why.why.contains("paused")), "{signed:?}");
    work.record(&hangar, &by, Request::Resume).unwrap_or_else(|error| panic!("{error}"));
    assert!(
        matches!(work.sign(&hangar, &ada, Outcome::Release, &key_of("ada")), Ok(Err(_))),
        "refused for its reasons"
    );
}
