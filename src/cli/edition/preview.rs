//! `edition preview`: the worksheet with a draft in it, as an inspector will see it; faults with carets instead.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Duration;

use chrono::NaiveDate;

use super::super::output::{Failure, Output, exit};
use super::super::start::wanted;
use super::PreviewArgs;
use crate::airframe::Person;
use crate::bench::Reading;
use crate::checklist::{Checklist, Kind, read_checklist};
use crate::cli::Cli;
use crate::completion::{Context, Verdict, verdict};
use crate::diagnostic::{Diagnostic, Place, render};
use crate::hangar::{
    Hangar, HangarError, PROGRAMME, SampleAirframe, judge_draft, library_beside, sample_airframe,
};
use crate::plan::{ComposeInput, Plan, compose};
use crate::screen::desk::{Desk, HangarView, SessionView, Told, Wish};
use crate::screen::{Start, run_as, worksheet_text};
use crate::state::State;
use crate::store::texts::read_text;

/// How often a watched file is looked at: soon enough after a save, and seldom enough to let a laptop sleep.
const LOOK: Duration = Duration::from_secs(1);
/// Before the titles of the file's own steps.
const MARK: &str = "» ";

pub(super) fn preview(
    cli: &Cli,
    hangar: &Hangar,
    args: &PreviewArgs,
    out: &mut Output,
) -> Result<u8, Failure> {
    // A file or airframe that is not there at all is no preview with faults.
    read_text(&args.file, &args.file.to_string_lossy()).map_err(|fault| HangarError::Files(vec![fault]))?;
    if let Some(registration) = &args.airframe {
        hangar.airframe(registration)?;
    }
    let has_terminal = super::super::has_terminal();
    if args.watch && !has_terminal {
        return Err(Failure::usage(say!("--watch follows the file on a terminal; without one leave it out")));
    }
    let mut desk = PreviewDesk::new(hangar, args);
    if has_terminal && !args.text {
        run_as(&mut desk, Start::Worksheet, wanted(cli)).map_err(Failure::failed)?;
        return Ok(exit::DONE);
    }
    match &desk.shown {
        Shown::Plan { .. } => {
            let marked = desk.marked();
            if let Some(view) = desk.session() {
                out.line(&view.notices.join("\n"));
                out.text(&format!("\n{}", worksheet_text(&view, |at| marked.contains(&at), 100)));
            }
            Ok(exit::DONE)
        }
        Shown::Faults(text) => Err(Failure::refused(text.clone())),
    }
}

enum Shown {
    Plan {
        plan: Box<Plan>,
        state: Box<State>,
        verdict: Box<Verdict>,
        notices: Vec<String>,
    },
    /// With carets.
    Faults(String),
}

/// A desk without a record: what it shows is made anew whenever the file changes, and nothing can be written.
struct PreviewDesk<'a> {
    hangar: &'a Hangar,
    file: PathBuf,
    airframe: Option<String>,
    watch: bool,
    today: NaiveDate,
    view: HangarView,
    /// What the file will be used with, for the whole check.
    library: Vec<Reading>,
    /// The file's text at the last look, or why it could not be read.
    text: Result<String, String>,
    shown: Shown,
}

impl<'a> PreviewDesk<'a> {
    fn new(hangar: &'a Hangar, args: &PreviewArgs) -> PreviewDesk<'a> {
        let mut desk = PreviewDesk {
            hangar,
            file: args.file.clone(),
            airframe: args.airframe.clone(),
            watch: args.watch,
            today: hangar.today(),
            view: HangarView {
                folder: say!("preview of {}", args.file.display()),
                is_demo: hangar.is_demo(),
                ..HangarView::default()
            },
            library: library_beside(std::slice::from_ref(&args.file), std::slice::from_ref(&hangar.root)),
            text: text_of(&args.file),
            shown: Shown::Faults(String::new()),
        };
        desk.make();
        desk
    }

    fn make(&mut self) {
        self.shown = match self.plan() {
            Ok((plan, notices)) => {
                let state = State::new(&plan);
                let verdict = verdict(&Context {
                    plan: &plan,
                    state: &state,
                    today: self.today,
                    signer: None,
                    integrity: &[],
                    evidence: &BTreeMap::new(),
                });
                Shown::Plan {
                    plan: Box::new(plan),
                    state: Box::new(state),
                    verdict: Box::new(verdict),
                    notices,
                }
            }
            Err(faults) => {
                let next = if self.watch {
                    format!("\n\n{}", say!("The file is watched. q leaves."))
                } else {
                    String::new()
                };
                Shown::Faults(format!("{}{next}", render(&faults, false)))
            }
        };
    }

    fn plan(&self) -> Result<(Plan, Vec<String>), Vec<Diagnostic>> {
        let source = read_text(&self.file, &self.file.to_string_lossy()).map_err(|fault| vec![fault])?;
        let judged = judge_draft(&source, &self.library, self.today);
        if judged.iter().any(Diagnostic::is_error) {
            return Err(judged);
        }
        let checklist = read_checklist(&source)?;
        let mut library = self.hangar.library().clone();
        library.try_out(checklist.clone());
        let types = library.types();
        let type_id = match &checklist.kind {
            Kind::Supplement(content) => content.of_type.id.clone(),
            _ => types.first().map(|id| (*id).to_string()).unwrap_or_default(),
        };
        let sample;
        let (airframe, airframe_source, who) = match &self.airframe {
            Some(registration) => match self.hangar.airframe(registration) {
                Ok(file) => {
                    let airframe = file.airframe.as_ref().map_err(Clone::clone)?;
                    (airframe, &file.source, airframe.registration.clone())
                }
                Err(error) => {
                    let place = Place::new(&source, 0..0);
                    return Err(vec![Diagnostic::new("file-unreadable", place, error.to_string())]);
                }
            },
            None => {
                sample = sample_airframe(&type_id, &checklist)?;
                let SampleAirframe { source, airframe } = &sample;
                (airframe, source, say!("an invented airframe of type {type_id}", type_id))
            }
        };
        let mut plan =
            compose(&ComposeInput { library: &library, airframe, airframe_source, programme: PROGRAMME })?;
        let marked = mark(&mut plan, &checklist);
        let notices = notices(&checklist, &plan, &who, marked, judged.len());
        Ok((plan, notices))
    }

    fn marked(&self) -> Vec<usize> {
        let Shown::Plan { plan, .. } = &self.shown else { return Vec::new() };
        let steps = plan.steps.iter().enumerate();
        steps.filter(|(_, step)| step.step.title.starts_with(MARK)).map(|(at, _)| at).collect()
    }
}

fn text_of(file: &Path) -> Result<String, String> {
    read_text(file, &file.to_string_lossy())
        .map(|source| source.text.clone())
        .map_err(|fault| fault.to_string())
}

/// Marks what the file writes or changes, and tells how many steps that are.
fn mark(plan: &mut Plan, checklist: &Checklist) -> usize {
    let id = &checklist.id.value;
    let mut marked = 0;
    for step in &mut plan.steps {
        if step.origin.checklist == *id || step.changes.iter().any(|change| change.by == *id) {
            step.step.title.insert_str(0, MARK);
            marked += 1;
        }
    }
    marked
}

fn notices(checklist: &Checklist, plan: &Plan, who: &str, marked: usize, advice: usize) -> Vec<String> {
    let (id, version) = (&checklist.id.value, &checklist.version.value);
    let mut found = vec![say!(
        "PREVIEW of {id} {version} on {who}: nothing is recorded; \"{}\" marks the file's {marked} steps",
        MARK.trim(),
        id,
        version,
        who,
        marked
    )];
    let takes_part = plan.editions.iter().any(|edition| edition.id == *id);
    if !takes_part {
        found.push(say!("{id} takes no part: this airframe has no report or occurrence that selects it", id));
    } else {
        let left_out = checklist.steps.iter().filter(|step| plan.step(&step.value.id).is_none()).count();
        if left_out > 0 {
            found.push(say!(
                "{left_out} of its steps do not belong to this airframe or are withdrawn",
                left_out
            ));
        }
    }
    if advice > 0 {
        let pieces = say!("a piece of advice" | "{n} pieces of advice" % advice);
        found.push(format!("{pieces}: spanwise check {}", checklist.source.name));
    }
    found
}

impl Desk for PreviewDesk<'_> {
    fn hangar(&self) -> &HangarView {
        &self.view
    }

    fn session(&self) -> Option<SessionView<'_>> {
        let Shown::Plan { plan, state, verdict, notices } = &self.shown else { return None };
        Some(SessionView {
            sid: "preview",
            plan,
            state,
            entries: &[],
            verdict,
            read_only: Some(say!("this is a preview of a checklist")),
            notices,
            earlier: None,
        })
    }

    fn person(&self) -> Option<&Person> {
        None
    }

    fn today(&self) -> NaiveDate {
        self.today
    }

    fn carry_out(&mut self, _wish: Wish) -> Told {
        Told::Declined {
            why: say!("this is a preview of a checklist: nothing is recorded").to_string(),
            next: say!("begin an annual to record: spanwise begin").to_string(),
        }
    }

    fn looks_every(&self) -> Option<Duration> {
        self.watch.then_some(LOOK)
    }

    fn look_again(&mut self) -> bool {
        let text = text_of(&self.file);
        if text == self.text {
            return false;
        }
        self.text = text;
        self.make();
        true
    }

    fn begins_at(&self) -> Option<usize> {
        self.marked().first().copied()
    }

    fn instead(&self) -> Option<&str> {
        match &self.shown {
            Shown::Faults(text) => Some(text),
            Shown::Plan { .. } => None,
        }
    }
}
