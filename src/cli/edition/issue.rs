//! `edition draft` and `edition issue`.

use super::super::args::Cli;
use super::super::output::{Failure, Output, exit};
use super::super::require_person;
use super::compare::changes;
use super::{DraftArgs, IssueArgs};
use crate::hangar::{Hangar, IssueRequest, begin_draft, issue};

pub(super) fn draft(hangar: &Hangar, args: &DraftArgs, out: &mut Output) -> Result<u8, Failure> {
    let path = begin_draft(hangar, &args.id, args.version.clone())?;
    let path = path.display();
    out.line(&say!("draft: {path}", path));
    out.line(say!("It takes part in no plan until it is issued. Next:"));
    out.line(&format!("  spanwise edition add-step {path}"));
    out.line(&format!("  spanwise edition preview {path}"));
    out.line(&format!("  spanwise edition compare {path}"));
    out.line(&format!("  spanwise edition issue {path} --by <person>"));
    Ok(exit::DONE)
}

pub(super) fn issue_draft(
    cli: &Cli,
    hangar: &Hangar,
    args: &IssueArgs,
    out: &mut Output,
) -> Result<u8, Failure> {
    let by = require_person(cli)?;
    let person = hangar.people.find(by);
    let by = person.map_or_else(|| by.to_string(), |person| format!("{} ({})", person.name, person.id));
    let done = issue(
        hangar,
        &IssueRequest {
            draft: &args.draft,
            by: &by,
            version: args.version.clone(),
            despite_others: args.despite_others,
        },
    )?;
    out.line(&say!("issued: {} {} by {by}", done.id, done.version, by));
    out.line(&format!("  {}", done.file.display()));
    out.line(&format!("  sha256 {}", done.sha256));
    match (&done.base, done.demanded) {
        (Some(base), Some(step)) => {
            out.line(&say!("Changes since {base}, which demand a {step} step:", base, step));
            out.text(&changes(&done.difference));
        }
        _ => out.line(say!("the first edition of this checklist")),
    }
    if person.is_none() {
        out.line(&say!(
            "note: the people register has nobody called \"{by}\"; the name is entered as it was typed",
            by
        ));
    }
    for note in &done.notes {
        out.line(&say!("what to mind" => "note: {note}", note));
    }
    Ok(exit::DONE)
}
