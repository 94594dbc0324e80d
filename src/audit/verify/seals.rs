//! Seals: whether a signature is good, and whether its key was the person's on that day. Two questions, never one.
//!
//! The only place of this module that asks [`crate::seal`] or reads keys from the people register.

use chrono::NaiveDate;

use super::report::{Fault, Found, KEEP, Report, Soundness};
use super::{JOURNAL, Record};
use crate::airframe::People;
use crate::event::Event;
use crate::seal::{KeyId, SealFault, check_countersign, check_inspection, check_sign_off, key_id};
use crate::state::instant;
use crate::words::{date, said};

/// A signature as its mathematics has it, whoever holds the key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SealOutcome {
    /// The signature belongs to this text and this key (`SHA256:…`).
    Good {
        key: String,
    },
    Bad {
        why: String,
    },
    /// There is none.
    None,
}

/// A key of the people register, with the days on which it was its person's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownKey {
    /// Id of the person.
    pub person: String,
    /// `SHA256:…`, as a seal's key is told.
    pub key: String,
    pub valid_from: NaiveDate,
    pub valid_until: Option<NaiveDate>,
}

/// What the register says about the key of a good signature.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum KeyStanding {
    Valid,
    Ended { on: NaiveDate },
    NotYet { from: NaiveDate },
    OfAnother { person: String },
    NotInRegister,
    NoRegister,
}

/// The keys of a register. One that cannot be read names no key; the register's own check tells of it.
pub fn keys_of(people: &People) -> Vec<KnownKey> {
    let mut known = Vec::new();
    for person in &people.0 {
        for key in &person.keys {
            if let Ok(id) = key_id(&key.public) {
                known.push(KnownKey {
                    person: person.id.clone(),
                    key: id.to_string(),
                    valid_from: key.valid_from,
                    valid_until: key.valid_until,
                });
            }
        }
    }
    known
}

/// The calendar day on the inspector's clock.
fn day_in(wall: &str) -> Option<NaiveDate> {
    instant(wall).map(|wall| wall.date_naive())
}

fn outcome(checked: Result<KeyId, SealFault>) -> SealOutcome {
    match checked {
        Ok(key) => SealOutcome::Good { key: key.to_string() },
        Err(SealFault::Missing) => SealOutcome::None,
        Err(fault) => SealOutcome::Bad { why: fault.to_string() },
    }
}

/// Whose key it was on that day. A person's own key is preferred to another's.
pub fn standing_of(keys: Option<&[KnownKey]>, person: &str, key: &str, day: NaiveDate) -> KeyStanding {
    let Some(keys) = keys else { return KeyStanding::NoRegister };
    let of_key = || keys.iter().filter(|known| known.key == key);
    let mut own = of_key().filter(|known| known.person == person);
    let Some(first) = own.clone().next() else {
        return of_key().next().map_or(KeyStanding::NotInRegister, |other| KeyStanding::OfAnother {
            person: other.person.clone(),
        });
    };
    let holds =
        |known: &KnownKey| known.valid_from <= day && known.valid_until.is_none_or(|until| day <= until);
    match (own.any(holds), first.valid_until) {
        (true, _) => KeyStanding::Valid,
        (false, Some(on)) if on < day => KeyStanding::Ended { on },
        (false, _) => KeyStanding::NotYet { from: first.valid_from },
    }
}

impl KeyStanding {
    /// Words that never claim more than the register does.
    pub fn words(&self, person: &str) -> String {
        match self {
            KeyStanding::Valid => {
                say!("the key was {person}'s on that day, says the people register", person)
            }
            KeyStanding::Ended { on } => {
                say!(
                    "the key was {person}'s, but ended on {on}: it proves nothing for that day",
                    person,
                    on = date(*on)
                )
            }
            KeyStanding::NotYet { from } => {
                say!(
                    "the key is {person}'s only from {from} on: it proves nothing for that day",
                    person,
                    from = date(*from)
                )
            }
            KeyStanding::OfAnother { person: other } => {
                say!(
                    "the key is in the people register as that of \"{other}\", NOT of {person}",
                    other,
                    person
                )
            }
            KeyStanding::NotInRegister => {
                say!(
                    "the key is NOT in the people register: anybody may have made it; ask {person} for the key's fingerprint",
                    person
                )
            }
            KeyStanding::NoRegister => {
                say!(
                    "no people register was given, so whose key it is stays unknown; give one with --people, or ask {person}",
                    person
                )
            }
        }
    }
}

pub(super) fn check(report: &mut Report, keys: Option<&[KnownKey]>, record: &Record<'_>) {
    for (at, (entry, event)) in record.entries.iter().zip(&record.events).enumerate() {
        // What was carried over was signed in its own session.
        let (sid, recorded) = match event {
            Event::Carried(carried) => (carried.sid.as_str(), day_in(&carried.wall)),
            _ => (entry.sid.as_str(), day_in(&entry.wall)),
        };
        let (outcome, by, day) = match event.inner() {
            Event::SignedOff(signed) => (outcome(check_sign_off(sid, signed)), &signed.by, Some(signed.date)),
            Event::IndependentlyInspected(inspected) => {
                (outcome(check_inspection(sid, inspected)), &inspected.by, recorded)
            }
            Event::Countersigned(added) => (outcome(check_countersign(sid, added)), &added.by, recorded),
            _ => continue,
        };
        let signs = matches!(event, Event::SignedOff(_));
        let what = say!("{} of {}, entry {at}", noun(event.inner()), by.name, at);
        match outcome {
            SealOutcome::None if signs => {
                report.add(
                    mark!("seal"),
                    Found::Absent,
                    say!("the {what} is NOT SEALED: the entry alone does not show who made it", what),
                );
                report.seal = Some(Soundness::Unsealed);
            }
            SealOutcome::None => {
                report.add(mark!("signature"), Found::Absent, say!("the {what} carries no signature", what))
            }
            SealOutcome::Bad { why } => {
                let fault = Fault {
                    file: JOURNAL.to_string(),
                    entry: Some(at as u64),
                    byte: None,
                    stands: say!("a signature that does not belong to this text: {why}", why),
                    should: say!("a signature over exactly this entry").to_string(),
                    next: said(KEEP).to_string(),
                };
                report.bad(
                    name(signs),
                    say!("the signature of the {what} is NOT good: {why}", what, why),
                    fault,
                );
            }
            SealOutcome::Good { key } => good(report, keys, signs, &what, (&by.id, &by.name), &key, day),
        }
    }
}

fn good(
    report: &mut Report,
    keys: Option<&[KnownKey]>,
    signs: bool,
    what: &str,
    (id, person): (&str, &str),
    key: &str,
    day: Option<NaiveDate>,
) {
    let standing = day.map_or(KeyStanding::NotInRegister, |day| standing_of(keys, id, key, day));
    let known = standing == KeyStanding::Valid;
    let found = if known { Found::Good } else { Found::Unknown };
    let words =
        say!("the text of the {what} was signed with the key {key}; {}", standing.words(person), what, key);
    report.add(name(signs), found, words);
    if signs {
        report.seal = Some(if known { Soundness::Sealed } else { Soundness::SealedByUnknownKey });
    } else {
        report.second_signatures += 1;
        report.second_unshown += usize::from(!known);
    }
}

fn name(signs: bool) -> &'static str {
    if signs { mark!("seal") } else { mark!("signature") }
}

fn noun(event: &Event) -> &'static str {
    match event {
        Event::SignedOff(_) => say!("sign-off"),
        Event::Countersigned(_) => say!("countersignature"),
        _ => say!("independent inspection"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap_or_else(|_| panic!("{text}"))
    }

    fn keys() -> Vec<KnownKey> {
        let key = |person: &str, key: &str, from: &str, until: Option<&str>| KnownKey {
            person: person.to_string(),
            key: key.to_string(),
            valid_from: day(from),
            valid_until: until.map(day),
        };
        vec![
            key("ada", "SHA256:one", "2030-01-01", Some("2030-06-30")),
            key("ben", "SHA256:two", "2030-01-01", None),
        ]
    }

    #[test]
    fn each_standing_of_a_key_has_its_own_words() {
        let keys = keys();
        let ask = |person, key, on| standing_of(Some(&keys), person, key, day(on));
        let cases = [
            (ask("ada", "SHA256:one", "2030-06-30"), KeyStanding::Valid),
            (ask("ada", "SHA256:one", "2030-07-01"), KeyStanding::Ended { on: day("2030-06-30") }),
            (ask("ada", "SHA256:one", "2029-12-31"), KeyStanding::NotYet { from: day("2030-01-01") }),
            (ask("ada", "SHA256:two", "2030-03-01"), KeyStanding::OfAnother { person: "ben".to_string() }),
            (ask("ada", "SHA256:three", "2030-03-01"), KeyStanding::NotInRegister),
            (standing_of(None, "ada", "SHA256:one", day("2030-03-01")), KeyStanding::NoRegister),
        ];
        let mut said = std::collections::BTreeSet::new();
        for (found, expected) in cases {
            assert_eq!(found, expected);
            let words = found.words("Ada");
            assert!(!words.contains("verified"), "{words}");
            assert!(said.insert(words));
        }
    }
}
