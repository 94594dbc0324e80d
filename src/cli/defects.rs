//! `defects`: every defect of a session with its place, and where that is on the airframe.

use std::fmt::Write as _;

use clap::Args;
use serde_json::{Value, json};

use super::args::{DefectCommand, SessionArg};
use super::output::{Failure, Output, exit};
use crate::hangar::{Hangar, Viewing, find_session};
use crate::plan::Plan;
use crate::plot::{AirframePicture, Mark};
use crate::quantity::Number;
use crate::sketch;
use crate::state::{Defect, Told};
use crate::words::{date, figure, of_checklist, said};

const WIDTH: usize = 78;
const HEIGHT: usize = 30;

const HELP: &str = "Left and right are told by L and R from the side; from above, with the nose to the left, the right wing is
at the top. Stations count from the type's datum. A mark shows where to look, not how large the damage is.

Example:
  spanwise defects XX-VA7 --picture";

#[derive(Debug, Args)]
#[command(after_help = HELP)]
pub struct DefectsArgs {
    #[command(flatten)]
    pub session: SessionArg,
    /// Draw the airframe, too, with every standing defect at its place.
    #[arg(long)]
    pub picture: bool,
    /// Draw with plain ASCII characters.
    #[arg(long)]
    pub ascii: bool,
    #[arg(long)]
    pub json: bool,
}

/// Lists the defects. They are no verdict: the code tells only whether the record could be read.
pub fn defects(hangar: &Hangar, args: &DefectsArgs, out: &mut Output) -> Result<u8, Failure> {
    let sid = find_session(hangar, &args.session.session)?;
    let view = Viewing::open(hangar, &sid)?;
    if args.json {
        let picture = args.picture.then(|| drawing(&view, args.ascii));
        out.json(&json!({
            "session": sid,
            "registration": view.plan.airframe.registration,
            "station_datum": view.plan.of_type.as_ref().map(|data| &data.datum),
            "outline": sketch::source_words(&view.plan),
            "defects": view.state.defects.iter().map(|defect| defect_json(&view, defect)).collect::<Vec<_>>(),
            "picture": picture.map(|picture| json!({ "lines": picture.lines(), "legend": picture.legend })),
        }));
    } else {
        out.text(&text(&view, &sid, args));
    }
    for problem in &view.integrity {
        out.error(&say!("the record is damaged: {problem}", problem = problem));
    }
    Ok(if view.integrity.is_empty() { exit::DONE } else { exit::DAMAGED })
}

/// Warns of a station that lies off the component or the airframe. The record takes it: a damaged airframe may have
/// been measured rightly, and a type file may be wrong.
pub(super) fn warn_of_station(plan: &Plan, command: &DefectCommand, out: &mut Output) {
    let DefectCommand::Raise { component, station: Some(station), .. } = command else { return };
    let Ok(station) = Number::typed(station) else { return };
    if let Some((words, true)) = sketch::place_words(plan, component.as_deref(), station) {
        out.error(&say!("look again: {words}; recorded as it was given", words = words));
    }
}

fn drawing(view: &Viewing, ascii: bool) -> AirframePicture {
    let marks: Vec<Mark> = view.state.standing_defects().map(sketch::mark_of).collect();
    sketch::picture_of_both(&view.plan, &marks, WIDTH, HEIGHT, ascii)
}

fn text(view: &Viewing, sid: &str, args: &DefectsArgs) -> String {
    let mut out = format!("{}\n", say!("{}, session {sid}", view.plan.airframe.registration, sid = sid));
    if view.state.defects.is_empty() {
        let _ = writeln!(out, "{}", say!("no defect was raised"));
    }
    for defect in &view.state.defects {
        write_defect(&mut out, view, defect);
    }
    if args.picture {
        let picture = drawing(view, args.ascii);
        let _ = writeln!(out, "\n{}", picture.lines().join("\n"));
        for line in &picture.legend {
            let _ = writeln!(out, "{line}");
        }
        let _ = writeln!(out, "{}", sketch::source_words(&view.plan));
    }
    out
}

fn write_defect(out: &mut String, view: &Viewing, defect: &Defect) {
    let raised = &defect.raised;
    let _ = writeln!(
        out,
        "\n{} {}: {} [{}]",
        defect.id,
        said(raised.severity.word()),
        raised.what,
        said(defect.standing().word())
    );
    let _ = writeln!(out, "  {}", say!("where: {}", place_words(defect)));
    if let Some(on) = on_airframe(view, defect) {
        let _ = writeln!(out, "         {on}");
    }
    let _ = writeln!(
        out,
        "  {}",
        say!(
            "found: {}, raised {} by {}, entry {}",
            found_by(view, defect),
            defect.stamp.short(),
            raised.by.name,
            defect.stamp.entry
        )
    );
    if let Some(words) = defect.stamp.paper_words() {
        let _ = writeln!(out, "         {words}");
    }
    if let Some(struck) = &defect.struck {
        let _ = writeln!(
            out,
            "  {}",
            say!("taken back: {} by {}, entry {}", struck.why, struck.who, struck.by_entry)
        );
    }
    for told in history(defect) {
        let _ = writeln!(out, "  {told}");
    }
    if let Some(until) = limit(defect) {
        let _ = writeln!(out, "  {}", say!("limit: {until}", until = date(until)));
    }
    let files = evidence(view, defect);
    if files.is_empty() {
        let _ = writeln!(out, "  {}", say!("no evidence file"));
    }
    for (name, bytes, entry, _) in files {
        let _ = writeln!(
            out,
            "  {}",
            say!(
                "evidence: {name} ({bytes} bytes, entry {entry})",
                name = name,
                bytes = bytes,
                entry = entry
            )
        );
    }
}

fn place_words(defect: &Defect) -> String {
    let raised = &defect.raised;
    let station = raised.station_mm.map(|station| say!("station {station} mm", station = figure(station)));
    let place: Vec<String> =
        [raised.component.clone(), raised.side.as_deref().map(|side| said(side).to_string()), station]
            .into_iter()
            .flatten()
            .collect();
    if place.is_empty() { say!("not recorded").to_string() } else { place.join(", ") }
}

/// The part of the airframe on which the station lies.
fn on_airframe(view: &Viewing, defect: &Defect) -> Option<String> {
    let raised = &defect.raised;
    sketch::place_words(&view.plan, raised.component.as_deref(), raised.station_mm?).map(|(words, _)| words)
}

fn found_by(view: &Viewing, defect: &Defect) -> String {
    match &defect.raised.step {
        Some(id) => {
            let title = view.plan.step(id).map(|planned| format!(" ({})", of_checklist(&planned.step.title)));
            say!("by step {id}{}", title.unwrap_or_default(), id = id)
        }
        None => say!("outside the steps").to_string(),
    }
}

/// Decisions, work and re-inspection in the order of the entries.
fn history(defect: &Defect) -> Vec<String> {
    let mut told: Vec<(u64, String)> = Vec::new();
    for decided in &defect.dispositions {
        let until =
            decided.what.until.map(|until| format!(" {}", say!("until {}", date(until)))).unwrap_or_default();
        let note =
            if decided.what.note.is_empty() { String::new() } else { format!(": {}", decided.what.note) };
        told.push(entry(
            decided,
            say!(
                "decided: {}{until}{note}",
                said(decided.what.disposition.word()),
                until = until,
                note = note
            ),
        ));
    }
    for work in &defect.rectifications {
        let controls = if work.what.disturbed_controls { say!("; flight controls disturbed") } else { "" };
        told.push(entry(work, say!("rectified: {}{controls}", work.what.work, controls = controls)));
    }
    if let Some(stamp) = &defect.reinspected {
        told.push((
            stamp.entry,
            say!("re-inspected, satisfactory; {} by {}, entry {}", stamp.short(), stamp.by.name, stamp.entry),
        ));
    }
    told.sort_by_key(|(entry, _)| *entry);
    told.into_iter().map(|(_, words)| words).collect()
}

fn entry<T>(told: &Told<T>, words: String) -> (u64, String) {
    let stamp = &told.stamp;
    (
        stamp.entry,
        say!("{words}; {} by {}, entry {}", stamp.short(), stamp.by.name, stamp.entry, words = words),
    )
}

/// Until when it may wait, while its last decision is a deferral.
fn limit(defect: &Defect) -> Option<chrono::NaiveDate> {
    defect.disposition().and_then(|decided| decided.until).filter(|_| defect.is_open())
}

type File<'v> = (&'v str, u64, u64, &'v str);

/// Name, bytes, entry and hash of its evidence that was not taken back.
fn evidence<'v>(view: &'v Viewing, defect: &Defect) -> Vec<File<'v>> {
    let files = view.state.evidence.iter();
    let own =
        files.filter(|told| told.struck.is_none() && told.what.defect.as_deref() == Some(defect.id.as_str()));
    own.map(|told| (told.what.name.as_str(), told.what.bytes, told.stamp.entry, told.what.sha256.as_str()))
        .collect()
}

fn defect_json(view: &Viewing, defect: &Defect) -> Value {
    let raised = &defect.raised;
    let files = evidence(view, defect).into_iter().map(|(name, bytes, entry, sha256)| {
        json!({ "name": name, "bytes": bytes, "entry": entry, "sha256": sha256 })
    });
    let decided = defect.dispositions.iter().map(|told| {
        json!({
            "disposition": told.what.disposition.word(),
            "note": told.what.note,
            "until": told.what.until,
            "by": told.stamp.by.name,
            "wall": told.stamp.wall,
            "entry": told.stamp.entry,
        })
    });
    let rectified = defect.rectifications.iter().map(|told| {
        json!({
            "work": told.what.work,
            "disturbed_controls": told.what.disturbed_controls,
            "by": told.stamp.by.name,
            "wall": told.stamp.wall,
            "entry": told.stamp.entry,
        })
    });
    json!({
        "id": defect.id,
        "what": raised.what,
        "component": raised.component,
        "side": raised.side,
        "station_mm": raised.station_mm,
        "on_airframe": on_airframe(view, defect),
        "severity": raised.severity.word(),
        "standing": defect.standing().word(),
        "grounds": defect.grounds(),
        "step": raised.step,
        "raised_by": raised.by.name,
        "raised": defect.stamp.wall,
        "entry": defect.stamp.entry,
        "decisions": decided.collect::<Vec<_>>(),
        "rectifications": rectified.collect::<Vec<_>>(),
        "reinspected_entry": defect.reinspected.as_ref().map(|stamp| stamp.entry),
        "limit": limit(defect),
        "evidence": files.collect::<Vec<_>>(),
        "taken_back": defect.struck.as_ref().map(|struck| struck.why.clone()),
    })
}
