//! `export` and `import`: airframes and registers as tables for and from other programs.

mod export;
mod import;
mod table;

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::output::{Failure, Output};
use crate::hangar::Hangar;

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Exported {
    /// A row for each airframe: the keys above the lists of its record.
    Airframes,
    Instruments,
    /// A row for each authorisation; whoever has none, has a row without one.
    People,
    /// A row for each life-limited item of each airframe.
    LifeItems,
    /// A row for each directive or bulletin in each airframe's record.
    Directives,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Imported {
    Airframes,
    Instruments,
}

const EXPORT_HELP: &str = "\
CSV as RFC 4180 has it: commas, quotes where they are needed, lines ended by CR LF, UTF-8 without a byte order mark. The first line
names the keys; spanwise record keys explains them. Every cell is what stands in the file: a text that begins with = + - or @ is not
changed either, but told on standard error, because a spreadsheet takes it for a formula. Nothing is overwritten.";

#[derive(Debug, Args)]
#[command(after_help = EXPORT_HELP)]
pub struct ExportArgs {
    #[arg(value_enum)]
    pub what: Exported,
    /// As CSV, which is the default.
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// Into this new file instead of standard output.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[arg(long)]
    pub json: bool,
}

const IMPORT_HELP: &str = "\
The first line names the keys, as spanwise export writes them and spanwise record keys explains them. Cells are parted by commas,
semicolons or tabs, whichever the first line uses; a byte order mark, any ends of lines, and quoted cells with line breaks are
understood. A decimal comma is understood between semicolons or tabs and refused between commas; what could be a thousands mark
(\"1.234\" between semicolons) is refused. Dates are written as 2026-11-25. Empty rows are passed over; an empty cell leaves a key as it is.

Every fault is told with its line and column, and with a single one nothing is written. What is there already is refused, or
with --update changed: other keys and remarks stay.";

#[derive(Debug, Args)]
#[command(after_help = IMPORT_HELP)]
pub struct ImportArgs {
    #[arg(value_enum)]
    pub what: Imported,
    pub file: PathBuf,
    /// Tell what would be written, and write nothing.
    #[arg(long)]
    pub dry_run: bool,
    /// Change what is there already.
    #[arg(long)]
    pub update: bool,
    #[arg(long)]
    pub json: bool,
}

pub(super) fn export(hangar: &Hangar, args: &ExportArgs, out: &mut Output) -> Result<u8, Failure> {
    export::export(hangar, args, out)
}

pub(super) fn import(hangar: &Hangar, args: &ImportArgs, out: &mut Output) -> Result<u8, Failure> {
    import::import(hangar, args, out)
}
