//! The register of issued editions, `issued.toml` beside the checklists: what was issued, by whom, with which bytes.
//!
//! Entries are appended, never changed or removed. It shows an edit by mistake, not a forger: whoever can write the file can
//! write its register.

use std::path::Path;
use std::sync::Arc;

use chrono::NaiveDate;
use semver::Version;
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::diagnostic::{Diagnostic, Place, Source};
use crate::source::{Table, read_toml};
use crate::words::date;

/// Name of the register in a folder of checklists.
pub const REGISTER: &str = "issued.toml";
/// Name of a draft in the folder of its checklist.
pub const DRAFT: &str = "draft.toml";

/// Whether a file is a draft by its name. A draft takes part in no plan and is handed on to nobody.
pub fn is_draft(source: &Source) -> bool {
    Path::new(&source.name).file_name().is_some_and(|name| name == DRAFT)
}

/// What stands above the first entry.
const HEAD: &str = "\
# Issued editions of these checklists. `spanwise edition issue` appends to this file; no entry is changed or removed.
# sha256 is that of the file <id>/<version>.toml, byte for byte: an edition that was issued is never edited.
";

/// One issued edition.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Issued {
    pub id: String,
    pub version: Version,
    /// SHA-256 of the file's bytes, lower-case hex.
    pub sha256: String,
    pub on: NaiveDate,
    pub by: String,
    /// Where its entry begins in the register.
    pub at: usize,
}

impl Issued {
    /// `<id>/<version>.toml`
    pub fn file(&self) -> String {
        format!("{}/{}.toml", self.id, self.version)
    }
}

/// Lower-case hex SHA-256 of a file's bytes.
pub fn file_hash(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Reads the register. The error holds every fault in file order.
pub fn read_register(source: &Arc<Source>) -> Result<Vec<Issued>, Vec<Diagnostic>> {
    read_toml(source, |root| {
        let entries =
            root.tables("edition", mark!("an issued edition")).into_iter().filter_map(read_entry).collect();
        let entries = twice(&root, entries);
        root.finish();
        Some(entries)
    })
}

fn read_entry(table: Table<'_>) -> Option<Issued> {
    let id = table.required_text("id");
    let version = table.required_text("version").and_then(|text| match Version::parse(&text.value) {
        Ok(version) => Some(version),
        Err(error) => table.reject(
            "version-form",
            text.span,
            say!("\"{}\" is no version: {error}", text.value, error),
            say!("the register is written by spanwise edition issue; put its last good copy back"),
        ),
    });
    let sha256 = table.required_text("sha256").and_then(|text| {
        let is_hash = text.value.len() == 64 && text.value.bytes().all(|byte| byte.is_ascii_hexdigit());
        if is_hash {
            return Some(text.value.to_lowercase());
        }
        table.reject(
            "hash-form",
            text.span,
            say!("this is no SHA-256"),
            say!("64 hexadecimal digits; put the register's last good copy back"),
        )
    });
    let on = table.required_date("on");
    let by = table.required_text("by");
    let at = table.span().start;
    table.finish();
    Some(Issued { id: id?.value, version: version?, sha256: sha256?, on: on?.value, by: by?.value, at })
}

/// One edition has one entry.
fn twice(root: &Table<'_>, entries: Vec<Issued>) -> Vec<Issued> {
    for (at, entry) in entries.iter().enumerate() {
        if entries[..at].iter().any(|other| other.id == entry.id && other.version == entry.version) {
            root.reject::<()>(
                "issued-twice",
                entry.at..entry.at,
                say!("{} {} is entered twice", entry.id, entry.version),
                say!("an edition is issued once; put the register's last good copy back"),
            );
        }
    }
    entries
}

/// The register's text with one more entry at its end; what stands there stays byte for byte.
pub fn with_entry(register: &str, entry: &Issued) -> String {
    let mut text = if register.is_empty() { HEAD.to_string() } else { register.to_string() };
    if !text.ends_with('\n') {
        text.push('\n');
    }
    // Names are quoted by the TOML library: a person's may hold anything.
    let quoted = |text: &str| toml::Value::String(text.to_string()).to_string();
    text.push_str(&format!(
        "\n[[edition]]\nid = {}\nversion = \"{}\"\nsha256 = \"{}\"\non = {}\nby = {}\n",
        quoted(&entry.id),
        entry.version,
        entry.sha256,
        entry.on,
        quoted(&entry.by)
    ));
    text
}

/// How a registered edition's file stands to its entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "standing")]
pub enum Kept {
    AsIssued,
    /// Its bytes are others now.
    Altered {
        sha256_now: String,
    },
    Missing,
}

/// Looks an issued edition's file up among the sources of its folder.
pub fn kept(entry: &Issued, sources: &[Arc<Source>]) -> Kept {
    match sources.iter().find(|source| is_file(source, entry)) {
        None => Kept::Missing,
        Some(source) => {
            let now = file_hash(&source.text);
            if now == entry.sha256 { Kept::AsIssued } else { Kept::Altered { sha256_now: now } }
        }
    }
}

fn is_file(source: &Source, entry: &Issued) -> bool {
    let name = source.name.replace('\\', "/");
    let name = name.strip_prefix("built in: ").unwrap_or(&name);
    let wanted = entry.file();
    name == wanted || name.ends_with(&format!("/{wanted}"))
}

/// A fault for every issued edition whose file is no longer what was issued.
pub fn check_kept(register: &Arc<Source>, entries: &[Issued], sources: &[Arc<Source>]) -> Vec<Diagnostic> {
    let next = say!(
        "an issued edition is never edited: put its file back as it was issued, and make the change in a draft: \
                spanwise edition draft"
    );
    let fault = |entry: &Issued| match kept(entry, sources) {
        Kept::AsIssued => None,
        Kept::Missing => {
            let place = Place::new(register, entry.at..entry.at);
            let message = say!("{} was issued on {} and its file is missing", entry.file(), date(entry.on));
            Some(
                Diagnostic::new("issued-missing", place, message)
                    .hint(say!("put the file back; an edition may be superseded, never removed")),
            )
        }
        Kept::Altered { sha256_now } => {
            let source = sources.iter().find(|source| is_file(source, entry)).unwrap_or(register);
            let message = say!(
                "{} was altered after it was issued on {} by {}: its sha256 is {sha256_now}, and was {}",
                entry.file(),
                date(entry.on),
                entry.by,
                entry.sha256,
                sha256_now
            );
            let place = Place::new(source, 0..0);
            let entered = Place::new(register, entry.at..entry.at);
            Some(
                Diagnostic::new("issued-altered", place, message)
                    .related(entered, say!("entered here"))
                    .hint(next),
            )
        }
    };
    entries.iter().filter_map(fault).collect()
}
