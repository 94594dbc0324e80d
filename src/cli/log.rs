//! `log`: what the program did lately, from its log file.

use clap::Args;
use serde_json::json;

use super::output::{Failure, Output, exit};
use crate::store::folders::log_file;
use crate::store::log::tail;

#[derive(Debug, Args)]
pub struct LogArgs {
    /// Only where the file lies.
    #[arg(long)]
    pub path: bool,
    /// How many lines, the last ones.
    #[arg(long, value_name = "N", default_value_t = 40)]
    pub tail: usize,
    #[arg(long)]
    pub json: bool,
}

pub(super) fn log(args: &LogArgs, out: &mut Output) -> Result<u8, Failure> {
    let path = log_file()
        .ok_or_else(|| Failure::failed(say!("this account has no home folder, so nothing is logged")))?;
    if args.path && !args.json {
        out.line(&path.display().to_string());
        return Ok(exit::DONE);
    }
    let wanted = if args.path { 0 } else { args.tail };
    let lines = tail(&path, wanted).map_err(|error| {
        Failure::failed(say!("{}: {error}; check the permissions", path.display(), error = error))
    })?;
    if args.json {
        out.json(&json!({ "path": path, "lines": lines }));
    } else if lines.is_empty() {
        out.line(&say!("nothing is kept in {}", path.display()));
    } else {
        lines.iter().for_each(|line| out.line(line));
    }
    Ok(exit::DONE)
}
