//! A whole session verified (chain, register, plan, every entry understood and folded) against SHA-256 over the same
//! bytes: what must be read and hashed anyway.

use std::collections::BTreeMap;
use std::hint::black_box;

use spanwise::audit::verify::{SessionFiles, Soundness, verify};
use spanwise::event::{Actor, Answered, Correction, Event, Opened, StepResult};
use spanwise::journal::register::{REGISTER_LEN, Slot};
use spanwise::journal::{Fields, Hash, encode, sha256};
use spanwise::plan::plan_hash;

use super::ratio::{in_turns, timed};
use super::support;
use super::table::Table;

const ENTRIES: u64 = 20_000;
const TURNS: usize = 20;
const SID: &str = "00112233445566778899aabbccddeeff";

pub fn measure(table: &mut Table) {
    let plan = support::small_plan().to_bytes().expect("a plan");
    let (journal, register) = session(&plan_hash(&plan));
    let (later_plans, evidence) = (BTreeMap::new(), BTreeMap::new());
    let files = SessionFiles {
        name: SID,
        journal: &journal,
        register: Some(&register),
        plan: Some(&plan),
        later_plans: &later_plans,
        evidence: &evidence,
        keys: None,
    };
    let report = verify(&files);
    assert_eq!((report.verdict, report.entries as u64), (Soundness::Unsigned, ENTRIES), "{:?}", report.fault);
    let ours = || timed(|| drop(black_box(verify(black_box(&files)))));
    let peer = || {
        timed(|| {
            black_box(sha256(black_box(&journal)));
        })
    };
    let what = format!("verify {ENTRIES} entries, {:.1} MB", journal.len() as f64 / 1e6);
    table.row(&what, "SHA-256 of the same bytes", "ms", &in_turns(TURNS, ours, peer));
}

/// Notes, and every tenth entry an answer.
fn event(seq: u64, plan: &str) -> Event {
    let by = Actor { id: "ada".to_string(), name: "Ada (invented)".to_string() };
    match seq {
        0 => Event::Opened(Opened {
            format: 1,
            program: "bench".into(),
            plan: plan.to_string(),
            registration: "ZZ-01".into(),
            type_id: "ostrel".into(),
            serial: "7".into(),
            by,
            device: "bench".into(),
            continues: None,
        }),
        seq if seq % 10 == 1 => Event::Answered(Answered {
            by,
            step: "prep.clean".into(),
            result: StepResult::Passed,
            reason: None,
            corrects: seq
                .checked_sub(10)
                .filter(|earlier| *earlier > 0)
                .map(|entry| Correction { entry, why: "again".into() }),
            reinspects: None,
        }),
        _ => Event::Noted {
            by,
            step: None,
            text: format!("note {seq}: nothing unusual seen along the boom (invented)"),
        },
    }
}

fn session(plan: &str) -> (Vec<u8>, Vec<u8>) {
    let (mut journal, mut last) = (Vec::new(), Hash::ZERO);
    let mut register = vec![b'\n'; REGISTER_LEN];
    for seq in 0..ENTRIES {
        let (kind, body) = event(seq, plan).to_parts().expect("an event");
        let wall = "2030-05-04T09:00:00.000+02:00".to_string();
        let line = encode(Fields { sid: SID.into(), seq, prev: last, wall, mono_ms: seq, kind, body })
            .expect("a line");
        last = line.entry.hash;
        journal.extend_from_slice(&line.line);
        let slot = Slot { seq, hash: last };
        let at = slot.offset() as usize;
        let encoded = slot.encode();
        register[at..at + encoded.len()].copy_from_slice(&encoded);
    }
    (journal, register)
}
