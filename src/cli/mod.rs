//! The command line: arguments in, text or JSON out, an exit code. Joins hangar and screens.

mod airframe_text;
mod args;
mod check;
mod check_args;
mod check_json;
mod check_sarif;
mod compare;
mod compare_plans_text;
mod compare_text;
mod completions;
mod compute;
mod config;
mod coverage;
mod damage;
mod defects;
mod demo;
mod desk;
mod desk_files;
mod due;
mod due_text;
mod edition;
mod exchange;
mod findings;
mod follow;
mod handover;
mod help;
mod help_table;
mod intake;
mod language;
mod library;
mod list;
mod log;
mod look;
mod man;
mod order;
mod order_text;
mod output;
mod pack;
mod paper;
mod plan_text;
mod record;
mod record_files;
mod record_keys;
mod registers_text;
mod replay;
mod report;
mod rescue;
mod routine;
mod schema;
mod sealing;
mod show;
mod start;
mod status;
mod translate;
mod usage;
mod verify;
mod walkthrough;
mod word;

use std::io::IsTerminal;
use std::process::ExitCode;

use crate::completion::refusals;
use crate::diagnostic::render;
use crate::event::Outcome;
use crate::hangar::{Hangar, HangarError, Viewing, find_session, leaned_on, neighbours, preview, summaries};
use crate::screen::{Start, run_as};
use crate::store::Hangar as Folder;
use crate::words::said;
use args::{Cli, Command, OutcomeWord, RefusalsArgs, ShowArgs, StatusArgs};
use output::{Failure, Output};

pub use desk::HangarDesk;
pub use output::exit;

/// Parses the command line and carries it out.
pub fn main() -> ExitCode {
    completions::answer_the_shell();
    let (cli, mut output) = start::start();
    let code = dispatch(&cli, &mut output).unwrap_or_else(|failure| {
        output.error(&failure.to_string());
        failure.code()
    });
    start::finish(&cli, code, &mut output)
}

/// Carries one command out. The code is one of [`exit`].
pub(crate) fn dispatch(cli: &Cli, out: &mut Output) -> Result<u8, Failure> {
    match &cli.command {
        Some(Command::Demo(args)) => return demo::demo(cli, args, out),
        Some(Command::Refusals(args)) => return explain_refusals(args, out),
        Some(Command::Completions(args)) => return completions::completions(args, out),
        Some(Command::Man(args)) => return man::man(args, out),
        Some(Command::Config(args)) => return config::config(cli, args, out),
        Some(Command::Log(args)) => return log::log(args, out),
        Some(Command::Check(args)) => return check::check(cli, args, out),
        Some(Command::Compute(args)) => return compute::compute(args, out),
        Some(Command::Findings(args)) if args.explain.is_some() => return findings::explain(args, out),
        Some(Command::Schema(args)) => return schema::schema(args, out),
        Some(Command::Translate(args)) => return translate::translate(args, out),
        Some(Command::Verify(args)) => return verify::verify(cli, args, out),
        Some(Command::Report(args)) if args.hand_out.schema => return report::schema(out),
        Some(Command::Anchor(args)) => return verify::anchor(cli, args, out),
        _ => {}
    }
    let folder = Folder::locate(cli.hangar.as_deref()).map_err(Failure::failed)?;
    let hangar = Hangar::load(folder.root());
    if !matches!(cli.command, None | Some(Command::List(_))) {
        warn_of_registers(&hangar, out);
    }
    match &cli.command {
        None => {
            let mut desk = HangarDesk::new(hangar, cli.by.as_deref())?;
            screens(cli, &mut desk, Start::Hangar)?;
            Ok(exit::DONE)
        }
        Some(Command::Work(args)) => {
            let sid = find_session(&hangar, &args.session)?;
            let mut desk = HangarDesk::new(hangar, cli.by.as_deref())?;
            desk.open(&sid)?;
            screens(cli, &mut desk, Start::Worksheet)?;
            Ok(exit::DONE)
        }
        Some(Command::List(args)) => {
            let sessions = summaries(&hangar);
            if args.json {
                out.json(&list::json(&hangar, &sessions))
            } else {
                out.text(&list::text(&hangar, &sessions))
            }
            Ok(exit::DONE)
        }
        Some(Command::Due(args)) => due::due(&hangar, args, out),
        Some(Command::Airframe(args)) => airframe_text::airframe(&hangar, args, out),
        Some(Command::People(args)) => registers_text::people(&hangar, args.json, out),
        Some(Command::Instruments(args)) => registers_text::instruments(&hangar, args.json, out),
        Some(Command::Plan(args)) => {
            let plan = preview(&hangar, &args.registration)?;
            intake::advise(&hangar, &args.registration, out);
            if args.json {
                out.json(&plan)
            } else {
                out.text(&plan_text::text(&plan))
            }
            Ok(exit::DONE)
        }
        Some(Command::Library(args)) => library::library(&hangar, args, out),
        Some(Command::Pack(command)) => pack::pack(cli, &hangar, command, out),
        Some(Command::Order(args)) => order::order(&hangar, args, out),
        Some(Command::Begin(args)) => follow::begin(cli, &hangar, args, out),
        Some(Command::Report(args)) => report::word(&hangar, args, out),
        Some(Command::Carried(args)) => intake::carried_of(&hangar, args, out),
        Some(Command::BringForward(args)) => intake::bring(&hangar, args, out),
        Some(Command::TakeUp(args)) => follow::take_up(cli, &hangar, args, out),
        Some(Command::Status(args)) => status_of(cli, &hangar, args, out),
        Some(Command::Compare(args)) => compare::sessions(&hangar, args, out),
        Some(Command::ComparePlans(args)) => compare::plans(&hangar, args, out),
        Some(Command::Show(args)) => show_session(&hangar, args, out),
        Some(Command::Sign(args)) => sealing::sign(cli, &hangar, args, out),
        Some(Command::Countersign(args)) => sealing::countersign(cli, &hangar, args, out),
        Some(Command::Key(command)) => sealing::key(&hangar, command, out),
        Some(Command::SealFiles(args)) => sealing::seal_files(&hangar, args, out),
        Some(Command::Replay(args)) => replay::replay(&hangar, args, out),
        Some(Command::Findings(args)) => findings::findings(&hangar, args, out),
        Some(Command::Defects(args)) => defects::defects(&hangar, args, out),
        Some(Command::Handover(args)) => handover::handover(&hangar, args, out),
        Some(Command::Opening(args)) => handover::opening(&hangar, args, out),
        Some(Command::Worksheet(args)) => paper::word(cli, &hangar, args, out),
        Some(Command::Record(args)) => record_files::record(&hangar, args, out),
        Some(Command::Export(args)) => exchange::export(&hangar, args, out),
        Some(Command::Import(args)) => exchange::import(&hangar, args, out),
        Some(Command::Init(args)) => record_files::init(&hangar, args, out),
        Some(Command::Coverage(args)) => coverage::coverage(&hangar, args, out),
        Some(Command::Edition(command)) => edition::edition(cli, &hangar, command, out),
        Some(Command::Rescue(args)) => rescue::rescue_session(&hangar, args, out),
        Some(Command::MakeRoom(args)) => rescue::give_ballast_back(&hangar, args, out),
        Some(command) => record::record(cli, &hangar, command, out),
    }
}

/// Opens the screens. Without this look first, drawing into a pipe would wait for keys that nobody can press.
fn screens(cli: &Cli, desk: &mut HangarDesk, start: Start) -> Result<(), Failure> {
    if !has_terminal() {
        return Err(Failure::failed(say!(
            "the screens need a terminal; without one each step is a command of its own: spanwise --help"
        )));
    }
    run_as(desk, start, start::wanted(cli)).map_err(Failure::failed)
}

fn has_terminal() -> bool {
    std::io::stdout().is_terminal() && std::io::stdin().is_terminal()
}

/// A faulty register counts as empty, so what follows from that must not come as a surprise.
fn warn_of_registers(hangar: &Hangar, out: &mut Output) {
    if !hangar.faults.is_empty() {
        out.error(&render(&hangar.faults, false));
    }
}

pub(crate) fn require_person(cli: &Cli) -> Result<&str, Failure> {
    cli.by.as_deref().ok_or_else(|| {
        Failure::usage(say!("who is working is not named; add --by <person>, an id of the people register"))
    })
}

fn outcome_of(word: OutcomeWord) -> Outcome {
    match word {
        OutcomeWord::Release => Outcome::Release,
        OutcomeWord::NotAirworthy => Outcome::NotAirworthy,
    }
}

fn status_of(cli: &Cli, hangar: &Hangar, args: &StatusArgs, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session.session)?;
    let view = Viewing::open(hangar, &sid)?;
    let outcome = outcome_of(args.outcome);
    let signer = match cli.by.as_deref() {
        Some(id) => Some(hangar.person(id)?),
        None => None,
    };
    let verdict = view.verdict(signer);
    if args.json {
        out.json(&status::json(&sid, &view.plan, &view.state, &verdict, hangar.today()));
    } else {
        out.text(&status::text(&sid, &view.plan, &view.state, &verdict, outcome, hangar.today()));
    }
    if !view.integrity.is_empty() {
        return Ok(exit::DAMAGED);
    }
    let possible = view.state.signed.is_none() && verdict.allows(outcome);
    Ok(if possible { exit::DONE } else { exit::REFUSED })
}

fn show_session(hangar: &Hangar, args: &ShowArgs, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session.session)?;
    let view = Viewing::open(hangar, &sid)?;
    match (args.json, args.entries) {
        (true, _) => out.json(&show::entries_json(&sid, &view.entries)),
        (false, true) => out.text(&show::entries(&view.entries)),
        (false, false) => {
            out.text(&show::worksheet(&sid, &view.plan, &view.state, hangar.today()));
            for leaning in
                leaned_on(hangar, &view.plan, &view.state).into_iter().chain(neighbours(hangar, &view))
            {
                out.line(&format!("\n{}", say!("note: {leaning}", leaning = leaning)));
            }
        }
    }
    for problem in &view.integrity {
        out.error(&say!("the record is damaged: {problem}", problem = problem));
    }
    Ok(if view.integrity.is_empty() { exit::DONE } else { exit::DAMAGED })
}

fn explain_refusals(args: &RefusalsArgs, out: &mut Output) -> Result<u8, Failure> {
    let asked = |check: &&refusals::Check| args.number.is_none_or(|number| number == check.number);
    let shown: Vec<&refusals::Check> = refusals::ALL.iter().filter(asked).collect();
    if shown.is_empty() {
        return Err(Failure::usage(say!("refusals are numbered 1 to 14")));
    }
    if args.json {
        let told = shown.iter().map(
            |check| serde_json::json!({ "number": check.number, "name": check.name, "about": check.doc }),
        );
        out.json(&serde_json::json!({ "refusals": told.collect::<Vec<_>>() }));
        return Ok(exit::DONE);
    }
    for check in shown {
        out.line(&format!("{:>2}. {}\n    {}\n", check.number, said(check.name), said(check.doc)));
    }
    Ok(exit::DONE)
}

impl From<HangarError> for Failure {
    fn from(error: HangarError) -> Self {
        Failure::hangar(error)
    }
}
