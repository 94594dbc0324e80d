//! `check`: every fault of a file, a folder or the built-in library.

use super::args::CheckArgs;
use super::output::{Failure, Output, exit};
use crate::checklist::{Library, builtin_sources};
use crate::diagnostic::{in_file_order, render};
use crate::store::texts::{read_text, read_toml_files};

pub(super) fn check(args: &CheckArgs, out: &mut Output) -> Result<u8, Failure> {
    let (sources, mut faults) = match &args.path {
        None => (builtin_sources(), Vec::new()),
        Some(path) if path.is_dir() => read_toml_files(path),
        Some(path) => match read_text(path, &path.to_string_lossy()) {
            Ok(source) => (vec![source], Vec::new()),
            Err(fault) => (Vec::new(), vec![fault]),
        },
    };
    let library = Library::read(&sources);
    let read = library.all().count();
    faults.extend(library.faults);
    in_file_order(&mut faults);
    if faults.is_empty() {
        out.line(&format!("{read} editions read, no fault found"));
        return Ok(exit::DONE);
    }
    out.error(&render(&faults, false));
    let unread = args.path.is_some() && sources.is_empty();
    let count = match faults.len() {
        1 => "one fault".to_string(),
        many => format!("{many} faults"),
    };
    // A file that is not there is no judgement about a checklist.
    Err(if unread { Failure::failed(count) } else { Failure::refused(count) })
}
