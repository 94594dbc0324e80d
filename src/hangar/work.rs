//! One session: read and folded, or open for writing with the next event decided and made durable.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::rescue::{Rescued, rescue_from};
use super::{Hangar, HangarError};
use crate::airframe::Person;
use crate::completion::{Context, EvidenceFile, Refusal, Verdict, verdict};
use crate::event::{Actor, Event, Outcome, RunStarted};
use crate::journal::Entry;
use crate::journal::Verdict as Soundness;
use crate::plan::{Plan, plan_hash};
use crate::session::{Declined, Facts, Request, decide};
use crate::signoff::sign_off;
use crate::state::{Stamped, State};
use crate::store::{
    AppendError, Clock, Evidence, EvidenceCheck, OpenError, SharedDisk, Writer, open_reader, open_writer,
    wall_text,
};

/// The program's name and version, as the record keeps it.
pub const PROGRAM: &str = concat!("spanwise ", env!("CARGO_PKG_VERSION"));

/// A record read and folded, whether or not it can be written.
#[derive(Debug)]
pub struct Viewing {
    pub sid: String,
    pub dir: PathBuf,
    pub plan: Plan,
    pub plan_hash: String,
    pub state: State,
    pub entries: Vec<Stamped>,
    /// Problems found by reading it; empty when it is sound.
    pub integrity: Vec<String>,
    /// How each evidence file was found when a verdict first asked. A list of sessions or a note never asks:
    /// films are large, and each would be read whole.
    evidence: OnceCell<BTreeMap<String, EvidenceFile>>,
    pub today: NaiveDate,
    disk: SharedDisk,
}

/// What was appended, once it is durable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Recorded {
    pub entry: u64,
}

impl Viewing {
    /// Reads a session without writing anything. A damaged record is shown as far as it verifies.
    pub fn open(hangar: &Hangar, sid: &str) -> Result<Viewing, HangarError> {
        let dir = hangar.sessions_folder().join(sid);
        let reader = open_reader(hangar.disk.as_ref(), &dir)
            .map_err(|error| HangarError::disk(error, "check the folder, then try again"))?;
        let mut view = Viewing::empty(hangar, sid, dir, &reader.plan)?;
        if let Soundness::Damaged(damage) = &reader.verdict {
            view.integrity.push(damage.to_string());
        }
        view.fold(reader.entries);
        Ok(view)
    }

    /// The record before its first entry is folded: the plan read, nothing done.
    fn empty(hangar: &Hangar, sid: &str, dir: PathBuf, bytes: &[u8]) -> Result<Viewing, HangarError> {
        let plan =
            Plan::from_bytes(bytes).map_err(|error| HangarError::Damaged { why: error.to_string() })?;
        let state = State::new(&plan);
        Ok(Viewing {
            sid: sid.to_string(),
            dir,
            plan_hash: plan_hash(bytes),
            plan,
            state,
            entries: Vec::new(),
            integrity: Vec::new(),
            evidence: OnceCell::new(),
            today: hangar.today(),
            disk: Arc::clone(&hangar.disk),
        })
    }

    /// Folds verified entries; stops at the first that is not understood and says so.
    fn fold(&mut self, entries: Vec<Entry>) {
        for entry in entries {
            if let Err(problem) = self.take(&entry) {
                self.integrity.push(problem);
                return;
            }
        }
    }

    fn take(&mut self, entry: &Entry) -> Result<(), String> {
        let event = Event::from_parts(&entry.kind, &entry.body)
            .map_err(|error| format!("entry {}: {error}", entry.seq))?;
        if let Event::Opened(opened) = &event {
            if opened.plan != self.plan_hash {
                return Err(
                    "the plan is not the one that this session was begun with: its hash differs".to_string()
                );
            }
        } else if entry.seq == 0 {
            return Err("the record does not begin with its opening entry".to_string());
        }
        let stamped = Stamped {
            entry: entry.seq,
            wall: entry.wall.clone(),
            mono_ms: entry.mono_ms,
            hash: entry.hash.to_string(),
            event,
        };
        self.state.apply(&self.plan, &stamped).map_err(|fault| fault.to_string())?;
        self.entries.push(stamped);
        Ok(())
    }

    /// Hashes every evidence file that stands in the record.
    fn look_at_evidence(&self) -> BTreeMap<String, EvidenceFile> {
        let files = Evidence::new(Arc::clone(&self.disk), &self.dir);
        let look = |sha256: &str| match sha256.parse().map(|hash| files.check(&hash)) {
            Ok(Ok(EvidenceCheck::Present)) => EvidenceFile::Present,
            Ok(Ok(EvidenceCheck::Changed)) => EvidenceFile::Changed,
            Ok(Ok(EvidenceCheck::Missing) | Err(_)) | Err(_) => EvidenceFile::Missing,
        };
        self.state.evidence.iter().map(|told| (told.what.sha256.clone(), look(&told.what.sha256))).collect()
    }

    /// A file just taken in needs no second look; where nobody has looked yet, the first look finds it.
    pub(super) fn evidence_taken_in(&mut self, sha256: &str) {
        if let Some(found) = self.evidence.get_mut() {
            found.insert(sha256.to_string(), EvidenceFile::Present);
        }
    }

    /// The verdict for this signer, on the day the record was opened.
    pub fn verdict(&self, signer: Option<&Person>) -> Verdict {
        verdict(&self.context(signer))
    }

    /// What the completion engine is asked about.
    pub fn context<'a>(&'a self, signer: Option<&'a Person>) -> Context<'a> {
        Context {
            plan: &self.plan,
            state: &self.state,
            today: self.today,
            signer,
            integrity: &self.integrity,
            evidence: self.evidence.get_or_init(|| self.look_at_evidence()),
        }
    }
}

/// A session open for writing.
#[derive(Debug)]
pub struct Work {
    pub view: Viewing,
    /// What recovery had to say.
    pub notices: Vec<String>,
    writer: Writer,
    clock: Arc<dyn Clock>,
    /// Wall clock and running time of this run's last entry.
    last_time: Option<(DateTime<FixedOffset>, u64)>,
}

/// Wall clock and running time may drift apart by this much before the record says that the clock was set.
const CLOCK_STEP_MS: i64 = 2_000;

impl Work {
    /// Takes the lock, recovers what a crash left, folds the record. Refuses a damaged one.
    pub fn open(hangar: &Hangar, sid: &str) -> Result<Work, HangarError> {
        let dir = hangar.sessions_folder().join(sid);
        let (writer, opened) =
            open_writer(Arc::clone(&hangar.disk), &dir, hangar.clock.as_ref()).map_err(open_error)?;
        let mut view = Viewing::empty(hangar, sid, dir, &opened.plan)?;
        view.fold(opened.entries);
        if let Some(problem) = view.integrity.first() {
            return Err(HangarError::Damaged { why: problem.clone() });
        }
        let notices = opened.notices.iter().map(ToString::to_string).collect();
        writer.renew_reserve();
        Ok(Work { view, notices, writer, clock: Arc::clone(&hangar.clock), last_time: None })
    }

    /// Decides the request and makes its event durable. Returns only after both syncs.
    pub fn record(&mut self, hangar: &Hangar, by: &Actor, request: Request) -> Result<Recorded, HangarError> {
        let event = self.ask(hangar, by, request)?;
        self.append(&event)
    }

    /// The event that the request would become; nothing is recorded.
    pub(super) fn ask(&self, hangar: &Hangar, by: &Actor, request: Request) -> Result<Event, HangarError> {
        let facts = Facts { today: hangar.today(), people: &hangar.people, instruments: &hangar.instruments };
        Ok(decide(&self.view.plan, &self.view.state, by, request, &facts)?)
    }

    /// Appends that this run began, before the first thing that a person records in it.
    fn append(&mut self, event: &Event) -> Result<Recorded, HangarError> {
        let run = Event::RunStarted(RunStarted {
            program: PROGRAM.to_string(),
            device: device_name(),
            boot: self.clock.boot_id(),
        });
        if self.last_run().is_none_or(|last| *last != run) && self.view.state.entries > 1 {
            self.append_one(&run)?;
        }
        if let Some(stepped) = self.clock_step() {
            self.append_one(&stepped)?;
        }
        self.append_one(event)
    }

    /// The event that tells of a clock set during this run. Going back is legal and recorded, never corrected.
    fn clock_step(&self) -> Option<Event> {
        let (wall_before, mono_before) = self.last_time?;
        let (wall_now, mono_now) = (self.clock.now(), self.clock.monotonic_ms());
        let wall_change_ms = (wall_now - wall_before).num_milliseconds();
        let elapsed_ms = i64::try_from(mono_now.saturating_sub(mono_before)).unwrap_or(i64::MAX);
        ((wall_change_ms - elapsed_ms).abs() > CLOCK_STEP_MS).then(|| Event::ClockStepped {
            wall_before: wall_text(wall_before),
            wall_now: wall_text(wall_now),
            wall_change_ms,
            elapsed_ms,
        })
    }

    fn last_run(&self) -> Option<&Event> {
        self.view
            .entries
            .iter()
            .rev()
            .map(|stamped| &stamped.event)
            .find(|event| matches!(event, Event::RunStarted(_)))
    }

    fn append_one(&mut self, event: &Event) -> Result<Recorded, HangarError> {
        self.check_fit(event)?;
        let (kind, body) = event
            .to_parts()
            .map_err(|error| HangarError::disk(error, "report this: it is a fault of the program"))?;
        let entry = self.writer.append(self.clock.draft(&kind, body)).map_err(append_error)?;
        self.last_time = Some((self.clock.now(), self.clock.monotonic_ms()));
        self.view.take(&entry).map_err(|why| HangarError::Damaged { why })?;
        Ok(Recorded { entry: entry.seq })
    }

    /// Folds the event on trial. One that does not fit would be found at the next opening, as damage that nobody
    /// can repair: it must never reach the disk.
    fn check_fit(&self, event: &Event) -> Result<(), HangarError> {
        let trial = Stamped {
            entry: self.view.state.entries,
            wall: String::new(),
            mono_ms: 0,
            hash: String::new(),
            event: event.clone(),
        };
        self.view.state.clone().apply(&self.view.plan, &trial).map_err(|fault| {
            HangarError::Declined(Declined {
                why: format!("this does not fit the record: {}", fault.why),
                next: "nothing was recorded; look at the record first".to_string(),
            })
        })
    }

    /// Reads the record from the disk once more, judges it, and signs when nothing stands against it.
    pub fn sign(
        &mut self,
        hangar: &Hangar,
        person: &Person,
        outcome: Outcome,
    ) -> Result<Result<Recorded, Vec<Refusal>>, HangarError> {
        if self.view.state.signed.is_some() {
            return Err(HangarError::Declined(Declined {
                why: "this session is signed and closed".to_string(),
                next: "begin a new session that continues it".to_string(),
            }));
        }
        // Whoever paused it had a reason to stop, and said that nothing is recorded meanwhile.
        if self.view.state.paused.is_some() {
            return Err(HangarError::Declined(Declined {
                why: "the session is paused".to_string(),
                next: "resume it first".to_string(),
            }));
        }
        let again = Viewing::open(hangar, &self.view.sid)?;
        let mut integrity = again.integrity;
        if again.state != self.view.state {
            integrity.push("the record on the disk is not the one in memory".to_string());
        }
        self.view.integrity = integrity;
        // Looked at anew by the verdict below, not as it was found earlier.
        self.view.evidence = OnceCell::new();
        self.view.today = again.today;
        let proof = match self.view.verdict(Some(person)).prove(outcome) {
            Ok(proof) => proof,
            Err(refusals) => return Ok(Err(refusals)),
        };
        let event =
            sign_off(proof, &self.view.plan, &self.view.plan_hash, &self.view.state, person, self.view.today)
                .map_err(|error| HangarError::disk(error, "judge again, then sign"))?;
        self.append_one(&event).map(Ok)
    }

    /// Copies everything known, saved or not, into a new place; see [`super::rescue`].
    ///
    /// # Errors
    /// The new place cannot be written, or holds this session already.
    pub fn rescue(&self, hangar: &Hangar, into: &std::path::Path) -> Result<Rescued, HangarError> {
        rescue_from(hangar, &self.view.sid, &self.writer, into)
    }

    /// True while the session has ballast that a full disk could get back.
    pub fn has_ballast(&self) -> bool {
        self.writer.has_reserve()
    }
}

fn open_error(error: OpenError) -> HangarError {
    match error {
        OpenError::Locked(_) => HangarError::InUse { why: error.to_string() },
        OpenError::Damaged(_) => HangarError::Damaged { why: error.to_string() },
        OpenError::Store(ref cause) if cause.is_not_writable() => {
            HangarError::ReadOnly { why: format!("this place is read-only: {cause}") }
        }
        OpenError::Store(ref cause) if cause.is_no_space() => HangarError::store(cause, ""),
        OpenError::Recovery(append) => append_error(*append),
        other => HangarError::disk(other, "check the folder, then try again"),
    }
}

fn append_error(error: AppendError) -> HangarError {
    if matches!(error, AppendError::NotSaved { .. }) {
        let next = "make room on this disk, then give the answer again".to_string();
        return HangarError::Full { why: error.to_string(), next };
    }
    let next = match &error {
        AppendError::Refused(_) => "shorten what was typed, or report this as a fault of the program",
        _ => {
            "nothing more can be saved in this run: copy the session to another medium, then restart the machine"
        }
    };
    HangarError::disk(&error, next)
}

/// The machine's name, for telling two copies of a session apart.
pub(super) fn device_name() -> String {
    crate::store::device_name()
}
