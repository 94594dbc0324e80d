//! `schema`: the format of the files that people write, for their editors and for themselves.

use clap::{Args, ValueEnum};

use super::output::{Failure, Output, exit};
use crate::checklist::format::{reference, schema as checklist_schema};

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SchemaOf {
    /// The three kinds of checklist.
    Checklist,
}

#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// The kind of file.
    #[arg(required_unless_present = "reference")]
    pub of: Option<SchemaOf>,
    /// Every key with type, default, unit, meaning and example, as Markdown.
    #[arg(long)]
    pub reference: bool,
}

pub(super) fn schema(args: &SchemaArgs, out: &mut Output) -> Result<u8, Failure> {
    match (args.reference, args.of) {
        (true, _) => out.text(&reference()),
        (false, Some(SchemaOf::Checklist) | None) => out.text(&checklist_schema()),
    }
    Ok(exit::DONE)
}
