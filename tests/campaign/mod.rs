//! The fault campaign: a whole session is worked on a simulated disk; the power goes at every call and within every
//! write; every call fails in turn; recovery is itself interrupted, twice over; the program is killed and goes on
//! in the same boot. First everything for one short session, then random sessions by seed.
//!
//! The invariants:
//! I1 every acknowledged line survives, same content, same place, with the evidence and the plans it cites. I2 no
//! phantom: at most one further line, and it is one that was being written; a session in creation is there whole or
//! not at all. I3 the chain verifies after every recovery. I4 the sign-off is wholly there or not (a line equals what
//! was signed, or it is a phantom). I5 recovery done twice changes nothing. I6 no byte of a journal is deleted. I7
//! damage never becomes writable by itself. I8 a crash alone never yields damage, nor keeps anything from being
//! taken in again. I9 after a failed flush nothing more is acknowledged. I10 the same seed gives the same figures.
//!
//! What a disk may do is modelled on published work: unsynced writes and names reordered and torn (Pillai and
//! others, "All File Systems Are Not Created Equal", OSDI 2014), and the two kinds of failed flush (Rebello and
//! others, "Can Applications Recover from fsync Failures?", USENIX ATC 2020).

pub mod check;
pub mod figures;
pub mod mutants;
pub mod story;

use std::io::ErrorKind;
use std::time::Instant;

use serde_json::json;
use spanwise::store::sim_disk::{Random, SimFault};
use spanwise::store::{Disk, SimDisk, open_writer};

use check::{Broken, Known, Outcome, broken, check, damage_stays, journal_of};
use figures::Figures;
use story::{Begun, Phase, Script, Shown, Wrap, clock, dir_of, draft, hangar_disk, work};

/// Crash points drawn from one random session.
const PER_SESSION: u64 = 50;

/// A moment at which the power goes, and what had been shown by then.
struct Moment<'a> {
    disk: &'a SimDisk,
    call: u64,
    shown: &'a Shown,
    script: &'a Script,
    wrap: Wrap<'a>,
}

/// Everything: one short session exhaustively, every call failing in turn, then random sessions until `points`.
pub fn run(points: u64, seed: u64, wrap: Wrap<'_>) -> Figures {
    let mut all = in_parallel(|part, parts| exhaustive(seed, part, parts, wrap));
    all.add(in_parallel(|part, parts| each_call_fails(seed, part, parts, wrap)));
    let rest = points.saturating_sub(all.points());
    all.add(random_sessions(rest, seed, wrap));
    all
}

/// Random sessions only, at least `points` crash points.
pub fn random_sessions(points: u64, seed: u64, wrap: Wrap<'_>) -> Figures {
    let sessions = points.div_ceil(PER_SESSION);
    in_parallel(|part, parts| {
        let mut figures = Figures::default();
        for number in (part..sessions).step_by(parts as usize) {
            random_session(seed, number, wrap, &mut figures);
        }
        figures
    })
}

/// Splits the work by number, so that the sum is the same on any number of cores.
fn in_parallel(work: impl Fn(u64, u64) -> Figures + Sync) -> Figures {
    let parts = std::thread::available_parallelism().map_or(1, |cores| cores.get() as u64);
    let mut all = Figures::default();
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..parts)
            .map(|part| {
                scope.spawn({
                    let work = &work;
                    move || work(part, parts)
                })
            })
            .collect();
        for worker in workers {
            match worker.join() {
                Ok(figures) => all.add(figures),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
    });
    all
}

fn exhaustive(seed: u64, part: u64, parts: u64, wrap: Wrap<'_>) -> Figures {
    let (mut figures, script, disk) = (Figures::default(), Script::short(), hangar_disk());
    let first = disk.calls();
    disk.keep_history();
    let shown = work(&disk, wrap, &script);
    let states = disk.states_before_calls();
    for (state, call) in states.iter().zip(first..).filter(|(_, call)| call % parts == part) {
        let moment = Moment { disk: state, call, shown: &shown, script: &script, wrap };
        for (number, image) in state.crash_images(seed ^ call).into_iter().enumerate() {
            let known = moment.known();
            moment.judge(image, known, &mut figures, || format!("image {number} of the short session"));
        }
    }
    figures
}

/// What can go wrong at one call: kind of error, part of a write that gets through, once or for good, and both
/// kinds of failed flush.
pub fn faults() -> Vec<SimFault> {
    let kinds =
        [ErrorKind::Other, ErrorKind::StorageFull, ErrorKind::ReadOnlyFilesystem, ErrorKind::Interrupted];
    let shapes =
        [(0, false, false), (7, false, true), (usize::MAX, true, false), (7, true, true), (0, false, true)];
    let all = kinds.into_iter().flat_map(|kind| {
        shapes.map(|(written, persists, old_content_returns)| SimFault {
            kind,
            written,
            persists,
            old_content_returns,
        })
    });
    all.collect()
}

fn each_call_fails(seed: u64, part: u64, parts: u64, wrap: Wrap<'_>) -> Figures {
    let (mut figures, script) = (Figures::default(), Script::short());
    for (fault, number) in faults().into_iter().zip(0u64..).filter(|(_, number)| number % parts == part) {
        for offset in 0u64.. {
            let disk = hangar_disk();
            let at = disk.calls() + offset;
            disk.fail_at(at, fault);
            let shown = work(&disk, wrap, &script);
            if !disk.fault_fired() {
                break;
            }
            let context = format!("{fault:?} at call {at} of the short session");
            after_fault(&disk, &shown, at, &mut figures, &context);
            let moment = Moment { disk: &disk, call: u64::MAX, shown: &shown, script: &script, wrap };
            let mut random = Random(seed ^ (number << 32) ^ offset);
            moment.crash(0, &mut random, &mut figures, &context);
            moment.crash(KILLED, &mut random, &mut figures, &context);
        }
    }
    figures
}

fn after_fault(disk: &SimDisk, shown: &Shown, at: u64, figures: &mut Figures, context: &str) {
    if !disk.fault_fired() {
        return;
    }
    let row = figures.row(shown.phase_at(at));
    row.faults += 1;
    if shown.acked_after_poison > 0 {
        row.other += 1;
        figures.describe(|| format!("I9: acknowledged after a failed flush; {context}"));
    }
}

fn random_session(seed: u64, number: u64, wrap: Wrap<'_>, figures: &mut Figures) {
    let mut random = Random(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ number);
    let (script, disk) = (Script::drawn(&mut random), hangar_disk());
    let first = disk.calls();
    let mut context = format!("--seed {seed}, random session {number}");
    let mut failed_at = first;
    if random.below(2) == 0 {
        let all = faults();
        let (fault, at) = (all[random.below(all.len())], first + random.below(200) as u64);
        disk.fail_at(at, fault);
        failed_at = at;
        context = format!("{context}, {fault:?} at call {at}");
    }
    disk.keep_history();
    let shown = work(&disk, wrap, &script);
    after_fault(&disk, &shown, failed_at, figures, &context);
    let states = disk.states_before_calls();
    for _ in 0..PER_SESSION {
        let at = random.below(states.len());
        let call = first + at as u64;
        let moment = Moment { disk: &states[at], call, shown: &shown, script: &script, wrap };
        let way = random.below(20);
        moment.crash(way, &mut random, figures, &context);
    }
}

/// Of the ways numbered 0 to 19: the power goes and comes back once; recovery is interrupted, too; the program is
/// killed, goes on in the same boot, and then the power goes.
const INTERRUPTED: usize = 11;
const KILLED: usize = 17;

impl Moment<'_> {
    fn phase(&self) -> Phase {
        self.shown.phase_at(self.call)
    }

    fn known(&self) -> [Known<'_>; 2] {
        let begun = self.shown.begun.partition_point(|begun| begun.call <= self.call);
        [0, 1].map(|session| Known {
            session,
            acked: self.shown.before(self.call, session),
            begun: &self.shown.begun[..begun],
            begun_later: None,
            journals: Vec::new(),
        })
    }

    fn crash(&self, way: usize, random: &mut Random, figures: &mut Figures, context: &str) {
        let (mut known, seed) = (self.known(), random.draw());
        let mut image = if way >= KILLED { self.disk.fork() } else { self.disk.crash(seed) };
        let mut failed = None;
        if way >= KILLED {
            failed = self.go_on(&image, &mut known, random).err();
            image = image.crash(random.draw());
        } else if way >= INTERRUPTED {
            for _ in 0..1 + random.below(2) {
                self.interrupt(&image, &mut known, random);
                image = image.crash(random.draw());
            }
        }
        let words = || format!("{context}, way {way}, crash seed {seed}");
        match failed {
            Some(broken) => self.record(Err(broken), &image, figures, words),
            None => self.judge(image, known, figures, words),
        }
        if way == 0 {
            self.damage(random, figures, context);
        }
    }

    /// Recovery begins, and the power goes at one of its calls.
    fn interrupt(&self, image: &SimDisk, known: &mut [Known<'_>; 2], random: &mut Random) {
        image.fail_at(image.calls() + 3 + random.below(24) as u64, SimFault::power_off());
        for known in known {
            let fork = image.fork();
            let Some(journal) = journal_of(&fork, known.session) else { continue };
            known.journals.push(journal);
            if let Ok((_, opened)) = open_writer((self.wrap)(image), &dir_of(known.session), &clock()) {
                // It was finished and shown: from here on its lines count as acknowledged.
                known.acked = opened.entries;
            }
        }
    }

    /// The next run of the program in the same boot: opens, answers once more, and may lose power in between.
    fn go_on(&self, disk: &SimDisk, known: &mut [Known<'_>; 2], random: &mut Random) -> Result<(), Broken> {
        let known = if disk.exists(&dir_of(1)).unwrap_or(false) { &mut known[1] } else { &mut known[0] };
        let dir = dir_of(known.session);
        if !disk.exists(&dir).unwrap_or(false) {
            return Ok(());
        }
        let power_goes = random.below(2) == 0;
        if power_goes {
            disk.fail_at(disk.calls() + 3 + random.below(30) as u64, SimFault::power_off());
        }
        let (mut writer, opened) = match open_writer((self.wrap)(disk), &dir, &clock()) {
            Ok(opened) => opened,
            Err(_) if power_goes => return Ok(()),
            Err(error) => return broken("I8", format!("does not open after a kill: {error}")),
        };
        if !opened.entries.starts_with(&known.acked) {
            return broken("I1", "acknowledged lines are gone after a kill");
        }
        known.acked = opened.entries;
        let body = json!({ "n": "after the restart" });
        let (call, session, seq) = (self.call, known.session, writer.head().seq + 1);
        known.begun_later =
            Some(Begun { call, session, seq, kind: "answer".to_string(), body: body.clone() });
        known.acked.extend(writer.append(draft("answer", body)));
        Ok(())
    }

    fn damage(&self, random: &mut Random, figures: &mut Figures, context: &str) {
        let image = self.disk.crash(random.draw());
        let at = random.draw() as usize;
        // Only a session that opens clean can be damaged in a way that is told apart.
        let clean = open_writer((self.wrap)(&image), &dir_of(0), &clock()).is_ok();
        if !clean {
            return;
        }
        match damage_stays(&image, self.wrap, 0, at) {
            Ok(()) => figures.row(self.phase()).damaged += 1,
            Err(broken) => self.record(Err(broken), &image, figures, || context.to_string()),
        }
    }

    fn judge(
        &self,
        image: SimDisk,
        known: [Known<'_>; 2],
        figures: &mut Figures,
        words: impl Fn() -> String,
    ) {
        #[allow(clippy::disallowed_methods, reason = "the campaign tells how long it took")]
        let begun = Instant::now();
        let as_left = image.fork();
        let at_work = usize::from(self.phase() == Phase::Continuing);
        let [first, second] = &known;
        let one = |known: &Known<'_>| check(&image, self.wrap, self.script, known);
        let found = if at_work == 0 {
            one(first)
        } else if figures.points().is_multiple_of(16) {
            // The session that is continued lies still; now and then it is looked at, too.
            one(first).and_then(|_| one(second))
        } else {
            one(second)
        };
        self.record(found, &as_left, figures, words);
        figures.times[self.phase() as usize] += begun.elapsed();
    }

    fn record(
        &self,
        found: Result<Outcome, Broken>,
        image: &SimDisk,
        figures: &mut Figures,
        words: impl Fn() -> String,
    ) {
        figures.count(self.phase(), found.as_ref().copied());
        if let Err(broken) = found {
            figures.describe(|| {
                format!("{broken}\n  before call {}, {}\n{}", self.call, words(), picture(image))
            });
        }
    }
}

/// The files of both sessions as the crash left them, for reading.
fn picture(image: &SimDisk) -> String {
    let mut words = String::new();
    for session in [0, 1] {
        for name in ["journal.jsonl", "acked.reg"] {
            let path = dir_of(session).join(name);
            if let Ok(bytes) = image.read(&path) {
                let lines = bytes.split_inclusive(|byte| *byte == b'\n').filter(|line| line.len() > 1);
                let shown: Vec<String> = lines.map(|line| line.escape_ascii().to_string()).collect();
                let shown = shown.join("\n    ");
                words += &format!("  {} ({} bytes)\n    {}\n", path.display(), bytes.len(), shown);
            }
        }
    }
    words
}
