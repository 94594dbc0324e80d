//! Power cuts and failing disks against a short session, exhaustively: at every call boundary, at every byte of the
//! pending write, and with every call failing in turn.
//!
//! The invariants: every acknowledged answer survives in its place; at most one further line appears, and it is the
//! one being written; the chain verifies after recovery; recovery done twice changes nothing; no byte is deleted;
//! damage never becomes writable by itself; a crash alone never yields damage; after a failed sync nothing more is
//! acknowledged.
#![allow(clippy::disallowed_methods, reason = "tests damage files on purpose")]

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::DateTime;
use serde_json::json;
use spanwise::journal::entry::Entry;
use spanwise::journal::recover::{Verdict, judge};
use spanwise::journal::{Hash, sha256, verify};
use spanwise::store::sim_disk::SimFault;
use spanwise::store::{
    AppendError, Disk, Draft, EvidenceCheck, FakeClock, Hangar, OpenError, SharedDisk, SimDisk, Writer,
    create, open_reader, open_writer, read_plans,
};

const SID: &str = "00112233445566778899aabbccddeeff";
const SESSIONS: &str = "/hangar/sessions";
const PHOTO: &[u8] = b"not really a photograph of a fin";
const ANSWERS: usize = 12;

fn session() -> PathBuf {
    Path::new(SESSIONS).join(SID)
}

fn clock() -> FakeClock {
    FakeClock::fixed(DateTime::parse_from_rfc3339("2030-05-04T09:00:00+02:00").unwrap())
}

fn shared(disk: &SimDisk) -> SharedDisk {
    Arc::new(disk.clone())
}

fn draft(n: usize) -> Draft {
    let kind = if n == 0 { "open" } else { "answer" };
    let wall = format!("2030-05-04T09:{n:02}:00.000+02:00");
    Draft {
        kind: kind.into(),
        body: json!({ "n": n, "note": "läuft frei" }),
        wall,
        mono_ms: n as u64 * 60_000,
    }
}

/// What the inspector was shown, and when (in calls made before it was shown).
#[derive(Default)]
struct Shown {
    acked: Vec<(u64, Entry)>,
    evidence: Option<(u64, Hash)>,
    poisoned: bool,
    /// Acknowledgements given after a poison: must stay 0.
    acked_after_poison: usize,
}

impl Shown {
    fn append(&mut self, disk: &SimDisk, writer: &mut Writer, n: usize) {
        match writer.append(draft(n)) {
            Ok(entry) => {
                self.acked.push((disk.calls(), entry));
                self.acked_after_poison += usize::from(self.poisoned);
            }
            Err(AppendError::NotSaved { unsaved, .. }) => {
                assert_eq!(unsaved.seq, writer.head().seq + 1);
                // Room was made; the answer is given again.
                if let Ok(entry) = writer.append(draft(n)) {
                    self.acked.push((disk.calls(), entry));
                }
            }
            Err(AppendError::Poisoned { unsaved, .. } | AppendError::PoisonedBefore { unsaved, .. }) => {
                assert_eq!(Some(&unsaved), writer.unsaved());
                self.poisoned = true;
            }
            Err(AppendError::Refused(e)) => panic!("{e}"),
        }
    }

    fn before_call(&self, call: u64) -> (Vec<&Entry>, Option<Hash>) {
        let acked = self.acked.iter().filter(|(at, _)| *at <= call).map(|(_, e)| e).collect();
        (acked, self.evidence.filter(|(at, _)| *at <= call).map(|(_, hash)| hash))
    }
}

/// Create, half the answers, one evidence file, close, reopen, the other half. Goes on after a failed append (as a
/// stubborn person would) and stops where the session cannot be opened.
fn work(disk: &SimDisk) -> Shown {
    let mut shown = Shown::default();
    let Ok(mut writer) = create(shared(disk), Path::new(SESSIONS), SID, b"{\"plan\":1}", draft(0)) else {
        return shown;
    };
    let line0 = spanwise::journal::decode(&disk.read(&session().join("journal.jsonl")).unwrap_or_default());
    match line0 {
        Ok(entry) => shown.acked.push((disk.calls(), entry)),
        Err(_) => return shown,
    }
    for n in 1..=ANSWERS / 2 {
        shown.append(disk, &mut writer, n);
    }
    if let Ok(stored) = writer.evidence().add(&mut &PHOTO[..], Path::new("photo")) {
        assert_eq!(stored.hash, sha256(PHOTO));
        shown.evidence = Some((disk.calls(), stored.hash));
    }
    if shown.poisoned {
        for n in ANSWERS / 2 + 1..=ANSWERS {
            shown.append(disk, &mut writer, n);
        }
        return shown;
    }
    drop(writer);
    let Ok((mut writer, _)) = open_writer(shared(disk), &session(), &clock()) else {
        return shown;
    };
    for n in ANSWERS / 2 + 1..=ANSWERS {
        shown.append(disk, &mut writer, n);
    }
    shown
}

fn hangar_disk() -> SimDisk {
    let disk = SimDisk::new();
    Hangar::at("/hangar").ensure(&disk).unwrap();
    disk
}

fn journal_of(disk: &SimDisk) -> Vec<u8> {
    disk.read(&session().join("journal.jsonl")).unwrap()
}

/// Old bytes are a prefix of the new ones, or what was cut off lies in `torn/`.
fn nothing_deleted(disk: &SimDisk, old: &[u8], new: &[u8]) -> bool {
    let same = old.iter().zip(new).take_while(|(a, b)| a == b).count();
    let kept = verify(old).verified_len;
    let torn = session().join(format!("torn/{}.bin", sha256(&old[kept..])));
    same == old.len() || (same >= kept && disk.read(&torn).is_ok_and(|bytes| bytes == old[kept..]))
}

/// Opens a disk after a crash and checks the invariants against what had been shown.
fn check(image: &SimDisk, acked: &[&Entry], evidence: Option<Hash>, context: &str) {
    let exists = image.exists(&session()).unwrap();
    assert!(exists || acked.is_empty(), "{context}: an acknowledged session is gone");
    if !exists {
        let listed = Hangar::at("/hangar").list_sessions(image).unwrap();
        assert!(listed.iter().all(|s| !s.finished), "{context}");
        return;
    }
    let before = journal_of(image);
    let (writer, opened) =
        open_writer(shared(image), &session(), &clock()).unwrap_or_else(|e| panic!("{context}: {e}"));
    assert_eq!(opened.plan, b"{\"plan\":1}", "{context}");
    let answers: Vec<&Entry> = opened.entries.iter().filter(|e| e.kind != "recovered").collect();
    assert!(answers.len() >= acked.len(), "{context}: acknowledged answers lost");
    assert_eq!(answers[..acked.len()], *acked, "{context}: acknowledged answers changed");
    assert_eq!(opened.entries[..acked.len()].iter().collect::<Vec<_>>(), acked, "{context}: moved");
    assert!(answers.len() <= acked.len() + 1, "{context}: phantom lines");
    if let Some(extra) = answers.get(acked.len()) {
        assert_eq!(extra.body["n"], acked.len(), "{context}: not the line being written");
    }
    let after = journal_of(image);
    let verified = verify(&after);
    assert!(verified.fault.is_none() && verified.entries == opened.entries, "{context}: chain");
    assert!(nothing_deleted(image, &before, &after), "{context}: bytes deleted");
    if let Some(hash) = evidence {
        assert_eq!(writer.evidence().check(&hash).unwrap(), EvidenceCheck::Present, "{context}");
    }
    drop(writer);
    let (_, again) = open_writer(shared(image), &session(), &clock()).unwrap();
    assert!(again.notices.is_empty() && again.entries == opened.entries, "{context}: not idempotent");
    assert_eq!(journal_of(image), after, "{context}: not idempotent");
}

#[test]
fn crash_at_every_boundary_and_byte() {
    let disk = hangar_disk();
    let first_call = disk.calls();
    disk.keep_history();
    let shown = work(&disk);
    assert_eq!(shown.acked.len(), ANSWERS + 1);
    let mut images = 0;
    for (state, call) in disk.states_before_calls().iter().zip(first_call..) {
        let (acked, evidence) = shown.before_call(call);
        for image in state.crash_images(call) {
            check(&image, &acked, evidence, &format!("call {call}, image {images}"));
            images += 1;
        }
        for seed in 0..3 {
            check(&state.crash(seed), &acked, evidence, &format!("call {call}, seed {seed}"));
        }
    }
    println!("{images} crash images");
    assert!(images > 4000, "only {images} images: the simulated disk no longer tears writes");
}

/// A second crash at every boundary of the recovery from a first one.
#[test]
fn crash_during_recovery() {
    let disk = hangar_disk();
    let first_call = disk.calls();
    disk.keep_history();
    let shown = work(&disk);
    let mut recoveries = 0;
    for (state, call) in disk.states_before_calls().iter().zip(first_call..) {
        let (acked, evidence) = shown.before_call(call);
        // Healing and setting aside are the same at every answer; three of them and a spread of bytes will do.
        if !(3..=5).contains(&acked.len()) {
            continue;
        }
        for image in state.crash_images(call).iter().step_by(61) {
            let found = journal_of(image);
            let register = image.read(&session().join("acked.reg")).unwrap();
            let fragment = matches!(judge(&found, &register).verdict, Verdict::SetAside { .. });
            image.keep_history();
            open_writer(shared(image), &session(), &clock()).unwrap();
            for (nested, at) in image.states_before_calls().iter().zip(0u64..) {
                for second in nested.crash_images(at).iter().step_by(13) {
                    let context = format!("call {call}, recovery call {at}");
                    check(second, &acked, evidence, &context);
                    assert!(!fragment || nothing_deleted(second, &found, &journal_of(second)), "{context}");
                    recoveries += 1;
                }
            }
        }
    }
    println!("{recoveries} crashes in recovery");
    assert!(recoveries > 300, "only {recoveries}");
}

/// With one acknowledged line there is no second slot to fall back on, so opening must not risk the first.
#[test]
fn crash_while_reopening_a_new_session() {
    let disk = hangar_disk();
    let writer = create(shared(&disk), Path::new(SESSIONS), SID, b"{\"plan\":1}", draft(0)).unwrap();
    drop(writer);
    let line0 = open_reader(&disk, &session()).unwrap().entries.remove(0);
    disk.keep_history();
    open_writer(shared(&disk), &session(), &clock()).unwrap();
    for (state, call) in disk.states_before_calls().iter().zip(0..) {
        for image in state.crash_images(call) {
            check(&image, &[&line0], None, &format!("reopening call {call}"));
        }
    }
}

fn faults() -> Vec<SimFault> {
    let mut all = Vec::new();
    for kind in [ErrorKind::Other, ErrorKind::StorageFull] {
        for (written, persists) in [(0, false), (7, false), (usize::MAX, false), (7, true)] {
            for old_content_returns in [false, true] {
                all.push(SimFault { kind, written, persists, old_content_returns });
            }
        }
    }
    all
}

/// Each call fails in turn; afterwards the session is opened in the same boot (the cache intact), continued, and
/// then the power goes.
#[test]
fn every_call_fails_in_turn() {
    let mut runs = 0;
    for fault in faults() {
        for call in 0.. {
            let disk = hangar_disk();
            disk.fail_at(disk.calls() + call, fault);
            let shown = work(&disk);
            if !disk.fault_fired() {
                break;
            }
            runs += 1;
            let context = format!("{fault:?} at call {call}");
            assert_eq!(shown.acked_after_poison, 0, "{context}");
            disk.fail_at(u64::MAX, fault);
            let (acked, evidence) = shown.before_call(u64::MAX);
            for seed in 0..4 {
                check(&disk.crash(seed), &acked, evidence, &format!("{context}, crash {seed}"));
            }
            let thorough = fault == faults()[0];
            continue_in_same_boot(&disk, &acked, evidence, thorough, &context);
        }
    }
    println!("{runs} runs with a fault");
    assert!(runs > 500, "only {runs}");
}

fn continue_in_same_boot(
    disk: &SimDisk,
    acked: &[&Entry],
    evidence: Option<Hash>,
    thorough: bool,
    context: &str,
) {
    if !disk.exists(&session()).unwrap() {
        assert!(acked.is_empty(), "{context}");
        return;
    }
    let (mut writer, opened) =
        open_writer(shared(disk), &session(), &clock()).unwrap_or_else(|e| panic!("{context}: {e}"));
    let mut all = opened.entries;
    assert_eq!(all[..acked.len()].iter().collect::<Vec<_>>(), acked, "{context}");
    let plain = all.iter().all(|e| e.kind != "recovered");
    if plain && thorough {
        disk.keep_history();
    }
    let next = writer.append(draft(all.len())).unwrap();
    let mut states = disk.states_before_calls();
    states.pop();
    for (state, seed) in
        states.iter().zip(0..).flat_map(|(state, at)| (0..6).map(move |n| (state, at * 6 + n)))
    {
        let context = format!("{context}, crash {seed} in the next answer");
        check(&state.crash(seed), &all.iter().collect::<Vec<_>>(), evidence, &context);
    }
    all.push(next);
    all.push(writer.append(draft(all.len())).unwrap());
    drop(writer);
    for seed in 0..4 {
        let image = disk.crash(seed);
        let reader = open_reader(&image, &session()).unwrap();
        assert_eq!(reader.entries, all, "{context}, later crash {seed}");
        assert!(matches!(reader.verdict, Verdict::Clean { .. } | Verdict::SetAside { .. }), "{context}");
    }
    if let Some(hash) = evidence {
        let check = spanwise::store::Evidence::new(shared(disk), &session()).check(&hash).unwrap();
        assert_eq!(check, EvidenceCheck::Present, "{context}");
    }
}

/// A failed sync is final: the answer is named, later ones are refused, and the rescue copy holds everything.
#[test]
fn poison_and_rescue() {
    let disk = hangar_disk();
    let mut writer = create(shared(&disk), Path::new(SESSIONS), SID, b"{}", draft(0)).unwrap();
    writer.append(draft(1)).unwrap();
    // The call after the write of the line is the journal's sync.
    disk.fail_at(disk.calls() + 1, SimFault::once(ErrorKind::Other));
    let error = writer.append(draft(2)).unwrap_err();
    assert!(matches!(&error, AppendError::Poisoned { unsaved, .. } if unsaved.seq == 2), "{error}");
    assert!(error.to_string().contains("line 2 (answer) was NOT saved"), "{error}");
    let calls = disk.calls();
    assert!(matches!(writer.append(draft(3)), Err(AppendError::PoisonedBefore { .. })));
    assert_eq!(disk.calls(), calls, "a poisoned writer touches nothing");
    let stick = hangar_disk();
    let plan = writer.put_plan(b"{\"plan\":2}").unwrap();
    writer.evidence().add(&mut &PHOTO[..], Path::new("photo")).unwrap();
    let changed = writer.evidence().add(&mut &b"second"[..], Path::new("photo")).unwrap().hash;
    disk.overwrite(&writer.evidence().path_of(&changed), b"changed");
    let report = writer.rescue_copy(Path::new("/rescue")).unwrap();
    assert_eq!((report.lines, report.unsaved_seq), (3, Some(2)));
    assert_eq!((report.plans, report.evidence, report.not_copied.len()), (1, 1, 1), "{report:?}");
    assert!(report.not_copied[0].contains(&changed.to_string()), "{report:?}");
    assert_eq!(read_plans(&disk, Path::new("/rescue"), &[plan.to_string()]).unwrap().len(), 1);
    assert!(writer.rescue_copy(Path::new("/rescue")).is_err(), "a rescue copy never overwrites");
    let image = disk.crash(5);
    let reader = open_reader(&image, Path::new("/rescue")).unwrap();
    assert_eq!(reader.entries.len(), 3);
    assert!(matches!(reader.verdict, Verdict::Clean { acked } if acked.seq == 2));
    drop(stick);
}

/// A file half taken in when the program was killed goes at the next opening; what is cited stays.
#[test]
fn unfinished_evidence_is_swept() {
    let disk = hangar_disk();
    let writer = create(shared(&disk), Path::new(SESSIONS), SID, b"{}", draft(0)).unwrap();
    let kept = writer.evidence().add(&mut &PHOTO[..], Path::new("photo")).unwrap().hash;
    disk.create_new(&session().join("evidence/tmp-0")).unwrap();
    drop(writer);
    let (writer, _) = open_writer(shared(&disk), &session(), &clock()).unwrap();
    assert!(!disk.exists(&session().join("evidence/tmp-0")).unwrap());
    assert_eq!(writer.evidence().check(&kept).unwrap(), EvidenceCheck::Present);
}

/// A full disk leaves the writer usable, and the journal as it was.
#[test]
fn full_disk_then_room() {
    let disk = hangar_disk();
    let mut writer = create(shared(&disk), Path::new(SESSIONS), SID, b"{}", draft(0)).unwrap();
    let before = journal_of(&disk);
    disk.fail_at(disk.calls(), SimFault { written: 100, ..SimFault::once(ErrorKind::StorageFull) });
    assert!(matches!(writer.append(draft(1)), Err(AppendError::NotSaved { .. })));
    assert_eq!(journal_of(&disk), before);
    writer.release_reserve().unwrap();
    assert_eq!(writer.append(draft(1)).unwrap().seq, 1);
    disk.set_free_space(1024);
    let other = "ffeeddccbbaa99887766554433221100";
    let refused = create(shared(&disk), Path::new(SESSIONS), other, b"{}", draft(0)).unwrap_err();
    assert!(refused.to_string().contains("64 MiB"), "{refused}");
}

/// One writer, any number of readers; a second writer is told, not let in.
#[test]
fn one_writer_many_readers() {
    let disk = hangar_disk();
    let writer = create(shared(&disk), Path::new(SESSIONS), SID, b"{}", draft(0)).unwrap();
    let refused = open_writer(shared(&disk), &session(), &clock()).map(drop);
    assert!(matches!(refused, Err(OpenError::Locked(_))));
    for _ in 0..2 {
        assert_eq!(open_reader(&disk, &session()).unwrap().entries.len(), 1);
    }
    drop(writer);
    open_writer(shared(&disk), &session(), &clock()).unwrap();
}

/// A closed session of four lines, with its journal and register bytes.
fn closed() -> (SimDisk, Vec<Entry>, Vec<u8>, Vec<u8>) {
    let disk = hangar_disk();
    let mut writer = create(shared(&disk), Path::new(SESSIONS), SID, b"{\"plan\":1}", draft(0)).unwrap();
    for n in 1..4 {
        writer.append(draft(n)).unwrap();
    }
    drop(writer);
    let entries = open_reader(&disk, &session()).unwrap().entries;
    let (journal, register) = (journal_of(&disk), disk.read(&session().join("acked.reg")).unwrap());
    (disk, entries, journal, register)
}

/// Damaged, or nothing lost: whatever one cut or one flipped bit does to journal or register.
#[test]
fn every_cut_and_every_bit() {
    let (_, entries, journal, register) = closed();
    let lossless = |journal: &[u8], register: &[u8], context: &str| {
        let judged = judge(journal, register);
        let whole = match judged.verdict {
            Verdict::Damaged(_) => return false,
            Verdict::HealNewline { last } => [judged.verified.entries, vec![last]].concat(),
            _ => judged.verified.entries,
        };
        assert_eq!(whole, entries, "{context}: silently lost");
        true
    };
    for len in 0..journal.len() {
        assert!(!lossless(&journal[..len], &register, &format!("journal cut at {len}")));
    }
    for len in 0..register.len() {
        lossless(&journal, &register[..len], &format!("register cut at {len}"));
    }
    for bit in 0..journal.len() * 8 {
        let mut changed = journal.clone();
        changed[bit / 8] ^= 1 << (bit % 8);
        assert!(!lossless(&changed, &register, &format!("journal bit {bit}")));
    }
    for bit in 0..register.len() * 8 {
        let mut changed = register.clone();
        changed[bit / 8] ^= 1 << (bit % 8);
        assert!(lossless(&journal, &changed, &format!("register bit {bit}")));
    }
}

/// A damaged session opens for reading only, stays damaged, and no byte of it is touched.
#[test]
fn damage_is_never_written() {
    let (disk, entries, journal, register) = closed();
    let path = session().join("journal.jsonl");
    for at in (0..journal.len()).step_by(7) {
        let mut changed = journal.clone();
        changed[at] ^= 4;
        disk.overwrite(&path, &changed);
        for _ in 0..2 {
            let refused = open_writer(shared(&disk), &session(), &clock()).map(drop);
            let Err(OpenError::Damaged(damage)) = refused else { panic!("byte {at}: {refused:?}") };
            assert!(damage.byte_offset <= at, "byte {at}");
            let reader = open_reader(&disk, &session()).unwrap();
            assert_eq!(reader.entries, entries[..damage.verified_lines], "byte {at}");
        }
        assert_eq!(journal_of(&disk), changed);
        assert_eq!(disk.read(&session().join("acked.reg")).unwrap(), register);
        assert!(disk.list(&session().join("torn")).unwrap().is_empty());
    }
}

/// The same session on the machine's own disk, with a torn tail.
#[test]
fn real_disk_round_trip() {
    let place = tempfile::tempdir().unwrap();
    let real: SharedDisk = Arc::new(spanwise::store::RealDisk);
    let hangar = Hangar::at(place.path().join("hangar"));
    hangar.ensure(&*real).unwrap();
    let mut writer = create(real.clone(), &hangar.sessions(), SID, b"{}", draft(0)).unwrap();
    for n in 1..4 {
        writer.append(draft(n)).unwrap();
    }
    assert!(matches!(open_writer(real.clone(), &hangar.session(SID), &clock()), Err(OpenError::Locked(_))));
    drop(writer);
    let journal = hangar.session(SID).join("journal.jsonl");
    let whole = std::fs::read(&journal).unwrap();
    std::fs::write(&journal, [&whole[..], b"{\"e\":{\"bo"].concat()).unwrap();
    let (mut writer, opened) = open_writer(real.clone(), &hangar.session(SID), &clock()).unwrap();
    assert_eq!((opened.entries.len(), opened.notices.len()), (5, 1));
    assert_eq!(opened.entries[4].body["len"], 9);
    assert_eq!(writer.append(draft(5)).unwrap().seq, 5);
    let after = std::fs::read(&journal).unwrap();
    assert_eq!(after[..whole.len()], whole);
    let copy = place.path().join("copy");
    assert_eq!(writer.rescue_copy(&copy).unwrap().lines, 6);
    assert_eq!(open_reader(&*real, &copy).unwrap().entries.len(), 6);
}
