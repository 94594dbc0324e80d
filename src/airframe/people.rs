//! Who may do what: the people register.

use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::diagnostic::{Diagnostic, Source};
use crate::source::{Table, read_toml};

#[derive(Debug, Clone, Default)]
pub struct People(pub Vec<Person>);

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    pub id: String,
    pub name: String,
    pub role: String,
    pub authorisations: Vec<Authorisation>,
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
    ("inspector", "inspector"),
    ("helper", "helper"),
    ("second-inspector", "second-inspector"),
    ("author", "author"),
    ("auditor", "auditor"),
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
            root.tables("person", "a person").into_iter().filter_map(read_person).collect();
        let mut seen = std::collections::BTreeSet::new();
        for person in &people {
            if !seen.insert(person.id.as_str()) {
                let span = root.span_of("person").unwrap_or(0..0);
                root.reject::<()>(
                    "duplicate-id",
                    span,
                    format!("two people are called \"{}\"", person.id),
                    "give one of them another id: a second inspection must be by another person",
                );
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
        .tables("authorisation", "an authorisation")
        .into_iter()
        .filter_map(read_authorisation)
        .collect();
    table.finish();
    Some(Person { id: id?.value, name: name?.value, role: role?.value.to_string(), authorisations })
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
