//! `airframe`: the whole record of one airframe, as text of 80 columns or as JSON, with what falls due.

use std::fmt::Write as _;

use clap::Args;
use serde_json::json;

use super::due::line_json;
use super::due_text;
use super::order_text::paragraph;
use super::output::{Failure, Output, exit};
use super::registers_text::record_of;
use crate::airframe::{Airframe, Directive, LifeItem};
use crate::due::{DueLine, Horizon, due_list};
use crate::hangar::Hangar;
use crate::vocabulary::kind_words;

#[derive(Debug, Args)]
pub struct AirframeArgs {
    /// Registration of the airframe.
    pub registration: String,
    #[arg(long)]
    pub json: bool,
}

pub fn airframe(hangar: &Hangar, args: &AirframeArgs, out: &mut Output) -> Result<u8, Failure> {
    let airframe = record_of(hangar, &args.registration)?;
    let today = hangar.today();
    let horizon = Horizon::of_record(airframe, today).map_err(Failure::failed)?;
    let due = due_list(airframe, &horizon);
    if args.json {
        let due: Vec<_> = due.iter().map(line_json).collect();
        out.json(&json!({
            "on": today,
            "airframe": airframe,
            "grounded": airframe.grounded_on(today),
            "next_annual": horizon.next.date,
            "due": due,
        }));
    } else {
        out.text(&text(airframe, &airframe.grounded_on(today), &horizon, &due));
    }
    Ok(exit::DONE)
}

fn text(airframe: &Airframe, grounded: &[String], horizon: &Horizon, due: &[DueLine]) -> String {
    let mut out = String::new();
    identity(&mut out, airframe);
    for why in grounded {
        paragraph(&mut out, "", &format!("NOT AIRWORTHY by its record: {why}"));
    }
    totals(&mut out, airframe);
    fitted(&mut out, airframe);
    papers(&mut out, airframe);
    directives(&mut out, airframe);
    life_items(&mut out, &airframe.life_items);
    reports(&mut out, airframe);
    defects(&mut out, airframe);
    annuals(&mut out, airframe);
    let _ = writeln!(out, "\nFalls due, seen from {} to {}", horizon.now.date, horizon.next.date);
    due_text::lines(&mut out, due.iter());
    out
}

/// Words that are there, joined.
fn joined(words: &[Option<String>]) -> String {
    words.iter().flatten().cloned().collect::<Vec<_>>().join(", ")
}

fn labelled(label: &str, word: &Option<String>) -> Option<String> {
    word.as_ref().map(|word| format!("{label} {word}"))
}

fn head(out: &mut String, title: &str, is_there: bool) {
    if is_there {
        let _ = writeln!(out, "\n{title}");
    }
}

fn identity(out: &mut String, airframe: &Airframe) {
    let made = airframe.manufactured.map(|day| format!(", manufactured {day}")).unwrap_or_default();
    paragraph(
        out,
        "",
        &format!("{}: {}, serial {}{made}", airframe.registration, airframe.type_id, airframe.serial),
    );
    if let Some(owner) = &airframe.owner {
        paragraph(out, "", &format!("owner or operator: {owner}"));
    }
    let standard = &airframe.build_standard;
    let standard = if standard.is_empty() { "none recorded".to_string() } else { standard.join(", ") };
    paragraph(out, "", &format!("build standard: {standard}"));
    head(out, "Modifications and laminate changes", !airframe.modifications.is_empty());
    for one in &airframe.modifications {
        let words = joined(&[
            Some(format!("{}  {}", one.id, one.title)),
            one.is_laminate_change.then(|| "changes the laminate".to_string()),
            one.on.map(|day| day.to_string()),
            labelled("data", &one.data),
            one.note.clone(),
        ]);
        paragraph(out, "  ", &words);
    }
}

fn totals(out: &mut String, airframe: &Airframe) {
    let _ = writeln!(out, "\nTotals");
    let words = joined(&[
        Some(format!("{} h", airframe.hours)),
        Some(format!("{} launches", airframe.launches)),
        airframe.cycles.map(|cycles| format!("{cycles} cycles")),
        airframe.totals_on.map(|day| format!("as of {day}")),
    ]);
    paragraph(out, "  ", &words);
    let last = airframe.last_annual.map_or("none recorded".to_string(), |day| day.to_string());
    let words = joined(&[
        Some(format!("last annual {last}")),
        airframe.hours_at_last_annual.map(|hours| format!("at {hours} h")),
        airframe.launches_at_last_annual.map(|launches| format!("{launches} launches")),
    ]);
    paragraph(out, "  ", &words);
    let expected = joined(&[
        airframe.expected_hours.map(|hours| format!("{hours} h")),
        airframe.expected_launches.map(|launches| format!("{launches} launches")),
    ]);
    if !expected.is_empty() {
        paragraph(out, "  ", &format!("expected in a year: {expected}"));
    }
}

fn fitted(out: &mut String, airframe: &Airframe) {
    head(out, "Equipment", !airframe.equipment.is_empty() || !airframe.fitted.is_empty());
    if !airframe.equipment.is_empty() {
        paragraph(out, "  ", &airframe.equipment.join(", "));
    }
    for one in &airframe.fitted {
        let words = joined(&[
            Some(one.title.clone()),
            labelled("part", &one.part_number),
            labelled("serial", &one.serial),
            one.position.clone(),
            one.note.clone(),
        ]);
        paragraph(out, "  ", &words);
    }
}

fn papers(out: &mut String, airframe: &Airframe) {
    head(out, "Manuals", !airframe.manuals.is_empty());
    for one in &airframe.manuals {
        let date = one.date.map(|day| format!(" of {day}")).unwrap_or_default();
        paragraph(out, "  ", &format!("{}: revision {}{date}", one.title, one.revision));
    }
    head(out, "Certificates", !airframe.certificates.is_empty());
    for one in &airframe.certificates {
        let number = one.number.as_ref().map(|number| format!(" {number}")).unwrap_or_default();
        paragraph(out, "  ", &format!("{}{number}: valid through {}", one.title, one.expiry));
    }
    head(out, "Weighings", !airframe.weighings.is_empty());
    for one in &airframe.weighings {
        let words = joined(&[
            Some(format!("{}: empty mass {} kg", one.date, one.empty_mass_kg)),
            one.empty_cg_mm.map(|cg| format!("centre of gravity {cg} mm aft of the datum")),
            (!one.by.is_empty()).then(|| format!("by {}", one.by)),
            one.reason.clone(),
            one.next_due.map(|day| format!("next due {day}")),
        ]);
        paragraph(out, "  ", &words);
    }
    head(out, "Repairs", !airframe.repairs.is_empty());
    for one in &airframe.repairs {
        let words = joined(&[
            Some(format!("{}  {}: {}", one.id, one.date, one.what)),
            one.component.clone(),
            one.side.clone(),
            one.station_mm.map(|station| format!("station {station} mm")),
            (!one.by.is_empty()).then(|| format!("by {}", one.by)),
            labelled("data", &one.data),
        ]);
        paragraph(out, "  ", &words);
    }
}

fn directives(out: &mut String, airframe: &Airframe) {
    head(out, "Directives and bulletins", !airframe.directives.is_empty());
    for one in &airframe.directives {
        paragraph(out, "  ", &format!("{}  {}", one.id, one.title));
        paragraph(out, "    ", &directive_words(airframe, one));
        let mut done: Vec<_> = airframe.compliances.iter().filter(|done| done.directive == one.id).collect();
        done.sort_by_key(|done| done.on);
        for done in done {
            let words = joined(&[
                Some(format!("complied {}", done.on)),
                done.hours.map(|hours| format!("at {hours} h")),
                done.launches.map(|launches| format!("{launches} launches")),
                done.cycles.map(|cycles| format!("{cycles} cycles")),
                (!done.by.is_empty()).then(|| format!("by {}", done.by)),
                (!done.how.is_empty()).then(|| done.how.clone()),
            ]);
            paragraph(out, "    ", &words);
        }
    }
}

fn directive_words(airframe: &Airframe, one: &Directive) -> String {
    let objection = one.applicability.as_ref().and_then(|ranges| ranges.objection(airframe));
    let applies = match (one.applies, objection) {
        (true, _) => "applies".to_string(),
        (false, Some(why)) => format!("does not apply: {why}"),
        (false, None) => "does not apply".to_string(),
    };
    let repeats = match (&one.interval, one.repeating) {
        (Some(interval), _) => Some(format!("every {}", interval.words())),
        (None, true) => Some("repeats".to_string()),
        (None, false) => None,
    };
    joined(&[
        Some(applies),
        one.is_bulletin.then(|| "bulletin".to_string()),
        repeats,
        one.due.map(|day| format!("due {day}")),
        one.due_hours.map(|hours| format!("due at {hours} h")),
        one.due_launches.map(|launches| format!("due at {launches} launches")),
        one.complied.map(|day| format!("complied {day}")),
        one.note.clone(),
    ])
}

fn life_items(out: &mut String, items: &[LifeItem]) {
    head(out, "Life-limited and time-controlled items", !items.is_empty());
    for one in items {
        paragraph(out, "  ", &format!("{}  {}", one.id, one.title));
        let life = one.life.as_ref();
        let words = joined(&[
            labelled("part", &one.part_number),
            labelled("serial", &one.serial),
            life.map(|life| format!("life {}", life.interval.words())),
            life.and_then(|life| life.manufactured).map(|day| format!("manufactured {day}")),
            life.and_then(|life| life.installed).map(|day| format!("installed {day}")),
            one.due.map(|day| format!("due {day}")),
            one.due_hours.map(|hours| format!("due at {hours} h")),
            one.due_launches.map(|launches| format!("due at {launches} launches")),
            one.due_cycles.map(|cycles| format!("due at {cycles} cycles")),
            one.note.clone(),
        ]);
        if !words.is_empty() {
            paragraph(out, "    ", &words);
        }
    }
}

fn reports(out: &mut String, airframe: &Airframe) {
    head(out, "Reports and occurrences", !airframe.reports.is_empty());
    for one in &airframe.reports {
        let fate = match one.dealt_with {
            Some(day) => {
                let how = one.dealt_with_how.as_ref().map(|how| format!(": {how}")).unwrap_or_default();
                format!("dealt with by the annual of {day}{how}")
            }
            None => "open for the next annual".to_string(),
        };
        paragraph(
            out,
            "  ",
            &format!("{}  {} {}: {}", one.id, one.date, kind_words(&one.kind.value), one.text),
        );
        paragraph(out, "    ", &fate);
    }
}

fn defects(out: &mut String, airframe: &Airframe) {
    head(out, "Deferred and open defects", !airframe.defects.is_empty());
    for one in &airframe.defects {
        let words = joined(&[
            Some(format!("{}  {}", one.id, one.what)),
            one.component.clone(),
            one.side.clone(),
            one.station_mm.map(|station| format!("station {station} mm")),
            Some(format!("{}, found {}", one.severity.word(), one.found)),
        ]);
        paragraph(out, "  ", &words);
        let until = one.until.map(|day| format!(" until {day}")).unwrap_or_default();
        let fate = match one.closed {
            Some(day) => joined(&[Some(format!("closed {day}")), one.closed_by.clone()]),
            None => joined(&[Some(format!("{}{until}", one.standing.word())), one.note.clone()]),
        };
        paragraph(out, "    ", &fate);
    }
}

fn annuals(out: &mut String, airframe: &Airframe) {
    head(out, "Annuals", !airframe.annuals.is_empty());
    for one in &airframe.annuals {
        let words = joined(&[
            Some(format!("{}: {}", one.date, one.outcome)),
            (!one.by.is_empty()).then(|| format!("by {}", one.by)),
            one.hours.map(|hours| format!("at {hours} h")),
            one.launches.map(|launches| format!("{launches} launches")),
            labelled("session", &one.session),
        ]);
        paragraph(out, "  ", &words);
    }
}
