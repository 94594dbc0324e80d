//! What the signature is made over.

use chrono::NaiveDate;
use semver::Version;
use serde::{Deserialize, Serialize};

use super::{FIRST_LINE, MAX_BYTES, MAX_EDITION_BYTES, MAX_EDITIONS, MAX_HEADER_BYTES, PackFault};
use crate::journal::hash::Hash;
use crate::seal::PACK;
use crate::vocabulary::is_id;

/// The pack format that this program reads and writes.
pub const FORMAT: u32 = 1;

/// Ids, versions and the pack's name become names of files: short enough for every system.
const MAX_NAME: usize = 64;
const MAX_PERSON: usize = 120;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Header {
    pub format: u32,
    /// The signature's namespace, so that the signed text says what it was signed as.
    pub purpose: String,
    pub name: String,
    /// On the author's calendar, by the author's word: nothing else shows when a pack was signed.
    pub made_on: NaiveDate,
    pub author: Author,
    /// `ssh-ed25519 AAAA…`, without a comment.
    pub key: String,
    /// In the order of their ids and versions, which is the order of their bytes.
    pub editions: Vec<Listed>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Author {
    pub id: String,
    pub name: String,
}

/// One edition as the header lists it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Listed {
    pub id: String,
    pub version: String,
    pub kind: String,
    /// SHA-256 of its bytes, 64 lower-case hexadecimal characters.
    pub sha256: String,
    pub bytes: u64,
}

impl Listed {
    /// `<id>/<version>.toml`, made of checked words alone.
    pub fn path(&self) -> String {
        format!("{}/{}.toml", self.id, self.version)
    }

    /// The line before its bytes.
    pub(super) fn line(&self) -> String {
        format!("== {}, {} bytes\n", self.path(), self.bytes)
    }
}

impl Header {
    /// The signed text: canonical JSON and a line end, as it stands in the pack's second line.
    ///
    /// # Errors
    /// It cannot be written; with texts and small numbers alone that does not happen.
    pub fn text(&self) -> Result<Vec<u8>, PackFault> {
        let mut text = serde_json_canonicalizer::to_vec(self)
            .map_err(|error| PackFault::Header(say!("it cannot be written: {error}", error)))?;
        text.push(b'\n');
        Ok(text)
    }

    /// The length of a pack with this header and a signature of that length, in bytes.
    pub(super) fn whole_length(&self, header: usize, signature: usize) -> u64 {
        let editions: u64 = self.editions.iter().map(|one| one.line().len() as u64 + one.bytes + 1).sum();
        FIRST_LINE.len() as u64 + 1 + (header + signature) as u64 + editions
    }

    /// Whether everything in it is in bounds and in form. Says nothing about the signature.
    pub(super) fn check(&self) -> Result<(), PackFault> {
        let wrong = |why: String| Err(PackFault::Header(why));
        if self.format != FORMAT {
            return wrong(say!("this program reads pack format {FORMAT}, not {}", self.format, FORMAT));
        }
        if self.purpose != PACK {
            return wrong(say!("it is signed as \"{}\", not as \"{PACK}\"", shown(&self.purpose), PACK));
        }
        if !is_pack_name(&self.name) {
            return wrong(say!("\"{}\" cannot be the name of a pack", shown(&self.name)));
        }
        if !is_person_id(&self.author.id) || !is_plain(&self.author.name) {
            return wrong(say!("the author's id or name has characters that cannot stand there").to_string());
        }
        if self.editions.is_empty() || self.editions.len() > MAX_EDITIONS {
            return wrong(say!(
                "it lists {} editions; 1 to {MAX_EDITIONS} can stand in a pack",
                self.editions.len(),
                MAX_EDITIONS
            ));
        }
        self.editions.iter().try_for_each(check_listed)?;
        self.check_order()?;
        let text = self.text()?.len();
        if text > MAX_HEADER_BYTES {
            return wrong(say!("it has {text} bytes, more than {MAX_HEADER_BYTES}", text, MAX_HEADER_BYTES));
        }
        // Each length is bounded, so that the sum cannot overflow.
        let whole = self.whole_length(text, 0);
        if whole > MAX_BYTES {
            return wrong(say!("the pack would have {whole} bytes, more than {MAX_BYTES}", whole, MAX_BYTES));
        }
        Ok(())
    }

    /// Rising, so that one list of editions has one form, and none stands twice.
    fn check_order(&self) -> Result<(), PackFault> {
        let key = |one: &Listed| (one.id.clone(), Version::parse(&one.version).ok());
        match self.editions.windows(2).find(|two| key(&two[0]) >= key(&two[1])) {
            None => Ok(()),
            Some(two) => Err(PackFault::Header(say!("{} stands out of order", two[1].path()))),
        }
    }
}

fn check_listed(one: &Listed) -> Result<(), PackFault> {
    let wrong = |why: String| Err(PackFault::Header(why));
    // Nothing that could lead out of a folder passes: ids are lower-case words joined by "-", versions are three
    // numbers with words of letters, digits, "." and "-" after them.
    if one.id.len() > MAX_NAME || !is_id(&one.id, &['-']) {
        return wrong(say!("\"{}\" cannot be the id of a checklist", shown(&one.id)));
    }
    let in_form = Version::parse(&one.version).is_ok_and(|version| version.to_string() == one.version);
    if one.version.len() > MAX_NAME || !in_form {
        return wrong(say!("\"{}\" cannot be a version of {}", shown(&one.version), one.id));
    }
    if !["programme", "supplement", "module"].contains(&one.kind.as_str()) {
        return wrong(say!("\"{}\" is no kind of checklist", shown(&one.kind)));
    }
    if one.sha256.parse::<Hash>().is_err() {
        return wrong(say!("the hash of {} is no SHA-256", one.path()));
    }
    if one.bytes == 0 || one.bytes > MAX_EDITION_BYTES {
        return wrong(say!(
            "{} has {} bytes; 1 to {MAX_EDITION_BYTES} are read",
            one.path(),
            one.bytes,
            MAX_EDITION_BYTES
        ));
    }
    Ok(())
}

/// Lower-case words joined by "-", up to 64 characters: it becomes a part of a folder's name.
pub fn is_pack_name(name: &str) -> bool {
    name.len() <= MAX_NAME && is_id(name, &['-'])
}

fn is_person_id(id: &str) -> bool {
    !id.is_empty()
        && id.len() <= MAX_NAME
        && id.chars().all(|c| c.is_ascii_alphanumeric() || "-_.@".contains(c))
}

/// Nothing that would act on a terminal or turn the order of reading.
fn is_plain(text: &str) -> bool {
    let acts = |c: char| {
        c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
    };
    !text.trim().is_empty() && text.len() <= MAX_PERSON && !text.chars().any(acts)
}

/// A word of a pack that may be hostile, for a message.
pub(super) fn shown(text: &str) -> String {
    text.chars().take(40).flat_map(char::escape_default).collect()
}
