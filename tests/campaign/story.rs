//! One whole session as it is worked, on a simulated disk, and what the inspector was shown and when.

use std::path::{Path, PathBuf};

use chrono::DateTime;
use serde_json::{Value, json};
use spanwise::journal::{Entry, Fields, Hash, encode, sha256};
use spanwise::store::sim_disk::Random;
use spanwise::store::{
    AppendError, Draft, FakeClock, Hangar, SharedDisk, SimDisk, Writer, create, create_with, open_writer,
};

pub const SESSIONS: &str = "/hangar/sessions";
/// The session and the one that continues it.
pub const SIDS: [&str; 2] = ["00112233445566778899aabbccddeeff", "ffeeddccbbaa99887766554433221100"];
pub const PLAN: &[u8] = b"{\"plan\":1}";

/// Makes the disk that the program sees out of the simulated one: itself, or a mutant around it.
pub type Wrap<'a> = &'a (dyn Fn(&SimDisk) -> SharedDisk + Sync);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    Creation,
    Answering,
    Evidence,
    Edition,
    Reopening,
    SignOff,
    Countersign,
    Continuing,
}

pub const PHASES: [(Phase, &str); 8] = [
    (Phase::Creation, "creation"),
    (Phase::Answering, "answering"),
    (Phase::Evidence, "evidence"),
    (Phase::Edition, "taking up an edition"),
    (Phase::Reopening, "closing and reopening"),
    (Phase::SignOff, "sign-off"),
    (Phase::Countersign, "countersign"),
    (Phase::Continuing, "continuing a session"),
];

/// What is worked: lengths of the notes of the answers (before and after the reopening), evidence, second plan.
#[derive(Debug, Clone)]
pub struct Script {
    notes: [Vec<usize>; 2],
    pub photo: Vec<u8>,
    pub plan: Vec<u8>,
}

impl Script {
    pub fn short() -> Self {
        Script {
            notes: [vec![0, 600], vec![20]],
            photo: b"not really a photograph of a fin".to_vec(),
            plan: b"{\"plan\":2}".to_vec(),
        }
    }

    /// Notes of 0 to 2,000 characters, so that a line lies in one sector or in up to five.
    pub fn drawn(random: &mut Random) -> Self {
        let mut notes = || {
            let count = 1 + random.below(3);
            (0..count)
                .map(|_| if random.below(4) == 0 { random.below(2000) } else { random.below(90) })
                .collect()
        };
        let notes = [notes(), notes()];
        let bytes = |most: usize, random: &mut Random| -> Vec<u8> {
            let len = 1 + random.below(most);
            (0..len).map(|_| random.draw() as u8).collect()
        };
        Script { notes, photo: bytes(1500, random), plan: bytes(1500, random) }
    }
}

pub fn dir_of(session: usize) -> PathBuf {
    Path::new(SESSIONS).join(SIDS[session])
}

pub fn clock() -> FakeClock {
    let at = DateTime::parse_from_rfc3339("2030-05-04T09:00:00+02:00").unwrap_or_default();
    FakeClock::fixed(at)
}

pub fn draft(kind: &str, body: Value) -> Draft {
    Draft { kind: kind.into(), body, wall: "2030-05-04T09:00:00.000+02:00".into(), mono_ms: 60_000 }
}

/// A line that was begun: it may appear after a crash, whether it was acknowledged or not.
#[derive(Debug, Clone)]
pub struct Begun {
    pub call: u64,
    pub session: usize,
    pub seq: u64,
    pub kind: String,
    pub body: Value,
}

/// What was shown as saved, and at which call of the disk.
#[derive(Debug, Default)]
pub struct Shown {
    pub acked: Vec<(u64, usize, Entry)>,
    pub begun: Vec<Begun>,
    pub phases: Vec<(u64, Phase)>,
    pub poisoned: bool,
    /// Must stay 0.
    pub acked_after_poison: usize,
}

impl Shown {
    pub fn phase_at(&self, call: u64) -> Phase {
        self.phases.iter().rev().find(|(from, _)| *from <= call).map_or(Phase::Creation, |(_, phase)| *phase)
    }

    /// The lines of one session that had been shown as saved before a call.
    pub fn before(&self, call: u64, session: usize) -> Vec<Entry> {
        let shown = self.acked.iter().filter(|(at, of, _)| *at <= call && *of == session);
        shown.map(|(_, _, entry)| entry.clone()).collect()
    }

    fn enter(&mut self, disk: &SimDisk, phase: Phase) {
        self.phases.push((disk.calls(), phase));
    }

    fn append(&mut self, disk: &SimDisk, writer: &mut Writer, session: usize, draft: Draft) {
        let (kind, body) = (draft.kind.clone(), draft.body.clone());
        self.begun.push(Begun { call: disk.calls(), session, seq: writer.head().seq + 1, kind, body });
        let mut outcome = writer.append(draft.clone());
        if matches!(outcome, Err(AppendError::NotSaved { .. })) {
            // Room was made; the answer is given again.
            outcome = writer.append(draft);
        }
        match outcome {
            Ok(entry) => {
                self.acked.push((disk.calls(), session, entry));
                self.acked_after_poison += usize::from(self.poisoned);
            }
            Err(AppendError::Poisoned { .. } | AppendError::PoisonedBefore { .. }) => self.poisoned = true,
            Err(_) => {}
        }
    }

    /// All first lines of a session are shown at once, when its creation is.
    fn created(&mut self, disk: &SimDisk, session: usize, drafts: &[Draft]) {
        let mut prev = Hash::ZERO;
        for (draft, seq) in drafts.iter().zip(0..) {
            let Draft { kind, body, wall, mono_ms } = draft.clone();
            let sid = SIDS[session].to_string();
            let Ok(made) = encode(Fields { sid, seq, prev, wall, mono_ms, kind, body }) else { return };
            prev = made.entry.hash;
            self.acked.push((disk.calls(), session, made.entry));
        }
    }
}

pub fn hangar_disk() -> SimDisk {
    let disk = SimDisk::new();
    // A fresh simulated disk refuses nothing.
    let _ = Hangar::at("/hangar").ensure(&disk);
    disk
}

/// Works the whole session, going on after a failed answer as a stubborn person would, and stopping where the
/// session cannot be opened or made.
pub fn work(disk: &SimDisk, wrap: Wrap<'_>, script: &Script) -> Shown {
    let mut shown = Shown::default();
    shown.enter(disk, Phase::Creation);
    let first = draft("open", json!({ "plan": sha256(PLAN).to_string() }));
    shown.begin_all(disk, 0, std::slice::from_ref(&first));
    let Ok(mut writer) = create(wrap(disk), Path::new(SESSIONS), SIDS[0], PLAN, first.clone()) else {
        return shown;
    };
    shown.created(disk, 0, &[first]);
    shown.answers(disk, &mut writer, &script.notes[0]);
    shown.enter(disk, Phase::Evidence);
    if let Ok(stored) = writer.evidence().add(&mut &script.photo[..], Path::new("photo")) {
        let line = draft("evidence", json!({ "sha256": stored.hash.to_string() }));
        shown.append(disk, &mut writer, 0, line);
    }
    shown.enter(disk, Phase::Edition);
    if let Ok(hash) = writer.put_plan(&script.plan) {
        shown.append(disk, &mut writer, 0, draft("plan_revised", json!({ "plan": hash.to_string() })));
    }
    if !shown.poisoned {
        shown.enter(disk, Phase::Reopening);
        drop(writer);
        let Ok((opened, _)) = open_writer(wrap(disk), &dir_of(0), &clock()) else { return shown };
        writer = opened;
    }
    shown.answers(disk, &mut writer, &script.notes[1]);
    shown.enter(disk, Phase::SignOff);
    shown.append(disk, &mut writer, 0, draft("signed_off", json!({ "statement": "released" })));
    shown.enter(disk, Phase::Countersign);
    shown.append(disk, &mut writer, 0, draft("countersigned", json!({ "by": "second person" })));
    if !shown.poisoned {
        shown.go_on_in_another(disk, wrap, &writer);
    }
    shown
}

impl Shown {
    fn answers(&mut self, disk: &SimDisk, writer: &mut Writer, notes: &[usize]) {
        self.enter(disk, Phase::Answering);
        for (n, note) in notes.iter().enumerate() {
            let body = json!({ "n": n, "note": "läuft frei ".repeat(note / 11 + 1) });
            self.append(disk, writer, 0, draft("answer", body));
        }
    }

    fn begin_all(&mut self, disk: &SimDisk, session: usize, drafts: &[Draft]) {
        for (draft, seq) in drafts.iter().zip(0..) {
            let (call, kind, body) = (disk.calls(), draft.kind.clone(), draft.body.clone());
            self.begun.push(Begun { call, session, seq, kind, body });
        }
    }

    /// The second session carries over every line and the evidence of the first.
    fn go_on_in_another(&mut self, disk: &SimDisk, wrap: Wrap<'_>, old: &Writer) {
        self.enter(disk, Phase::Continuing);
        let mut drafts = vec![draft("open", json!({ "continues": SIDS[0] }))];
        let mut evidence = Vec::new();
        for (_, _, entry) in &self.acked {
            let mut body = json!({ "from": entry.seq });
            if let (true, Some(hash)) = (entry.kind == "evidence", cited(entry)) {
                body["sha256"] = hash.to_string().into();
                evidence.push((hash, old.evidence().path_of(&hash)));
            }
            drafts.push(draft("carried", body));
        }
        self.begin_all(disk, 1, &drafts);
        let made = create_with(wrap(disk), Path::new(SESSIONS), SIDS[1], PLAN, drafts.clone(), &evidence);
        let Ok(mut writer) = made else { return };
        self.created(disk, 1, &drafts);
        self.append(disk, &mut writer, 1, draft("answer", json!({ "n": "first after the continuation" })));
    }
}

/// The evidence that a line cites.
pub fn cited(entry: &Entry) -> Option<Hash> {
    entry.body["sha256"].as_str()?.parse().ok()
}
