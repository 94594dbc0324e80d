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
use crate::hangar::{Hangar, airframe_grounding, summaries};
use crate::vocabulary::kind_words;
use crate::words::{date, figure, said};

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
    let grounded = airframe_grounding(airframe, &summaries(hangar), today);
    if args.json {
        let due: Vec<_> = due.iter().map(line_json).collect();
        out.json(&json!({
            "on": today,
            "airframe": airframe,
            "grounded": grounded,
            "next_annual": horizon.next.date,
            "due": due,
        }));
    } else {
        out.text(&text(airframe, &grounded, &horizon, &due));
    }
    Ok(exit::DONE)
}

fn text(airframe: &Airframe, grounded: &[String], horizon: &Horizon, due: &[DueLine]) -> String {
    let mut out = String::new();
    identity(&mut out, airframe);
    for why in grounded {
        paragraph(&mut out, "", &say!("NOT AIRWORTHY: {why}", why = why));
    }
    totals(&mut out, airframe);
    fitted(&mut out, airframe);
    papers(&mut out, airframe);
    directives(&mut out, airframe);
    life_items(&mut out, &airframe.life_items);
    reports(&mut out, airframe);
    defects(&mut out, airframe);
    annuals(&mut out, airframe);
    let _ = writeln!(
        out,
        "\n{}",
        say!("Falls due, seen from {} to {}", date(horizon.now.date), date(horizon.next.date))
    );
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
    let made =
        airframe.manufactured.map(|day| say!(", manufactured {day}", day = date(day))).unwrap_or_default();
    paragraph(
        out,
        "",
        &say!(
            "{}: {}, serial {}{made}",
            airframe.registration,
            airframe.type_id,
            airframe.serial,
            made = made
        ),
    );
    if let Some(owner) = &airframe.owner {
        paragraph(out, "", &say!("owner or operator: {owner}", owner = owner));
    }
    let standard = &airframe.build_standard;
    let standard = if standard.is_empty() { say!("none recorded").to_string() } else { standard.join(", ") };
    paragraph(out, "", &say!("build standard: {standard}", standard = standard));
    head(out, say!("Modifications and laminate changes"), !airframe.modifications.is_empty());
    for one in &airframe.modifications {
        let words = joined(&[
            Some(format!("{}  {}", one.id, one.title)),
            one.is_laminate_change.then(|| say!("changes the laminate").to_string()),
            one.on.map(date),
            labelled(say!("data"), &one.data),
            one.note.clone(),
        ]);
        paragraph(out, "  ", &words);
    }
}

fn totals(out: &mut String, airframe: &Airframe) {
    let _ = writeln!(out, "\n{}", say!("Totals"));
    let words = joined(&[
        Some(format!("{} h", figure(airframe.hours))),
        Some(say!("{} launches", airframe.launches)),
        airframe.cycles.map(|cycles| say!("{cycles} cycles", cycles = cycles)),
        airframe.totals_on.map(|day| say!("as of {day}", day = date(day))),
    ]);
    paragraph(out, "  ", &words);
    let last = airframe.last_annual.map_or(say!("none recorded").to_string(), date);
    let words = joined(&[
        Some(say!("last annual {last}", last = last)),
        airframe.hours_at_last_annual.map(|hours| say!("at {hours} h", hours = figure(hours))),
        airframe.launches_at_last_annual.map(|launches| say!("{launches} launches", launches = launches)),
    ]);
    paragraph(out, "  ", &words);
    let expected = joined(&[
        airframe.expected_hours.map(|hours| format!("{} h", figure(hours))),
        airframe.expected_launches.map(|launches| say!("{launches} launches", launches = launches)),
    ]);
    if !expected.is_empty() {
        paragraph(out, "  ", &say!("expected in a year: {expected}", expected = expected));
    }
}

fn fitted(out: &mut String, airframe: &Airframe) {
    head(out, say!("Equipment"), !airframe.equipment.is_empty() || !airframe.fitted.is_empty());
    if !airframe.equipment.is_empty() {
        paragraph(out, "  ", &airframe.equipment.join(", "));
    }
    for one in &airframe.fitted {
        let words = joined(&[
            Some(one.title.clone()),
            labelled(say!("part"), &one.part_number),
            labelled(say!("serial"), &one.serial),
            one.position.clone(),
            one.note.clone(),
        ]);
        paragraph(out, "  ", &words);
    }
}

fn papers(out: &mut String, airframe: &Airframe) {
    head(out, say!("Manuals"), !airframe.manuals.is_empty());
    for one in &airframe.manuals {
        let date = one.date.map(|day| format!(" {}", say!("of {day}", day = date(day)))).unwrap_or_default();
        paragraph(out, "  ", &say!("{}: revision {}{date}", one.title, one.revision, date = date));
    }
    head(out, say!("Certificates"), !airframe.certificates.is_empty());
    for one in &airframe.certificates {
        let number = one.number.as_ref().map(|number| format!(" {number}")).unwrap_or_default();
        paragraph(
            out,
            "  ",
            &say!("{}{number}: valid through {}", one.title, date(one.expiry), number = number),
        );
    }
    head(out, say!("Weighings"), !airframe.weighings.is_empty());
    for one in &airframe.weighings {
        let words = joined(&[
            Some(say!("{}: empty mass {} kg", date(one.date), figure(one.empty_mass_kg))),
            one.empty_cg_mm.map(|cg| say!("centre of gravity {cg} mm aft of the datum", cg = figure(cg))),
            (!one.by.is_empty()).then(|| say!("by {}", one.by)),
            one.reason.clone(),
            one.next_due.map(|day| say!("next due {day}", day = date(day))),
        ]);
        paragraph(out, "  ", &words);
    }
    head(out, say!("Repairs"), !airframe.repairs.is_empty());
    for one in &airframe.repairs {
        let words = joined(&[
            Some(format!("{}  {}: {}", one.id, date(one.date), one.what)),
            one.component.clone(),
            one.side.clone(),
            one.station_mm.map(|station| say!("station {station} mm", station = figure(station))),
            (!one.by.is_empty()).then(|| say!("by {}", one.by)),
            labelled(say!("data"), &one.data),
        ]);
        paragraph(out, "  ", &words);
    }
}

fn directives(out: &mut String, airframe: &Airframe) {
    head(out, say!("Directives and bulletins"), !airframe.directives.is_empty());
    for one in &airframe.directives {
        paragraph(out, "  ", &format!("{}  {}", one.id, one.title));
        paragraph(out, "    ", &directive_words(airframe, one));
        let mut done: Vec<_> = airframe.compliances.iter().filter(|done| done.directive == one.id).collect();
        done.sort_by_key(|done| done.on);
        for done in done {
            let words = joined(&[
                Some(say!("complied {}", date(done.on))),
                done.hours.map(|hours| say!("at {hours} h", hours = figure(hours))),
                done.launches.map(|launches| say!("{launches} launches", launches = launches)),
                done.cycles.map(|cycles| say!("{cycles} cycles", cycles = cycles)),
                (!done.by.is_empty()).then(|| say!("by {}", done.by)),
                (!done.how.is_empty()).then(|| done.how.clone()),
            ]);
            paragraph(out, "    ", &words);
        }
    }
}

fn directive_words(airframe: &Airframe, one: &Directive) -> String {
    let objection = one.applicability.as_ref().and_then(|ranges| ranges.objection(airframe));
    let applies = match (one.applies, objection) {
        (true, _) => say!("applies").to_string(),
        (false, Some(why)) => say!("does not apply: {why}", why = why),
        (false, None) => say!("does not apply").to_string(),
    };
    let repeats = match (&one.interval, one.repeating) {
        (Some(interval), _) => Some(say!("every {}", interval.words())),
        (None, true) => Some(say!("repeats").to_string()),
        (None, false) => None,
    };
    joined(&[
        Some(applies),
        one.is_bulletin.then(|| say!("bulletin").to_string()),
        repeats,
        one.due.map(|day| say!("due {}", date(day))),
        one.due_hours.map(|hours| say!("due at {hours} h", hours = figure(hours))),
        one.due_launches.map(|launches| say!("due at {launches} launches", launches = launches)),
        one.complied.map(|day| say!("complied {}", date(day))),
        one.note.clone(),
    ])
}

fn life_items(out: &mut String, items: &[LifeItem]) {
    head(out, say!("Life-limited and time-controlled items"), !items.is_empty());
    for one in items {
        paragraph(out, "  ", &format!("{}  {}", one.id, one.title));
        let life = one.life.as_ref();
        let words = joined(&[
            labelled(say!("part"), &one.part_number),
            labelled(say!("serial"), &one.serial),
            life.map(|life| say!("life {}", life.interval.words())),
            life.and_then(|life| life.manufactured).map(|day| say!("manufactured {day}", day = date(day))),
            life.and_then(|life| life.installed).map(|day| say!("installed {day}", day = date(day))),
            one.due.map(|day| say!("due {}", date(day))),
            one.due_hours.map(|hours| say!("due at {hours} h", hours = figure(hours))),
            one.due_launches.map(|launches| say!("due at {launches} launches", launches = launches)),
            one.due_cycles.map(|cycles| say!("due at {cycles} cycles", cycles = cycles)),
            one.note.clone(),
        ]);
        if !words.is_empty() {
            paragraph(out, "    ", &words);
        }
    }
}

fn reports(out: &mut String, airframe: &Airframe) {
    head(out, say!("Reports and occurrences"), !airframe.reports.is_empty());
    for one in &airframe.reports {
        let fate = match one.dealt_with {
            Some(day) => {
                let how = one.dealt_with_how.as_ref().map(|how| format!(": {how}")).unwrap_or_default();
                say!("dealt with by the annual of {day}{how}", day = date(day), how = how)
            }
            None => say!("open for the next annual").to_string(),
        };
        paragraph(
            out,
            "  ",
            &format!("{}  {} {}: {}", one.id, date(one.date), kind_words(&one.kind.value), one.text),
        );
        paragraph(out, "    ", &fate);
    }
}

fn defects(out: &mut String, airframe: &Airframe) {
    head(out, say!("Deferred and open defects"), !airframe.defects.is_empty());
    for one in &airframe.defects {
        let words = joined(&[
            Some(format!("{}  {}", one.id, one.what)),
            one.component.clone(),
            one.side.clone(),
            one.station_mm.map(|station| say!("station {station} mm", station = figure(station))),
            Some(say!("{}, found {}", said(one.severity.word()), date(one.found))),
        ]);
        paragraph(out, "  ", &words);
        let until = one.until.map(|day| format!(" {}", say!("until {}", date(day)))).unwrap_or_default();
        let fate = match one.closed {
            Some(day) => joined(&[Some(say!("closed {day}", day = date(day))), one.closed_by.clone()]),
            None => joined(&[Some(format!("{}{until}", said(one.standing.word()))), one.note.clone()]),
        };
        paragraph(out, "    ", &fate);
    }
}

fn annuals(out: &mut String, airframe: &Airframe) {
    head(out, say!("Annuals"), !airframe.annuals.is_empty());
    for one in &airframe.annuals {
        let words = joined(&[
            Some(format!("{}: {}", date(one.date), said(&one.outcome))),
            (!one.by.is_empty()).then(|| say!("by {}", one.by)),
            one.hours.map(|hours| say!("at {hours} h", hours = figure(hours))),
            one.launches.map(|launches| say!("{launches} launches", launches = launches)),
            labelled(say!("session"), &one.session),
        ]);
        paragraph(out, "  ", &words);
    }
}
