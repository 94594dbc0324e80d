//! `compute`: reads the file and its recordings, prints the result.

use crate::words::said;
use std::io::Read;
use std::path::{Path, PathBuf};

use clap::Args;
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

use super::output::{Failure, Output, exit};
use crate::compute::{self, KINDS, Kind, Outcome, Request};
use crate::diagnostic::render;
use crate::store::texts::read_bytes;

/// A file of readings is small; a quarter of an hour of stereo sound is not.
const MOST_BYTES: u64 = 400 * 1024 * 1024;

/// Recordings of the printed examples, so that these compute wherever they are saved.
const EXAMPLES: &[(&str, &[u8])] = &[
    ("example:creaks.wav", include_bytes!("../../demo/compute/creaks.wav")),
    ("example:quiet.wav", include_bytes!("../../demo/compute/quiet.wav")),
];

const HELP: &str = mark!(
    "Files are TOML or CSV, by their ending or content; - is standard input. In CSV a line
\"@setting,value\" gives a setting, \"#\" begins a comment, a unit stands in the cell (10 kgf),
in the header (load [kgf]) or in a column of its own (load_unit).

Exit codes:
  0  computed, within, consistent
  1  the file cannot be read or used
  2  the command line is wrong
  3  outside, softer, overdue, look again, or a load above the ceiling
  5  the readings do not decide it

Example:
  spanwise compute flex --example > fin.csv
  spanwise compute flex fin.csv --set \"ceiling=15 kgf\"
  spanwise compute flex fin.csv --json"
);

#[derive(Debug, Args)]
#[command(after_help = said(HELP))]
pub struct ComputeArgs {
    /// What is computed.
    #[arg(value_parser = kinds())]
    pub kind: &'static str,
    /// Readings as TOML or CSV, for frequency also a WAV recording; - for standard input.
    #[arg(required_unless_present_any = ["example", "keys"])]
    pub file: Option<PathBuf>,
    /// A setting as key=value; it goes before that of the file.
    #[arg(long, value_name = "KEY=VALUE")]
    pub set: Vec<String>,
    /// As one JSON object, for other programs.
    #[arg(long)]
    pub json: bool,
    /// Print a commented example file instead; it computes as it stands.
    #[arg(long, conflicts_with_all = ["file", "keys", "json", "set"])]
    pub example: bool,
    /// Print what a file of this kind may hold instead.
    #[arg(long, conflicts_with_all = ["file", "json", "set"])]
    pub keys: bool,
}

fn kinds() -> impl TypedValueParser<Value = &'static str> {
    PossibleValuesParser::new(KINDS.iter().map(|kind| PossibleValue::new(kind.name).help(said(kind.about))))
        .map(|word| compute::kind(&word).map_or("", |kind| kind.name))
}

pub(super) fn compute(args: &ComputeArgs, out: &mut Output) -> Result<u8, Failure> {
    let kind = compute::kind(args.kind).ok_or_else(|| Failure::usage(say!("there is no such kind")))?;
    if args.example {
        out.text(kind.example);
        return Ok(exit::DONE);
    }
    if args.keys {
        out.text(&keys(kind));
        return Ok(exit::DONE);
    }
    let file = args.file.as_deref().unwrap_or(Path::new("-"));
    let name = file.to_string_lossy();
    let bytes =
        bytes_of(file).map_err(|why| Failure::failed(say!("{name} cannot be read: {why}", name, why)))?;
    let folder = if name == "-" { Path::new(".") } else { file.parent().unwrap_or(Path::new(".")) };
    let fetch = |wanted: &str| fetch(folder, wanted);
    let request = Request { file: &name, bytes: &bytes, set: &args.set, fetch: &fetch };
    let report =
        kind.compute(&request).map_err(|faults| Failure::failed(render(&faults, false).trim_end()))?;
    if args.json {
        out.json(&report.json(&name));
    } else {
        out.text(&report.text());
    }
    Ok(match report.outcome {
        Outcome::Computed | Outcome::Within => exit::DONE,
        Outcome::Outside | Outcome::Refused => exit::REFUSED,
        Outcome::CannotDecide => exit::UNDECIDED,
    })
}

fn bytes_of(file: &Path) -> Result<Vec<u8>, String> {
    if file != Path::new("-") {
        return read_bytes(file, MOST_BYTES);
    }
    let mut bytes = Vec::new();
    let read = std::io::stdin().lock().take(MOST_BYTES + 1).read_to_end(&mut bytes);
    match read {
        Ok(_) if bytes.len() as u64 > MOST_BYTES => Err(say!("more than {MOST_BYTES} bytes", MOST_BYTES)),
        Ok(_) => Ok(bytes),
        Err(error) => Err(error.to_string()),
    }
}

/// A recording stands beside the file that names it.
fn fetch(folder: &Path, wanted: &str) -> Result<Vec<u8>, String> {
    match EXAMPLES.iter().find(|(name, _)| *name == wanted) {
        Some((_, bytes)) => Ok(bytes.to_vec()),
        None => read_bytes(&folder.join(wanted), MOST_BYTES),
    }
}

fn keys(kind: &Kind) -> String {
    let mut text = format!("{}: {}\n", kind.name, said(kind.about));
    let mut list = |heading: String, keys: &[compute::input::Key]| {
        text.push_str(&format!("\n{heading}\n"));
        let width = keys.iter().map(|key| key.name.len()).max().unwrap_or(0);
        for key in keys {
            text.push_str(&format!("  {:<width$}  {}\n", key.name, said(key.about)));
        }
    };
    if !kind.schema.settings.is_empty() {
        list(
            say!("Settings (TOML: key = \"value\"; CSV: @key,value; --set key=value)").to_string(),
            kind.schema.settings,
        );
    }
    for (index, rows) in kind.schema.tables.iter().enumerate() {
        let csv = if index == 0 { say!("; the rows of a CSV file") } else { "" };
        list(format!("{} (TOML: [[{}]]{csv})", said(rows.what), rows.name), rows.keys);
    }
    text
}
