//! Invented people and instruments.

use chrono::NaiveDate;
use spanwise::airframe::{Instruments, People, PersonKey, read_instruments, read_people};
use spanwise::diagnostic::Source;
use spanwise::seal::SecretKey;

pub fn people() -> People {
    let text = r#"
[[person]]
id = "ines"
name = "Ines Marlow"
role = "inspector"
[[person.authorisation]]
kind = "annual-release"
number = "INV-77"
certificate = "invented certificate"
types = ["larkspur-15"]
valid_until = 2027-03-31

[[person]]
id = "tomas"
name = "Tomas Reed"
role = "second-inspector"
[[person.authorisation]]
kind = "independent-inspection"
number = "INV-12"
certificate = "invented certificate"
types = ["*"]
valid_until = 2027-03-31
"#;
    let mut people = read_people(&Source::new("people.toml", text)).expect("the register is sound");
    for person in &mut people.0 {
        person.keys.push(PersonKey {
            public: key_of(&person.id).public_line().to_string(),
            valid_from: NaiveDate::from_ymd_opt(2020, 1, 1).expect("a day"),
            valid_until: None,
            ended_because: None,
        });
    }
    people
}

/// A key for each person, always the same one.
pub fn key_of(person: &str) -> SecretKey {
    let mut seed = [7; 32];
    seed.iter_mut().zip(person.bytes()).for_each(|(byte, letter)| *byte = letter);
    SecretKey::from_seed(&seed).expect("a key")
}

pub fn instruments() -> Instruments {
    let text = r#"
[[instrument]]
id = "sb-1"
title = "spring balance"
quantity = "force"
unit = "N"
resolution = "1"
uncertainty = "1"
calibration_due = 2027-01-31

[[instrument]]
id = "dg-2"
title = "dial gauge"
quantity = "length"
unit = "mm"
resolution = "0.01"
uncertainty = "0.02"
calibration_due = 2026-06-30
[[instrument]]
id = "dg-3"
title = "dial gauge, 50 mm"
quantity = "length"
unit = "mm"
resolution = "0.01"
uncertainty = "0.02"
calibration_due = 2027-05-31
certificate = "LK-24"
"#;
    read_instruments(&Source::new("instruments.toml", text)).expect("the register is sound")
}

pub fn day(text: &str) -> NaiveDate {
    NaiveDate::parse_from_str(text, "%Y-%m-%d").expect("a date")
}
