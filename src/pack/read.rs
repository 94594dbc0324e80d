//! Bytes → a pack whose every byte is what its author signed, or all that is wrong with it.

use super::{FIRST_LINE, Header, Listed, MAX_BYTES, MAX_HEADER_BYTES, PackFault};
use crate::event::Seal;
use crate::journal::hash::sha256;
use crate::seal::{KeyId, check_pack};

/// A pack that is whole and signed by the key that it names. Whose key that is tells [`super::standing`].
#[derive(Debug, Clone)]
pub struct Pack {
    pub header: Header,
    pub seal: Seal,
    pub key: KeyId,
    /// SHA-256 of the whole pack: of one pack there is one form.
    pub sha256: String,
    /// The bytes of the editions, in the header's order.
    pub files: Vec<Vec<u8>>,
}

const SIGNATURE_BEGINS: &[u8] = b"-----BEGIN SSH SIGNATURE-----\n";
const SIGNATURE_ENDS: &[u8] = b"\n-----END SSH SIGNATURE-----\n";
/// An Ed25519 signature in OpenSSH's form has about 300 bytes.
const MAX_SIGNATURE: usize = 2048;

/// Reads a pack and checks all of it.
///
/// # Errors
/// Everything that is wrong: a broken head tells nothing about the editions, an altered edition is named.
pub fn open(bytes: &[u8]) -> Result<Pack, Vec<PackFault>> {
    let (header, seal, key, at) = read_head(bytes).map_err(|fault| vec![fault])?;
    let files = read_editions(&header, &bytes[at..])?;
    Ok(Pack { header, seal, key, sha256: sha256(bytes).to_string(), files })
}

/// Header and signature, and where the editions begin.
fn read_head(bytes: &[u8]) -> Result<(Header, Seal, KeyId, usize), PackFault> {
    if bytes.len() as u64 > MAX_BYTES {
        return Err(PackFault::TooLarge);
    }
    let rest = match bytes.strip_prefix(FIRST_LINE.as_bytes()) {
        Some([b'\n', rest @ ..]) => rest,
        Some([b'\r', ..]) => return Err(PackFault::LineEnds),
        Some([]) => return Err(PackFault::Truncated { missing: 0, first: None }),
        _ if !bytes.is_empty() && FIRST_LINE.as_bytes().starts_with(bytes) => {
            return Err(PackFault::Truncated { missing: 0, first: None });
        }
        _ => return Err(PackFault::NoPack),
    };
    let short = PackFault::Truncated { missing: 0, first: None };
    let end = rest.iter().take(MAX_HEADER_BYTES).position(|byte| *byte == b'\n');
    let Some(end) = end else {
        let is_long = rest.len() >= MAX_HEADER_BYTES;
        return Err(if is_long { PackFault::Header(say!("it has no end").to_string()) } else { short });
    };
    let (line, after) = rest.split_at(end + 1);
    let header = read_header(line)?;
    let signature = read_signature(after)?;
    let seal = Seal { key: header.key.clone(), signature: signature.to_string() };
    let key = check_pack(line, &seal).map_err(PackFault::Signature)?;
    let at = FIRST_LINE.len() + 1 + line.len() + signature.len();
    Ok((header, seal, key, at))
}

fn read_header(line: &[u8]) -> Result<Header, PackFault> {
    let header: Header =
        serde_json::from_slice(line).map_err(|error| PackFault::Header(error.to_string()))?;
    header.check()?;
    if header.text()? != line {
        return Err(PackFault::Header(say!("it is not in the form in which it was made").to_string()));
    }
    Ok(header)
}

fn read_signature(after: &[u8]) -> Result<&str, PackFault> {
    let head = &after[..after.len().min(MAX_SIGNATURE)];
    if !head.starts_with(SIGNATURE_BEGINS) && !SIGNATURE_BEGINS.starts_with(head) {
        return Err(PackFault::Header(say!("the signature does not stand behind it").to_string()));
    }
    let ends = head.windows(SIGNATURE_ENDS.len()).position(|part| part == SIGNATURE_ENDS);
    let Some(ends) = ends else { return Err(PackFault::Truncated { missing: 0, first: None }) };
    std::str::from_utf8(&head[..ends + SIGNATURE_ENDS.len()])
        .map_err(|_| PackFault::Header(say!("the signature is no text").to_string()))
}

fn read_editions(header: &Header, bytes: &[u8]) -> Result<Vec<Vec<u8>>, Vec<PackFault>> {
    let (mut files, mut faults, mut rest) = (Vec::new(), Vec::new(), bytes);
    let wanted = header.whole_length(0, 0) - FIRST_LINE.len() as u64 - 1;
    let found = bytes.len() as u64;
    for listed in &header.editions {
        let line = listed.line();
        let length = line.len() + listed.bytes as usize + 1;
        let Some((part, after)) = rest.split_at_checked(length) else {
            let missing = wanted.saturating_sub(found);
            faults.push(PackFault::Truncated { missing, first: Some(listed.path()) });
            return Err(faults);
        };
        rest = after;
        match edition_in(part, &line, listed) {
            Some(file) => files.push(file.to_vec()),
            None => {
                faults.push(PackFault::Altered { edition: listed.path() });
                // With bytes put in or taken out all that follows has moved: it would be called altered, too.
                if found != wanted {
                    break;
                }
            }
        }
    }
    if found > wanted {
        faults.push(PackFault::TooLong { extra: found - wanted });
    } else if found < wanted {
        faults.push(PackFault::Truncated { missing: wanted - found, first: first_of(&faults) });
    }
    if faults.is_empty() { Ok(files) } else { Err(faults) }
}

fn edition_in<'b>(part: &'b [u8], line: &str, listed: &Listed) -> Option<&'b [u8]> {
    let file = part.strip_prefix(line.as_bytes())?.strip_suffix(b"\n")?;
    (sha256(file).to_string() == listed.sha256).then_some(file)
}

fn first_of(faults: &[PackFault]) -> Option<String> {
    faults.iter().find_map(|fault| match fault {
        PackFault::Altered { edition } => Some(edition.clone()),
        _ => None,
    })
}
