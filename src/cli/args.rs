//! The command line: what may be typed, with help that shows how.

use std::path::PathBuf;

use super::airframe_text::AirframeArgs;
use super::compare::{CompareArgs, ComparePlansArgs};
use super::completions::CompletionsArgs;
use super::compute::ComputeArgs;
use super::config::ConfigArgs;
use super::coverage::CoverageArgs;
use super::defects::DefectsArgs;
use super::due::DueArgs;
use super::edition::EditionCommand;
use super::exchange::{ExportArgs, ImportArgs};
use super::handover::{HandoverArgs, OpeningArgs};
use super::intake::OfArgs;
use super::library::LibraryArgs;
use super::log::LogArgs;
use super::look::LookArgs;
use super::man::ManArgs;
use super::pack::PackCommand;
use super::record_files::{InitArgs, RecordArgs};
use super::replay::ReplayArgs;
use super::report::{ReportWordArgs, WorksheetArgs};
use super::schema::SchemaArgs;
use super::translate::TranslateArgs;
use clap::{Args, Parser, Subcommand, ValueEnum};

use super::word::word_of;
use crate::checklist::Severity;
use crate::event::{ControlCheck, DirectiveAnswer, Disposition, LifeAnswer};
use crate::settings::Settings;

/// Runs, judges and signs a targeted annual inspection of a composite glider.
///
/// Without a command the screens open. The type's manual, local rules and the licensed person govern.
#[derive(Debug, Parser)]
#[command(name = "spanwise", version, about, max_term_width = 100, after_help = EXIT_CODES)]
pub struct Cli {
    /// Folder with airframes, registers, checklists and sessions.
    #[arg(long, global = true, env = "SPANWISE_HANGAR", value_name = "FOLDER")]
    pub hangar: Option<PathBuf>,
    /// Who is working: an id of the people register.
    #[arg(long, global = true, env = "SPANWISE_PERSON", value_name = "PERSON")]
    pub by: Option<String>,
    #[command(flatten)]
    pub look: LookArgs,
    #[command(subcommand)]
    pub command: Option<Command>,
    /// What holds of arguments, environment and config file.
    #[arg(skip)]
    pub settings: Settings,
    /// The words of the command, such as "key new".
    #[arg(skip)]
    pub path: String,
}

const EXIT_CODES: &str = "Exit codes:
  0  done; for `status`: the sign-off is possible; for `coverage`: no rule is without a mandatory step
  1  something failed (a file, the disk, the terminal)
  2  the command line is wrong
  3  refused: the request was not recorded, or the sign-off is not possible; for `due`: something is overdue;
     `coverage`: a rule has no mandatory step; `check`: a fault; `import`: a row has faults; `pack`: refused, or its
     key is not vouched for
  4  the record is damaged or altered; for `anchor`: the code belongs to another record; `library`, `edition list`:
     an installed or issued edition is altered or gone; `pack`: altered, truncated, or no pack
  5  `compute`: the readings do not decide it (cannot decide, cannot tell); its other codes
     are 0 computed, within or consistent, 3 outside, softer, overdue or above the ceiling;
     `opening`, `handover`: cannot tell, not mapped; 0 clear, 3 it cuts a hidden item or comes too near
The help of each command tells its own.

An argument goes before the environment, that before the config file: see `config`. Manual pages: see `man`.

Example:
  spanwise demo                                open the invented hangar
  spanwise --hangar ./club begin XX-VA7 --by tamsin-orrel
  spanwise --hangar ./club status XX-VA7";

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Open the screens on an invented hangar, or walk through a whole annual without a terminal.
    Demo(DemoArgs),
    /// List airframes and sessions.
    List(JsonArg),
    /// Show the whole record of an airframe: identity, totals, equipment, papers, reports, defects, what falls due.
    Airframe(AirframeArgs),
    /// List the people register: who may sign what, until when.
    People(JsonArg),
    /// List the instruments, with their uncertainty and calibration.
    Instruments(JsonArg),
    /// Tell what falls due before the next annual; the exit code tells whether anything is overdue.
    ///
    /// Directives, life-limited items, deferred defects, weighing, certificates and the annual itself, whichever limit comes
    /// first, at the use that is expected.
    Due(DueArgs),
    /// Begin an annual: compose the plan from checklists and reports, and freeze it.
    Begin(BeginArgs),
    /// Show the plan that an annual would get, with the source of each step and why it is there.
    Plan(PlanArgs),
    /// Order the open steps so that the configuration changes cost the fewest person-minutes: blocks, hands, kit.
    ///
    /// For a running annual what is open, from the configuration last confirmed; without one the plan that an annual
    /// would get. Steps that a failure names to follow come as early as that costs no further change.
    Order(OrderArgs),
    /// Write the hand-out of a session as PDF, HTML, text, CSV or JSON; or take in, list and explain what pilots report.
    Report(ReportWordArgs),
    /// Tell what an annual opens with: defects left open, reports since, what falls due, failures and readings before.
    Carried(OfArgs),
    /// Bring the airframe's record up to date from a signed session; done at the signature, and here where that failed.
    BringForward(SessionArg),
    /// Take up the plan as it would be composed now: newer checklist editions, new reports. Shows the difference.
    TakeUp(TakeUpArgs),
    /// Open a session on the Worksheet screen.
    Work(SessionArg),
    /// Tell what is open. The exit code tells whether the sign-off is possible.
    Status(StatusArgs),
    /// Show a session as text: every step, answer, reading and correction.
    Show(ShowArgs),
    /// Follow a record entry by entry, tell the story of a step, or show the worksheet as it stood.
    Replay(ReplayArgs),
    /// Tell what an auditor may want to look at: observations, with their innocent explanations.
    Findings(FindingsArgs),
    /// Compare an annual with the last one of the same airframe, or any two sessions, step by step.
    Compare(CompareArgs),
    /// Compare two plans step by step: new, gone and changed steps, and what an answer already given no longer answers.
    ComparePlans(ComparePlansArgs),
    /// Answer a step.
    Answer(AnswerArgs),
    /// Enter a reading.
    Read(ReadArgs),
    /// Confirm how the airframe stands now.
    Confirm(ConfirmArgs),
    /// Write a note.
    Note(NoteArgs),
    /// Initial a step: say what you did of it. The certifier accepts it by answering the step.
    Initial(InitialArgs),
    /// Take a file in as evidence.
    Evidence(EvidenceArgs),
    /// Take an answer, a reading, a defect or evidence back, with the reason.
    Withdraw(WithdrawArgs),
    /// Raise, decide, rectify or re-inspect a defect.
    #[command(subcommand)]
    Defect(DefectCommand),
    /// List every defect of a session with place, evidence, decisions and limit, and draw them on the airframe.
    Defects(DefectsArgs),
    /// Set a report aside in writing.
    SetAside(SetAsideArgs),
    /// Answer a directive.
    Directive(DirectiveArgs),
    /// Answer a life-limited item.
    LifeItem(LifeItemArgs),
    /// Record an independent inspection by a second person.
    Inspect(InspectArgs),
    /// Pause the session.
    Pause(PauseArgs),
    /// Resume a paused session.
    Resume(SessionArg),
    /// Sign the session off.
    Sign(SignArgs),
    /// Add a second person's signature to a signed session.
    Countersign(CountersignArgs),
    /// Make, enter, end or list the keys that sign.
    #[command(subcommand)]
    Key(KeyCommand),
    /// Write out what was signed, the signatures and the signers, so that OpenSSH alone can check them.
    SealFiles(SealFilesArgs),
    /// Copy everything that can be read of a session into a new folder, and read the copy back.
    ///
    /// Works on a damaged, read-only or open session, too; nothing is written to it.
    Rescue(RescueArgs),
    /// Give the ballast of a session back to its full disk, so that a pause or sign-off can still be written.
    MakeRoom(SessionArg),
    /// Write what a composite repairer gets: defects, evidence, readings, hidden items, questions, openings checked.
    Handover(HandoverArgs),
    /// Write a paper worksheet of the open steps in hangar order, with boxes to tick and lines to write on.
    Worksheet(WorksheetArgs),
    /// Tell whether a proposed opening would be clear of what lies behind the skin, as far as the type's data tell.
    Opening(OpeningArgs),
    /// List every checklist edition at hand: what it is, where it came from, whether it is altered.
    Library(LibraryArgs),
    /// Hand checklists on in one signed file: make a pack, verify it, install it.
    #[command(subcommand)]
    Pack(PackCommand),
    /// Begin the translation file of a checklist, or bring it up to date with the checklist.
    Translate(TranslateArgs),
    /// Print the JSON Schema of checklist files for editors, or the reference of their keys.
    Schema(SchemaArgs),
    /// Tell which step answers which rule, and what no step answers: of a plan, a session or a checklist.
    Coverage(CoverageArgs),
    /// Write, compare, preview and issue editions of checklists.
    #[command(subcommand)]
    Edition(EditionCommand),
    /// Check checklists, airframe records and registers: a file, a folder, a hangar, or the built-in library.
    Check(CheckArgs),
    /// Judge readings outside any session: a file of readings in, a result out.
    Compute(ComputeArgs),
    /// Verify sessions from their files alone: whole, unaltered, sealed by whom.
    Verify(VerifyArgs),
    /// Tell the codes that fix a session on paper, or to which entry a code from paper belongs.
    Anchor(AnchorArgs),
    /// Write airframe records and registers: enter, add to, change; tell their keys.
    Record(RecordArgs),
    /// Make the folders and registers of an empty hangar, and say what comes next.
    Init(InitArgs),
    /// Write airframes, instruments, people, life-limited items or directives as CSV.
    Export(ExportArgs),
    /// Read airframes or instruments from a CSV file into the hangar: all rows or none.
    Import(ImportArgs),
    /// Tell the settings of this account and where each comes from; write or change the config file.
    Config(ConfigArgs),
    /// Tell what the program did lately.
    Log(LogArgs),
    /// Print the completion script of a shell.
    Completions(CompletionsArgs),
    /// Write the manual pages: one for each command.
    Man(ManArgs),
    /// Explain the refusals, or one of them by its number.
    Refusals(RefusalsArgs),
}

#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Put the invented hangar here instead of into a temporary folder.
    #[arg(long, value_name = "FOLDER")]
    pub into: Option<PathBuf>,
    /// Work through a whole annual by the program's own commands, printing each stage.
    #[arg(long)]
    pub walkthrough: bool,
}

#[derive(Debug, Args)]
pub struct JsonArg {
    /// As JSON, for other programs.
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct BeginArgs {
    /// Registration of the airframe.
    pub registration: String,
    /// Begin although an annual of this airframe is running or paused.
    #[arg(long)]
    pub another: bool,
    /// Begin although the last signed annual was not brought forward into the airframe's record.
    #[arg(long)]
    pub anyway: bool,
    /// Continue a signed session, or what can be read of a damaged one, in a new session; nothing in it is changed.
    #[arg(long, value_name = "SESSION", requires = "reason")]
    pub continues: Option<String>,
    /// Why it is continued; both sessions show it.
    #[arg(long, requires = "continues")]
    pub reason: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct TakeUpArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Why the plan changes; without it the difference is shown and nothing is recorded.
    #[arg(long)]
    pub why: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct PlanArgs {
    /// Registration of the airframe.
    pub registration: String,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct OrderArgs {
    /// Registration of the airframe, or a session's id or its beginning.
    #[arg(value_name = "SESSION | REGISTRATION")]
    pub what: String,
    /// How many people are at hand, the inspector among them; what needs more is told.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..))]
    pub people: Option<u32>,
    /// How the airframe stands, where it is not confirmed: "wings=derigged, support=belly-dolly".
    #[arg(long, value_name = "SETTINGS")]
    pub from: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct SessionArg {
    /// A session's id or its beginning, or the registration for its newest session.
    pub session: String,
}

#[derive(Debug, Args)]
pub struct StatusArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Which sign-off the exit code is about.
    #[arg(long, value_enum, default_value_t = OutcomeWord::Release)]
    pub outcome: OutcomeWord,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct ShowArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Entry by entry instead of step by step.
    #[arg(long)]
    pub entries: bool,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct FindingsArgs {
    /// A session's id or its beginning, or the registration for its newest session.
    #[arg(required_unless_present = "explain")]
    pub session: Option<String>,
    /// Only findings of this kind.
    #[arg(long, value_name = "KIND")]
    pub only: Option<String>,
    /// Explain every kind, or this one: what it observes, from which values, and what may explain it.
    #[arg(long, value_name = "KIND", num_args = 0..=1, default_missing_value = "", conflicts_with_all = ["only", "json"])]
    pub explain: Option<String>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum OutcomeWord {
    /// Airworthy.
    Release,
    /// Completed, not airworthy, with the list of discrepancies.
    NotAirworthy,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ResultWord {
    Pass,
    Fail,
    NotApplicable,
}

#[derive(Debug, Args)]
pub struct AnswerArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Id of the step.
    pub step: String,
    #[arg(value_enum)]
    pub result: ResultWord,
    /// Demanded for not-applicable.
    #[arg(long)]
    pub reason: Option<String>,
    /// Correct the answer that stands, and why; the earlier one stays in the record, struck through.
    #[arg(long, value_name = "WHY")]
    pub correct: Option<String>,
}

#[derive(Debug, Args)]
pub struct ReadArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Id of the step.
    pub step: String,
    /// Id of the measurement.
    pub measure: String,
    /// The value with its unit ("2.45 bar"); a pair as "25 / 24 mm".
    #[arg(required_unless_present = "file", allow_hyphen_values = true)]
    pub value: Option<String>,
    /// A load-deflection table: lines of direction, up or down, load, deflection.
    #[arg(long, value_name = "FILE", conflicts_with = "value")]
    pub file: Option<PathBuf>,
    /// Id of the instrument in the register; for a load-deflection table two, as "dial-25 + balance-20".
    #[arg(long)]
    pub instrument: Option<String>,
    /// Number of the entry that this reading replaces.
    #[arg(long, value_name = "ENTRY", requires = "why")]
    pub correct: Option<u64>,
    /// Why the earlier reading is replaced, or why one more is taken.
    #[arg(long)]
    pub why: Option<String>,
}

#[derive(Debug, Args)]
pub struct ConfirmArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Settings such as "wings=rigged, support=trestles, tailplane=off, tail-wheel=clear".
    pub configuration: String,
}

#[derive(Debug, Args)]
pub struct NoteArgs {
    #[command(flatten)]
    pub session: SessionArg,
    pub text: String,
    /// The step that the note belongs to.
    #[arg(long)]
    pub step: Option<String>,
}

#[derive(Debug, Args)]
pub struct InitialArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Id of the step.
    pub step: String,
    /// What was done and seen.
    pub work: String,
}

#[derive(Debug, Args)]
pub struct EvidenceArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Photo, film, recording or document.
    pub file: PathBuf,
    #[arg(long)]
    pub step: Option<String>,
    /// Id of the step's evidence demand that it answers.
    #[arg(long, requires = "step")]
    pub demand: Option<String>,
    #[arg(long)]
    pub defect: Option<String>,
}

#[derive(Debug, Args)]
pub struct WithdrawArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Number of the entry.
    pub entry: u64,
    /// Why it is taken back.
    pub why: String,
}

#[derive(Debug, Subcommand)]
pub enum DefectCommand {
    /// Raise a defect, from a step or freely.
    Raise {
        #[command(flatten)]
        session: SessionArg,
        /// What is wrong.
        what: String,
        #[arg(long)]
        step: Option<String>,
        #[arg(long)]
        component: Option<String>,
        #[arg(long)]
        side: Option<String>,
        /// Station in mm from the type's datum.
        #[arg(long, value_name = "MM", allow_hyphen_values = true)]
        station: Option<String>,
        /// By default what the step's checklist hints at.
        #[arg(long, value_parser = word_of(&Severity::WORDS))]
        severity: Option<Severity>,
    },
    /// Decide what becomes of a defect.
    Dispose {
        #[command(flatten)]
        session: SessionArg,
        defect: String,
        #[arg(value_parser = word_of(&Disposition::WORDS))]
        disposition: Disposition,
        #[arg(long, default_value = "")]
        note: String,
        /// Limit of a deferral.
        #[arg(long, value_name = "DATE", value_parser = crate::cli::word::day)]
        until: Option<chrono::NaiveDate>,
    },
    /// Record that a defect was rectified; its step is to be worked again.
    Rectify {
        #[command(flatten)]
        session: SessionArg,
        defect: String,
        /// What was done, by which data.
        work: String,
        /// A flight-control connection was disturbed.
        #[arg(long)]
        disturbed_controls: bool,
    },
    /// Re-inspect a rectified defect that no step found.
    Reinspect {
        #[command(flatten)]
        session: SessionArg,
        defect: String,
        /// What was looked at and seen.
        note: String,
        #[arg(long)]
        not_satisfactory: bool,
    },
}

#[derive(Debug, Args)]
pub struct SetAsideArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Id of the report.
    pub report: String,
    pub reason: String,
}

#[derive(Debug, Args)]
pub struct DirectiveArgs {
    #[command(flatten)]
    pub session: SessionArg,
    pub directive: String,
    #[arg(value_parser = word_of(&DirectiveAnswer::WORDS))]
    pub answer: DirectiveAnswer,
    #[arg(long, default_value = "")]
    pub note: String,
    /// When it falls due again.
    #[arg(long, value_name = "DATE", value_parser = crate::cli::word::day)]
    pub next_due: Option<chrono::NaiveDate>,
}

#[derive(Debug, Args)]
pub struct LifeItemArgs {
    #[command(flatten)]
    pub session: SessionArg,
    pub item: String,
    #[arg(value_parser = word_of(&LifeAnswer::WORDS))]
    pub answer: LifeAnswer,
    #[arg(long, default_value = "")]
    pub note: String,
    /// When the new one falls due.
    #[arg(long, value_name = "DATE", value_parser = crate::cli::word::day)]
    pub next_due: Option<chrono::NaiveDate>,
}

#[derive(Debug, Args)]
pub struct InspectArgs {
    #[command(flatten)]
    pub session: SessionArg,
    pub step: String,
    /// Which connections were inspected.
    pub connections: String,
    /// What was checked, such as assembly,locking,sense,range; nothing is taken as checked by itself.
    #[arg(long, value_parser = word_of(&ControlCheck::WORDS), value_delimiter = ',', required = true)]
    pub checked: Vec<ControlCheck>,
    #[arg(long)]
    pub not_satisfactory: bool,
    #[command(flatten)]
    pub key: KeyFile,
}

/// Which key signs. The passphrase is asked for on the terminal, unless a file gives it.
#[derive(Debug, Args)]
pub struct KeyFile {
    /// Key file; by default the one in the hangar's folder keys/.
    #[arg(long, value_name = "FILE")]
    pub key: Option<PathBuf>,
    /// File whose first line is the passphrase, for scripts.
    #[arg(long, value_name = "FILE", env = "SPANWISE_PASSPHRASE_FILE")]
    pub passphrase_file: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct CountersignArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// You have seen it and do not agree; a note says why.
    #[arg(long)]
    pub disagree: bool,
    #[arg(long, default_value = "")]
    pub note: String,
    #[command(flatten)]
    pub key: KeyFile,
}

#[derive(Debug, Subcommand)]
pub enum KeyCommand {
    /// Make a key for a person: an encrypted file in keys/, and its public line in the people register.
    New {
        /// An id of the people register.
        person: String,
        #[arg(long, value_name = "FILE", env = "SPANWISE_PASSPHRASE_FILE")]
        passphrase_file: Option<PathBuf>,
    },
    /// Enter the public key of a key that was made elsewhere, such as by ssh-keygen -t ed25519.
    Add {
        person: String,
        /// The .pub file.
        #[arg(long, value_name = "FILE")]
        public: PathBuf,
    },
    /// End a person's keys with today; signatures made until then stay good.
    End {
        person: String,
        #[arg(long)]
        because: String,
    },
    /// List the register's keys, with their days.
    List {
        #[arg(long)]
        json: bool,
    },
    /// Print the register as the list of signers that ssh-keygen -Y verify -f takes.
    Signers,
}

#[derive(Debug, Args)]
pub struct SealFilesArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// A new or empty folder.
    #[arg(long, value_name = "FOLDER")]
    pub into: PathBuf,
}

#[derive(Debug, Args)]
pub struct PauseArgs {
    #[command(flatten)]
    pub session: SessionArg,
    #[arg(long)]
    pub note: Option<String>,
}

#[derive(Debug, Args)]
pub struct SignArgs {
    #[command(flatten)]
    pub session: SessionArg,
    #[arg(value_enum)]
    pub outcome: OutcomeWord,
    /// The registration once more: a sign-off cannot be undone.
    #[arg(long, value_name = "REGISTRATION")]
    pub confirm: String,
    #[command(flatten)]
    pub key: KeyFile,
}

#[derive(Debug, Args)]
pub struct RescueArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// A new hangar folder for the copy, best on another medium.
    #[arg(long, value_name = "FOLDER")]
    pub into: PathBuf,
}

pub use super::check_args::CheckArgs;

#[derive(Debug, Args)]
pub struct RefusalsArgs {
    /// Number of a refusal.
    pub number: Option<u8>,
    #[arg(long)]
    pub json: bool,
}

const VERIFY_HELP: &str = "Exit codes:
  0  sound; where it is signed and sealed, the signature is good. Not signed, not sealed, or sealed by a key that is
     not shown to be the signer's: 0 as well, and the verdict says so
  1  something cannot be read, or no session was verified
  2  the command line is wrong
  3  sound, and --sealed asked for a seal of the signer's own key that is not there, or a second signature is by a key
     that is not shown to be its person's
  4  damaged, altered, or two different records of one session
Of several sessions the worst: 4, then 1, then 3.

Nothing is written, locked or healed.

Example:
  spanwise verify XX-VA7                        one session, check by check
  spanwise verify ./from-the-stick --people ./club/people.toml --json
  spanwise verify                               every session of the hangar, a line each";

#[derive(Debug, Args)]
#[command(after_help = VERIFY_HELP)]
pub struct VerifyArgs {
    /// A session's id or registration; the path of a session's folder, inside or outside of any hangar; or a
    /// folder of sessions. By default all sessions of the hangar.
    #[arg(value_name = "SESSION | FOLDER")]
    pub what: Vec<String>,
    /// People register that tells whose key a seal was made with; for sessions of the hangar its own by default.
    #[arg(long, value_name = "FILE")]
    pub people: Option<PathBuf>,
    /// Demand that each is signed and sealed with a key that was the signer's on that day.
    #[arg(long)]
    pub sealed: bool,
    #[arg(long)]
    pub json: bool,
}

const ANCHOR_HELP: &str = "Exit codes:
  0  the codes are told, or the typed code belongs to an entry of this session
  1  the session cannot be read
  2  the code was mistyped: its check digits do not fit
  4  the code was typed rightly and belongs to no entry of this session, or the record is damaged";

#[derive(Debug, Args)]
#[command(after_help = ANCHOR_HELP)]
pub struct AnchorArgs {
    /// A session's id or registration, or the path of a session's folder.
    pub session: String,
    /// A code as it stands on paper: 25 characters and two check digits; spaces, hyphens and case do not matter.
    pub code: Vec<String>,
    #[arg(long)]
    pub json: bool,
}
