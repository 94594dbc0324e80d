//! `edition`: the checklist author's bench.

mod add_step;
mod compare;
mod form;
mod issue;
mod list;
mod preview;
mod probe;

use std::path::PathBuf;

use clap::{Args, Subcommand};
use semver::Version;

use super::args::Cli;
use super::output::{Failure, Output};
use crate::hangar::Hangar;

#[derive(Debug, Subcommand)]
pub enum EditionCommand {
    /// Tell what one edition changes against another, and which step of the version that demands.
    #[command(after_help = COMPARE_HELP)]
    Compare(CompareArgs),
    /// List editions and drafts, with what became of those that were issued.
    #[command(after_help = LIST_HELP)]
    List(ListArgs),
    /// Begin a draft from the newest edition. A draft takes part in no plan.
    Draft(DraftArgs),
    /// Write a new step into a draft, question by question; flags answer them for a script.
    #[command(after_help = ADD_STEP_HELP)]
    AddStep(Box<AddStepArgs>),
    /// Begin a new targeted module as a draft: whole but for its steps.
    NewModule(NewModuleArgs),
    /// Show the worksheet with a file in it, as an inspector will see it; with faults these instead.
    ///
    /// On a terminal the screens open, read-only; elsewhere it is text.
    Preview(PreviewArgs),
    /// Issue a draft: check it, hold its version to its changes, freeze it, enter it into the register.
    #[command(after_help = ISSUE_HELP)]
    Issue(IssueArgs),
}

const COMPARE_HELP: &str = "\
Major: a step, measurement, evidence or withdrawal of it is gone, a limit is loosened, or an id now means something else.
Minor: something is added, tightened, arranged or ordered otherwise. Patch: words only, with the same figures.

Exit codes: 0 compared, also where they differ; 1 something cannot be read; 3 no edition of that name.

Example:
  spanwise edition compare varn-15-supplement@1.0.0 varn-15-supplement@1.1.0
  spanwise edition compare ./checklists/fin-root/draft.toml      against the newest edition below it";

const ADD_STEP_HELP: &str = "\
The step is put behind the last one of its section; comments and every other byte of the file stay. It is judged as by
`spanwise check`: with a fault nothing is written. An issued edition is refused.

Example:
  spanwise edition add-step ./checklists/fin-root/draft.toml --section fin-root --id fin-root.drain \\
    --title \"Drain hole of the fin\" --instruction \"How: look and feel. Good: open. Bad: blocked.\" \\
    --basis \"common practice\" \\
    --measure \"id=bore; title=Bore; kind=number; unit=mm; min=4; limit_source=common practice\"";

const LIST_HELP: &str =
    "Exit codes: 0 all as issued; 4 an issued edition was altered or is missing, or the register is faulty.";

const ISSUE_HELP: &str = "\
The draft has no fault by itself nor in any plan, and its version makes at least the step that its changes demand. It
becomes <id>/<version>.toml byte for byte, and its SHA-256 stands in the register issued.toml. It is never edited again.

Example:
  spanwise edition draft fin-root
  spanwise edition issue ./hangar/checklists/fin-root/draft.toml --by tamsin-orrel";

#[derive(Debug, Args)]
pub struct CompareArgs {
    /// A file, or an edition of the library as id@version; an id alone is its newest edition.
    #[arg(value_name = "OLD")]
    pub old: String,
    /// As OLD. Without it OLD is compared with the newest edition below it.
    #[arg(value_name = "NEW")]
    pub new: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct ListArgs {
    /// This checklist alone.
    pub id: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct DraftArgs {
    /// Id of a checklist, or id@version.
    pub id: String,
    /// The version wanted; the next minor one by default. It can be changed in the draft.
    #[arg(long)]
    pub version: Option<Version>,
}

#[derive(Debug, Args)]
pub struct AddStepArgs {
    /// A draft, or any checklist file that was not issued.
    pub file: PathBuf,
    #[arg(long)]
    pub section: Option<String>,
    #[arg(long)]
    pub id: Option<String>,
    #[arg(long)]
    pub title: Option<String>,
    #[arg(long)]
    pub instruction: Option<String>,
    #[arg(long)]
    pub caution: Option<String>,
    /// A rule that it answers; may be given several times.
    #[arg(long, value_name = "RULE")]
    pub basis: Vec<String>,
    /// How the airframe has to stand, such as "wings=rigged, tailplane=off".
    #[arg(long)]
    pub configuration: Option<String>,
    /// A step to be answered before it; may be given several times.
    #[arg(long, value_name = "STEP")]
    pub after: Vec<String>,
    #[arg(long)]
    pub people: Option<u32>,
    #[arg(long)]
    pub minutes: Option<u32>,
    /// May be given several times.
    #[arg(long, value_name = "ITEM")]
    pub kit: Vec<String>,
    /// A load is applied to the structure.
    #[arg(long)]
    pub loads: bool,
    /// A second person must inspect what it disturbs.
    #[arg(long)]
    pub independent: bool,
    /// It may be left open.
    #[arg(long)]
    pub optional: bool,
    /// A file that must be taken in: keys and values with semicolons; may be given several times.
    #[arg(long, value_name = "EVIDENCE")]
    pub evidence: Vec<String>,
    /// Keys and values with semicolons, choices with "|"; may be given several times.
    #[arg(long, value_name = "MEASURE")]
    pub measure: Vec<String>,
}

#[derive(Debug, Args)]
pub struct NewModuleArgs {
    /// Its id, such as tip-scrape: lower-case words joined by "-". The ids of its steps begin with it.
    pub id: String,
    /// What a person reads in the plan, such as "After a scraped wing tip".
    #[arg(long)]
    pub title: Option<String>,
    /// A kind of report that selects it; may be given several times.
    #[arg(long, value_name = "KIND")]
    pub report: Vec<String>,
    /// A kind of occurrence that selects it; may be given several times.
    #[arg(long, value_name = "KIND")]
    pub occurrence: Vec<String>,
}

#[derive(Debug, Args)]
pub struct PreviewArgs {
    /// A checklist file, draft or issued.
    pub file: PathBuf,
    /// On this airframe; by default an invented one of the type.
    #[arg(long, value_name = "REGISTRATION")]
    pub airframe: Option<String>,
    /// Follow the file as it is saved; q leaves.
    #[arg(long)]
    pub watch: bool,
    /// As text, on a terminal, too.
    #[arg(long, conflicts_with = "watch")]
    pub text: bool,
}

#[derive(Debug, Args)]
pub struct IssueArgs {
    /// The draft's file.
    #[arg(value_name = "DRAFT_FILE")]
    pub draft: PathBuf,
    /// Issue it as this version, whatever the draft says.
    #[arg(long)]
    pub version: Option<Version>,
    /// Issue it although other checklists no longer fit it, and no plan with them composes until they follow.
    #[arg(long)]
    pub despite_others: bool,
}

pub(super) fn edition(
    cli: &Cli,
    hangar: &Hangar,
    command: &EditionCommand,
    out: &mut Output,
) -> Result<u8, Failure> {
    match command {
        EditionCommand::Compare(args) => compare::compare(hangar, args, out),
        EditionCommand::List(args) => list::list(hangar, args, out),
        EditionCommand::Draft(args) => issue::draft(hangar, args, out),
        EditionCommand::AddStep(args) => add_step::add_step(hangar, args, out),
        EditionCommand::NewModule(args) => {
            let person = cli.by.as_deref().map(|by| hangar.people.find(by).map_or(by, |person| &person.name));
            add_step::module(person, hangar, args, out)
        }
        EditionCommand::Preview(args) => preview::preview(cli, hangar, args, out),
        EditionCommand::Issue(args) => issue::issue_draft(cli, hangar, args, out),
    }
}
