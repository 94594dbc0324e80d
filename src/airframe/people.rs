//! Who may do what: the people register.

use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::diagnostic::{Diagnostic, Source};
use crate::source::{Table, read_toml};
use crate::words::date;

#[derive(Debug, Clone, Default)]
pub struct People(pub Vec<Person>);

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    pub id: String,
    pub name: String,
    pub role: String,
    pub authorisations: Vec<Authorisation>,
    /// Public keys, oldest first. One is never removed, only ended: old signatures stay checkable.
    #[serde(default)]
    pub keys: Vec<PersonKey>,
}

/// A public key with the days on which its signatures count.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PersonKey {
    /// `ssh-ed25519 AAAA…`, without a comment.
    pub public: String,
    pub valid_from: NaiveDate,
    /// The last valid day.
    pub valid_until: Option<NaiveDate>,
    pub ended_because: Option<String>,
}

impl PersonKey {
    /// Why a signature of that day does not count; `None` where it does.
    pub fn objection_on(&self, day: NaiveDate) -> Option<String> {
        if day < self.valid_from {
            return Some(say!("the key is valid only from {}", date(self.valid_from)));
        }
        let until = self.valid_until.filter(|until| day > *until)?;
        let because = self.ended_because.as_ref().map(|why| format!(" ({why})")).unwrap_or_default();
        Some(say!("the key ended on {until}{because}", until = date(until), because = because))
    }
}

impl Person {
    /// Whether this person may accept work on an annual of that type on that day.
    pub fn certifies(&self, type_id: &str, day: NaiveDate) -> bool {
        self.authorisations.iter().any(|held| {
            held.kind == AuthorisationKind::AnnualRelease && held.covers(type_id) && held.valid_until >= day
        })
    }

    /// The keys whose signatures count on that day.
    pub fn keys_on(&self, day: NaiveDate) -> impl Iterator<Item = &PersonKey> {
        self.keys.iter().filter(move |key| key.objection_on(day).is_none())
    }
}

/// What a person may sign, for which types, until when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Authorisation {
    pub kind: AuthorisationKind,
    pub number: String,
    /// Kind of certificate or licence.
    pub certificate: String,
    /// Type ids, or "*" for all.
    pub types: Vec<String>,
    pub valid_until: NaiveDate,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum AuthorisationKind {
    AnnualRelease,
    IndependentInspection,
}

impl AuthorisationKind {
    const WORDS: [(&'static str, AuthorisationKind); 2] = [
        ("annual-release", AuthorisationKind::AnnualRelease),
        ("independent-inspection", AuthorisationKind::IndependentInspection),
    ];
}

const ROLES: &[(&str, &str)] = &[
    ("inspector", mark!("inspector")),
    ("helper", mark!("helper")),
    ("second-inspector", mark!("second-inspector")),
    ("author", mark!("author")),
    ("auditor", mark!("auditor")),
];

impl Authorisation {
    pub fn covers(&self, type_id: &str) -> bool {
        self.types.iter().any(|covered| covered == "*" || covered == type_id)
    }
}

impl People {
    pub fn find(&self, id: &str) -> Option<&Person> {
        self.0.iter().find(|person| person.id == id)
    }
}

/// Reads the register `people.toml`.
pub fn read_people(source: &Arc<Source>) -> Result<People, Vec<Diagnostic>> {
    read_toml(source, |root| {
        let people: Vec<Person> =
            root.tables("person", mark!("a person")).into_iter().filter_map(read_person).collect();
        let mut seen = std::collections::BTreeSet::new();
        for person in &people {
            if !seen.insert(person.id.as_str()) {
                let span = root.span_in_list("person", "id", &person.id, 1);
                root.reject::<()>(
                    "duplicate-id",
                    span,
                    say!("two people are called \"{}\"", person.id),
                    say!("give one of them another id: a second inspection must be by another person"),
                );
            }
        }
        let mut keys = std::collections::BTreeMap::new();
        for person in &people {
            for key in &person.keys {
                if let Some(other) = keys.insert(key.public.as_str(), person.name.as_str()) {
                    let span = root.span_of("person").unwrap_or(0..0);
                    root.reject::<()>(
                        "duplicate-key",
                        span,
                        say!("{other} and {} have the same key", person.name, other = other),
                        say!("give each a key of their own: a second signature must be by another key"),
                    );
                }
            }
        }
        root.finish();
        Some(People(people))
    })
}

fn read_person(table: Table<'_>) -> Option<Person> {
    let (id, name) = (table.required_text("id"), table.required_text("name"));
    let role = table.required_choice("role", ROLES);
    let authorisations = table
        .tables("authorisation", mark!("an authorisation"))
        .into_iter()
        .filter_map(read_authorisation)
        .collect();
    let keys = table.tables("key", mark!("a key")).into_iter().filter_map(read_key).collect();
    table.finish();
    Some(Person { id: id?.value, name: name?.value, role: role?.value.to_string(), authorisations, keys })
}

fn read_key(table: Table<'_>) -> Option<PersonKey> {
    let public = table.required_text("public");
    let valid_from = table.required_date("valid_from");
    let valid_until = table.date("valid_until");
    let ended_because = table.text("ended_because").map(|text| text.value);
    if let Some(public) = &public
        && !public.value.starts_with("ssh-ed25519 ")
    {
        table.reject::<()>(
            "key-form",
            public.span.clone(),
            say!("this is no Ed25519 public key in OpenSSH's form").to_string(),
            say!("it begins with \"ssh-ed25519 AAAA\"; spanwise key new makes one and writes it here"),
        );
    }
    table.finish();
    Some(PersonKey {
        public: public?.value.split_whitespace().take(2).collect::<Vec<_>>().join(" "),
        valid_from: valid_from?.value,
        valid_until: valid_until.map(|date| date.value),
        ended_because,
    })
}

fn read_authorisation(table: Table<'_>) -> Option<Authorisation> {
    let kind = table.required_choice("kind", &AuthorisationKind::WORDS);
    let (number, certificate) = (table.required_text("number"), table.required_text("certificate"));
    let types = table.texts("types").into_iter().map(|word| word.value).collect();
    let valid_until = table.required_date("valid_until");
    table.finish();
    Some(Authorisation {
        kind: kind?.value,
        number: number?.value,
        certificate: certificate?.value,
        types,
        valid_until: valid_until?.value,
    })
}
