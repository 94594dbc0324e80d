//! To which airframes a directive applies: by type, serial number and modification.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::Airframe;
use crate::source::Table;

/// Every list that is given must hold.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Applicability {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub types: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub serials: Vec<SerialRange>,
    /// Applies only to airframes that carry one of these.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<String>,
    /// Applies only to airframes that carry none of these.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,
}

/// Serial numbers from first to last, both included; an open end has no bound.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SerialRange {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub last: Option<String>,
}

/// A serial number as letters, a number, and what follows: so that "V99" comes before "V100".
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Serial<'a> {
    number: u64,
    rest: &'a str,
}

fn split(serial: &str) -> Option<(String, Serial<'_>)> {
    let serial = serial.trim();
    let at = serial.find(|c: char| c.is_ascii_digit())?;
    let (prefix, tail) = serial.split_at(at);
    let end = tail.find(|c: char| !c.is_ascii_digit()).unwrap_or(tail.len());
    let (digits, rest) = tail.split_at(end);
    Some((prefix.to_uppercase(), Serial { number: digits.parse().ok()?, rest }))
}

impl SerialRange {
    /// Reads "0101..0150", "0301..", "..0099" or one serial number.
    ///
    /// # Errors
    /// In plain words: no number in it, different letters before the numbers, last before first.
    pub fn parse(text: &str) -> Result<SerialRange, String> {
        let given = |text: &str| Some(text.trim().to_string()).filter(|text| !text.is_empty());
        let (first, last) = match text.split_once("..") {
            Some((first, last)) => (given(first), given(last)),
            None => (given(text), given(text)),
        };
        if first.is_none() && last.is_none() {
            return Err(say!("it names no serial number").to_string());
        }
        if first == last {
            return Ok(SerialRange { first, last });
        }
        let parts: Vec<_> =
            [&first, &last].into_iter().flatten().map(|bound| (bound, split(bound))).collect();
        if let Some((bound, _)) = parts.iter().find(|(_, split)| split.is_none()) {
            return Err(say!("\"{bound}\" holds no number that can be counted", bound = bound));
        }
        if let [(_, Some((one, low))), (_, Some((other, high)))] = parts.as_slice() {
            if one != other {
                return Err(say!(
                    "\"{text}\" goes from one series of serial numbers into another",
                    text = text
                ));
            }
            if low > high {
                return Err(say!("\"{text}\" ends before it begins", text = text));
            }
        }
        Ok(SerialRange { first, last })
    }

    /// Whether a serial number lies in it. Letters before the number must be the same.
    pub fn holds(&self, serial: &str) -> bool {
        if self.first == self.last {
            return self.first.as_deref().is_some_and(|only| same_serial(only, serial));
        }
        let Some((prefix, number)) = split(serial) else { return false };
        let bound = |text: &Option<String>, in_order: fn(&Serial<'_>, &Serial<'_>) -> bool| {
            text.as_deref().is_none_or(|text| {
                split(text).is_some_and(|(of, bound)| of == prefix && in_order(&bound, &number))
            })
        };
        bound(&self.first, |bound, number| bound <= number)
            && bound(&self.last, |bound, number| number <= bound)
    }
}

fn same_serial(one: &str, other: &str) -> bool {
    one.trim().eq_ignore_ascii_case(other.trim())
        || split(one).is_some_and(|parts| split(other) == Some(parts))
}

impl fmt::Display for SerialRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = |bound: &Option<String>| bound.clone().unwrap_or_default();
        if self.first == self.last {
            write!(f, "{}", word(&self.first))
        } else {
            write!(f, "{}..{}", word(&self.first), word(&self.last))
        }
    }
}

impl Applicability {
    pub fn is_empty(&self) -> bool {
        *self == Applicability::default()
    }

    /// Why it does not apply to this airframe; `None` where it does.
    pub fn objection(&self, airframe: &Airframe) -> Option<String> {
        if !self.types.is_empty() && !self.types.contains(&airframe.type_id) {
            return Some(say!("it is for {}, this is a {}", self.types.join(", "), airframe.type_id));
        }
        let serial = &airframe.serial;
        if !self.serials.is_empty() && !self.serials.iter().any(|range| range.holds(serial)) {
            let ranges: Vec<String> = self.serials.iter().map(ToString::to_string).collect();
            return Some(say!("serial number {serial} is not among {}", ranges.join(", "), serial = serial));
        }
        if !self.with.is_empty() && !self.with.iter().any(|id| airframe.carries(id)) {
            return Some(say!("it is for airframes with {}", self.with.join(say!(" or "))));
        }
        let carried = self.without.iter().find(|id| airframe.carries(id))?;
        Some(say!("it is not for airframes with {carried}", carried = carried))
    }
}

/// Reads the keys from the directive's table; `None` where it has none of them.
pub(super) fn read_applicability(table: &Table<'_>) -> Option<Applicability> {
    let values = |key| table.texts(key).into_iter().map(|word| word.value).collect::<Vec<_>>();
    let mut serials = Vec::new();
    for word in table.texts("serials") {
        match SerialRange::parse(&word.value) {
            Ok(range) => serials.push(range),
            Err(why) => {
                table.reject::<()>(
                    "serial-range",
                    word.span,
                    why,
                    say!("write it like \"0101..0150\", \"0301..\" or \"0107\""),
                );
            }
        }
    }
    let found =
        Applicability { types: values("types"), serials, with: values("with"), without: values("without") };
    (!found.is_empty()).then_some(found)
}

#[cfg(test)]
mod tests {
    use super::SerialRange;

    fn holds(range: &str, serial: &str) -> bool {
        SerialRange::parse(range).is_ok_and(|range| range.holds(serial))
    }

    #[test]
    fn ranges_count_and_do_not_spell() {
        assert!(holds("V99..V120", "V100"));
        assert!(!holds("V99..V120", "V98"));
        assert!(!holds("V99..V120", "W100"));
        assert!(holds("0101..0150", "0107") && holds("0101..0150", "0150") && holds("0101..0150", "107"));
        assert!(!holds("0101..0150", "0151"));
        assert!(holds("0301..", "0999") && !holds("0301..", "0300"));
        assert!(holds("..0099", "0001") && !holds("..0099", "0100"));
        assert!(holds("0107", "107") && holds("12a", "12A") && !holds("0107", "0108"));
        assert!(!holds("0101..0150", "prototype"));
    }

    #[test]
    fn bad_ranges_are_told() {
        for (text, word) in
            [("..", "no serial"), ("0150..0101", "before"), ("A1..B2", "series"), ("x..y", "no number")]
        {
            let told = SerialRange::parse(text).err().unwrap_or_default();
            assert!(told.contains(word), "{text}: {told}");
        }
    }
}
