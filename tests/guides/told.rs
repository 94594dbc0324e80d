//! What differs from run to run, put as the guides write it: the day, times, random ids, hashes, keys, codes, the folder.
//!
//! The guides live on [`DAY`]. A test runs on another day, so every date in commands and files is moved by the days
//! between, and every date in what the program says is moved back.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::{NaiveDate, TimeDelta};

/// The day of the guides' story, a Saturday.
const DAY: &str = "2026-11-28";

/// The day for which the demo's hangar is written. The program moves its dates so that it always plays today.
const DEMO_DAY: &str = "2026-11-25";

/// Stands for `SHA256:` fingerprints, public keys and hashes, whatever their length.
const FINGERPRINT: &str = "xvLG0Wk4mZ7T1cRqYp2nH8sUeB5aJ9dF3oKiV6tMwEs";
const HASH: &str = "9f2c4e81";

#[derive(Debug, Default)]
pub struct Told {
    moved: TimeDelta,
    home: String,
    /// As the guides write it → as it is, of sessions and of codes for paper.
    sessions: BTreeMap<String, String>,
    codes: BTreeMap<String, String>,
}

impl Told {
    pub fn new(home: &Path) -> Told {
        let day: NaiveDate = DAY.parse().expect("a day");
        let today = chrono::Utc::now().date_naive();
        Told { moved: today - day, home: home.to_string_lossy().into_owned(), ..Told::default() }
    }

    /// A file of the demo as if it had been written for the guides' day.
    pub fn demo(&self, text: &str) -> String {
        let day = |text: &str| text.parse::<NaiveDate>().expect("a day");
        dates(text, day(DEMO_DAY) - day(DAY))
    }

    /// A session of this id (32 letters) is there; known ones keep the name that they have.
    pub fn session(&mut self, id: &str) {
        if self.sessions.values().any(|known| known == id) {
            return;
        }
        let letter = char::from(b'a' + u8::try_from(self.sessions.len() % 6).expect("below 6"));
        let number = self.sessions.len() + 1;
        self.sessions.insert(format!("{letter}{number}").repeat(16), id.to_string());
    }

    /// As a guide writes it → as it is to be typed or written today.
    pub fn real(&self, text: &str) -> String {
        let mut text = dates(text, self.moved);
        for (shown, id) in &self.sessions {
            text = text.replace(shown, id).replace(&shown[..12], &id[..12]).replace(&shown[..8], &id[..8]);
        }
        for (shown, code) in &self.codes {
            text = text.replace(shown, code);
        }
        text
    }

    /// As the program says it → as the guide writes it, of the same width but for the home folder.
    pub fn shown(&mut self, text: &str) -> String {
        let mut text = if self.home.is_empty() { text.to_string() } else { text.replace(&self.home, "~") };
        for (shown, id) in &self.sessions {
            text = text.replace(id, shown).replace(&id[..12], &shown[..12]).replace(&id[..8], &shown[..8]);
        }
        let text = pauses(&times(&dates(&text, -self.moved)));
        let text = self.paper_codes(&text);
        let text = after(&text, "SHA256:", FINGERPRINT);
        hashes(&after(&text, "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAI", FINGERPRINT))
    }

    fn paper_codes(&mut self, text: &str) -> String {
        let mut made = text.to_string();
        for word in text.split(|c: char| !(c.is_ascii_alphanumeric() || c == '-')) {
            let groups: Vec<&str> = word.split('-').collect();
            let form: Vec<usize> = groups.iter().map(|group| group.len()).collect();
            let is_code = (form == [5, 5, 5, 5, 5, 2] || form == [4, 4, 2])
                && groups[..groups.len() - 1].iter().all(|group| is_base32(group));
            if is_code && !self.codes.contains_key(word) {
                let of_sheet = form.len() == 3;
                made = made.replace(word, &self.code(word, of_sheet));
            }
        }
        made
    }

    /// A code of the record has six groups, that of a printed sheet three.
    fn code(&mut self, word: &str, of_sheet: bool) -> String {
        if let Some((shown, _)) = self.codes.iter().find(|(_, code)| *code == word) {
            return shown.clone();
        }
        let letter = char::from(b'A' + u8::try_from(self.codes.len() % 26).expect("below 26"));
        let group = |first: &str| format!("{letter}{first}");
        let shown = match of_sheet {
            true => format!("{letter}234-{letter}QRS-11"),
            false => format!(
                "{}-{}-{}-{}-{}-11",
                group("2345"),
                group("QRST"),
                group("6723"),
                group("MNOP"),
                group("4567")
            ),
        };
        self.codes.insert(shown.clone(), word.to_string());
        shown
    }
}

fn is_base32(group: &str) -> bool {
    group.bytes().all(|byte| byte.is_ascii_uppercase() || (b'2'..=b'7').contains(&byte))
}

/// Moves every date, `2026-11-28` and `20261128101500Z`.
fn dates(text: &str, by: TimeDelta) -> String {
    let letters: Vec<char> = text.chars().collect();
    let mut made = String::new();
    let mut at = 0;
    while at < letters.len() {
        let starts = at == 0 || !letters[at - 1].is_ascii_alphanumeric();
        let piece = |length: usize| letters[at..].iter().take(length).collect::<String>();
        let ends = |length: usize| !letters.get(at + length).is_some_and(char::is_ascii_digit);
        let day = NaiveDate::parse_from_str(&piece(10), "%Y-%m-%d").ok();
        let stamp = NaiveDate::parse_from_str(&piece(8), "%Y%m%d").ok();
        let is_plain = piece(10).len() == 10 && ends(10);
        let is_stamp = piece(15).ends_with('Z') && piece(14).bytes().all(|byte| byte.is_ascii_digit());
        match (day, stamp) {
            // What never ends is written as a day far off, and stays it.
            (Some(day), _) if starts && is_plain && day.format("%Y").to_string() < "2090".into() => {
                made.push_str(&(day + by).to_string());
                at += 10;
            }
            (_, Some(day)) if starts && is_stamp => {
                made.push_str(&format!("{}100000Z", (day + by).format("%Y%m%d")));
                at += 15;
            }
            _ => {
                made.push(letters[at]);
                at += 1;
            }
        }
    }
    made
}

/// Clock times after a blank, a bracket or the T of a date become ten o'clock.
fn times(text: &str) -> String {
    let mut letters: Vec<char> = text.chars().collect();
    let digit = |letters: &[char], at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    for at in 0..letters.len() {
        let starts = at == 0 || matches!(letters[at - 1], ' ' | '(' | 'T' | '│' | '\n');
        let is_time = digit(&letters, at)
            && digit(&letters, at + 1)
            && letters.get(at + 2) == Some(&':')
            && digit(&letters, at + 3)
            && digit(&letters, at + 4);
        if !(starts && is_time) {
            continue;
        }
        letters[at..at + 5].copy_from_slice(&['1', '0', ':', '0', '0']);
        let mut next = at + 5;
        while digit(&letters, next + 1) && matches!(letters.get(next), Some(':' | '.'))
            || digit(&letters, next) && next > at + 5
        {
            if digit(&letters, next) {
                letters[next] = '0';
            }
            next += 1;
        }
    }
    letters.into_iter().collect()
}

/// The time since the entry before, which `replay` tells in a column of its own behind the entry's.
fn pauses(text: &str) -> String {
    const TIME: &str = "T10:00:00.000+00:00  ";
    let line = |line: &str| {
        let Some((head, rest)) = line.split_once(TIME) else { return line.to_string() };
        let Some((pause, tail)) = rest.trim_start().split_once("  ") else { return line.to_string() };
        // By which clock it was measured differs, too.
        if !matches!(pause.rsplit(' ').next(), Some("wall" | "s" | "min" | "h")) {
            return line.to_string();
        }
        format!("{head}{TIME}{:>14}  {tail}", "1.0 s")
    };
    text.lines().map(line).collect::<Vec<_>>().join("\n")
}

/// Puts `stand_in` for the base64 that follows `mark`.
fn after(text: &str, mark: &str, stand_in: &str) -> String {
    let mut parts = text.split(mark);
    let mut made = parts.next().unwrap_or_default().to_string();
    for part in parts {
        let length =
            part.find(|c: char| !(c.is_ascii_alphanumeric() || "+/=".contains(c))).unwrap_or(part.len());
        made.push_str(mark);
        made.extend(stand_in.chars().cycle().take(length));
        made.push_str(&part[length..]);
    }
    made
}

/// Lower-case hexadecimal numbers of a hash's length, whole or cut: 12, 16 or 64.
fn hashes(text: &str) -> String {
    let mut made = String::new();
    let mut word = String::new();
    let put = |made: &mut String, word: &mut String| {
        let is_hex = word.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte));
        let is_session =
            word.len() >= 8 && word.as_bytes().chunks(2).all(|pair| pair == &word.as_bytes()[..2]);
        if is_hex && !is_session && matches!(word.len(), 12 | 16 | 64) {
            made.extend(HASH.chars().cycle().take(word.len()));
        } else {
            made.push_str(word);
        }
        word.clear();
    };
    for letter in text.chars() {
        if letter.is_ascii_alphanumeric() {
            word.push(letter);
        } else {
            put(&mut made, &mut word);
            made.push(letter);
        }
    }
    put(&mut made, &mut word);
    made
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_go_there_and_back() {
        let told = Told { moved: TimeDelta::days(400), ..Told::default() };
        let real = told.real("from 2026-11-28 to 2099-12-31, verify-time=20261128101500Z, x2026-11-28");
        assert_eq!(real, "from 2028-01-02 to 2099-12-31, verify-time=20280102100000Z, x2026-11-28");
        assert_eq!(Told { moved: TimeDelta::days(400), ..Told::default() }.shown("2028-01-02"), "2026-11-28");
    }

    #[test]
    fn what_changes_from_run_to_run_does_not() {
        let mut told = Told { home: "/tmp/x".into(), ..Told::default() };
        told.session("0123456789abcdef0123456789abcdef");
        assert_eq!(
            told.shown("at 09:41, T09:41:07.123+01:00, a.toml:12:14"),
            "at 10:00, T10:00:00.000+01:00, a.toml:12:14"
        );
        assert_eq!(told.shown("/tmp/x/hangar 01234567"), "~/hangar a1a1a1a1");
        assert_eq!(told.real("begin --continues a1a1a1a1"), "begin --continues 01234567");
        let code = told.shown("4OYMI-QUY7Q-OBJGX-36TEJ-S35ZE-11");
        assert_eq!(told.real(&code), "4OYMI-QUY7Q-OBJGX-36TEJ-S35ZE-11");
        assert_eq!(told.shown("4OYMI-QUY7Q-OBJGX-36TEJ-S35ZE-11"), code);
        assert_ne!(told.shown("5OYMI-QUY7Q-OBJGX-36TEJ-S35ZE-11"), code, "another code stays another");
        let sheet = told.shown("K7Q2-M3XD-07");
        assert_eq!(told.real(&format!("--sheet {sheet}")), "--sheet K7Q2-M3XD-07");
        assert_eq!(told.shown(&"ab".repeat(32)).len(), 64);
        assert_eq!(
            told.shown("   7  2026-11-28T09:41:07.123+00:00  2 min 50 s wall  Ada: 2.0 s"),
            "   7  2026-11-28T10:00:00.000+00:00           1.0 s  Ada: 2.0 s"
        );
        assert_eq!(
            told.shown("12.50 mm, 3184.5 h, entry 412"),
            "12.50 mm, 3184.5 h, entry 412",
            "values stay"
        );
    }
}
