//! Canonical JSON: the subset of RFC 8785 in which one value has exactly one byte string.
//!
//! Two traps of the standard are left out rather than handled: floating-point numbers (measured values are
//! decimal strings as typed, so trailing zeros survive) and keys beyond ASCII (so UTF-16 order is byte order).

use std::fmt;

use serde_json::Value;

/// Integers must be smaller than this in absolute value (2^53): beyond it, readers that hold numbers as
/// IEEE 754 doubles disagree (RFC 8785, appendix B; RFC 7493 section 2.2).
pub const INTEGER_BOUND: u64 = 1 << 53;

/// Deepest nesting accepted. The JSON reader stops at 128; staying well below keeps every written line readable.
pub const MAX_DEPTH: usize = 64;

/// Why a value has no canonical form here, and where in it (such as `.readings[2].mass`).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CanonicalError {
    pub at: String,
    pub why: NotCanonicalizable,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotCanonicalizable {
    Float(String),
    IntegerTooLarge(String),
    Key(String),
    TooDeep,
    Serializer(String),
}

/// The canonical bytes of a value.
///
/// # Errors
/// Floats, integers of 2^53 or more in absolute value, keys that are empty or not `a-z 0-9 _`, and nesting
/// deeper than [`MAX_DEPTH`].
pub fn canonical(value: &Value) -> Result<Vec<u8>, CanonicalError> {
    check(value, 0)?;
    full_rfc8785(value)
}

fn full_rfc8785(value: &Value) -> Result<Vec<u8>, CanonicalError> {
    serde_json_canonicalizer::to_vec(value)
        .map_err(|e| CanonicalError { at: String::new(), why: NotCanonicalizable::Serializer(e.to_string()) })
}

/// Whether a text may be a key (or an event kind): one or more of `a-z 0-9 _`.
pub fn is_plain_key(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'_'))
}

fn check(value: &Value, depth: usize) -> Result<(), CanonicalError> {
    if depth > MAX_DEPTH {
        return Err(here(NotCanonicalizable::TooDeep));
    }
    match value {
        Value::Null | Value::Bool(_) | Value::String(_) => Ok(()),
        Value::Number(number) => check_number(number),
        Value::Array(items) => items
            .iter()
            .enumerate()
            .try_for_each(|(i, item)| check(item, depth + 1).map_err(|e| under(format!("[{i}]"), e))),
        Value::Object(members) => members.iter().try_for_each(|(key, member)| {
            if !is_plain_key(key) {
                return Err(here(NotCanonicalizable::Key(key.clone())));
            }
            check(member, depth + 1).map_err(|e| under(format!(".{key}"), e))
        }),
    }
}

fn check_number(number: &serde_json::Number) -> Result<(), CanonicalError> {
    let magnitude = number.as_u64().or_else(|| number.as_i64().map(i64::unsigned_abs));
    match magnitude {
        None => Err(here(NotCanonicalizable::Float(number.to_string()))),
        Some(m) if m >= INTEGER_BOUND => Err(here(NotCanonicalizable::IntegerTooLarge(number.to_string()))),
        Some(_) => Ok(()),
    }
}

fn here(why: NotCanonicalizable) -> CanonicalError {
    CanonicalError { at: String::new(), why }
}

fn under(step: String, mut error: CanonicalError) -> CanonicalError {
    error.at.insert_str(0, &step);
    error
}

impl fmt::Display for CanonicalError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.why {
            NotCanonicalizable::Float(n) => f.write_str(&say!(
                "{n} is not a whole number; write measured values as text, such as \"12.50\"",
                n = n
            ))?,
            NotCanonicalizable::IntegerTooLarge(n) => {
                f.write_str(&say!("{n} is beyond 2^53; write it as text", n = n))?
            }
            NotCanonicalizable::Key(key) => f.write_str(&say!(
                "the key {key} is not made of a-z, 0-9 and _ only",
                key = format_args!("{:?}", key)
            ))?,
            NotCanonicalizable::TooDeep => {
                f.write_str(&say!("nested deeper than {most} levels", most = MAX_DEPTH))?
            }
            NotCanonicalizable::Serializer(e) => {
                f.write_str(&say!("cannot be written as JSON: {e}", e = e))?
            }
        }
        if self.at.is_empty() { Ok(()) } else { f.write_str(&say!(" (at {})", self.at)) }
    }
}

impl std::error::Error for CanonicalError {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::hash::sha256;
    use serde_json::json;

    /// RFC 8785 sections 3.2.2 to 3.2.4, the JCS author's public test data ("weird"), and one own case
    /// cross-checked with the Python package rfc8785 0.1.4: input, SHA-256 of the canonical UTF-8, and
    /// whether our subset takes it.
    const JCS: [(&str, &str, bool); 4] = [
        (
            r#"{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false]}"#,
            "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb",
            false,
        ),
        (
            r#"{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One","\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}"#,
            "5e321556d22018a9656991a9e94f77ec175fa193e52a2429d312f8419ec8b08c",
            false,
        ),
        (
            r#"{"\u20ac":"Euro Sign","1":"One","\u0080":"Control\u007f","\ud83d\ude02":"Smiley","\u00f6":"Latin Small Letter O With Diaeresis","\ufb33":"Hebrew Letter Dalet With Dagesh","</script>":"Browser Challenge"}"#,
            "92591c387de83f90a4f5a7b853081c9482ee5bf076e8e309366de6f215cfcbfb",
            false,
        ),
        (
            r#"{ "b" : [ 3 , { "z" : 1 , "a" : 2 } ] , "a" : { } , "aa" : [ ] , "B" : "" }"#,
            "3f10b3212acf7922ae1c742f7dd9e156e2e16b4dcc111c5fad81d38adba4e8a6",
            false,
        ),
    ];

    #[test]
    fn published_values() {
        for (input, digest, in_subset) in JCS {
            let value: Value = serde_json::from_str(input).unwrap();
            let bytes = full_rfc8785(&value).unwrap();
            assert_eq!(sha256(&bytes).to_string(), digest, "{}", String::from_utf8_lossy(&bytes));
            assert_eq!(canonical(&value).is_ok(), in_subset);
        }
    }

    /// The string of RFC 8785 section 3.2.2 and the nested own case, brought inside the subset.
    #[test]
    fn subset_gives_the_standard_bytes() {
        let value: Value = serde_json::from_str(
            r#"{"string":"\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/","literals":[null,true,false],"b":[3,{"z":-1,"a":2}],"aa":[],"a":{}}"#,
        )
        .unwrap();
        let expected = r#"{"a":{},"aa":[],"b":[3,{"a":2,"z":-1}],"literals":[null,true,false],"string":"€$\u000f\nA'B\"\\\\\"/"}"#;
        assert_eq!(String::from_utf8(canonical(&value).unwrap()).unwrap(), expected);
    }

    /// RFC 8785 appendix B: text of doubles, read through the same serializer the subset uses for integers.
    #[test]
    fn published_numbers() {
        let cases: [(u64, &str); 12] = [
            (0x0000000000000000, "0"),
            (0x8000000000000000, "0"),
            (0x0000000000000001, "5e-324"),
            (0x7fefffffffffffff, "1.7976931348623157e+308"),
            (0x4340000000000000, "9007199254740992"),
            (0xc340000000000000, "-9007199254740992"),
            (0x4430000000000000, "295147905179352830000"),
            (0x44b52d02c7e14af5, "9.999999999999997e+22"),
            (0x444b1ae4d6e2ef50, "1e+21"),
            (0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7"),
            (0x41b3de4355555557, "333333333.33333343"),
            (0x43143ff3c1cb0959, "1424953923781206.2"),
        ];
        for (bits, text) in cases {
            let value = json!(f64::from_bits(bits));
            assert_eq!(full_rfc8785(&value).unwrap(), text.as_bytes());
            assert!(matches!(canonical(&value).unwrap_err().why, NotCanonicalizable::Float(_)));
        }
    }

    #[test]
    fn integer_bound() {
        assert_eq!(canonical(&json!(INTEGER_BOUND - 1)).unwrap(), b"9007199254740991");
        assert_eq!(canonical(&json!(-9007199254740991i64)).unwrap(), b"-9007199254740991");
        for value in [json!(INTEGER_BOUND), json!(-9007199254740992i64), json!(u64::MAX), json!(i64::MIN)] {
            assert!(matches!(canonical(&value).unwrap_err().why, NotCanonicalizable::IntegerTooLarge(_)));
        }
    }

    #[test]
    fn refusals_say_where() {
        let error = canonical(&json!({"readings": [{"mass": "1"}, {"mass": 1.5}]})).unwrap_err();
        assert_eq!(error.at, ".readings[1].mass");
        assert!(error.to_string().contains("\"12.50\""));
        for key in ["", "A", "a-b", "ä", "a b"] {
            assert!(matches!(canonical(&json!({key: 1})).unwrap_err().why, NotCanonicalizable::Key(_)));
        }
    }

    #[test]
    fn nesting_is_bounded() {
        let nest = |n| (0..n).fold(json!(1), |inner, _| json!([inner]));
        assert!(canonical(&nest(MAX_DEPTH)).is_ok());
        assert_eq!(canonical(&nest(MAX_DEPTH + 1)).unwrap_err().why, NotCanonicalizable::TooDeep);
    }
}
