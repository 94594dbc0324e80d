//! `report`: the hand-out of a session as PDF, HTML, text, CSV or JSON. `worksheet`: the paper before the work.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::intake::ReportCommand;
use super::output::{Failure, Output, exit};
use super::paper::WorksheetCommand;
use crate::diagnostic::nearest;
use crate::hangar::{Hangar, Viewing, find_session, seal_files};
use crate::order::hangar_order;
use crate::paper::{code_at, code_before};
use crate::report::csv::{TABLES, table};
use crate::report::words::PARTS;
use crate::report::{
    Facts, Material, Paper, SCHEMA, SheetMaterial, SheetSession, SignatureFile, document_of, facts, html,
    json, pdf, sheet, text,
};
use crate::store::texts::read_text;
use crate::store::unpack::{is_free, write_file};
use crate::words::{self, Language, with_language};

const HELP: &str = "Parts for --only: cover, logbook, discrepancies, defects, due, reports, records, worksheet, measurements,
  handover, verify. Of --form csv: one table of steps, readings, series, defects, decisions, due, reports, records,
  evidence; without --only all of them, into the folder that --out names.

The same record gives the same bytes, whenever it is written.";

/// The file of the demo that says that all of it is invented.
const INVENTED: &str = "INVENTED.md";

/// `report SESSION` writes the hand-out, `report add` and its like concern what pilots report.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true, after_help = HELP)]
pub struct ReportWordArgs {
    #[command(subcommand)]
    pub intake: Option<ReportCommand>,
    #[command(flatten)]
    pub hand_out: ReportArgs,
}

/// Chooses between the two senses of the word.
pub fn word(hangar: &Hangar, args: &ReportWordArgs, out: &mut Output) -> Result<u8, Failure> {
    match &args.intake {
        Some(command) => super::intake::report(hangar, command, out),
        None => report(hangar, &args.hand_out, out),
    }
}

#[derive(Debug, Args)]
pub struct ReportArgs {
    /// A session's id or its beginning, or the registration for its newest session.
    #[arg(required_unless_present = "schema")]
    pub session: Option<String>,
    #[arg(long, value_enum, default_value_t = FormWord::Pdf)]
    pub form: FormWord,
    /// Of --form pdf; without it as set (spanwise config set paper letter), else a4.
    #[arg(long, value_enum)]
    pub paper: Option<PaperWord>,
    /// Parts to keep; with --form csv the table.
    #[arg(long, value_name = "PART", value_delimiter = ',')]
    pub only: Vec<String>,
    /// File to write, - for standard output; by default a PDF or HTML file named after registration and session, standard
    /// output for the others. With --form csv and no --only, a new or empty folder.
    #[arg(long, value_name = "FILE|-")]
    pub out: Option<PathBuf>,
    /// Print the schema of the JSON form.
    #[arg(long)]
    pub schema: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FormWord {
    Pdf,
    Html,
    Text,
    Csv,
    Json,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperWord {
    A4,
    Letter,
}

/// By argument or setting, which `cli/start.rs` puts in its place.
fn paper(word: Option<PaperWord>) -> Paper {
    match word {
        None | Some(PaperWord::A4) => Paper::A4,
        Some(PaperWord::Letter) => Paper::Letter,
    }
}

/// Prints the schema of the JSON form; needs no hangar.
pub fn schema(out: &mut Output) -> Result<u8, Failure> {
    out.text(SCHEMA);
    Ok(exit::DONE)
}

/// Writes the report in the form that was asked for.
fn report(hangar: &Hangar, args: &ReportArgs, out: &mut Output) -> Result<u8, Failure> {
    check_only(args)?;
    let word = args.session.as_deref().ok_or_else(|| Failure::usage(say!("name the session")))?;
    let sid = find_session(hangar, word)?;
    // Tables are for other programs: the same in every language.
    let language = if args.form == FormWord::Csv { Language::English } else { words::current() };
    let view = with_language(language, || Viewing::open(hangar, &sid))?;
    let signatures = signatures(&view);
    let material = material(hangar, &view, &signatures);
    let facts = with_language(language, || facts(&material));
    match args.form {
        FormWord::Csv => tables(args, &facts, out)?,
        FormWord::Json => whole(args, &facts, json(&facts).map_err(Failure::failed)?.as_bytes(), out)?,
        form => {
            let document = document_of(&material, &facts, &args.only);
            let bytes = match form {
                FormWord::Pdf => pdf(&document, paper(args.paper)).map_err(Failure::failed)?,
                FormWord::Html => html(&document).into_bytes(),
                _ => text(&document).into_bytes(),
            };
            whole(args, &facts, &bytes, out)?;
        }
    }
    for problem in &view.integrity {
        out.error(&say!("the record is damaged: {problem}", problem = problem));
    }
    Ok(if view.integrity.is_empty() { exit::DONE } else { exit::DAMAGED })
}

fn signatures(view: &Viewing) -> Vec<SignatureFile> {
    seal_files(view)
        .into_iter()
        .map(|file| SignatureFile {
            file: file.name,
            person: file.person,
            namespace: file.namespace.to_string(),
            verify_time: file.time,
        })
        .collect()
}

fn material<'a>(hangar: &Hangar, view: &'a Viewing, signatures: &'a [SignatureFile]) -> Material<'a> {
    Material {
        session: &view.sid,
        plan: &view.plan,
        plan_hash: &view.plan_hash,
        state: &view.state,
        entries: &view.entries,
        record_faults: &view.integrity,
        is_invented: is_invented(hangar),
        signatures,
        program: concat!("spanwise ", env!("CARGO_PKG_VERSION")),
    }
}

/// The demo leaves a file beside its airframes that says so.
fn is_invented(hangar: &Hangar) -> bool {
    read_text(&hangar.folder.root().join(INVENTED), INVENTED).is_ok()
}

/// Names in `--only` that nothing answers to, told before anything is read.
fn check_only(args: &ReportArgs) -> Result<(), Failure> {
    let known: Vec<&str> = match args.form {
        FormWord::Csv => TABLES.iter().map(|table| table.name).collect(),
        FormWord::Json if !args.only.is_empty() => {
            return Err(Failure::usage(say!(
                "--form json is always whole; choose from it, or leave --only out"
            )));
        }
        _ => PARTS.iter().map(|(id, _)| *id).collect(),
    };
    for name in &args.only {
        if !known.contains(&name.as_str()) {
            let meant = nearest(name, known.iter().copied())
                .map(|near| format!("{} ", say!("did you mean \"{near}\"?", near = near)))
                .unwrap_or_default();
            return Err(Failure::usage(&say!(
                "--only \"{name}\": {meant}there are {}",
                known.join(", "),
                name = name,
                meant = meant
            )));
        }
    }
    if args.form == FormWord::Csv && args.only.len() > 1 {
        return Err(Failure::usage(say!(
            "a CSV file holds one table; name one, or leave --only out and name a folder by --out"
        )));
    }
    Ok(())
}

/// One file, or standard output.
fn whole(args: &ReportArgs, facts: &Facts, bytes: &[u8], out: &mut Output) -> Result<(), Failure> {
    let ending = match args.form {
        FormWord::Pdf => "pdf",
        FormWord::Html => "html",
        FormWord::Text => "txt",
        FormWord::Csv => "csv",
        FormWord::Json => "json",
    };
    let is_text = !matches!(args.form, FormWord::Pdf | FormWord::Html);
    to_file_or_pipe(args.out.as_deref(), &file_name(facts, ending), is_text, bytes, out).map(drop)
}

/// Texts go to standard output where no file is named, pages into a file of that name.
fn to_file_or_pipe(
    file: Option<&Path>,
    name: &str,
    is_text: bool,
    bytes: &[u8],
    out: &mut Output,
) -> Result<u8, Failure> {
    match file {
        None if !is_text => write(Path::new(name), bytes, out)?,
        Some(file) if file.as_os_str() != "-" => write(file, bytes, out)?,
        _ if name.ends_with(".pdf") && std::io::stdout().is_terminal() => {
            let why = say!("a PDF is no text for a terminal; name a file by --out, or lead it into a pipe");
            return Err(Failure::usage(why));
        }
        _ => out.bytes(bytes),
    }
    Ok(exit::DONE)
}

fn write(file: &Path, bytes: &[u8], out: &mut Output) -> Result<(), Failure> {
    write_file(file, bytes).map_err(Failure::failed)?;
    out.line(&say!("written: {} ({} bytes)", file.display(), bytes.len()));
    Ok(())
}

/// Registration and the beginning of the session's id.
fn file_name(facts: &Facts, ending: &str) -> String {
    let session: String = facts.session.chars().filter(char::is_ascii_alphanumeric).take(8).collect();
    format!("annual-{}-{session}.{ending}", plain_name(&facts.airframe.registration))
}

/// Only letters, digits and hyphens, whatever a record says.
fn plain_name(text: &str) -> String {
    text.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(20).collect()
}

fn tables(args: &ReportArgs, facts: &Facts, out: &mut Output) -> Result<(), Failure> {
    if let Some(chosen) = args.only.first().and_then(|name| table(name)) {
        return whole(args, facts, &chosen.bytes(facts).map_err(Failure::failed)?, out);
    }
    let Some(folder) = args.out.as_ref().filter(|folder| folder.as_os_str() != "-") else {
        return Err(Failure::usage(&say!(
            "a CSV file holds one table; name it by --only ({}), or a folder for all by --out",
            TABLES.map(|table| table.name).join(", ")
        )));
    };
    if !is_free(folder) {
        return Err(Failure::refused(say!(
            "{} holds something already, and nothing is overwritten; name a new or empty folder",
            folder.display()
        )));
    }
    for table in &TABLES {
        let file = folder.join(format!("{}.csv", table.name));
        write(&file, &table.bytes(facts).map_err(Failure::failed)?, out)?;
    }
    Ok(())
}

const SHEET_HELP: &str = "Open steps in hangar order, with boxes to tick and lines to write on: for a hangar without a screen at hand. The
paper is no record: what is written on it is entered afterwards (worksheet enter), and the sheet kept.";

#[derive(Debug, Args)]
#[command(after_help = SHEET_HELP, args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct WorksheetArgs {
    #[command(subcommand)]
    pub enter: Option<WorksheetCommand>,
    /// A registration: its unfinished annual, else the plan that an annual would get. Or a session.
    #[arg(value_name = "SESSION | REGISTRATION", required = true)]
    pub what: Option<String>,
    /// pdf, html or text.
    #[arg(long, value_enum, default_value_t = SheetForm::Pdf)]
    pub form: SheetForm,
    /// Of --form pdf; without it as set (spanwise config set paper letter), else a4.
    #[arg(long, value_enum)]
    pub paper: Option<PaperWord>,
    /// How many people are at hand, the inspector among them.
    #[arg(long)]
    pub people: Option<u32>,
    /// File to write, - for standard output; by default a PDF or HTML file named after the registration.
    #[arg(long, value_name = "FILE|-")]
    pub out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetForm {
    Pdf,
    Html,
    Text,
}

/// Writes the paper worksheet of what is open.
pub fn worksheet(hangar: &Hangar, args: &WorksheetArgs, out: &mut Output) -> Result<u8, Failure> {
    let what =
        args.what.as_deref().ok_or_else(|| Failure::usage(say!("name the session or registration")))?;
    let (sid, plan, mut task) = super::order::task_of(hangar, what)?;
    task.people = args.people;
    let order = hangar_order(&plan, &task).map_err(Failure::failed)?;
    let view = sid.as_deref().map(|sid| Viewing::open(hangar, sid)).transpose()?;
    let code = view.as_ref().and_then(|view| crate::audit::verify::paper_code(&view.state.head));
    let session = view.as_ref().map(|view| SheetSession {
        id: &view.sid,
        entries: view.state.entries,
        code: code.as_deref(),
        wall: &view.state.last_wall,
    });
    let sheet_code = match &view {
        Some(view) => code_at(&view.state.head, &plan, &order),
        None => code_before(&plan, &order),
    };
    let material = SheetMaterial {
        plan: &plan,
        order: &order,
        session,
        code: &sheet_code.to_string(),
        is_invented: is_invented(hangar),
    };
    let document = sheet(&material);
    let (bytes, ending) = match args.form {
        SheetForm::Pdf => (pdf(&document, paper(args.paper)).map_err(Failure::failed)?, "pdf"),
        SheetForm::Html => (html(&document).into_bytes(), "html"),
        SheetForm::Text => (text(&document).into_bytes(), "txt"),
    };
    let name = format!("worksheet-{}.{ending}", plain_name(&plan.airframe.registration));
    let is_text = args.form == SheetForm::Text;
    let code = to_file_or_pipe(args.out.as_deref(), &name, is_text, &bytes, out)?;
    let is_in_file = args.out.as_deref().map_or(!is_text, |file| file.as_os_str() != "-");
    if is_in_file {
        out.line(&say!(
            "what is written on it is entered by: spanwise worksheet enter {registration} --sheet {code}",
            registration = plan.airframe.registration,
            code = sheet_code
        ));
    }
    Ok(code)
}
