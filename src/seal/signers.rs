//! Whose key is it? What the people register says of a key on a day, and the same as OpenSSH's list of signers.

use chrono::NaiveDate;

use super::check::key_id;
use super::text::{COUNTERSIGN, INSPECTION, SEAL};
use crate::airframe::People;

/// What the register says of a key under which a person signed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trust {
    /// The person's own, valid on that day.
    Known,
    /// The person's own, but not valid on that day.
    NotOnThatDay { why: String },
    /// Another person's key.
    Another { name: String },
    /// Nobody's of this register.
    Unknown,
}

/// Whose key this is, by the register, on the day of signing.
pub fn trust(people: &People, person: &str, public: &str, day: NaiveDate) -> Trust {
    let holder = people
        .0
        .iter()
        .find_map(|held| held.keys.iter().find(|key| key.public == public).map(|key| (held, key)));
    match holder {
        None => Trust::Unknown,
        Some((held, _)) if held.id != person => Trust::Another { name: held.name.clone() },
        Some((_, key)) => match key.objection_on(day) {
            None => Trust::Known,
            Some(why) => Trust::NotOnThatDay { why },
        },
    }
}

/// The register as the file that `ssh-keygen -Y verify -f` takes: one line for each key, with its purposes and days.
pub fn allowed_signers(people: &People) -> String {
    let mut lines = String::new();
    for person in &people.0 {
        for key in &person.keys {
            let mut options = format!(
                "namespaces=\"{SEAL},{INSPECTION},{COUNTERSIGN}\",valid-after=\"{}\"",
                key.valid_from.format("%Y%m%d")
            );
            if let Some(until) = key.valid_until {
                // The last valid day is still good: OpenSSH takes the beginning of the day that it is told.
                let after = until.succ_opt().unwrap_or(until);
                options.push_str(&format!(",valid-before=\"{}\"", after.format("%Y%m%d")));
            }
            let name = key_id(&key.public).map(|id| id.to_string()).unwrap_or_default();
            lines.push_str(&format!("# {}, {name}\n{} {options} {}\n", person.name, person.id, key.public));
        }
    }
    lines
}
