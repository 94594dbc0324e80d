//! Checklist packs: as they come, and with a header of any content that is signed, which an author may hand in.

use chrono::NaiveDate;
use spanwise::checklist::read_checklist;
use spanwise::diagnostic::Source;
use spanwise::pack::{Author, Draft, FIRST_LINE, Pack, checklists, make, open, standing};
use spanwise::seal::{SecretKey, sign_pack};

use super::{Target, tell};
use crate::support::{MODULE, PEOPLE, PROGRAMME, key_of};

pub fn targets() -> Vec<Target> {
    vec![
        Target::new("pack", 1_000, plain).seeds(seeds).tokens_from_seeds(),
        Target::new("pack-signed", 600, signed).seeds(unsigned_seeds).tokens_from_seeds(),
    ]
}

fn key() -> SecretKey {
    key_of("fuzzing")
}

fn plain(input: &[u8]) -> bool {
    match open(input) {
        Ok(pack) => use_it(&pack),
        Err(faults) => {
            assert!(!faults.is_empty() && faults.iter().all(|fault| !fault.to_string().is_empty()));
            false
        }
    }
}

/// The first line is signed as a header, whatever it says; the rest stands behind the signature.
fn signed(input: &[u8]) -> bool {
    let end = input.iter().position(|byte| *byte == b'\n').map_or(input.len(), |at| at + 1);
    let (header, rest) = input.split_at(end);
    let Ok(seal) = sign_pack(header, &key()) else { return false };
    let pack = [FIRST_LINE.as_bytes(), b"\n", header, seal.signature.as_bytes(), rest].concat();
    plain(&pack)
}

fn use_it(pack: &Pack) -> bool {
    let people = spanwise::airframe::read_people(&Source::new("people.toml", PEOPLE)).unwrap_or_default();
    let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap_or_default();
    assert!(!standing(pack, &people, day).sentence(pack).is_empty());
    for listed in &pack.header.editions {
        let path = listed.path();
        assert!(!path.contains("..") && !path.starts_with('/') && path.matches('/').count() == 1, "{path}");
        assert!(path.chars().all(|c| c.is_ascii_alphanumeric() || "-.+/".contains(c)), "{path}");
    }
    if let Err(faults) = checklists(pack, "fuzz.pack") {
        tell(&faults);
    }
    true
}

fn seeds() -> Vec<Vec<u8>> {
    let read =
        |name: &str, text: &str| read_checklist(&Source::new(name, text)).map_err(|faults| faults.len()).ok();
    let editions: Vec<_> = [read("small/1.0.0.toml", PROGRAMME), read("tail/1.0.0.toml", MODULE)]
        .into_iter()
        .flatten()
        .collect();
    let author = Author { id: "ada".to_string(), name: "Ada Quill".to_string() };
    let made_on = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap_or_default();
    let draft = |editions| Draft { name: "small-pack", made_on, author: author.clone(), editions };
    let all = make(draft(editions.iter().collect()), &key());
    let one = make(draft(editions.iter().take(1).collect()), &key());
    [all, one].into_iter().flatten().collect()
}

fn unsigned_seeds() -> Vec<Vec<u8>> {
    let strip = |pack: &Vec<u8>| {
        let text = String::from_utf8_lossy(pack).into_owned();
        let (_, rest) = text.split_once('\n')?;
        let (header, rest) = rest.split_once('\n')?;
        let (_, editions) = rest.split_once("-----END SSH SIGNATURE-----\n")?;
        Some(format!("{header}\n{editions}").into_bytes())
    };
    seeds().iter().filter_map(strip).collect()
}
