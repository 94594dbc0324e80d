//! What ends in the registers: calibrations of instruments, authorisations of people.

use super::list::{Maker, in_order};
use super::{DueLine, Horizon, Kind};
use crate::airframe::{Authorisation, AuthorisationKind, Instruments, People, Person};

/// Calibrations and authorisations, gravest first. An instrument whose record names no date is told as unclear; an
/// authorisation that a longer one of the same person covers is left out.
pub fn registers_due(instruments: &Instruments, people: &People, horizon: &Horizon) -> Vec<DueLine> {
    let maker = Maker { horizon };
    let mut lines = Vec::new();
    for instrument in &instruments.0 {
        let title = format!("{} {}", instrument.id, instrument.title);
        let line = maker.dated(Kind::Calibration, &instrument.id, &title, instrument.calibration_due);
        lines.push(line.unwrap_or_else(|| {
            let why = say!("the register names no day until which its calibration holds");
            maker.unclear(Kind::Calibration, &instrument.id, &title, why)
        }));
    }
    for person in &people.0 {
        for held in person.authorisations.iter().filter(|held| !is_covered(person, held)) {
            let kind = match held.kind {
                AuthorisationKind::AnnualRelease => say!("annual release"),
                AuthorisationKind::IndependentInspection => say!("independent inspection"),
            };
            let title = say!(
                "{name}, {kind} {number} for {types}",
                name = person.name,
                kind,
                number = held.number,
                types = held.types.join(", ")
            );
            lines.extend(maker.dated(Kind::Authorisation, &person.id, &title, Some(held.valid_until)));
        }
    }
    in_order(lines)
}

fn is_covered(person: &Person, held: &Authorisation) -> bool {
    person.authorisations.iter().any(|other| {
        other.kind == held.kind
            && other.valid_until > held.valid_until
            && held.types.iter().all(|type_id| other.covers(type_id))
    })
}
