//! The short code for paper: 125 bits of a hash in base32, with two check digits.
//!
//! Printed or written by hand on the worksheet, it fixes everything before it by ink. The check digits only
//! tell a slip of the pen from a real difference; the 25 characters carry the proof.

use std::fmt;
use std::str::FromStr;

use super::hash::Hash;

const BODY_LEN: usize = 25;
const GROUP: usize = 5;
const BASE32: &[u8; 32] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
/// Alphabet of ISO 7064 MOD 37-2; a character's place is its value.
const MOD_37: &[u8; 37] = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";

/// The first 25 base32 characters of a hash (RFC 4648). Shown in five groups with the check digits after them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShortCode([u8; BODY_LEN]);

/// Why a typed code cannot be read: a slip, to be typed again. It says nothing about the record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TypingSlip {
    Length { found: usize },
    Character { position: usize, found: char },
    CheckDigits { typed: u8, computed: u8 },
}

/// The outcome of comparing a typed code with a record that does not agree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CodeMismatch {
    Slip(TypingSlip),
    /// The code was typed rightly and belongs to another record.
    Different {
        on_paper: ShortCode,
        in_record: ShortCode,
    },
}

impl ShortCode {
    /// The code of a line's hash.
    pub fn of(hash: &Hash) -> Self {
        let text = base32(&hash.0);
        let mut body = [0; BODY_LEN];
        body.copy_from_slice(&text.as_bytes()[..BODY_LEN]);
        ShortCode(body)
    }

    /// The code of a hash as the record keeps it (64 hexadecimal characters); `None` where it is none.
    pub fn of_text(hash: &str) -> Option<Self> {
        hash.parse().ok().map(|hash| ShortCode::of(&hash))
    }

    /// ISO 7064 MOD 37-2 check value of the 25 characters, 0 to 36.
    pub fn check_value(&self) -> u8 {
        mod_37_2(self.0.iter().map(|c| place(MOD_37, *c).unwrap_or(0)))
    }
}

/// Compares what was typed from paper with a record's hash.
///
/// # Errors
/// A slip (type again), or a real difference (the record is not the one on paper).
pub fn compare(typed: &str, hash: &Hash) -> Result<(), CodeMismatch> {
    let on_paper: ShortCode = typed.parse().map_err(CodeMismatch::Slip)?;
    let in_record = ShortCode::of(hash);
    if on_paper == in_record { Ok(()) } else { Err(CodeMismatch::Different { on_paper, in_record }) }
}

/// RFC 4648 base32 with padding.
pub fn base32(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(5) * 8);
    for block in bytes.chunks(5) {
        let mut wide = [0; 8];
        wide[3..3 + block.len()].copy_from_slice(block);
        let bits = u64::from_be_bytes(wide);
        let used = (block.len() * 8).div_ceil(5);
        for i in 0..8 {
            let letter = BASE32[(bits >> (35 - 5 * i) & 31) as usize];
            text.push(if i < used { char::from(letter) } else { '=' });
        }
    }
    text
}

/// ISO 7064 MOD 37-2 check value of capital letters and digits, 0 to 36; other signs count as 0.
pub fn check_value_of(letters: impl Iterator<Item = u8>) -> u8 {
    mod_37_2(letters.map(|c| place(MOD_37, c).unwrap_or(0)))
}

/// ISO/IEC 7064, pure system MOD 37-2: the value that makes the weighted sum 1 modulo 37.
fn mod_37_2(values: impl Iterator<Item = u8>) -> u8 {
    let sum = values.fold(0u32, |sum, value| (sum + u32::from(value)) * 2 % 37);
    ((38 - sum) % 37) as u8
}

fn place(alphabet: &[u8], character: u8) -> Option<u8> {
    alphabet.iter().position(|c| *c == character).map(|at| at as u8)
}

impl fmt::Display for ShortCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for group in self.0.chunks(GROUP) {
            for character in group {
                write!(f, "{}", char::from(*character))?;
            }
            write!(f, "-")?;
        }
        write!(f, "{:02}", self.check_value())
    }
}

impl FromStr for ShortCode {
    type Err = TypingSlip;

    /// Drops spaces and hyphens, folds case, and reads look-alikes as what can stand there: 0, 1, 8 as
    /// O, I, B in the body, and the reverse in the two check digits.
    fn from_str(typed: &str) -> Result<Self, TypingSlip> {
        let kept: Vec<(usize, char)> =
            typed.chars().enumerate().filter(|(_, c)| !c.is_whitespace() && !is_dash(*c)).collect();
        if kept.len() != BODY_LEN + 2 {
            return Err(TypingSlip::Length { found: kept.len() });
        }
        let mut body = [0; BODY_LEN];
        for (slot, (at, c)) in body.iter_mut().zip(&kept) {
            let folded = fold(*c, [('0', 'O'), ('1', 'I'), ('8', 'B')]);
            *slot = u8::try_from(folded)
                .ok()
                .filter(|byte| BASE32.contains(byte))
                .ok_or(TypingSlip::Character { position: at + 1, found: *c })?;
        }
        let mut check = 0;
        for (at, c) in &kept[BODY_LEN..] {
            let folded = fold(*c, [('O', '0'), ('I', '1'), ('B', '8')]);
            let digit = folded.to_digit(10).ok_or(TypingSlip::Character { position: at + 1, found: *c })?;
            check = check * 10 + digit as u8;
        }
        let code = ShortCode(body);
        match code.check_value() {
            computed if computed == check => Ok(code),
            computed => Err(TypingSlip::CheckDigits { typed: check, computed }),
        }
    }
}

fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

fn fold(c: char, pairs: [(char, char); 3]) -> char {
    let upper = c.to_ascii_uppercase();
    pairs.iter().find(|(from, _)| *from == upper).map_or(upper, |(_, to)| *to)
}

impl fmt::Display for TypingSlip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TypingSlip::Length { found } => write!(
                f,
                "the code has 25 characters and 2 check digits, but {found} characters were typed; type it again"
            ),
            TypingSlip::Character { position, found } => {
                write!(f, "{found:?} at place {position} cannot stand in a code; type it again")
            }
            TypingSlip::CheckDigits { typed, computed } => write!(
                f,
                "a slip of the pen or key: the check digits read {typed:02}, the characters give {computed:02}; compare \
                 each group with the paper and type it again"
            ),
        }
    }
}

impl fmt::Display for CodeMismatch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CodeMismatch::Slip(slip) => slip.fmt(f),
            CodeMismatch::Different { on_paper, in_record } => write!(
                f,
                "the code on paper ({on_paper}) was typed rightly but this record's code is {in_record}: it is not the \
                 record that the paper fixes"
            ),
        }
    }
}

impl std::error::Error for TypingSlip {}
impl std::error::Error for CodeMismatch {}

#[cfg(test)]
mod tests {
    use super::super::hash::sha256;
    use super::*;

    /// RFC 4648 section 10.
    #[test]
    fn base32_published() {
        let cases = [
            ("", ""),
            ("f", "MY======"),
            ("fo", "MZXQ===="),
            ("foo", "MZXW6==="),
            ("foob", "MZXW6YQ="),
            ("fooba", "MZXW6YTB"),
            ("foobar", "MZXW6YTBOI======"),
        ];
        for (input, encoded) in cases {
            assert_eq!(base32(input.as_bytes()), encoded);
        }
    }

    /// ISO 7064 MOD 37-2; computed with python-stdnum 2.2 and a second implementation.
    #[test]
    fn mod_37_2_published() {
        let cases = [
            ("A12425GABC1234002", '5'),
            ("4OYMIQUY7QOBJGX36TEJS35ZE", 'B'),
            ("XJ4BNP4PAHH6UQKBIDPF3LRCE", 'I'),
        ];
        for (input, check) in cases {
            let value = mod_37_2(input.bytes().map(|c| place(MOD_37, c).unwrap()));
            assert_eq!(char::from(MOD_37[usize::from(value)]), check);
        }
    }

    /// Own format, values from an independent implementation (Python, hashlib and base64).
    #[test]
    fn whole_codes() {
        for (message, printed) in
            [("", "4OYMI-QUY7Q-OBJGX-36TEJ-S35ZE-11"), ("abc", "XJ4BN-P4PAH-H6UQK-BIDPF-3LRCE-18")]
        {
            let hash = sha256(message.as_bytes());
            assert_eq!(ShortCode::of(&hash).to_string(), printed);
            assert_eq!(compare(printed, &hash), Ok(()));
            assert_eq!(compare(&printed.to_lowercase().replace('-', " "), &hash), Ok(()));
            let looks = printed[..29].replace('O', "0").replace('I', "1").replace('B', "8") + &printed[29..];
            assert_eq!(compare(&looks.replace("-11", "-I1"), &hash), Ok(()));
        }
    }

    #[test]
    fn slip_or_difference() {
        let (hash, other) = (sha256(b"abc"), sha256(b""));
        let right = ShortCode::of(&hash).to_string();
        assert!(matches!(compare(&right, &other), Err(CodeMismatch::Different { .. })));
        assert!(matches!(
            compare(&right[1..], &hash),
            Err(CodeMismatch::Slip(TypingSlip::Length { found: 26 }))
        ));
        let typed = right.replacen('X', "9", 1);
        let expected = CodeMismatch::Slip(TypingSlip::Character { position: 1, found: '9' });
        assert_eq!(compare(&typed, &hash), Err(expected));
        assert!(compare("", &hash).is_err());
        assert!(compare(&"ß".repeat(27), &hash).is_err());
    }

    /// Every single wrong character, neighbour swap and jump swap is called a slip.
    #[test]
    fn common_slips_are_caught() {
        for message in ["", "abc", "spanwise"] {
            let hash = sha256(message.as_bytes());
            let right: Vec<u8> = ShortCode::of(&hash).to_string().replace('-', "").into_bytes();
            let slipped = |typed: Vec<u8>| {
                let typed = String::from_utf8(typed).unwrap();
                matches!(compare(&typed, &hash), Err(CodeMismatch::Slip(TypingSlip::CheckDigits { .. })))
            };
            for at in 0..BODY_LEN {
                for letter in BASE32.iter().filter(|l| **l != right[at]) {
                    let mut typed = right.clone();
                    typed[at] = *letter;
                    assert!(slipped(typed));
                }
                for step in [1, 2] {
                    if at + step < BODY_LEN && right[at] != right[at + step] {
                        let mut typed = right.clone();
                        typed.swap(at, at + step);
                        assert!(slipped(typed));
                    }
                }
            }
        }
    }
}
