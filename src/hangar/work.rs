//! One session: read and folded, or open for writing with the next event decided and made durable.

use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::rescue::{Rescued, rescue_from};
use super::sessions::is_path;
use super::{Hangar, HangarError};
use crate::airframe::Person;
use crate::completion::{Context, EvidenceFile, Refusal, Verdict, verdict};
use crate::event::{Actor, Event, Outcome, Position, RunStarted};
use crate::journal::Entry;
use crate::journal::Verdict as Soundness;
use crate::journal::short_code::ShortCode;
use crate::plan::{Plan, Plans, plan_hash};
use crate::seal::{
    KeyError, SecretKey, check_countersign, check_inspection, check_sign_off, seal_countersign,
    seal_inspection, seal_sign_off,
};
use crate::session::{Declined, Facts, Request, countersignature, decide};
use crate::signoff::sign_off;
use crate::state::{Stamped, State};
use crate::store::log::{self, Level};
use crate::store::plans::read_plans;
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
    /// The plan that holds now, and its hash.
    pub plan: Plan,
    pub plan_hash: String,
    /// Every plan of the session: the first, and those that were taken up since.
    pub plans: Plans,
    /// Bytes of the later plans, by hash, as found in the session's folder.
    later: BTreeMap<String, Vec<u8>>,
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

/// A signature that stands in the record must fit it. Whether one is demanded is for the verdict to say; whose key
/// it is, for the people register.
fn signature_fits(sid: &str, event: &Event) -> Result<(), String> {
    let checked = match event {
        Event::SignedOff(signed) if signed.seal.is_some() => check_sign_off(sid, signed),
        Event::Countersigned(added) => check_countersign(sid, added),
        Event::IndependentlyInspected(inspected) if inspected.seal.is_some() => {
            check_inspection(sid, inspected)
        }
        Event::Carried(carried) => return signature_fits(&carried.sid, &carried.event),
        _ => return Ok(()),
    };
    checked.map(drop).map_err(|fault| fault.to_string())
}

impl Viewing {
    /// Reads a session without writing anything. A damaged record is shown as far as it verifies.
    pub fn open(hangar: &Hangar, sid: &str) -> Result<Viewing, HangarError> {
        let dir = hangar.sessions_folder().join(sid);
        let reader = open_reader(hangar.disk.as_ref(), &dir)
            .map_err(|error| HangarError::disk(error, say!("check the folder, then try again")))?;
        // A folder that was copied may bear another name; what is signed names the session's own id.
        let own = reader.entries.first().map_or(sid, |first| first.sid.as_str()).to_string();
        let mut view = Viewing::empty(hangar, &own, dir, &reader.plan)?;
        if let Soundness::Damaged(damage) = &reader.verdict {
            view.integrity.push(damage.to_string());
        }
        view.look_for_plans(&reader.entries);
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
            plans: Plans::new(plan.clone()),
            later: BTreeMap::new(),
            plan,
            state,
            entries: Vec::new(),
            integrity: Vec::new(),
            evidence: OnceCell::new(),
            today: hangar.today(),
            disk: Arc::clone(&hangar.disk),
        })
    }

    /// Reads the later plans that the entries name. One that cannot be used is told when its entry is folded.
    fn look_for_plans(&mut self, entries: &[Entry]) {
        let wanted: Vec<String> = entries
            .iter()
            .filter(|entry| entry.kind == "plan_revised")
            .filter_map(|entry| entry.body["plan"].as_str().map(str::to_string))
            .collect();
        match read_plans(self.disk.as_ref(), &self.dir, &wanted) {
            Ok(found) => self.later = found,
            Err(error) => self.integrity.push(error.to_string()),
        }
    }

    /// The plan that an event is judged by: of a revision, the one that it brings.
    fn plan_of(&self, event: &Event) -> Result<Option<Plan>, String> {
        let Event::PlanRevised(revised) = event else { return Ok(None) };
        let bytes = self.later.get(&revised.plan);
        let bytes = bytes.ok_or(say!("the plan that it takes up is not in the session's folder plans/"))?;
        Plan::from_bytes(bytes).map(Some).map_err(|error| error.to_string())
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
            .map_err(|error| say!("entry {}: {error}", entry.seq, error = error))?;
        if let Event::Opened(opened) = &event {
            if opened.plan != self.plan_hash {
                return Err(say!(
                    "the plan is not the one that this session was begun with: its hash differs"
                )
                .to_string());
            }
        } else if entry.seq == 0 {
            return Err(say!("the record does not begin with its opening entry").to_string());
        }
        let stamped = Stamped {
            entry: entry.seq,
            wall: entry.wall.clone(),
            mono_ms: entry.mono_ms,
            hash: entry.hash.to_string(),
            event,
        };
        let revised =
            self.plan_of(&stamped.event).map_err(|why| say!("entry {}: {why}", stamped.entry, why = why))?;
        self.state
            .apply(revised.as_ref().unwrap_or(&self.plan), &stamped)
            .map_err(|fault| fault.to_string())?;
        if let Some(plan) = revised {
            self.plan_hash.clone_from(&self.state.plan);
            self.plans.add(self.plan_hash.clone(), plan.clone());
            self.plan = plan;
        }
        if let Err(why) = signature_fits(&self.sid, &stamped.event) {
            return Err(say!("entry {}: {why}", stamped.entry, why = why));
        }
        self.entries.push(stamped);
        Ok(())
    }

    /// The code of an entry for the paper worksheet.
    pub fn code_of(&self, entry: u64) -> Option<ShortCode> {
        let stamped = usize::try_from(entry).ok().and_then(|at| self.entries.get(at))?;
        ShortCode::of_text(&stamped.hash)
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
        if is_path(sid) {
            return Err(HangarError::Declined(Declined {
                why: say!("a session that is named by its folder is only looked at").to_string(),
                next: say!("work it by its id in the hangar that it belongs to (--hangar)").to_string(),
            }));
        }
        let dir = hangar.sessions_folder().join(sid);
        let (writer, opened) =
            open_writer(Arc::clone(&hangar.disk), &dir, hangar.clock.as_ref()).map_err(|error| {
                log::tell(Level::Error, || format!("session {sid} cannot be opened for writing: {error}"));
                open_error(error)
            })?;
        let mut view = Viewing::empty(hangar, sid, dir, &opened.plan)?;
        view.look_for_plans(&opened.entries);
        view.fold(opened.entries);
        if let Some(problem) = view.integrity.first() {
            return Err(HangarError::Damaged { why: problem.clone() });
        }
        let notices: Vec<String> = opened.notices.iter().map(ToString::to_string).collect();
        let (registration, entries) = (&view.plan.airframe.registration, view.state.entries);
        log::tell(Level::Info, || format!("session {sid} of {registration} opened, {entries} entries"));
        for notice in &notices {
            log::tell(Level::Info, || format!("session {sid} recovered: {notice}"));
        }
        writer.renew_reserve();
        Ok(Work { view, notices, writer, clock: Arc::clone(&hangar.clock), last_time: None })
    }

    /// Decides the request and makes its event durable. Returns only after both syncs.
    pub fn record(&mut self, hangar: &Hangar, by: &Actor, request: Request) -> Result<Recorded, HangarError> {
        let event = self.ask(hangar, by, request)?;
        if matches!(event, Event::IndependentlyInspected(_)) {
            return Err(HangarError::Declined(Declined {
                why: say!("an independent inspection is signed with the second person's key").to_string(),
                next: say!("open the key with its passphrase").to_string(),
            }));
        }
        self.append(&event)
    }

    /// The event that the request would become; nothing is recorded.
    pub(super) fn ask(&self, hangar: &Hangar, by: &Actor, request: Request) -> Result<Event, HangarError> {
        let facts = Facts { today: hangar.today(), people: &hangar.people, instruments: &hangar.instruments };
        Ok(decide(&self.view.plan, &self.view.state, by, request, &facts)?)
    }

    pub(super) fn append(&mut self, event: &Event) -> Result<Recorded, HangarError> {
        self.note_the_run()?;
        self.append_one(event)
    }

    /// Appends that this run began, before the first thing that a person records in it, and that the clock was set.
    fn note_the_run(&mut self) -> Result<(), HangarError> {
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
        Ok(())
    }

    /// Makes a later plan durable in the session's folder, before any entry names it.
    pub(super) fn put_plan(&mut self, bytes: &[u8]) -> Result<(), HangarError> {
        let hash = self.writer.put_plan(bytes).map_err(|error| {
            HangarError::disk(error, say!("nothing was recorded; make room, then try again"))
        })?;
        self.view.later.insert(hash.to_string(), bytes.to_vec());
        Ok(())
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
            .map_err(|error| HangarError::disk(error, say!("report this: it is a fault of the program")))?;
        let entry = self.writer.append(self.clock.draft(&kind, body)).map_err(|error| {
            log::tell(Level::Error, || format!("session {}: {kind} not recorded: {error}", self.view.sid));
            append_error(error)
        })?;
        log::tell(Level::Info, || format!("session {}: entry {} {kind}", self.view.sid, entry.seq));
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
        let revised =
            self.view.plan_of(event).map_err(|why| HangarError::disk(why, say!("nothing was recorded")))?;
        self.view.state.clone().apply(revised.as_ref().unwrap_or(&self.view.plan), &trial).map_err(|fault| {
            HangarError::Declined(Declined {
                why: say!("this does not fit the record: {}", fault.why),
                next: say!("nothing was recorded; look at the record first").to_string(),
            })
        })
    }

    /// Reads the record from the disk once more, judges it, and signs when nothing stands against it.
    pub fn sign(
        &mut self,
        hangar: &Hangar,
        person: &Person,
        outcome: Outcome,
        key: &SecretKey,
    ) -> Result<Result<Recorded, Vec<Refusal>>, HangarError> {
        if self.view.state.signed.is_some() {
            return Err(HangarError::Declined(Declined {
                why: say!("this session is signed and closed").to_string(),
                next: say!("begin a new session that continues it").to_string(),
            }));
        }
        // Whoever paused it had a reason to stop, and said that nothing is recorded meanwhile.
        if self.view.state.paused.is_some() {
            return Err(HangarError::Declined(Declined {
                why: say!("the session is paused").to_string(),
                next: say!("resume it first").to_string(),
            }));
        }
        let again = Viewing::open(hangar, &self.view.sid)?;
        let mut integrity = again.integrity;
        if again.state != self.view.state {
            integrity.push(say!("the record on the disk is not the one in memory").to_string());
        }
        self.view.integrity = integrity;
        // Looked at anew by the verdict below, not as it was found earlier.
        self.view.evidence = OnceCell::new();
        self.view.today = again.today;
        let proof = match self.view.verdict(Some(person)).prove(outcome) {
            Ok(proof) => proof,
            Err(refusals) => return Ok(Err(refusals)),
        };
        let mut signed =
            sign_off(proof, &self.view.plan, &self.view.plan_hash, &self.view.state, person, self.view.today)
                .map_err(|error| HangarError::disk(error, say!("judge again, then sign")))?;
        seal_sign_off(&self.view.sid, &mut signed, key).map_err(key_failed)?;
        self.append_one(&Event::SignedOff(signed)).map(Ok)
    }

    /// Records an independent inspection, signed with the second person's key at this very place of the record.
    pub fn inspect(
        &mut self,
        hangar: &Hangar,
        by: &Actor,
        request: Request,
        key: &SecretKey,
    ) -> Result<Recorded, HangarError> {
        let Event::IndependentlyInspected(mut inspected) = self.ask(hangar, by, request)? else {
            return Err(HangarError::Declined(Declined {
                why: say!("only an independent inspection is signed like this").to_string(),
                next: say!("record it without a key").to_string(),
            }));
        };
        self.note_the_run()?;
        inspected.at = Some(Position { count: self.view.state.entries, head: self.view.state.head.clone() });
        seal_inspection(&self.view.sid, &mut inspected, key).map_err(key_failed)?;
        self.append_one(&Event::IndependentlyInspected(inspected))
    }

    /// Adds a second person's signature to a signed session; nothing before it is touched.
    pub fn countersign(
        &mut self,
        hangar: &Hangar,
        person: &Person,
        agrees: bool,
        note: &str,
        key: &SecretKey,
    ) -> Result<Recorded, HangarError> {
        let facts = Facts { today: hangar.today(), people: &hangar.people, instruments: &hangar.instruments };
        let mut added = countersignature(&self.view.plan, &self.view.state, person, agrees, note, &facts)?;
        if self
            .view
            .state
            .signed
            .as_ref()
            .and_then(|told| told.what.seal.as_ref())
            .is_some_and(|seal| seal.key == key.public_line())
        {
            return Err(HangarError::Declined(Declined {
                why: say!("this is the key of the sign-off itself").to_string(),
                next: say!("a second person countersigns with a key of their own").to_string(),
            }));
        }
        self.note_the_run()?;
        seal_countersign(&self.view.sid, &mut added, key).map_err(key_failed)?;
        self.append_one(&Event::Countersigned(added))
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

fn key_failed(error: KeyError) -> HangarError {
    HangarError::Declined(Declined {
        why: error.to_string(),
        next: say!("nothing was signed; try another key").to_string(),
    })
}

fn open_error(error: OpenError) -> HangarError {
    match error {
        OpenError::Locked(_) => HangarError::InUse { why: error.to_string() },
        OpenError::Damaged(_) => HangarError::Damaged { why: error.to_string() },
        OpenError::Store(ref cause) if cause.is_not_writable() => {
            HangarError::ReadOnly { why: say!("this place is read-only: {cause}", cause = cause) }
        }
        OpenError::Store(ref cause) if cause.is_no_space() => HangarError::store(cause, ""),
        OpenError::Recovery(append) => append_error(*append),
        other => HangarError::disk(other, say!("check the folder, then try again")),
    }
}

fn append_error(error: AppendError) -> HangarError {
    if matches!(error, AppendError::NotSaved { .. }) {
        let next = say!("make room on this disk, then give the answer again").to_string();
        return HangarError::Full { why: error.to_string(), next };
    }
    let next = match &error {
        AppendError::Refused(_) => say!("shorten what was typed, or report this as a fault of the program"),
        _ => {
            say!(
                "nothing more can be saved in this run: copy the session to another medium, then restart the machine"
            )
        }
    };
    HangarError::disk(&error, next)
}

/// The machine's name, for telling two copies of a session apart.
pub(super) fn device_name() -> String {
    crate::store::device_name()
}
