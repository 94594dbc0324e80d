//! The code that stands on paper.

use spanwise::journal::short_code::compare;
use spanwise::journal::{Hash, ShortCode, sha256};

use super::{Target, text};

pub fn target() -> Target {
    Target::new("code", 4_000, run)
        .seeds(seeds)
        .tokens(|| "Ø ı ſ K ０ Ａ ١ \u{2010} \u{a0} O0 I1 B8".split(' ').map(String::from).collect())
}

fn run(input: &[u8]) -> bool {
    let typed = text(input);
    if let Err(why) = compare(&typed, &Hash::ZERO) {
        assert!(!why.to_string().is_empty());
    }
    match typed.parse::<ShortCode>() {
        Ok(code) => {
            assert_eq!(code.to_string().parse(), Ok(code), "a code reads back as printed");
            true
        }
        Err(slip) => slip.to_string().is_empty(),
    }
}

fn seeds() -> Vec<Vec<u8>> {
    let codes = [sha256(b"one"), sha256(b"two"), Hash::ZERO].map(|hash| ShortCode::of(&hash).to_string());
    let plain = codes[0].replace('-', " ").to_lowercase();
    codes.into_iter().chain([plain]).map(String::into_bytes).collect()
}
