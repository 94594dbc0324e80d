//! `report`: the hand-out of a session as PDF, HTML, text, CSV or JSON.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::output::{Failure, Output, exit};
use crate::hangar::{Hangar, Viewing, find_session, seal_files};
use crate::report::{Document, Material, Paper, SignatureFile, document, pdf};
use crate::store::unpack::write_file;

#[derive(Debug, Args)]
pub struct ReportArgs {
    /// A session's id or its beginning, or the registration for its newest session.
    pub session: String,
    #[arg(long, value_enum, default_value_t = Form::Pdf)]
    pub form: Form,
    #[arg(long, value_enum, default_value_t = PaperWord::A4)]
    pub paper: PaperWord,
    #[arg(long, value_name = "PART", value_delimiter = ',')]
    pub only: Vec<String>,
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    Pdf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PaperWord {
    A4,
    Letter,
}

pub fn report(hangar: &Hangar, args: &ReportArgs, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session)?;
    let view = Viewing::open(hangar, &sid)?;
    let signatures: Vec<SignatureFile> = seal_files(&view)
        .into_iter()
        .map(|file| SignatureFile {
            file: file.name,
            person: file.person,
            namespace: file.namespace.to_string(),
            verify_time: file.time,
        })
        .collect();
    let material = Material {
        session: &view.sid,
        plan: &view.plan,
        plan_hash: &view.plan_hash,
        state: &view.state,
        entries: &view.entries,
        record_faults: &view.integrity,
        is_invented: true,
        signatures: &signatures,
        program: "spanwise",
    };
    let document: Document = document(&material, &args.only);
    let bytes = pdf(&document, Paper::A4).map_err(Failure::failed)?;
    write_file(args.out.as_deref().unwrap_or(Path::new("report.pdf")), &bytes).map_err(Failure::failed)?;
    out.line("done");
    Ok(exit::DONE)
}
