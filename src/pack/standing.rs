//! Whose key signed a pack, as far as a people register tells.

use chrono::NaiveDate;

use super::Pack;
use crate::airframe::People;
use crate::words::date;

/// What the register says of the key. Only [`Standing::Vouched`] needs nobody's further word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// The author's key, valid on the day on which the pack says it was made, and not ended since.
    Vouched {
        person: String,
    },
    /// The author's key, valid on that day and ended since. The day is the pack's own word, and whoever holds the
    /// key can write an earlier one.
    EndedSince {
        person: String,
        why: String,
    },
    /// The author's key, not valid on that day.
    NotOnThatDay {
        person: String,
        why: String,
    },
    /// The register names the key for somebody else than the pack names as its author.
    AnotherPerson {
        holder: String,
    },
    Unknown,
}

/// Looks the key up. The person is named as the register names them: the pack's own name proves nothing.
pub fn standing(pack: &Pack, people: &People, today: NaiveDate) -> Standing {
    let holders = people.0.iter().flat_map(|person| person.keys.iter().map(move |key| (person, key)));
    let Some((person, key)) = holders.into_iter().find(|(_, key)| key.public == pack.header.key) else {
        return Standing::Unknown;
    };
    let name = person.name.clone();
    if person.id != pack.header.author.id {
        return Standing::AnotherPerson { holder: name };
    }
    if let Some(why) = key.objection_on(pack.header.made_on) {
        return Standing::NotOnThatDay { person: name, why };
    }
    match key.objection_on(today.max(pack.header.made_on)) {
        Some(why) => Standing::EndedSince { person: name, why },
        None => Standing::Vouched { person: name },
    }
}

impl Standing {
    pub fn is_vouched(&self) -> bool {
        matches!(self, Standing::Vouched { .. })
    }

    /// A stable word for other programs.
    pub fn code(&self) -> &'static str {
        match self {
            Standing::Vouched { .. } => "vouched",
            Standing::EndedSince { .. } => "ended-since",
            Standing::NotOnThatDay { .. } => "not-valid-on-that-day",
            Standing::AnotherPerson { .. } => "another-person",
            Standing::Unknown => "unknown-key",
        }
    }

    /// In a sentence, for the pack whose key it is.
    pub fn sentence(&self, pack: &Pack) -> String {
        let (day, key) = (date(pack.header.made_on), &pack.key);
        let named = format!("{} ({})", pack.header.author.name, pack.header.author.id);
        match self {
            Standing::Vouched { person } => {
                say!(
                    "signed by {person} with the key {key}, valid on {day} by the people register",
                    person,
                    key,
                    day
                )
            }
            Standing::EndedSince { person, why } => say!(
                "signed with the key {key} of {person}, valid on {day}, the day that the pack itself tells; {why}, so \
                 nothing shows that it was signed before",
                key,
                person,
                day,
                why
            ),
            Standing::NotOnThatDay { person, why } => {
                say!(
                    "signed with the key {key} of {person}, which does not count on {day}: {why}",
                    key,
                    person,
                    day,
                    why
                )
            }
            Standing::AnotherPerson { holder } => say!(
                "signed with the key {key}, which the people register names for {holder}; the pack names {named} as \
                 its author",
                key,
                holder,
                named
            ),
            Standing::Unknown => say!(
                "signed with the key {key}, which the people register does not know; the pack's own word that it is \
                 of {named} proves nothing",
                key,
                named
            ),
        }
    }
}
