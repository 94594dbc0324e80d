//! The people register as OpenSSH's list of signers.

use super::check::key_id;
use super::pack::PACK;
use super::text::{COUNTERSIGN, INSPECTION, SEAL};
use crate::airframe::People;

/// The register as the file that `ssh-keygen -Y verify -f` takes: one line for each key, with its purposes and days.
pub fn allowed_signers(people: &People) -> String {
    let mut lines = String::new();
    for person in &people.0 {
        for key in &person.keys {
            let mut options = format!(
                "namespaces=\"{SEAL},{INSPECTION},{COUNTERSIGN},{PACK}\",valid-after=\"{}\"",
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
