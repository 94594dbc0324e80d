//! What the screens need of the rest of the program, and what they wish from it.
//!
//! A screen draws a [`Desk`]'s view and turns keys into [`Wish`]es. It never opens a file or asks a clock.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime, Utc};

use crate::airframe::edit::{Change, Edit};
use crate::airframe::sheet::{RecordFile, Sheet};
use crate::airframe::{Instrument, Instruments, People, Person};
use crate::audit::findings::{Context, Finding, Record, find_all};
use crate::completion::Verdict;
use crate::event::{Actor, Outcome};
use crate::paper::{Checked, Fault, Passage, Typed, check, find_sheet};
use crate::plan::{Plan, Plans};
use crate::session::{Facts, Request};
use crate::state::{Stamped, State};

/// One line of the Hangar screen's list of airframes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AirframeRow {
    pub registration: String,
    pub type_name: String,
    pub serial: String,
    pub hours: String,
    pub last_annual: Option<NaiveDate>,
    /// Reports and occurrences that no annual has dealt with.
    pub reports: usize,
    /// Why it is on the ground today, by its record and its annuals; empty where nothing keeps it there.
    pub grounding: Vec<String>,
    /// A fault of the record file, in one line; such an airframe cannot begin an annual.
    pub fault: Option<String>,
}

/// One line of the Hangar screen's list of sessions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionRow {
    pub sid: String,
    pub registration: String,
    pub begun: String,
    pub by: String,
    /// In words, as it is shown; the program goes by `stage`.
    pub standing: String,
    pub stage: Stage,
    /// Answered and all steps; `None` where the record cannot be read.
    pub progress: Option<(usize, usize)>,
    pub open_mandatory: usize,
    /// Why the airframe is on the ground, by this session.
    pub grounding: Vec<String>,
    pub can_open: bool,
}

/// How far a session is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    Running,
    Paused,
    Released,
    /// Completed as not airworthy, damaged, or never wholly created.
    Other,
}

#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct HangarView {
    pub folder: String,
    pub airframes: Vec<AirframeRow>,
    pub sessions: Vec<SessionRow>,
    pub people: Vec<Person>,
    pub instruments: Vec<Instrument>,
    /// Faults of registers and checklists, one line each.
    pub faults: Vec<String>,
    /// True when the hangar is the invented one of the demo.
    pub is_demo: bool,
}

/// What the last annual of the same airframe says, for showing at each step.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Earlier {
    /// Which annual it is, such as "annual signed on 2025-11-20".
    pub label: String,
    /// Lines by step id; a step that it left open, or did not have, has none.
    pub steps: BTreeMap<String, Vec<String>>,
    /// Steps that failed there, with how each ended.
    pub failed: BTreeMap<String, String>,
}

/// The session at work, or under view.
pub struct SessionView<'a> {
    pub sid: &'a str,
    pub plan: &'a Plan,
    pub state: &'a State,
    /// Every entry in order, for history and replay.
    pub entries: &'a [Stamped],
    /// As of now, for the person who is working.
    pub verdict: &'a Verdict,
    /// Why nothing can be recorded: signed, damaged, opened elsewhere. `None` while it can.
    pub read_only: Option<&'a str>,
    /// What recovery had to say when it was opened.
    pub notices: &'a [String],
    /// Of the annual before, where the hangar has one.
    pub earlier: Option<&'a Earlier>,
}

/// What a key asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wish {
    /// Who is working from now on, by id.
    ActAs(String),
    Begin {
        registration: String,
    },
    OpenSession {
        sid: String,
    },
    LeaveSession,
    /// Begin a session that continues the one at hand, which is signed or damaged.
    Continue {
        reason: String,
    },
    Record(Request),
    /// Record what was written on a printed sheet: all rows or none.
    EnterPaper {
        passage: Box<Passage>,
        rows: Vec<Typed>,
    },
    /// Take a file in as evidence and record it.
    AddEvidenceFile {
        step: Option<String>,
        demand: Option<String>,
        defect: Option<String>,
        path: String,
    },
    /// Enter a report into the airframe's record, and look what would change for the session.
    NewReport(ReportWish),
    /// Look what would change if the plan were composed now.
    LookForOffer,
    /// Take up what was shown.
    TakeUp {
        why: String,
    },
    /// Bring the airframe's record up to date from the signed session at hand.
    BringForward,
    /// Sign off with the key of the person who is working.
    Sign {
        outcome: Outcome,
        passphrase: Passphrase,
    },
    /// Record an independent inspection, signed with that key.
    Inspect {
        request: Request,
        passphrase: Passphrase,
    },
    /// A second person's signature on a signed session.
    Countersign {
        agrees: bool,
        note: String,
        passphrase: Passphrase,
    },
    /// Write a text to a new file, never over another one.
    WriteFile {
        path: String,
        text: String,
    },
    /// Copy everything known into a new folder.
    Rescue {
        folder: String,
    },
    /// Give the session's ballast back to its full disk.
    MakeRoom,
    /// Write the record of an airframe that has none.
    CreateAirframe {
        head: Vec<Change>,
    },
    /// Change a record or register; `was` is the hash of the text that was shown.
    EditFile {
        file: RecordFile,
        edits: Vec<Edit>,
        was: String,
    },
    /// Make a person's key.
    MakeKey {
        person: String,
        passphrase: Passphrase,
    },
}

/// A record or register as it is shown, with the hash of its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownFile {
    pub sheet: Sheet,
    pub hash: String,
}

/// A report or occurrence as it is entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportWish {
    /// Id of its kind.
    pub kind: String,
    pub date: NaiveDate,
    pub by: String,
    pub text: String,
    /// Modules besides those that the kind selects.
    pub modules: Vec<String>,
}

/// What opens a key. It is never shown, not even where a wish is printed for a test.
#[derive(Clone, Default, PartialEq, Eq)]
pub struct Passphrase(String);

impl Passphrase {
    pub fn new(typed: impl Into<String>) -> Passphrase {
        Passphrase(typed.into())
    }

    pub fn reveal(&self) -> &str {
        &self.0
    }
}

impl std::fmt::Debug for Passphrase {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Passphrase(…)")
    }
}

/// What came of a wish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Told {
    /// Durable on the disk; the number of the entry.
    Saved {
        entry: u64,
        note: Option<String>,
    },
    Done {
        note: Option<String>,
    },
    /// Nothing was recorded; why, and what to do next.
    Declined {
        why: String,
        next: String,
    },
    /// The disk is full: nothing was recorded or lost, and the same can be recorded again once there is room.
    /// `ballast`: the session has some that it could give back. The typed text is to be kept on screen.
    Full {
        why: String,
        next: String,
        ballast: bool,
    },
    /// The disk failed: nothing more can be recorded in this run. The typed text is to be kept on screen.
    Failed {
        why: String,
        next: String,
    },
}

/// The rest of the program, as a screen sees it.
pub trait Desk {
    fn hangar(&self) -> &HangarView;
    fn session(&self) -> Option<SessionView<'_>>;
    /// Who is working.
    fn person(&self) -> Option<&Person>;
    fn today(&self) -> NaiveDate;
    fn carry_out(&mut self, wish: Wish) -> Told;

    /// What an auditor may want to look at in the open session. A desk without a hangar knows no annual before.
    fn findings(&self) -> Vec<Finding> {
        self.session().map_or_else(Vec::new, |view| {
            let session = Record::of_plan(view.plan, view.entries, view.state);
            find_all(&Context { session, earlier: None })
        })
    }

    /// The plan that an annual of this airframe would get now. A desk without a hangar has none.
    ///
    /// # Errors
    /// Why there is none.
    fn preview(&self, registration: &str) -> Result<Plan, String> {
        Err(say!("there is no airframe \"{registration}\" here", registration))
    }

    /// Faults of the record of the open session; empty when it is sound.
    fn record_faults(&self) -> Vec<String> {
        Vec::new()
    }

    /// The text of a table file that a person named. A desk without files, as in a test, has none.
    ///
    /// # Errors
    /// Why it cannot be read.
    fn table_text(&self, path: &str) -> Result<String, String> {
        Err(say!("\"{path}\" cannot be read: there are no files here", path))
    }

    /// The moment. A desk without a clock, as in a test, takes the end of the day.
    fn now(&self) -> DateTime<FixedOffset> {
        let end = NaiveTime::from_hms_opt(23, 59, 59).unwrap_or_default();
        self.today().and_time(end).and_local_timezone(Utc).earliest().unwrap_or_default().fixed_offset()
    }

    /// The printed sheet of the open session that a typed code names.
    ///
    /// # Errors
    /// The code is mistyped, or belongs to something else.
    fn sheet(&self, code: &str) -> Result<crate::paper::Sheet, Fault> {
        match (self.session(), self.plans()) {
            (Some(view), Some(plans)) => find_sheet(&plans, view.entries, code)
                .map_err(|fault| fault.declined(view.sid, &view.plan.airframe.registration)),
            _ => Err(Fault {
                why: say!("no session is open").to_string(),
                next: say!("open one first").to_string(),
            }),
        }
    }

    /// What rows of a printed sheet would record, on the record as it stands. `None` where no session is open or
    /// nobody works.
    fn check_paper(&self, passage: &Passage, rows: &[Typed]) -> Option<Checked> {
        let (view, person) = (self.session()?, self.person()?);
        let people = People(self.hangar().people.clone());
        let instruments = Instruments(self.hangar().instruments.clone());
        let facts = Facts { today: self.today(), people: &people, instruments: &instruments };
        let by = Actor { id: person.id.clone(), name: person.name.clone() };
        let file = |path: &str| self.table_text(path);
        Some(check((view.plan, view.state), &by, passage, rows, (&facts, self.now()), &file))
    }

    /// Keeps what is typed and not recorded, for the next run; an empty text takes it away. Called whenever it
    /// changed, so it must be cheap: written, not synced.
    ///
    /// # Errors
    /// Why they cannot be kept.
    fn keep_unsaved(&mut self, _text: &str) -> Result<(), String> {
        Ok(())
    }

    /// A record or register, read fresh.
    ///
    /// # Errors
    /// Why it cannot be read.
    fn file(&self, file: &RecordFile) -> Result<ShownFile, String> {
        Err(say!("{} cannot be read: there are no files here", file.words()))
    }

    /// Type ids that the checklists know.
    fn types(&self) -> Vec<String> {
        Vec::new()
    }

    /// As [`Desk::keep_unsaved`], for what is typed into forms of the hangar's files.
    ///
    /// # Errors
    /// Why they cannot be kept.
    fn keep_unsaved_here(&mut self, _text: &str) -> Result<(), String> {
        Ok(())
    }

    /// What an earlier run kept of those.
    fn unsaved_here(&self) -> Option<String> {
        None
    }

    /// Every plan by which the open session was worked.
    fn plans(&self) -> Option<Plans> {
        self.session().map(|view| Plans::new(view.plan.clone()))
    }

    /// Of a damaged record the first entry that is not to be relied on.
    fn damaged_from(&self) -> Option<u64> {
        None
    }

    /// How often it wants to look again by itself, such as at a file that somebody writes.
    fn looks_every(&self) -> Option<std::time::Duration> {
        None
    }

    /// Looks again; true where something else is to be shown.
    fn look_again(&mut self) -> bool {
        false
    }

    /// Where the Worksheet begins, if not at the first open step.
    fn begins_at(&self) -> Option<usize> {
        None
    }

    /// A text that stands in place of the screens, such as the faults of what would be drawn.
    fn instead(&self) -> Option<&str> {
        None
    }

    /// How the plan would change that was looked for last, a line each.
    fn offered(&self) -> &[String] {
        &[]
    }

    /// Keeps how the screens look, for the next run.
    ///
    /// # Errors
    /// Why it cannot be kept.
    fn keep_look(&mut self, _text: &str) -> Result<(), String> {
        Ok(())
    }

    /// How they looked in the last one.
    fn kept_look(&self) -> Option<String> {
        None
    }

    /// What an earlier run kept of the open session.
    fn unsaved(&self) -> Option<String> {
        None
    }
}
