//! What a guide shows against what the program says, with the lines that the guide leaves out.

/// Alone on a line: one line or more is left out. At a line's end: the rest of the line is.
const LEFT_OUT: &str = "…";

fn is_gap(line: &str) -> bool {
    line.trim() == LEFT_OUT
}

/// Whether one line of a guide stands for this line of the program.
fn is_same(shown: &str, said: &str) -> bool {
    let (shown, said) = (shown.trim_end(), said.trim_end());
    match shown.strip_suffix(LEFT_OUT) {
        Some(begin) => said.starts_with(begin.trim_end()) && said != begin.trim_end(),
        None => shown == said,
    }
}

/// Whether what is shown is what was said, gaps allowed.
pub fn matches(shown: &[String], said: &[String]) -> bool {
    let Some(first) = shown.first() else { return said.is_empty() };
    if is_gap(first) {
        return (1..=said.len()).any(|left_out| matches(&shown[1..], &said[left_out..]));
    }
    said.first().is_some_and(|line| is_same(first, line)) && matches(&shown[1..], &said[1..])
}

/// What is to be shown instead: the same parts of what is said now. None where a part is not found again.
pub fn renewed(shown: &[String], said: &[String]) -> Option<Vec<String>> {
    if !shown.iter().any(|line| is_gap(line)) {
        return Some(kept(shown, said));
    }
    let mut made: Vec<String> = Vec::new();
    let mut at = 0;
    for (number, part) in shown.split(|line| is_gap(line)).enumerate() {
        if number > 0 {
            made.push(LEFT_OUT.to_string());
        }
        let Some(first) = part.first() else { continue };
        let begin = if number == 0 { 0 } else { likest(first, &said[at..])? + at };
        let end = (begin + part.len()).min(said.len());
        made.extend(kept(part, &said[begin..end]));
        at = end;
    }
    matches(&made, said).then_some(made)
}

/// The lines said; where the end of a line was left out, it is left out after as many words.
fn kept(shown: &[String], said: &[String]) -> Vec<String> {
    let cut = |shown: &String, said: &String| {
        let words = shown.trim_end().strip_suffix(LEFT_OUT)?.split_whitespace().count();
        let last = said.split_whitespace().nth(words.checked_sub(1)?)?;
        // Words are parts of the line: where the last of them ends, the rest begins.
        let end = last.as_ptr() as usize - said.as_ptr() as usize + last.len();
        (!said[end..].trim().is_empty()).then(|| format!("{} {LEFT_OUT}", &said[..end]))
    };
    let line = |(index, line): (usize, &String)| {
        shown.get(index).and_then(|shown| cut(shown, line)).unwrap_or_else(|| line.clone())
    };
    said.iter().enumerate().map(line).collect()
}

/// The line that shares most words with this one, the first of equals; None where it shares less than half of them.
fn likest(line: &str, said: &[String]) -> Option<usize> {
    let words: Vec<&str> = line.trim_end_matches(LEFT_OUT).split_whitespace().collect();
    let shared = |other: &String| {
        if is_same(line, other) {
            return usize::MAX;
        }
        words.iter().filter(|word| other.split_whitespace().any(|there| there == **word)).count()
    };
    let best = said.iter().map(&shared).max()?;
    (best.saturating_mul(2) >= words.len().max(1))
        .then(|| said.iter().position(|other| shared(other) == best))?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(text: &str) -> Vec<String> {
        text.lines().map(String::from).collect()
    }

    fn same(shown: &str, said: &str) -> bool {
        matches(&lines(shown), &lines(said))
    }

    #[test]
    fn a_wrong_output_is_found() {
        assert!(same("one\ntwo", "one\ntwo"));
        assert!(!same("one\ntwo", "one\ntoo"), "another word");
        assert!(!same("one\ntwo", "one"), "a line is missing");
        assert!(!same("one", "one\ntwo"), "a line more");
        assert!(!same("", "one") && !same("one", ""));
        assert!(!same("two\none", "one\ntwo"), "another order");
    }

    #[test]
    fn what_is_left_out_is_left_out_and_nothing_else() {
        assert!(same("one\n…\nfour", "one\ntwo\nthree\nfour"));
        assert!(same("…\nfour", "one\nfour") && same("one\n…", "one\ntwo\nthree"));
        assert!(!same("one\n…\nfour", "one\nfour"), "a gap holds at least a line");
        assert!(!same("one\n…\nfive", "one\ntwo\nfour"));
        assert!(!same("one\n…\nfour", "one\ntwo\nfour\nfive"), "the end is shown");
        assert!(same("one two …", "one two three") && !same("one two …", "one three two"));
        assert!(!same("one two …", "one two"), "nothing is left out there");
    }

    #[test]
    fn renewing_keeps_what_is_left_out() {
        let said = lines("head\n1 open\nmany\nmore\ntotal: 7 of 9 steps\nend");
        let made = renewed(&lines("head\n…\ntotal: 6 of 9 steps\n…"), &said).expect("found again");
        assert_eq!(made, lines("head\n…\ntotal: 7 of 9 steps\n…"));
        assert_eq!(renewed(&lines("old"), &said).as_ref(), Some(&said));
        let made = renewed(&lines("3\n  at 12 …"), &lines("4\n  at 13 of many"));
        assert_eq!(made, Some(lines("4\n  at 13 …")), "the end of a line stays left out");
        assert_eq!(renewed(&lines("head\n…\nsomething else entirely"), &said), None, "a person looks at it");
    }
}
