//! All rows checked before any is recorded, each on the record as the rows before it would leave it.
//!
//! The days: calibration, age and limits are judged as of the day written on the paper. Who may accept, and when it was
//! entered, are those of the moment of entering.

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime};

use super::lines::{Line, LineOf};
use super::row::Reader;
use super::sheet::Sheet;
use super::words;
use crate::airframe::Person;
use crate::checklist::configuration_words;
use crate::event::{
    Actor, EntryNumber, Event, FromPaper, InstrumentUse, OnPaper, StepResult, TICKED, ticked_work,
};
use crate::plan::Plan;
use crate::session::{Declined, Facts, Request, decide};
use crate::state::{ReadingVerdict, Stamp, Stamped, State, instant};
use crate::words::{date, date_and_time, said};

/// Why a row cannot be recorded, and what to do.
pub type Fault = Declined;

/// What holds for all rows that are entered at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Passage {
    pub sheet: Sheet,
    pub written_by: Person,
    pub written_on: NaiveDate,
    pub written_at: Option<NaiveTime>,
    /// Whoever types it in certifies, and accepts what a helper ticked: the steps are answered.
    pub accept: bool,
}

/// A row as typed, with its number in the file or on the screen, from 1.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Typed {
    pub number: usize,
    pub text: String,
}

/// What the check found.
#[derive(Debug, Clone)]
pub struct Checked {
    /// Against the whole: a day that cannot be.
    pub against_all: Vec<Fault>,
    /// In the order in which they are recorded: that of the sheet.
    pub rows: Vec<CheckedRow>,
}

#[derive(Debug, Clone)]
pub struct CheckedRow {
    pub typed: Typed,
    /// Label of its line, where it was understood.
    pub label: Option<String>,
    /// Title of its step, or what else it is about.
    pub about: String,
    pub outcome: Result<Done, Fault>,
}

/// What a row records.
#[derive(Debug, Clone, Default)]
pub struct Done {
    pub requests: Vec<(Request, OnPaper)>,
    /// Found in the record already, from this line of this sheet: not recorded twice.
    pub already: Vec<EntryNumber>,
    /// Recorded as it is, and worth a look.
    pub remarks: Vec<String>,
}

impl Checked {
    pub fn is_sound(&self) -> bool {
        self.against_all.is_empty() && self.rows.iter().all(|row| row.outcome.is_ok())
    }

    /// How many entries it makes.
    pub fn entries(&self) -> usize {
        self.rows.iter().filter_map(|row| row.outcome.as_ref().ok()).map(|done| done.requests.len()).sum()
    }
}

/// A day, or a day and a time, as written on the paper.
///
/// # Errors
/// What is wanted instead.
pub fn written(text: &str) -> Result<(NaiveDate, Option<NaiveTime>), String> {
    let text = text.trim();
    let (day, time) = match text.split_once([' ', 'T']) {
        Some((day, time)) => (day, Some(time.trim())),
        None => (text, None),
    };
    let read = |format: &&str| NaiveDate::parse_from_str(day, format).ok();
    let Some(day) = ["%Y-%m-%d", "%d.%m.%Y"].iter().find_map(read) else {
        return Err(say!("\"{text}\" is no day; write it like 2026-11-24 or 2026-11-24 16:30", text));
    };
    match time.map(|time| NaiveTime::parse_from_str(time, "%H:%M")) {
        None => Ok((day, None)),
        Some(Ok(time)) => Ok((day, Some(time))),
        Some(Err(_)) => Err(say!("\"{text}\" has no time; write it like 2026-11-24 16:30", text)),
    }
}

/// Checks all rows against the record. `now` is the wall clock of the moment.
pub fn check(
    (plan, state): (&Plan, &State),
    by: &Actor,
    passage: &Passage,
    rows: &[Typed],
    (facts, now): (&Facts<'_>, DateTime<FixedOffset>),
    file: &dyn Fn(&str) -> Result<String, String>,
) -> Checked {
    let mut trial = Trial { plan, state: state.clone(), before: state.entries, by, passage, facts, now };
    let mut rows: Vec<&Typed> =
        rows.iter().filter(|row| !row.text.trim().is_empty() && !row.text.trim().starts_with('#')).collect();
    rows.sort_by_key(|row| place(&passage.sheet, &row.text));
    let rows = rows.into_iter().map(|row| trial.row(row, file)).collect();
    Checked { against_all: days(passage, now, facts.today), rows }
}

/// Rows are recorded as the sheet prints them, readings before the result that rests on them; those of no line come last.
fn place(sheet: &Sheet, text: &str) -> usize {
    let (label, _) = super::label_of(text);
    let at = sheet.lines.iter().position(|line| line.label.eq_ignore_ascii_case(label));
    match at.and_then(|at| Some((at, sheet.lines.get(at)?))) {
        None => usize::MAX,
        Some((at, Line { of: LineOf::Step { step }, .. })) => {
            sheet.lines.iter().rposition(|line| line.step() == Some(step)).unwrap_or(at)
        }
        Some((at, _)) => at,
    }
}

/// Nothing was written before the sheet was printed, nor tomorrow.
fn days(passage: &Passage, now: DateTime<FixedOffset>, today: NaiveDate) -> Vec<Fault> {
    let mut faults = Vec::new();
    let is_ahead = passage.written_on > today
        || (passage.written_on == today && passage.written_at.is_some_and(|at| at > now.time()));
    let written = paper(passage, None).written_words();
    if is_ahead {
        faults.push(Declined {
            why: say!(
                "the paper cannot have been written at {written}: it is {}",
                date_and_time(&now),
                written
            ),
            next: say!("give the day that stands on it").to_string(),
        });
    }
    if let Some(printed) = passage.sheet.printed_after.as_deref().and_then(instant) {
        let minute = printed.format("%H:%M").to_string();
        let too_early = passage.written_on < printed.date_naive()
            || (passage.written_on == printed.date_naive()
                && passage.written_at.is_some_and(|at| at.format("%H:%M").to_string() < minute));
        if too_early {
            faults.push(Declined {
                why: say!(
                    "the sheet was printed after {}, and cannot have been written on at {written}",
                    date_and_time(&printed),
                    written
                ),
                next: say!("give the day that stands on it, or the code of the sheet that it is on")
                    .to_string(),
            });
        }
    }
    faults
}

fn paper(passage: &Passage, line: Option<String>) -> OnPaper {
    OnPaper {
        sheet: passage.sheet.code.to_string(),
        line,
        written_by: Actor { id: passage.written_by.id.clone(), name: passage.written_by.name.clone() },
        written_on: passage.written_on,
        written_at: passage.written_at,
    }
}

/// The record as the rows so far would leave it.
struct Trial<'a> {
    plan: &'a Plan,
    state: State,
    /// Entries of the record itself.
    before: u64,
    by: &'a Actor,
    passage: &'a Passage,
    facts: &'a Facts<'a>,
    now: DateTime<FixedOffset>,
}

impl Trial<'_> {
    fn row(&mut self, typed: &Typed, file: &dyn Fn(&str) -> Result<String, String>) -> CheckedRow {
        let reader = Reader { sheet: &self.passage.sheet, plan: self.plan, state: &self.state, file };
        let (label, _) = super::label_of(&typed.text);
        let line = self.passage.sheet.line(label);
        let step = line.and_then(|line| line.step()).and_then(|step| self.plan.step(step));
        let about = step.map_or_else(String::new, |planned| planned.step.title.clone());
        let row = reader.row(&typed.text);
        let outcome = row.and_then(|row| {
            let requests = row.requests.into_iter().flat_map(|request| self.as_written(request)).collect();
            self.take(row.label, requests)
        });
        CheckedRow { typed: typed.clone(), label: line.map(|line| line.label.clone()), about, outcome }
    }

    fn writer_certifies(&self) -> bool {
        self.passage.written_by.certifies(&self.plan.airframe.type_id, self.passage.written_on)
    }

    /// A helper's tick is what the helper did, and becomes an answer only where a certifier accepts it.
    fn as_written(&self, request: Request) -> Vec<Request> {
        let Request::Answer { step, result, reason, .. } = &request else { return vec![request] };
        if self.writer_certifies() {
            return vec![request];
        }
        let work = ticked_work(*result, reason.as_deref());
        let initial = Request::Initial { step: step.clone(), work };
        if self.passage.accept { vec![initial, request] } else { vec![initial] }
    }

    fn take(&mut self, label: Option<String>, requests: Vec<Request>) -> Result<Done, Fault> {
        let mut done = Done::default();
        let saved = self.state.clone();
        for request in requests {
            let paper = paper(self.passage, label.clone());
            if let Some(entry) = self.recorded(&request, &paper, &done.already) {
                done.already.push(entry);
                continue;
            }
            match self.try_one(&request, &paper) {
                Ok(remarks) => done.remarks.extend(remarks),
                Err(fault) => {
                    self.state = saved;
                    return Err(fault);
                }
            }
            done.requests.push((request, paper));
        }
        Ok(done)
    }

    /// On paper there is another way out than at the screen where all that is missing is the reason of a correction: with one
    /// the request is taken, or declined for something else.
    fn clearer(&self, request: &Request, declined: Declined) -> Fault {
        let mut reasoned = request.clone();
        let is_bare = match &mut reasoned {
            Request::Answer { why, .. } | Request::Read { why, .. } if why.is_none() => {
                *why = Some(TICKED.to_string());
                true
            }
            _ => false,
        };
        if !is_bare
            || decide(self.plan, &self.state, self.by, reasoned, self.facts).as_ref() == Err(&declined)
        {
            return declined;
        }
        Declined { why: declined.why, next: said(words::CORRECT).to_string() }
    }

    fn try_one(&mut self, request: &Request, paper: &OnPaper) -> Result<Vec<String>, Fault> {
        let event = decide(self.plan, &self.state, self.by, request.clone(), self.facts)
            .map_err(|declined| self.clearer(request, declined))?;
        let event = Event::FromPaper(FromPaper { paper: paper.clone(), event: Box::new(event) });
        let entry = self.state.entries;
        let stamped = Stamped { entry, wall: self.now.to_rfc3339(), mono_ms: 0, hash: String::new(), event };
        let confirmed = self.state.confirmations.last().map(|told| told.stamp.clone());
        self.state.apply(self.plan, &stamped).map_err(|fault| Declined {
            why: say!("this does not fit the record: {}", fault.why),
            next: say!("look at the record first").to_string(),
        })?;
        Ok(self.remarks(request, entry, confirmed.as_ref()))
    }

    /// The entry of the record that says the same, from the same line of the same sheet.
    fn recorded(&self, request: &Request, paper: &OnPaper, taken: &[EntryNumber]) -> Option<EntryNumber> {
        let same = |stamp: &Stamp| {
            stamp.entry < self.before && !taken.contains(&stamp.entry) && stamp.paper.as_ref() == Some(paper)
        };
        let step = |id: &str| self.state.step(id);
        match request {
            Request::Answer { step: id, result, reason, .. } => step(id)?
                .answer()
                .filter(|found| found.answered.result == *result && found.answered.reason == *reason)
                .map(|found| &found.stamp)
                .filter(|stamp| same(stamp)),
            Request::Read { step: id, measure, value, .. } => step(id)?
                .readings_of(measure)
                .find(|found| found.taken.value == *value && same(&found.stamp))
                .map(|found| &found.stamp),
            Request::Initial { step: id, work } => step(id)?
                .initials()
                .find(|found| found.work == *work && same(&found.stamp))
                .map(|found| &found.stamp),
            Request::Note { step: Some(id), text } => step(id)?
                .notes
                .iter()
                .find(|note| note.text == *text && same(&note.stamp))
                .map(|note| &note.stamp),
            Request::Note { step: None, text } => self
                .state
                .notes
                .iter()
                .find(|told| told.what == *text && same(&told.stamp))
                .map(|told| &told.stamp),
            Request::Confirm(configuration) => self
                .state
                .confirmations
                .iter()
                .find(|told| told.what == *configuration && told.struck.is_none() && same(&told.stamp))
                .map(|told| &told.stamp),
            Request::RaiseDefect(new) => self
                .state
                .standing_defects()
                .find(|found| found.raised.what == new.what && same(&found.stamp))
                .map(|found| &found.stamp),
            _ => None,
        }
        .map(|stamp| stamp.entry)
    }

    /// What is recorded as it happened, and would keep the session from being signed, or is doubtful.
    fn remarks(&self, request: &Request, entry: EntryNumber, confirmed: Option<&Stamp>) -> Vec<String> {
        let mut found = Vec::new();
        match request {
            Request::Answer { step, result, .. } => self.of_answer(step, *result, &mut found),
            Request::Read { step, measure, .. } => {
                let of_step = self.state.step(step).into_iter().flat_map(|state| state.readings_of(measure));
                for reading in of_step.filter(|reading| reading.stamp.entry == entry) {
                    if matches!(
                        reading.judgement.verdict,
                        ReadingVerdict::Outside | ReadingVerdict::CannotDecide
                    ) {
                        found.push(reading.judgement.headline());
                    }
                    let used = reading.taken.used();
                    found.extend(
                        [used.instrument, used.load]
                            .into_iter()
                            .flatten()
                            .filter_map(|used| self.overdue(used)),
                    );
                    let wanted = self.plan.step(step).and_then(|planned| planned.step.measure(measure));
                    if wanted.is_some_and(|measure| measure.instrument) && used.instrument.is_none() {
                        found.push(say!("the instrument is not named").to_string());
                    }
                }
            }
            Request::Initial { .. } if !self.writer_certifies() && !self.passage.accept => {
                found.push(said(words::ONLY_INITIALS).to_string());
            }
            Request::Confirm(_) => {
                let day = confirmed.and_then(|stamp| instant(&stamp.wall)).map(|wall| wall.date_naive());
                if let Some(day) = day.filter(|day| *day > self.passage.written_on) {
                    found.push(say!("the configuration was confirmed on {day}, after this was written: confirm anew how it stands now", day = date(day)));
                }
            }
            _ => {}
        }
        found
    }

    fn of_answer(&self, step: &str, result: StepResult, found: &mut Vec<String>) {
        let Some(answer) = self.state.step(step).and_then(|state| state.answer()) else { return };
        if !answer.unmet.is_empty() {
            found.push(say!("the configuration was not confirmed: {}", configuration_words(&answer.unmet)));
        }
        if !answer.before_its_turn.is_empty() {
            found.push(say!("answered before {}", answer.before_its_turn.join(", ")));
        }
        let second = self.plan.step(step).is_some_and(|planned| planned.step.independent);
        if second && result != StepResult::NotApplicable {
            found.push(said(words::SECOND_LOOK).to_string());
        }
    }

    fn overdue(&self, used: &InstrumentUse) -> Option<String> {
        let due = used.calibration_due.filter(|due| *due < self.passage.written_on)?;
        Some(say!(
            "{} was out of calibration on {} (due {due})",
            used.id,
            date(self.passage.written_on),
            due = date(due)
        ))
    }
}
