//! `people` and `instruments`: the registers as text or JSON, with what has ended told.

use std::fmt::Write as _;

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::order_text::paragraph;
use super::output::{Failure, Output, exit};
use crate::airframe::{Airframe, AuthorisationKind, Instrument, Person};
use crate::diagnostic::render;
use crate::hangar::Hangar;
use crate::words::{date, figure, said};

/// The record of this registration.
///
/// # Errors
/// There is none, or it cannot be read: with its faults.
pub fn record_of<'a>(hangar: &'a Hangar, registration: &str) -> Result<&'a Airframe, Failure> {
    let file = hangar.airframe(registration)?;
    file.airframe.as_ref().map_err(|faults| Failure::failed(render(faults, false)))
}

/// "until 2027-03-31", with a word where that has passed.
fn until(day: NaiveDate, today: NaiveDate) -> String {
    if day < today { say!("ENDED on {day}", day = date(day)) } else { say!("until {}", date(day)) }
}

/// Quantities that the registers commonly name; others are shown as somebody wrote them.
#[allow(dead_code, reason = "marked for the catalogue, looked up by `said`")]
const QUANTITIES: &[&str] =
    &[mark!("force"), mark!("voltage"), mark!("current"), mark!("resistance"), mark!("speed")];

fn kind_word(kind: AuthorisationKind) -> &'static str {
    match kind {
        AuthorisationKind::AnnualRelease => say!("annual release"),
        AuthorisationKind::IndependentInspection => say!("independent inspection"),
    }
}

pub fn people(hangar: &Hangar, is_json: bool, out: &mut Output) -> Result<u8, Failure> {
    let today = hangar.today();
    let people = &hangar.people.0;
    if is_json {
        out.json(&json!({ "on": today, "people": people.iter().map(|one| person_json(one, today)).collect::<Vec<_>>() }));
        return Ok(exit::DONE);
    }
    let mut text = format!("{}\n", say!("People on {today}", today = date(today)));
    if people.is_empty() {
        let _ = writeln!(text, "  {}", say!("none; enter them into people.toml"));
    }
    for person in people {
        paragraph(&mut text, "  ", &format!("{}  {}, {}", person.id, person.name, said(&person.role)));
        for held in &person.authorisations {
            let words = say!(
                "{} {} ({}) for {}, {}",
                kind_word(held.kind),
                held.number,
                held.certificate,
                held.types.join(", "),
                until(held.valid_until, today)
            );
            paragraph(&mut text, "    ", &words);
        }
        for key in &person.keys {
            let state = key.objection_on(today).unwrap_or_else(|| match key.valid_until {
                Some(day) => until(day, today),
                None => say!("in force").to_string(),
            });
            paragraph(&mut text, "    ", &say!("key from {}: {state}", date(key.valid_from), state = state));
        }
    }
    out.text(&text);
    Ok(exit::DONE)
}

fn person_json(person: &Person, today: NaiveDate) -> Value {
    let held: Vec<Value> = person
        .authorisations
        .iter()
        .map(|held| {
            json!({
                "kind": held.kind,
                "number": held.number,
                "certificate": held.certificate,
                "types": held.types,
                "valid_until": held.valid_until,
                "ended": held.valid_until < today,
            })
        })
        .collect();
    let keys: Vec<Value> = person
        .keys
        .iter()
        .map(|key| {
            json!({
                "public": key.public,
                "valid_from": date(key.valid_from),
                "valid_until": key.valid_until,
                "ended_because": key.ended_because,
                "objection": key.objection_on(today),
            })
        })
        .collect();
    json!({
        "id": person.id,
        "name": person.name,
        "role": person.role,
        "authorisations": held,
        "keys": keys,
    })
}

pub fn instruments(hangar: &Hangar, is_json: bool, out: &mut Output) -> Result<u8, Failure> {
    let today = hangar.today();
    let instruments = &hangar.instruments.0;
    if is_json {
        let listed: Vec<Value> = instruments.iter().map(|one| instrument_json(one, today)).collect();
        out.json(&json!({ "on": today, "instruments": listed }));
        return Ok(exit::DONE);
    }
    let mut text = format!("{}\n", say!("Instruments on {today}", today = date(today)));
    if instruments.is_empty() {
        let _ = writeln!(text, "  {}", say!("none; enter them into instruments.toml"));
    }
    for instrument in instruments {
        paragraph(&mut text, "  ", &format!("{}  {}", instrument.id, instrument.title));
        let unit = instrument.unit.symbol();
        let mut words = say!("{} in {unit}", said(&instrument.quantity), unit = unit);
        if let Some(resolution) = instrument.resolution {
            let _ = write!(
                words,
                "{}",
                say!(", step {resolution} {unit}", resolution = figure(resolution), unit = unit)
            );
        }
        if let Some(uncertainty) = instrument.uncertainty {
            let _ = write!(words, ", U {} {unit} (k = 2)", figure(uncertainty));
        }
        paragraph(&mut text, "    ", &words);
        let calibration = match instrument.calibration_due {
            Some(day) => say!("calibration {}", until(day, today)),
            None => say!("no day of calibration in the register").to_string(),
        };
        let certificate =
            if instrument.certificate.is_empty() { say!("no certificate") } else { &instrument.certificate };
        paragraph(&mut text, "    ", &format!("{calibration}, {certificate}"));
    }
    out.text(&text);
    Ok(exit::DONE)
}

fn instrument_json(instrument: &Instrument, today: NaiveDate) -> Value {
    json!({
        "id": instrument.id,
        "title": instrument.title,
        "quantity": said(&instrument.quantity),
        "unit": instrument.unit.symbol(),
        "resolution": instrument.resolution,
        "uncertainty": instrument.uncertainty,
        "calibration_due": instrument.calibration_due,
        "ended": instrument.calibration_due.is_some_and(|day| day < today),
        "certificate": instrument.certificate,
    })
}
