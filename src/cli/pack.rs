//! `pack`: checklists handed on, signed; verified; installed.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use semver::Version;
use serde_json::json;

use super::args::{Cli, KeyFile};
use super::output::{Failure, Output, exit};
use super::{require_person, sealing};
use crate::airframe::{People, read_people};
use crate::diagnostic::render;
use crate::hangar::Hangar;
use crate::hangar::keys::unlock;
use crate::hangar::packs::{Exported, Refusal, Terms, Wanted, export as make_pack, install as install_pack};
use crate::pack::{MAX_BYTES, Pack, PackFault, checklists, is_pack_name, open, standing};
use crate::store::packs::{read_at_most, write_out};
use crate::store::texts::read_text;
use crate::words::{date, said};

const HELP: &str = "Exit codes:
  0  done; for `verify`: whole, unaltered, and signed with a key that the people register vouches for
  1  something failed (a file, the disk)
  2  the command line is wrong
  3  refused; for `verify`: whole and unaltered, and the register does not vouch for the key, or this program cannot
     read an edition
  4  altered, truncated, or no pack

Example:
  spanwise --by orla-testrup pack export fin-checks.pack --only fin-root@1.1.0
  spanwise pack verify fin-checks.pack --people ./club/people.toml
  spanwise --hangar ./club --by tamsin-orrel pack install fin-checks.pack
  spanwise library";

#[derive(Debug, Subcommand)]
#[command(after_help = HELP)]
pub enum PackCommand {
    /// Pack the hangar's own checklists into one file, signed by their author (--by).
    Export(ExportArgs),
    /// Tell whether a pack is whole and unaltered, and who signed it.
    Verify(VerifyPackArgs),
    /// Install a pack's editions into the hangar's checklists folder: all of them or none, never over another content.
    Install(InstallArgs),
}

#[derive(Debug, Args)]
pub struct ExportArgs {
    /// The file to make; nothing is overwritten.
    pub out: PathBuf,
    /// Only this checklist, or this edition of it; may be given several times.
    #[arg(long, value_name = "ID[@VERSION]", value_parser = wanted, value_delimiter = ',')]
    pub only: Vec<Wanted>,
    /// The pack's name; by default that of the file.
    #[arg(long)]
    pub name: Option<String>,
    #[command(flatten)]
    pub key: KeyFile,
}

#[derive(Debug, Args)]
pub struct VerifyPackArgs {
    pub file: PathBuf,
    /// People register that tells whose key it is; by default the hangar's own.
    #[arg(long, value_name = "FILE")]
    pub people: Option<PathBuf>,
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct InstallArgs {
    pub file: PathBuf,
    /// Install although the people register does not know the key, or the key has ended since.
    #[arg(long, requires = "why")]
    pub trust_unknown_key: bool,
    /// Install although a later pack of this name and author is installed.
    #[arg(long, requires = "why")]
    pub older: bool,
    /// The reason; it is kept beside the editions.
    #[arg(long)]
    pub why: Option<String>,
}

fn wanted(text: &str) -> Result<Wanted, String> {
    let (id, version) = match text.split_once('@') {
        Some((id, version)) => (id, Some(version)),
        None => (text, None),
    };
    let version = version
        .map(|version| {
            Version::parse(version)
                .map_err(|error| say!("\"{version}\" is no version: {error}", version, error))
        })
        .transpose()?;
    Ok(Wanted { id: id.to_string(), version })
}

pub(super) fn pack(
    cli: &Cli,
    hangar: &Hangar,
    command: &PackCommand,
    out: &mut Output,
) -> Result<u8, Failure> {
    match command {
        PackCommand::Export(args) => export(cli, hangar, args, out),
        PackCommand::Verify(args) => verify(hangar, args, out),
        PackCommand::Install(args) => install(cli, hangar, args, out),
    }
}

fn export(cli: &Cli, hangar: &Hangar, args: &ExportArgs, out: &mut Output) -> Result<u8, Failure> {
    let author = hangar.person(require_person(cli)?)?;
    let stem = args.out.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let name = args.name.clone().unwrap_or(stem);
    if !is_pack_name(&name) {
        return Err(Failure::usage(&say!(
            "\"{name}\" cannot be a pack's name; give one of lower-case words and digits joined by \"-\": --name fin-checks",
            name
        )));
    }
    // Told before a passphrase is asked for.
    if args.out.exists() {
        return Err(Failure::refused(say!(
            "{} is there already, and nothing is overwritten; name another file",
            args.out.display()
        )));
    }
    let key = unlock(hangar, author, args.key.key.as_deref(), &sealing::passphrase(&args.key, author)?)?;
    let Exported { bytes, sha256, editions, requires } =
        make_pack(hangar, &name, &args.only, author, &key).map_err(Failure::from)?;
    write_out(&args.out, &bytes).map_err(Failure::failed)?;
    out.line(&say!(
        "{}: pack {name} of {}, signed by {}",
        args.out.display(),
        say!("one edition" | "{n} editions" % editions.len()),
        author.name,
        name
    ));
    for edition in editions {
        out.line(&format!("  {edition}"));
    }
    if !requires.is_empty() {
        out.line(&say!("must be at hand where it is installed: {}", requires.join(", ")));
    }
    out.line(&format!("SHA-256 {sha256}"));
    Ok(exit::DONE)
}

/// The pack with its bytes, or what is wrong with it.
type Opened = Result<(Pack, Vec<u8>), Vec<PackFault>>;

fn opened(file: &Path) -> Result<Opened, Failure> {
    match read_at_most(file, MAX_BYTES) {
        Ok(bytes) => Ok(open(&bytes).map(|pack| (pack, bytes))),
        Err(error) if error.kind() == std::io::ErrorKind::FileTooLarge => Ok(Err(vec![PackFault::TooLarge])),
        Err(error) => Err(Failure::failed(error)),
    }
}

fn verify(hangar: &Hangar, args: &VerifyPackArgs, out: &mut Output) -> Result<u8, Failure> {
    let given: Option<People> = match &args.people {
        None => None,
        Some(path) => Some(
            read_text(path, &path.to_string_lossy())
                .map_err(|fault| vec![fault])
                .and_then(|source| read_people(&source))
                .map_err(|faults| Failure::failed(render(&faults, false)))?,
        ),
    };
    let shown = args.file.display().to_string();
    let (pack, _) = match opened(&args.file)? {
        Ok(found) => found,
        Err(faults) => {
            tell_broken(&shown, &faults, args.json, out);
            return Ok(exit::DAMAGED);
        }
    };
    let standing = standing(&pack, given.as_ref().unwrap_or(&hangar.people), hangar.today());
    let faults = checklists(&pack, &shown).err().unwrap_or_default();
    let is_good = standing.is_vouched() && faults.is_empty();
    if args.json {
        let header = &pack.header;
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        out.json(&json!({
            "file": shown, "whole": true, "state": standing.code(), "pack": header.name, "sha256": pack.sha256,
            "made_on": header.made_on, "author": header.author, "key": pack.key.to_string(), "public": header.key,
            "said": standing.sentence(&pack), "editions": header.editions, "edition_faults": told,
        }));
    } else {
        tell_whole(&shown, &pack, out);
        out.line(&standing.sentence(&pack));
        if !faults.is_empty() {
            out.error(&render(&faults, false));
            out.error(say!(
                "this program cannot read these editions without fault; such a pack is not installed"
            ));
        }
    }
    Ok(if is_good { exit::DONE } else { exit::REFUSED })
}

fn tell_whole(shown: &str, pack: &Pack, out: &mut Output) {
    let header = &pack.header;
    out.line(&say!(
        "{shown}: pack {}, made on {}, whole and unaltered",
        header.name,
        date(header.made_on),
        shown
    ));
    for listed in &header.editions {
        out.line(&say!(
            "  {} {} ({}), {} bytes, {}",
            listed.id,
            listed.version,
            said(&listed.kind),
            listed.bytes,
            listed.sha256
        ));
    }
    out.line(&format!("SHA-256 {}", pack.sha256));
}

fn tell_broken(shown: &str, faults: &[PackFault], json: bool, out: &mut Output) {
    if json {
        let told: Vec<_> =
            faults.iter().map(|fault| json!({ "code": fault.code(), "said": fault.to_string() })).collect();
        out.json(&json!({ "file": shown, "whole": false, "state": "broken", "faults": told }));
        return;
    }
    for fault in faults {
        out.error(&format!("{shown}: {fault}"));
    }
    out.error(say!("nothing of it can be trusted; get the pack again from its author"));
}

fn install(cli: &Cli, hangar: &Hangar, args: &InstallArgs, out: &mut Output) -> Result<u8, Failure> {
    let person = hangar.person(require_person(cli)?)?;
    if args.why.as_ref().is_some_and(|why| why.trim().is_empty()) {
        return Err(Failure::usage(say!("no reason is given; say why: --why \"…\"")));
    }
    let shown = args.file.display().to_string();
    let (pack, bytes) = match opened(&args.file)? {
        Ok(found) => found,
        Err(faults) => {
            tell_broken(&shown, &faults, false, out);
            return Ok(exit::DAMAGED);
        }
    };
    let terms = Terms {
        trust_unknown_key: args.trust_unknown_key,
        older: args.older,
        why: args.why.as_deref().map(str::trim),
    };
    let done = install_pack(hangar, &pack, &bytes, &shown, person, terms).map_err(Failure::from)?;
    out.line(&say!("pack {}: {}", pack.header.name, done.standing.sentence(&pack)));
    for edition in &done.new {
        out.line(&say!("  {edition} installed", edition));
    }
    for edition in &done.already {
        out.line(&say!("  {edition} is already there, with the same content", edition));
    }
    match done.folder {
        Some(folder) => {
            out.line(&say!("in {}; sessions that are begun keep their own plan", folder.display()))
        }
        None => out.line(say!("nothing was changed")),
    }
    Ok(exit::DONE)
}

impl From<Refusal> for Failure {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Failed(error) => Failure::hangar(error),
            other => Failure::refused(format!("{other}\n{}", say!("nothing was changed"))),
        }
    }
}
