//! The screens' view of a hangar: carries their wishes out and keeps what they draw up to date.

mod intake;
mod paper;

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, NaiveDate};

use super::compare::earlier_steps;
use super::damage::Damage;
use super::desk_files;
use super::findings::{is_settled, record};
use super::output::Failure;
use crate::airframe::Person;
use crate::airframe::sheet::RecordFile;
use crate::audit::findings::{Context, Finding, find_all};
use crate::completion::{Verdict, verdict};
use crate::event::{Actor, Outcome};
use crate::hangar::keys::unlock;
use crate::hangar::{
    AirframeFile, EvidenceTarget, Hangar, HangarError, Offer, Recorded, SessionSummary, Viewing, Work,
    airframe_grounding, begin, continue_session, earlier_annual, leaned_on, make_room, neighbours, preview,
    rescue, summaries,
};
use crate::plan::{Plan, Plans};
use crate::screen::desk::{
    AirframeRow, Desk, Earlier, HangarView, SessionRow, SessionView, ShownFile, Stage, Told, Wish,
};
use crate::store::export::write_export;
use crate::store::texts::read_text;
use crate::store::unsaved::{keep, kept};
use crate::words::said;

/// How a signed session is told.
const CLOSED: &str = mark!("signed and closed");

/// A hangar with at most one session open.
pub struct HangarDesk {
    hangar: Hangar,
    view: HangarView,
    person: Option<Person>,
    open: Option<Open>,
}

/// The open session: for writing, or only to look at.
struct Open {
    session: Access,
    verdict: Verdict,
    read_only: Option<String>,
    notices: Vec<String>,
    /// What the annual before says of each step, and that annual itself.
    earlier: Option<Earlier>,
    annual_before: Option<Box<Viewing>>,
    /// The plan that was shown as one to take up, and how it differs, a line each.
    offer: Option<Box<Offer>>,
    offered: Vec<String>,
}

enum Access {
    Writing(Box<Work>),
    Looking(Box<Viewing>),
}

impl Access {
    fn view(&self) -> &Viewing {
        match self {
            Access::Writing(work) => &work.view,
            Access::Looking(view) => view,
        }
    }
}

impl HangarDesk {
    /// # Errors
    /// `by` names nobody of the people register.
    pub fn new(hangar: Hangar, by: Option<&str>) -> Result<HangarDesk, Failure> {
        let person = match by {
            Some(id) => Some(hangar.person(id)?.clone()),
            None => None,
        };
        let view = hangar_view(&hangar);
        Ok(HangarDesk { hangar, view, person, open: None })
    }

    /// Opens a session for writing; where that is not possible, to look at, with the reason.
    pub fn open(&mut self, sid: &str) -> Result<Option<String>, HangarError> {
        // The lock of the session that is open now must be gone before the same one is opened again.
        self.open = None;
        let mut notices = Vec::new();
        let (session, read_only) = match Work::open(&self.hangar, sid) {
            // A signed session is only looked at, and must not keep a second person from signing it, too.
            Ok(work) if work.view.state.signed.is_some() => {
                notices.extend(work.notices);
                (Access::Looking(Box::new(work.view)), Some(said(CLOSED).to_string()))
            }
            Ok(work) => {
                notices.extend(work.notices.iter().cloned());
                (Access::Writing(Box::new(work)), None)
            }
            Err(error @ HangarError::NotFound { .. }) => return Err(error),
            Err(error) => {
                let view = Viewing::open(&self.hangar, sid)?;
                let is_closed = view.state.signed.is_some() && view.integrity.is_empty();
                let why = if is_closed { said(CLOSED).to_string() } else { error.parts().0 };
                (Access::Looking(Box::new(view)), Some(why))
            }
        };
        let note = read_only.clone();
        let view = session.view();
        let verdict = self.judge(view);
        notices.extend(leaned_on(&self.hangar, &view.plan, &view.state));
        notices.extend(neighbours(&self.hangar, view));
        let annual_before = earlier_annual(&self.hangar, view).map(Box::new);
        let earlier = annual_before.as_deref().map(earlier_steps);
        self.open = Some(Open {
            session,
            verdict,
            read_only,
            notices,
            earlier,
            annual_before,
            offer: None,
            offered: Vec::new(),
        });
        Ok(note)
    }

    fn judge(&self, view: &Viewing) -> Verdict {
        let mut context = view.context(self.person.as_ref());
        context.today = self.hangar.today();
        verdict(&context)
    }

    fn actor(&self) -> Option<Actor> {
        self.person.as_ref().map(|person| Actor { id: person.id.clone(), name: person.name.clone() })
    }

    /// Runs `act` on the session that is open for writing, then judges anew.
    fn with_work(
        &mut self,
        act: impl FnOnce(&mut Work, &Hangar, &Actor, &Person) -> Result<Told, HangarError>,
    ) -> Told {
        let (Some(actor), Some(person)) = (self.actor(), self.person.clone()) else {
            return declined(say!("nobody is named as working"), say!("choose who is working first"));
        };
        let Some(open) = &mut self.open else {
            return declined(say!("no session is open"), say!("open one on the Hangar screen"));
        };
        let Access::Writing(work) = &mut open.session else {
            let why = open.read_only.clone().unwrap_or_default();
            return declined(
                &say!("this session is only open to look at: {why}", why = why),
                say!("nothing was recorded"),
            );
        };
        let mut told = act(work, &self.hangar, &actor, &person).unwrap_or_else(told_error);
        if let Told::Full { ballast, .. } = &mut told {
            *ballast = work.has_ballast();
        }
        if work.view.state.signed.is_some() {
            open.read_only = Some(said(CLOSED).to_string());
        }
        if let Some(open) = self.open.take() {
            let verdict = self.judge(open.session.view());
            self.open = Some(Open { verdict, ..open });
        }
        told
    }

    /// A file beside the record: whatever becomes of it, the record is in no danger.
    fn write_file(&self, path: &Path, text: &str) -> Told {
        // As every path that the screens ask for, a relative one counts from the hangar's folder.
        let path = &self.hangar.root.join(path);
        match write_export(&*self.hangar.disk, path, text.as_bytes()) {
            Ok(()) => Told::Done { note: Some(say!("written: {}", path.display())) },
            Err(error) => {
                let (why, next) = HangarError::store(&error, say!("give another path")).parts();
                Told::Declined { why, next }
            }
        }
    }

    fn act_as(&mut self, id: &str) -> Told {
        match self.hangar.person(id) {
            Ok(person) => {
                self.person = Some(person.clone());
                if let Some(open) = self.open.take() {
                    let verdict = self.judge(open.session.view());
                    self.open = Some(Open { verdict, ..open });
                }
                Told::Done { note: self.person.as_ref().map(|person| say!("{} is working", person.name)) }
            }
            Err(error) => told_error(error),
        }
    }

    fn begin(&mut self, registration: &str) -> Told {
        let Some(actor) = self.actor() else {
            return declined(say!("nobody is named as working"), say!("choose who is working first"));
        };
        // Another hand may have written a report meanwhile: an annual is never composed from an older record.
        self.reload();
        if let Some(why) = self.not_yet(registration) {
            return why;
        }
        match begin(&self.hangar, registration, &actor).and_then(|begun| self.open(&begun.sid).map(|_| begun))
        {
            Ok(begun) => {
                let mut note = say!(
                    "annual of {registration} begun: {} steps",
                    begun.steps,
                    registration = registration
                );
                if begun.from_record > 0 {
                    note.push_str(&say!(
                        "; {} of the record to be decided anew (2)",
                        defects(begun.from_record)
                    ));
                }
                note.extend(self.advice(registration));
                Told::Done { note: Some(note) }
            }
            Err(error) => told_error(error),
        }
    }

    /// A signed session is open to look at only: it is taken for writing just for this one entry.
    fn countersign(&mut self, agrees: bool, note: &str, passphrase: &str) -> Result<Told, HangarError> {
        let Some(person) = self.person.clone() else {
            return Ok(declined(say!("nobody is named as working"), say!("choose who is working first")));
        };
        let Some(sid) = self.open.as_ref().map(|open| open.session.view().sid.clone()) else {
            return Ok(declined(say!("no session is open"), say!("open one on the Hangar screen")));
        };
        let key = unlock(&self.hangar, &person, None, passphrase)?;
        self.open = None;
        let recorded = Work::open(&self.hangar, &sid)
            .and_then(|mut work| work.countersign(&self.hangar, &person, agrees, note, &key));
        self.open(&sid)?;
        recorded.map(saved)
    }

    fn continue_session(&mut self, reason: &str) -> Told {
        let Some(actor) = self.actor() else {
            return declined(say!("nobody is named as working"), say!("choose who is working first"));
        };
        let Some(sid) = self.open.as_ref().map(|open| open.session.view().sid.clone()) else {
            return declined(say!("no session is open"), say!("open one on the Hangar screen"));
        };
        let begun = continue_session(&self.hangar, &sid, &actor, reason);
        match begun.and_then(|begun| self.open(&begun.sid).map(|_| begun)) {
            Ok(begun) => Told::Done {
                note: Some(say!(
                    "session {} continues {sid}: everything that holds there was carried over",
                    format_args!("{:.8}", begun.sid),
                    sid = format_args!("{:.8}", sid)
                )),
            },
            Err(error) => told_error(error),
        }
    }

    /// Needs nobody named as working and no session that can be written: it is for the day on which neither holds.
    fn rescue(&self, into: &Path) -> Told {
        let Some(open) = &self.open else {
            return declined(say!("no session is open"), say!("open one on the Hangar screen"));
        };
        let copied = match &open.session {
            Access::Writing(work) => work.rescue(&self.hangar, into),
            Access::Looking(view) => rescue(&self.hangar, &view.sid, into),
        };
        match copied {
            Ok(done) => {
                let told: Vec<String> =
                    [done.words(), done.next()].into_iter().chain(done.problems).collect();
                Told::Done { note: Some(told.join("; ")) }
            }
            Err(error) => told_error(error),
        }
    }

    pub(super) fn hangar_at_hand(&self) -> &Hangar {
        &self.hangar
    }

    /// After a record or register was written.
    pub(super) fn reload(&mut self) {
        self.hangar.reload();
        // Who works may have another name or authorisation now.
        self.person = self.person.take().and_then(|person| self.hangar.people.find(&person.id).cloned());
        self.refresh();
    }

    fn refresh(&mut self) {
        self.view = hangar_view(&self.hangar);
    }
}

impl Desk for HangarDesk {
    fn plans(&self) -> Option<Plans> {
        self.open.as_ref().map(|open| open.session.view().plans.clone())
    }

    fn preview(&self, registration: &str) -> Result<Plan, String> {
        preview(&self.hangar, registration).map_err(|error| error.to_string())
    }

    fn record_faults(&self) -> Vec<String> {
        self.open.as_ref().map_or_else(Vec::new, |open| open.session.view().integrity.clone())
    }

    fn damaged_from(&self) -> Option<u64> {
        let open = self.open.as_ref()?;
        Damage::of(&self.hangar, open.session.view()).map(|damage| damage.first_bad_entry)
    }

    fn hangar(&self) -> &HangarView {
        &self.view
    }

    fn session(&self) -> Option<SessionView<'_>> {
        let open = self.open.as_ref()?;
        let view = open.session.view();
        Some(SessionView {
            sid: &view.sid,
            plan: &view.plan,
            state: &view.state,
            entries: &view.entries,
            verdict: &open.verdict,
            read_only: open.read_only.as_deref(),
            notices: &open.notices,
            earlier: open.earlier.as_ref(),
        })
    }

    fn person(&self) -> Option<&Person> {
        self.person.as_ref()
    }

    fn today(&self) -> NaiveDate {
        self.hangar.today()
    }

    fn now(&self) -> DateTime<FixedOffset> {
        self.hangar.clock.now()
    }

    fn findings(&self) -> Vec<Finding> {
        let Some(open) = &self.open else { return Vec::new() };
        let view = open.session.view();
        let earlier = open.annual_before.as_deref().filter(|earlier| is_settled(earlier)).map(record);
        find_all(&Context { session: record(view), earlier })
    }

    fn offered(&self) -> &[String] {
        self.open.as_ref().map_or(&[], |open| &open.offered)
    }

    fn table_text(&self, path: &str) -> Result<String, String> {
        let path = self.hangar.root.join(path.trim());
        read_text(&path, &path.to_string_lossy())
            .map(|source| source.text.clone())
            .map_err(|fault| fault.to_string())
    }

    fn keep_unsaved(&mut self, text: &str) -> Result<(), String> {
        match self.open.as_ref().map(|open| &open.session) {
            Some(Access::Writing(work)) => keep(&work.view.dir, text).map_err(|error| error.to_string()),
            _ => Ok(()),
        }
    }

    fn keep_look(&mut self, text: &str) -> Result<(), String> {
        crate::store::look::keep(text)
    }

    fn kept_look(&self) -> Option<String> {
        crate::store::look::kept()
    }

    fn unsaved(&self) -> Option<String> {
        match &self.open.as_ref()?.session {
            Access::Writing(work) => kept(&work.view.dir),
            Access::Looking(_) => None,
        }
    }

    fn file(&self, file: &RecordFile) -> Result<ShownFile, String> {
        desk_files::file(&self.hangar, file)
    }

    fn types(&self) -> Vec<String> {
        self.hangar.library().types().into_iter().map(str::to_string).collect()
    }

    fn keep_unsaved_here(&mut self, text: &str) -> Result<(), String> {
        keep(&self.hangar.root, text).map_err(|error| error.to_string())
    }

    fn unsaved_here(&self) -> Option<String> {
        kept(&self.hangar.root)
    }

    fn carry_out(&mut self, wish: Wish) -> Told {
        match wish {
            Wish::ActAs(id) => self.act_as(&id),
            Wish::Begin { registration } => self.begin(&registration),
            Wish::OpenSession { sid } => match self.open(&sid) {
                Ok(note) => Told::Done { note },
                Err(error) => told_error(error),
            },
            Wish::Continue { reason } => self.continue_session(&reason),
            Wish::LeaveSession => {
                self.open = None;
                self.refresh();
                Told::Done { note: None }
            }
            Wish::Record(request) => {
                self.with_work(|work, hangar, actor, _| work.record(hangar, actor, request).map(saved))
            }
            Wish::EnterPaper { passage, rows } => self.enter_paper(&passage, &rows),
            Wish::AddEvidenceFile { step, demand, defect, path } => {
                self.with_work(|work, hangar, actor, _| {
                    let target = EvidenceTarget { step, demand, defect };
                    let path = at_hand(hangar, path.trim());
                    let recorded = work.add_evidence(hangar, actor, target, &path)?;
                    Ok(Told::Saved { entry: recorded.entry, note: work.same_content(recorded.entry) })
                })
            }
            Wish::Inspect { request, passphrase } => self.with_work(|work, hangar, actor, person| {
                let key = unlock(hangar, person, None, passphrase.reveal())?;
                work.inspect(hangar, actor, request, &key).map(saved)
            }),
            Wish::Countersign { agrees, note, passphrase } => {
                self.countersign(agrees, &note, passphrase.reveal()).unwrap_or_else(told_error)
            }
            Wish::NewReport(report) => self.new_report(report),
            Wish::LookForOffer => self.look_for_offer(),
            Wish::TakeUp { why } => self.take_up(&why),
            Wish::BringForward => self.bring_forward(),
            Wish::Sign { outcome, passphrase } => {
                let told = self.with_work(|work, hangar, _, person| {
                    let key = unlock(hangar, person, None, passphrase.reveal())?;
                    Ok(match work.sign(hangar, person, outcome, &key)? {
                        Ok(recorded) => saved(recorded),
                        Err(refusals) => declined(
                            &say!("the sign-off is refused for {} reasons", refusals.len()),
                            say!("they stand on the Sign-off screen; Enter jumps to each"),
                        ),
                    })
                });
                self.then_bring_forward(told)
            }
            Wish::WriteFile { path, text } => self.write_file(Path::new(path.trim()), &text),
            Wish::CreateAirframe { head } => self.create_airframe(&head),
            Wish::EditFile { file, edits, was } => self.edit_file(&file, &edits, &was),
            Wish::MakeKey { person, passphrase } => self.make_key(&person, &passphrase),
            Wish::Rescue { folder } => self.rescue(Path::new(folder.trim())),
            Wish::MakeRoom => match self.open.as_ref().map(|open| open.session.view().sid.clone()) {
                Some(sid) => make_room(&self.hangar, &sid).map_or_else(told_error, |bytes| Told::Done {
                    note: Some(say!(
                        "{bytes} bytes given back: save again, pause or sign, then make room",
                        bytes = bytes
                    )),
                }),
                None => declined(say!("no session is open"), say!("open one on the Hangar screen")),
            },
        }
    }
}

fn defects(count: usize) -> String {
    say!("1 defect" | "{n} defects" % count)
}

fn saved(recorded: Recorded) -> Told {
    Told::Saved { entry: recorded.entry, note: None }
}

/// A relative path counts from the hangar's folder; else, where nothing is there, from where the program was started.
fn at_hand(hangar: &Hangar, path: &str) -> PathBuf {
    let beside = hangar.root.join(path);
    if hangar.disk.exists(&beside).unwrap_or(false) { beside } else { PathBuf::from(path) }
}

fn declined(why: &str, next: &str) -> Told {
    Told::Declined { why: why.to_string(), next: next.to_string() }
}

pub(super) fn told_error(error: HangarError) -> Told {
    let is_disk = matches!(error, HangarError::Disk { .. } | HangarError::Damaged { .. });
    let is_full = matches!(error, HangarError::Full { .. });
    let (why, next) = error.parts();
    if is_full {
        Told::Full { why, next, ballast: false }
    } else if is_disk {
        Told::Failed { why, next }
    } else {
        Told::Declined { why, next }
    }
}

fn hangar_view(hangar: &Hangar) -> HangarView {
    let own = hangar.own_checklist_faults();
    let faults = hangar.faults.iter().chain(&own).map(ToString::to_string).collect();
    let sessions = summaries(hangar);
    HangarView {
        folder: hangar.root.display().to_string(),
        airframes: hangar
            .airframes
            .iter()
            .map(|file| airframe_row(file, &sessions, hangar.today()))
            .collect(),
        sessions: sessions.into_iter().map(session_row).collect(),
        people: hangar.people.0.clone(),
        instruments: hangar.instruments.0.clone(),
        faults,
        is_demo: hangar.is_demo(),
    }
}

fn airframe_row(file: &AirframeFile, sessions: &[SessionSummary], today: NaiveDate) -> AirframeRow {
    match &file.airframe {
        Ok(airframe) => AirframeRow {
            registration: airframe.registration.clone(),
            type_name: airframe.type_id.clone(),
            serial: airframe.serial.clone(),
            hours: airframe.hours.to_string(),
            last_annual: airframe.last_annual,
            reports: airframe.open_reports().count(),
            grounding: airframe_grounding(airframe, sessions, today),
            fault: None,
        },
        Err(faults) => AirframeRow {
            registration: file.name(),
            type_name: String::new(),
            serial: String::new(),
            hours: String::new(),
            last_annual: None,
            reports: 0,
            grounding: Vec::new(),
            fault: Some(faults.first().map(ToString::to_string).unwrap_or_default()),
        },
    }
}

fn session_row(session: SessionSummary) -> SessionRow {
    let standing = session.standing_words();
    let stage = match (&session.signed, session.standing.as_str()) {
        (Some((_, Outcome::Release)), _) => Stage::Released,
        (None, "running") => Stage::Running,
        (None, "paused") => Stage::Paused,
        _ => Stage::Other,
    };
    SessionRow {
        sid: session.sid,
        registration: session.registration,
        begun: session.begun,
        by: session.by,
        standing,
        stage,
        progress: session.progress,
        open_mandatory: session.open_mandatory,
        grounding: session.grounding,
        can_open: session.can_open,
    }
}
