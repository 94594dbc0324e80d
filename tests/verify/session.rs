//! A signed and countersigned session in memory: evidence, a pause, a revision of the plan. Invented throughout.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::OnceLock;

use spanwise::audit::verify::{FoundFile, KnownKey, Report, SessionFiles, verify};
use spanwise::checklist::Configuration;
use spanwise::event::{
    Actor, Answered, Countersigned, Event, EvidenceAdded, Opened, Outcome, PlanRevised, RevisionCause,
    RunStarted, SignedOff, StepResult,
};
use spanwise::journal::register::{REGISTER_LEN, SLOT_LEN, Slot};
use spanwise::journal::{Encoded, Fields, Hash, encode, sha256};
use spanwise::plan::{Plans, plan_hash};
use spanwise::seal::{key_id, seal_countersign, seal_sign_off};
use spanwise::signoff::evidence_manifest;
use spanwise::state::{Stamped, replay};

use crate::support::{key_of, small_plan};

pub const SID: &str = "00112233445566778899aabbccddeeff";
pub const OTHER: &str = "ffeeddccbbaa99887766554433221100";
/// Numbers of entries in [`signed`].
pub const REVISED: u64 = 8;
pub const EVIDENCE: [u64; 2] = [4, 10];
pub const SIGNED: u64 = 12;

#[derive(Clone)]
pub struct Session {
    pub sid: String,
    pub lines: Vec<Vec<u8>>,
    pub heads: Vec<Hash>,
    pub journal: Vec<u8>,
    pub register: Vec<u8>,
    pub plan: Vec<u8>,
    pub later: BTreeMap<String, Vec<u8>>,
    pub evidence: BTreeMap<String, Vec<u8>>,
}

fn actor(id: &str) -> Actor {
    Actor { id: id.to_string(), name: format!("{id} (invented)") }
}

fn answered(step: &str) -> Event {
    Event::Answered(Answered {
        by: actor("ada"),
        step: step.to_string(),
        result: StepResult::Passed,
        reason: None,
        corrects: None,
        reinspects: None,
    })
}

/// Writes events one after the other, as the program would.
struct Maker {
    sid: String,
    made: Vec<Encoded>,
    stamped: Vec<Stamped>,
}

impl Maker {
    fn add(&mut self, event: Event) {
        let (kind, body) = event.to_parts().unwrap();
        let seq = self.made.len() as u64;
        let encoded = encode(Fields {
            sid: self.sid.clone(),
            seq,
            prev: self.made.last().map_or(Hash::ZERO, |last| last.entry.hash),
            wall: format!("2030-05-04T09:{seq:02}:00.000+02:00"),
            mono_ms: seq * 60_000,
            kind,
            body,
        })
        .unwrap();
        let (wall, hash) = (encoded.entry.wall.clone(), encoded.entry.hash.to_string());
        self.stamped.push(Stamped { entry: seq, wall, mono_ms: seq * 60_000, hash, event });
        self.made.push(encoded);
    }
}

fn photo(content: &[u8], name: &str) -> Event {
    Event::EvidenceAdded(EvidenceAdded {
        by: actor("ada"),
        step: Some("fin.look".to_string()),
        demand: Some("photo".to_string()),
        defect: None,
        sha256: sha256(content).to_string(),
        bytes: content.len() as u64,
        name: name.to_string(),
    })
}

const PHOTOS: [&[u8]; 2] = [b"not really a photograph", b"nor is this one of the fin"];

/// The whole session; `note` is what entry 5 says.
pub fn signed(sid: &str, note: &str) -> Session {
    signed_under(sid, note, &|sid, signed| {
        seal_sign_off(sid, signed, &key_of("ada")).unwrap();
    })
}

/// The same, with the sign-off sealed as the caller wants it.
pub fn signed_under(sid: &str, note: &str, seal: &dyn Fn(&str, &mut SignedOff)) -> Session {
    let first = small_plan();
    let mut second = first.clone();
    second.steps[0].because.push("a later thought (invented)".to_string());
    let (plan, later) = (first.to_bytes().unwrap(), second.to_bytes().unwrap());
    let (hash, later_hash) = (plan_hash(&plan), plan_hash(&later));
    let mut plans = Plans::new(first);
    plans.add(later_hash.clone(), second);
    let mut maker = Maker { sid: sid.to_string(), made: Vec::new(), stamped: Vec::new() };
    work(&mut maker, &hash, &later_hash, note);
    sign(&mut maker, &plans, &later_hash, seal);
    let evidence = PHOTOS.iter().map(|photo| (sha256(photo).to_string(), photo.to_vec())).collect();
    from_lines(sid, &maker.made, plan, BTreeMap::from([(later_hash, later)]), evidence)
}

fn work(maker: &mut Maker, plan: &str, later: &str, note: &str) {
    maker.add(Event::Opened(Opened {
        format: 1,
        program: "test".into(),
        plan: plan.to_string(),
        registration: "ZZ-01".into(),
        type_id: "ostrel".into(),
        serial: "7".into(),
        by: actor("ada"),
        device: "test".into(),
        continues: None,
    }));
    maker.add(Event::RunStarted(RunStarted { program: "test".into(), device: "test".into(), boot: None }));
    let configuration = Configuration::parse("tailplane=off").unwrap();
    maker.add(Event::ConfigurationConfirmed { by: actor("ada"), configuration });
    maker.add(answered("prep.clean"));
    maker.add(photo(PHOTOS[0], "left.jpg"));
    maker.add(Event::Noted { by: actor("ada"), step: Some("fin.look".into()), text: note.to_string() });
    maker.add(Event::Paused { by: actor("ada"), note: None });
    maker.add(Event::Resumed { by: actor("ada") });
    maker.add(Event::PlanRevised(PlanRevised {
        by: actor("ada"),
        cause: RevisionCause::Edition,
        why: "a newer edition (invented)".into(),
        previous: plan.to_string(),
        plan: later.to_string(),
        added: Vec::new(),
        changed: vec!["prep.clean".into()],
        gone: Vec::new(),
    }));
    maker.add(answered("prep.clean"));
    maker.add(photo(PHOTOS[1], "right.jpg"));
    maker.add(answered("fin.look"));
}

/// Whose keys the register of this hangar names.
/// Made once: the sweeps ask for them many thousand times.
pub fn keys() -> Vec<KnownKey> {
    static KEYS: OnceLock<Vec<KnownKey>> = OnceLock::new();
    let known = |person: &str| KnownKey {
        person: person.to_string(),
        key: key_id(key_of(person).public_line()).unwrap().to_string(),
        valid_from: "2030-01-01".parse().unwrap(),
        valid_until: None,
    };
    KEYS.get_or_init(|| vec![known("ada"), known("ben")]).clone()
}

fn sign(maker: &mut Maker, plans: &Plans, plan: &str, seal: &dyn Fn(&str, &mut SignedOff)) {
    let state = replay(plans, &maker.stamped).unwrap();
    let mut signed = SignedOff {
        by: actor("ada"),
        outcome: Outcome::Release,
        statement: "an invented statement".into(),
        certificate: "invented".into(),
        authorisation: "A-1".into(),
        date: "2030-05-04".parse().unwrap(),
        hours: "1000.5".parse().unwrap(),
        launches: 900,
        count: state.entries,
        head: state.head.clone(),
        plan: plan.to_string(),
        evidence: evidence_manifest(&state),
        discrepancies: Vec::new(),
        seal: None,
    };
    seal(&maker.sid, &mut signed);
    maker.add(Event::SignedOff(signed));
    let signed = maker.made.last().unwrap().entry.clone();
    let mut added = Countersigned {
        by: actor("ben"),
        entry: signed.seq,
        hash: signed.hash.to_string(),
        authorisation: None,
        agrees: true,
        note: String::new(),
        seal: None,
    };
    seal_countersign(&maker.sid, &mut added, &key_of("ben")).unwrap();
    maker.add(Event::Countersigned(added));
}

/// The register as it stands after the last of these entries.
pub fn register(heads: &[Hash]) -> Vec<u8> {
    let mut register = vec![b'\n'; REGISTER_LEN];
    for (seq, hash) in heads.iter().enumerate().rev().take(2) {
        let slot = Slot { seq: seq as u64, hash: *hash };
        let at = slot.offset() as usize;
        register[at..at + SLOT_LEN].copy_from_slice(&slot.encode());
    }
    register
}

fn from_lines(
    sid: &str,
    made: &[Encoded],
    plan: Vec<u8>,
    later: BTreeMap<String, Vec<u8>>,
    evidence: BTreeMap<String, Vec<u8>>,
) -> Session {
    let lines: Vec<Vec<u8>> = made.iter().map(|line| line.line.clone()).collect();
    let heads: Vec<Hash> = made.iter().map(|line| line.entry.hash).collect();
    let (journal, register) = (lines.concat(), register(&heads));
    Session { sid: sid.to_string(), lines, heads, journal, register, plan, later, evidence }
}

impl Session {
    pub fn report(&self) -> Report {
        self.report_by(&keys())
    }

    /// Held to these keys.
    pub fn report_by(&self, keys: &[KnownKey]) -> Report {
        let found = |bytes: &Vec<u8>| FoundFile::Read { sha256: sha256(bytes), bytes: bytes.len() as u64 };
        let evidence = self.evidence.iter().map(|(name, bytes)| (name.clone(), found(bytes))).collect();
        verify(&SessionFiles {
            name: &self.sid,
            journal: &self.journal,
            register: Some(&self.register),
            plan: Some(&self.plan),
            later_plans: &self.later,
            evidence: &evidence,
            keys: Some(keys),
        })
    }

    pub fn sign_off(&self) -> SignedOff {
        let entries = spanwise::journal::verify(&self.journal).entries;
        let entry = entries.iter().find(|entry| entry.kind == "signed_off").unwrap();
        match Event::from_parts(&entry.kind, &entry.body).unwrap() {
            Event::SignedOff(signed) => signed,
            other => panic!("{other:?}"),
        }
    }

    /// The first `count` entries, all of them acknowledged.
    pub fn cut(&self, count: usize) -> Session {
        let mut cut = self.clone();
        cut.lines.truncate(count);
        cut.heads.truncate(count);
        cut.journal = cut.lines.concat();
        cut.register = register(&cut.heads);
        cut
    }

    pub fn with_lines(&self, lines: &[&[u8]]) -> Session {
        Session { journal: lines.concat(), ..self.clone() }
    }

    pub fn write(&self, folder: &Path) {
        let write = |name: &str, bytes: &[u8]| {
            let path = folder.join(name);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, bytes).unwrap();
        };
        write("journal.jsonl", &self.journal);
        write("acked.reg", &self.register);
        write("plan.json", &self.plan);
        self.later.iter().for_each(|(hash, bytes)| write(&format!("plans/{hash}.json"), bytes));
        self.evidence
            .iter()
            .for_each(|(hash, bytes)| write(&format!("evidence/{}/{hash}", &hash[..2]), bytes));
    }
}
