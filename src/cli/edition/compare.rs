//! `edition compare`: what one edition changes against another.

use std::fmt::Write as _;

use serde_json::json;

use super::super::output::{Failure, Output, exit};
use super::CompareArgs;
use crate::checklist::Checklist;
use crate::diagnostic::shown_name;
use crate::edition::{EditionDifference, Nature, VersionStep, compare_editions, file_hash};
use crate::hangar::{Hangar, HangarError, find_edition};
use crate::words::{date, said};

pub(super) fn compare(hangar: &Hangar, args: &CompareArgs, out: &mut Output) -> Result<u8, Failure> {
    let first = find_edition(hangar, &args.old)?;
    let (old, new) = match &args.new {
        Some(new) => (first, find_edition(hangar, new)?),
        None => {
            let (id, version) = (&first.id.value, &first.version.value);
            let below = hangar.library().below(id, version).cloned().ok_or_else(|| {
                HangarError::not_found(
                    say!("there is no edition of {id} below {version}", id, version),
                    say!("name both: spanwise edition compare OLD NEW"),
                )
            })?;
            (below, first)
        }
    };
    let difference = compare_editions(&old, &new);
    if args.json {
        out.json(&json!({
            "old": edition_json(&old),
            "new": edition_json(&new),
            "demands": difference.demands(),
            "version_step": made(&old, &new),
            "least_version": difference.demands().map(|step| step.after(&old.version.value).to_string()),
            "groups": difference.groups,
        }));
    } else {
        out.text(&text(&old, &new, &difference));
    }
    Ok(exit::DONE)
}

fn edition_json(of: &Checklist) -> serde_json::Value {
    json!({
        "id": of.id.value,
        "version": of.version.value.to_string(),
        "issued": of.issued,
        "source": of.source.name,
        "sha256": file_hash(&of.source.text),
    })
}

fn made(old: &Checklist, new: &Checklist) -> Option<VersionStep> {
    VersionStep::between(&old.version.value, &new.version.value)
}

fn text(old: &Checklist, new: &Checklist, difference: &EditionDifference) -> String {
    let mut out = String::new();
    for (word, of) in [(say!("edition" => "old"), old), (say!("edition" => "new"), new)] {
        let (id, version) = (&of.id.value, &of.version.value);
        let _ = writeln!(
            out,
            "{}",
            say!(
                "{word}: {id} {version}, issued {} ({})",
                date(of.issued),
                shown_name(&of.source.name),
                word,
                id,
                version
            )
        );
    }
    if old.id.value != new.id.value {
        let _ = writeln!(out, "{}", say!("WARNING: two different checklists"));
    }
    let Some(demanded) = difference.demands() else {
        let _ = writeln!(out, "{}", say!("No difference: both ask for the same in the same words."));
        return out;
    };
    out.push_str(&changes(difference));
    let counts = Nature::ALL.map(|nature| (nature, difference.count(nature)));
    let counts: Vec<String> = counts
        .iter()
        .filter(|(_, count)| *count > 0)
        .map(|(nature, count)| format!("{count} {}", said(nature.word())))
        .collect();
    let _ = writeln!(out, "\n{}", counts.join(", "));
    let from = &old.version.value;
    let _ = writeln!(
        out,
        "{}",
        say!("This demands a {demanded} step: {from} to {} or later.", demanded.after(from), demanded, from)
    );
    match made(old, new) {
        Some(step) if step < demanded => {
            let _ = writeln!(
                out,
                "{}",
                say!("The version makes a {step} step only: it cannot be issued like this.", step)
            );
        }
        Some(_) => {}
        None => {
            let _ = writeln!(out, "{}", say!("The new version is not later than the old one."));
        }
    }
    out
}

/// Each part with its changes: what, how it is worded, and the step that it demands.
pub(super) fn changes(difference: &EditionDifference) -> String {
    let mut out = String::new();
    let columns = Nature::ALL.iter().map(|nature| said(nature.word()).chars().count() + 1).max().unwrap_or(0);
    let columns = columns.max(10);
    for group in &difference.groups {
        let _ = writeln!(out, "\n{}", group.title);
        for change in &group.changes {
            let _ = writeln!(
                out,
                "  {:<columns$} {:<6} {}",
                said(change.nature.word()),
                change.demands.word(),
                change.words
            );
        }
    }
    out
}
