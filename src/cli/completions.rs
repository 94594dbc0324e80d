//! Completion of commands, options and names in the shell.
//!
//! The script asks the program itself while somebody types, so that registrations, sessions and steps of the hangar at
//! hand can be offered; `--static` gives a script that only knows commands and options.

use clap::{Args, Command, ValueEnum};
use clap_complete::engine::{ArgValueCandidates, CompletionCandidate};
use clap_complete::env::{Bash, Elvish, EnvCompleter, Fish, Powershell, Zsh};
use clap_complete::{CompleteEnv, Shell, generate};

use super::config::load;
use super::help;
use super::output::{Failure, Output, exit};
use crate::hangar::{Hangar, Viewing, summaries};
use crate::settings::HANGAR;
use crate::store::Hangar as Folder;
use crate::store::folders::with_home;

/// The variable by which a shell asks for completions; its value names the shell.
const VARIABLE: &str = "SPANWISE_COMPLETE";

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ShellWord {
    Bash,
    Zsh,
    Fish,
    Powershell,
    Elvish,
}

#[derive(Debug, Args)]
pub struct CompletionsArgs {
    pub shell: ShellWord,
    /// Without names from the hangar: a script that never calls the program.
    #[arg(long = "static")]
    pub fixed: bool,
}

/// Answers a shell that asks for completions, and leaves; a call of any other kind goes on.
pub(super) fn answer_the_shell() {
    CompleteEnv::with_factory(with_names).var(VARIABLE).complete();
}

pub(super) fn completions(args: &CompletionsArgs, out: &mut Output) -> Result<u8, Failure> {
    let mut script = Vec::new();
    if args.fixed {
        let shell = match args.shell {
            ShellWord::Bash => Shell::Bash,
            ShellWord::Zsh => Shell::Zsh,
            ShellWord::Fish => Shell::Fish,
            ShellWord::Powershell => Shell::PowerShell,
            ShellWord::Elvish => Shell::Elvish,
        };
        generate(shell, &mut help::command(), "spanwise", &mut script);
    } else {
        let shell: &dyn EnvCompleter = match args.shell {
            ShellWord::Bash => &Bash,
            ShellWord::Zsh => &Zsh,
            ShellWord::Fish => &Fish,
            ShellWord::Powershell => &Powershell,
            ShellWord::Elvish => &Elvish,
        };
        shell
            .write_registration(VARIABLE, "spanwise", "spanwise", "spanwise", &mut script)
            .map_err(Failure::failed)?;
    }
    out.text(&String::from_utf8_lossy(&script));
    Ok(exit::DONE)
}

/// The command line with the names of the hangar at hand behind its arguments.
fn with_names() -> Command {
    named(help::command())
}

fn named(command: Command) -> Command {
    let subs: Vec<String> = command.get_subcommands().map(|sub| sub.get_name().to_string()).collect();
    let command = subs.into_iter().fold(command, |command, sub| command.mut_subcommand(&sub, named));
    // All arguments in their order: one that is changed alone would lose its place among the positional ones.
    command.mut_args(|argument| match names_for(argument.get_id().as_str()) {
        Some(names) => argument.add(ArgValueCandidates::new(names)),
        None => argument,
    })
}

fn names_for(argument: &str) -> Option<fn() -> Vec<CompletionCandidate>> {
    match argument {
        "registration" | "airframe" | "confirm" => Some(registrations),
        "session" | "of" | "what" => Some(sessions),
        "step" => Some(steps),
        "by" | "person" => Some(people),
        "instrument" => Some(instruments),
        _ => None,
    }
}

/// By environment and config file: what stands on the unfinished line is not known here.
fn hangar() -> Option<Hangar> {
    let settings = load(|_| None).settings;
    let folder = Folder::locate(settings.value(HANGAR).map(with_home).as_deref()).ok()?;
    Some(Hangar::load(folder.root()))
}

fn candidates<T>(
    hangar: Option<Hangar>,
    names: impl Fn(&Hangar) -> Vec<(String, T)>,
) -> Vec<CompletionCandidate>
where
    T: Into<clap::builder::StyledStr>,
{
    let found = hangar.map(|hangar| names(&hangar)).unwrap_or_default();
    found.into_iter().map(|(name, about)| CompletionCandidate::new(name).help(Some(about.into()))).collect()
}

fn registrations() -> Vec<CompletionCandidate> {
    candidates(hangar(), |hangar| {
        hangar.airframes.iter().map(|file| (file.name(), "airframe".to_string())).collect()
    })
}

fn sessions() -> Vec<CompletionCandidate> {
    let mut found = registrations();
    found.extend(candidates(hangar(), |hangar| {
        let told = summaries(hangar).into_iter();
        told.map(|one| (one.sid, format!("{} begun {}, {}", one.registration, one.begun, one.standing)))
            .collect()
    }));
    found
}

/// The steps of sessions that are not signed: those are what is worked on.
fn steps() -> Vec<CompletionCandidate> {
    candidates(hangar(), |hangar| {
        let open = summaries(hangar).into_iter().filter(|one| one.can_open && one.signed.is_none());
        let views = open.filter_map(|one| Viewing::open(hangar, &one.sid).ok());
        let mut steps: Vec<(String, String)> = views
            .flat_map(|view| {
                view.plan.steps.into_iter().map(|step| (step.step.id, step.step.title)).collect::<Vec<_>>()
            })
            .collect();
        steps.sort();
        steps.dedup_by(|a, b| a.0 == b.0);
        steps
    })
}

fn people() -> Vec<CompletionCandidate> {
    candidates(hangar(), |hangar| {
        hangar.people.0.iter().map(|person| (person.id.clone(), person.name.clone())).collect()
    })
}

fn instruments() -> Vec<CompletionCandidate> {
    candidates(hangar(), |hangar| {
        hangar.instruments.0.iter().map(|one| (one.id.clone(), one.title.clone())).collect()
    })
}
