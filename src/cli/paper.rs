//! `worksheet enter`: what was written on a printed worksheet, a short row for each line, checked whole and then recorded.

use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};

use super::args::Cli;
use super::output::{Failure, Output, exit};
use super::report::{WorksheetArgs, worksheet};
use super::require_person;
use crate::event::Actor;
use crate::hangar::paper::{SheetNamed, check_rows, passage};
use crate::hangar::{Hangar, Viewing, Work, find_session, unfinished_annual};
use crate::paper::words::{NO_ROW, NO_ROW_NEXT};
use crate::paper::{Checked, CheckedRow, Passage, Typed, written};
use crate::store::texts::read_text;
use crate::words::{of_checklist, said};

#[derive(Debug, Subcommand)]
pub enum WorksheetCommand {
    /// Enter what was written on a printed worksheet, a short row for each line of it.
    ///
    /// Every entry says for ever that it comes from paper: sheet, line, who wrote it and when, and who entered it. All rows are
    /// checked before any is recorded. Calibration is judged as of the day written; entered is when it is entered.
    Enter(EnterArgs),
}

const HELP: &str = "Rows, by the numbers that stand on the paper:
  17 p                                passed; a remark may follow
  17 f crack at the root              failed, and what was seen
  17 n none fitted                    not applicable, with the reason
  17a 12.5 mm 12.7 mm with dial-25    readings of its first measurement, and the instrument
  17b L 3 R 4                         left and right
  17c @flex.csv                       a table or load-deflection series; also its lines parted by |
  17 i held the wing tip              initials: what the writer did
  17 t wet below the seat pan         a note; - t TEXT is one of no line
  17 d major; crack; fin; left; 4250  a defect: severity; what; component; side; station in mm
  B2 p                                block 2 stood as printed; B2 tailplane=off: it stood so
  ... ! WHY                           at the end: corrects what the record has already

Choices by word or number; several readings of words, dates or pairs are parted by |. Empty rows and rows that
begin with # are passed over. What a helper ticked is recorded as the helper's initials; with --accept the certifier who
enters it answers the steps by it. A second person's look is signed with their own key: spanwise inspect.
What the record has from the same line already is not recorded twice, so that a broken-off entry is simply repeated.";

#[derive(Debug, Args)]
#[command(after_help = HELP)]
pub struct EnterArgs {
    /// A registration: its unfinished annual. Or a session.
    #[arg(value_name = "SESSION | REGISTRATION")]
    pub what: String,
    /// Code at the foot of the sheet, such as K7Q2-M3XD-07.
    #[arg(long, value_name = "CODE")]
    pub sheet: String,
    /// Day and time that stand on the paper: 2026-11-24 or "2026-11-24 16:30".
    #[arg(long, value_name = "DATE[ TIME]")]
    pub written: String,
    /// Who wrote on the paper, an id of the people register; by default who enters it.
    #[arg(long, value_name = "PERSON")]
    pub written_by: Option<String>,
    /// File with the rows; by default they are read from standard input or the keyboard.
    #[arg(long, value_name = "FILE|-", conflicts_with = "row")]
    pub from: Option<PathBuf>,
    /// A row; again for more.
    #[arg(long, value_name = "ROW", allow_hyphen_values = true)]
    pub row: Vec<String>,
    /// Accept what a helper ticked: the steps are answered by who enters it.
    #[arg(long)]
    pub accept: bool,
    /// Only check; nothing is recorded.
    #[arg(long)]
    pub check: bool,
}

/// Chooses between the sheet before the work and the entries after it.
pub fn word(cli: &Cli, hangar: &Hangar, args: &WorksheetArgs, out: &mut Output) -> Result<u8, Failure> {
    match &args.enter {
        Some(WorksheetCommand::Enter(args)) => enter(cli, hangar, args, out),
        None => worksheet(hangar, args, out),
    }
}

fn enter(cli: &Cli, hangar: &Hangar, args: &EnterArgs, out: &mut Output) -> Result<u8, Failure> {
    let by = hangar.actor(require_person(cli)?)?;
    let (written_on, written_at) =
        written(&args.written).map_err(|why| Failure::usage(&format!("--written: {why}")))?;
    let sid = match unfinished_annual(hangar, &args.what) {
        Some(summary) => summary.sid,
        None => find_session(hangar, &args.what)?,
    };
    let named = SheetNamed {
        code: &args.sheet,
        written_by: args.written_by.as_deref().unwrap_or(&by.id),
        written_on,
        written_at,
        accept: args.accept,
    };
    out.fact("session", sid.as_str());
    out.fact("sheet", args.sheet.as_str());
    if args.check {
        let view = Viewing::open(hangar, &sid)?;
        let passage = passage(hangar, &view, &named)?;
        let typed = rows(hangar, &view, &by, &passage, args, out)?;
        let checked = check_rows(hangar, &view, &by, &passage, &typed, Path::new(""));
        let code = told(&checked, out)?;
        out.line(&say!("checked, nothing was recorded; it would make {} entries", checked.entries()));
        return Ok(code);
    }
    let mut work = Work::open(hangar, &sid)?;
    for notice in &work.notices {
        out.line(notice);
    }
    let passage = passage(hangar, &work.view, &named)?;
    let typed = rows(hangar, &work.view, &by, &passage, args, out)?;
    let checked = check_rows(hangar, &work.view, &by, &passage, &typed, Path::new(""));
    told(&checked, out)?;
    let entries = work.enter_from_paper(hangar, &by, &checked)?;
    out.fact("entries", entries.clone());
    match (entries.first(), entries.last()) {
        (Some(first), Some(last)) => {
            out.line(&say!(
                "saved from paper: entry {first}"
                    | "saved from paper: {n} entries, {first} to {last}" % entries.len(),
                first = first,
                last = last
            ));
        }
        _ => out.line(say!("all of it stands in the record already; nothing was recorded")),
    }
    Ok(exit::DONE)
}

/// The rows as typed, from wherever they come.
fn rows(
    hangar: &Hangar,
    view: &Viewing,
    by: &Actor,
    passage: &Passage,
    args: &EnterArgs,
    out: &mut Output,
) -> Result<Vec<Typed>, Failure> {
    let from_file = args.from.as_deref().filter(|file| file.as_os_str() != "-");
    let typed = if !args.row.is_empty() {
        numbered(args.row.iter().map(String::as_str))
    } else if let Some(file) = from_file {
        let source = read_text(file, &file.to_string_lossy()).map_err(Failure::failed)?;
        numbered(source.text.lines())
    } else if std::io::stdin().is_terminal() {
        by_keyboard(hangar, view, by, passage, out)?
    } else {
        let lines: Result<Vec<String>, _> = std::io::stdin().lock().lines().collect();
        let lines =
            lines.map_err(|error| Failure::failed(say!("the rows cannot be read: {error}", error)))?;
        numbered(lines.iter().map(String::as_str))
    };
    if typed.is_empty() {
        return Err(Failure::refused(format!("{}; {}", said(NO_ROW), said(NO_ROW_NEXT))));
    }
    Ok(typed)
}

fn numbered<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<Typed> {
    let is_said = |text: &str| !text.is_empty() && !text.starts_with('#');
    lines
        .enumerate()
        .map(|(at, text)| Typed { number: at + 1, text: text.trim().to_string() })
        .filter(|row| is_said(&row.text))
        .collect()
}

/// Asks row by row and tells each at once; a faulty one is not taken. An empty row ends it.
fn by_keyboard(
    hangar: &Hangar,
    view: &Viewing,
    by: &Actor,
    passage: &Passage,
    out: &mut Output,
) -> Result<Vec<Typed>, Failure> {
    out.line(&say!("sheet {}, {} steps; an empty row ends it", passage.sheet.code, passage.sheet.steps()));
    out.line(said(HELP));
    let mut taken: Vec<Typed> = Vec::new();
    let mut lines = std::io::stdin().lock().lines();
    loop {
        out.text("> ");
        drop(std::io::stdout().flush());
        let Some(text) = lines.next() else { break };
        let text = text.map_err(|error| Failure::failed(say!("the row cannot be read: {error}", error)))?;
        if text.trim().is_empty() {
            break;
        }
        let number = taken.len() + 1;
        taken.push(Typed { number, text: text.trim().to_string() });
        let checked = check_rows(hangar, view, by, passage, &taken, Path::new(""));
        let row = checked.rows.iter().find(|row| row.typed.number == number);
        row.into_iter().for_each(|row| tell_row(row, out));
        if row.is_some_and(|row| row.outcome.is_err()) {
            taken.pop();
        }
    }
    Ok(taken)
}

/// Tells every row; faults are an error, told all at once.
fn told(checked: &Checked, out: &mut Output) -> Result<u8, Failure> {
    for row in checked.rows.iter().filter(|row| row.outcome.is_ok()) {
        tell_row(row, out);
    }
    if checked.is_sound() {
        return Ok(exit::DONE);
    }
    let mut faults: Vec<String> = checked.against_all.iter().map(ToString::to_string).collect();
    let mut faulty: Vec<&CheckedRow> = checked.rows.iter().filter(|row| row.outcome.is_err()).collect();
    faulty.sort_by_key(|row| row.typed.number);
    for row in faulty {
        if let Err(fault) = &row.outcome {
            faults.push(say!("row {}, \"{}\": {fault}", row.typed.number, row.typed.text, fault));
        }
    }
    faults.push(say!("nothing was recorded").to_string());
    Err(Failure::refused(faults.join("\n")))
}

fn tell_row(row: &CheckedRow, out: &mut Output) {
    let about = if row.about.is_empty() { String::new() } else { format!("   {}", of_checklist(&row.about)) };
    match &row.outcome {
        Ok(done) => {
            out.line(&format!("{}{about}", row.typed.text));
            if let (Some(entry), true) = (done.already.first(), done.requests.is_empty()) {
                out.line(&format!("    {}", say!("stands in the record already, entry {entry}", entry)));
            }
            for remark in &done.remarks {
                out.line(&format!("    {}", say!("look: {remark}", remark)));
            }
        }
        Err(fault) => {
            out.line(&format!("{}{about}\n    {}", row.typed.text, say!("not taken: {fault}", fault)))
        }
    }
}
