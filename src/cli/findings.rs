//! What an auditor may want to look at, as text or JSON, and what each kind means.

use std::fmt::Write as _;

use super::args::FindingsArgs;
use super::damage::{Damage, fault_json};
use super::output::{Failure, Output, exit};
use crate::audit::findings::{
    ALL, About, CAUTION, Context, Finding, Kind, Record, carried, carried_words, find_all, kind, ranges,
};
use crate::diagnostic::nearest;
use crate::hangar::{Hangar, Viewing, earlier_annual, find_session};
use crate::words::{date, said};

/// Lists the findings of a session. They are no verdict: the code tells only whether the record could be read.
pub fn findings(hangar: &Hangar, args: &FindingsArgs, out: &mut Output) -> Result<u8, Failure> {
    let wanted = args.only.as_deref().map(known).transpose()?;
    let sid = find_session(hangar, args.session.as_deref().unwrap_or_default())?;
    let view = Viewing::open(hangar, &sid)?;
    let earlier = earlier_annual(hangar, &view).filter(is_settled);
    let context = Context { session: record(&view), earlier: earlier.as_ref().map(record) };
    let found = match wanted {
        Some(kind) => kind.find(&context),
        None => find_all(&context),
    };
    let damage = Damage::of(hangar, &view);
    if args.json {
        out.json(&serde_json::json!({
            "session": sid,
            "registration": view.plan.airframe.registration,
            "caution": said(CAUTION),
            "fault": fault_json(damage.as_ref()),
            "compared_with": earlier.as_ref().map(|earlier| &earlier.sid),
            "carried": carried(&view.entries).map_or(0, |(count, _)| count),
            "continues": carried(&view.entries).map(|(_, sid)| sid),
            "findings": found,
        }));
    } else {
        if let Some(damage) = &damage {
            out.line(&damage.banner());
        }
        out.text(&text(&view, earlier.as_ref(), &found, damage.is_some()));
    }
    for problem in &view.integrity {
        out.error(&say!(
            "the record is damaged, and what follows that place was not looked at: {problem}",
            problem
        ));
    }
    Ok(if view.integrity.is_empty() { exit::DONE } else { exit::DAMAGED })
}

/// Only a sound record that somebody signed is a fair measure for another.
pub(super) fn is_settled(view: &Viewing) -> bool {
    view.state.signed.is_some() && view.integrity.is_empty()
}

/// A session as the observations take it.
pub(super) fn record(view: &Viewing) -> Record<'_> {
    Record::new(&view.plans, &view.entries, &view.state)
}

fn known(name: &str) -> Result<&'static Kind, Failure> {
    kind(name).ok_or_else(|| {
        let names = ALL.iter().map(|kind| kind.name);
        let meant =
            nearest(name, names).map(|near| say!("did you mean \"{near}\"? ", near)).unwrap_or_default();
        Failure::usage(&say!(
            "there is no kind of finding \"{name}\"; {meant}spanwise findings --explain lists them",
            name,
            meant
        ))
    })
}

fn text(view: &Viewing, earlier: Option<&Viewing>, found: &[Finding], is_damaged: bool) -> String {
    let mut out = format!("{}\n\n", said(CAUTION));
    let _ = writeln!(out, "{}", say!("{}, session {}", view.plan.airframe.registration, view.sid));
    match earlier {
        Some(earlier) => {
            let signed = earlier.state.signed.as_ref().map_or(String::new(), |told| date(told.what.date));
            let _ = writeln!(
                out,
                "{}",
                say!("compared with the annual before, signed {signed}, session {}", earlier.sid, signed)
            );
        }
        None => {
            let _ = writeln!(
                out,
                "{}",
                say!("no earlier signed annual of this airframe in this hangar to compare with")
            );
        }
    }
    let carried = carried_words(&view.entries);
    if let Some(carried) = &carried {
        let _ = writeln!(out, "{carried}");
    }
    if found.is_empty() && is_damaged {
        let _ = writeln!(
            out,
            "\n{}",
            say!("nothing was found in the entries that verify; the others were not looked at")
        );
    } else if found.is_empty() && carried.is_some() {
        let _ = writeln!(out, "\n{}", say!("nothing was found in the entries of this session itself"));
    } else if found.is_empty() {
        let _ = writeln!(out, "\n{}", say!("nothing was found that these observations tell"));
    }
    for (number, finding) in found.iter().enumerate() {
        let _ = writeln!(out, "\n{:>3}. {} [{}]", number + 1, finding.title, finding.kind);
        let _ = writeln!(out, "     {}", finding.words);
        let _ = writeln!(out, "     {}", say!("about: {}", about_words(view, &finding.about)));
        let _ = writeln!(out, "     {}", say!("entries: {}", ranges(&finding.entries)));
        let _ = writeln!(out, "     {}", say!("may be: {}", finding.may_be.join("; ")));
    }
    out
}

/// Named before the others are only counted.
const ABOUT_SHOWN: usize = 5;

fn about_words(view: &Viewing, about: &[About]) -> String {
    let shown = about.iter().take(ABOUT_SHOWN).map(|about| match about {
        About::Person { id } => say!("person {id}", id = view_name(view, id)),
        other => other.words(),
    });
    let mut words = shown.collect::<Vec<_>>().join(", ");
    if about.len() > ABOUT_SHOWN {
        let _ = write!(words, " {}", say!("and {} more", about.len() - ABOUT_SHOWN));
    }
    words
}

/// The name of a person as the record gives it.
fn view_name<'a>(view: &'a Viewing, id: &'a str) -> &'a str {
    let mut actors = view.entries.iter().filter_map(|stamped| stamped.event.actor());
    actors.find(|by| by.id == id).map_or(id, |by| by.name.as_str())
}

/// The documentation of every kind, or of one.
pub fn explain(args: &FindingsArgs, out: &mut Output) -> Result<u8, Failure> {
    let wanted = args.explain.as_deref().filter(|name| !name.is_empty()).map(known).transpose()?;
    out.line(&format!("{}\n", said(CAUTION)));
    for kind in ALL.iter().filter(|kind| wanted.is_none_or(|wanted| wanted.name == kind.name)) {
        let may_be: Vec<&str> = kind.may_be.iter().map(|may_be| said(may_be)).collect();
        let may_be = say!("May be: {}.", may_be.join("; "));
        out.line(&format!("{}: {}\n    {}\n    {may_be}\n", kind.name, said(kind.title), said(kind.doc)));
    }
    Ok(exit::DONE)
}
