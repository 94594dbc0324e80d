//! Editions → the bytes of a signed pack.

use chrono::NaiveDate;

use super::{Author, FIRST_LINE, FORMAT, Header, Listed, PackFault, open};
use crate::checklist::Checklist;
use crate::journal::hash::sha256;
use crate::seal::{PACK, SealFault, SecretKey, sign_pack};

/// What is to be packed: editions that were read without fault, whose source text is their exact content.
#[derive(Debug)]
pub struct Draft<'a> {
    pub name: &'a str,
    pub made_on: NaiveDate,
    pub author: Author,
    pub editions: Vec<&'a Checklist>,
}

/// Makes a pack and reads it back before it is handed out.
///
/// # Errors
/// Too much for one pack, a name that cannot stand in one, or a key that cannot sign.
pub fn make(draft: Draft<'_>, key: &SecretKey) -> Result<Vec<u8>, Vec<PackFault>> {
    let Draft { name, made_on, author, mut editions } = draft;
    editions.sort_by(|a, b| (&a.id.value, &a.version.value).cmp(&(&b.id.value, &b.version.value)));
    let listed = editions.iter().map(|edition| list(edition)).collect();
    let header = Header {
        format: FORMAT,
        purpose: PACK.to_string(),
        name: name.to_string(),
        made_on,
        author,
        key: key.public_line().to_string(),
        editions: listed,
    };
    header.check().map_err(|fault| vec![fault])?;
    let text = header.text().map_err(|fault| vec![fault])?;
    let seal = sign_pack(&text, key)
        .map_err(|error| vec![PackFault::Signature(SealFault::KeyUnreadable(error.to_string()))])?;
    let mut bytes = format!("{FIRST_LINE}\n").into_bytes();
    bytes.extend_from_slice(&text);
    bytes.extend_from_slice(seal.signature.as_bytes());
    for (listed, edition) in header.editions.iter().zip(&editions) {
        bytes.extend_from_slice(listed.line().as_bytes());
        bytes.extend_from_slice(edition.source.text.as_bytes());
        bytes.push(b'\n');
    }
    open(&bytes)?;
    Ok(bytes)
}

fn list(edition: &Checklist) -> Listed {
    let text = edition.source.text.as_bytes();
    Listed {
        id: edition.id.value.clone(),
        version: edition.version.value.to_string(),
        kind: edition.kind.word().to_string(),
        sha256: sha256(text).to_string(),
        bytes: text.len() as u64,
    }
}
