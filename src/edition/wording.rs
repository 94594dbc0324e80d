//! Which words of a text changed.

use super::nature::Nature;

/// Above this many comparisons the changed middle of two texts is shown as one piece.
const MOST_COMPARISONS: usize = 1_000_000;

/// A piece of text that one side has in place of the other's; either may be empty.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Piece<'a> {
    was: Vec<&'a str>,
    is: Vec<&'a str>,
}

/// The changed words of a text in plain words, such as `"15 kg" is now "12 kg"`; nothing where only spacing differs.
pub fn reworded(before: &str, after: &str) -> Option<String> {
    let was: Vec<&str> = before.split_whitespace().collect();
    let is: Vec<&str> = after.split_whitespace().collect();
    if was == is {
        return None;
    }
    let pieces = pieces(&was, &is);
    let kept = was.len() - pieces.iter().map(|piece| piece.was.len()).sum::<usize>();
    // A text that was written anew reads better whole than in scraps.
    if kept * 2 < was.len().min(is.len()) {
        return Some(say!("it was \"{}\" and is now \"{}\"", was.join(" "), is.join(" ")));
    }
    Some(pieces.iter().map(words).collect::<Vec<_>>().join("; "))
}

/// A text whose figures are the same is reworded; another figure, such as a load, is another demand.
pub(super) fn nature_of_text(before: &str, after: &str) -> Nature {
    if figures(before) == figures(after) { Nature::Reworded } else { Nature::Changed }
}

/// Every word with a digit in it, in order of size, without the marks around it.
fn figures(text: &str) -> Vec<&str> {
    let mut found: Vec<&str> = text
        .split_whitespace()
        .map(|word| word.trim_matches(|mark: char| !mark.is_alphanumeric() && !"-+±°%".contains(mark)))
        .filter(|word| word.contains(|letter: char| letter.is_ascii_digit()))
        .collect();
    found.sort_unstable();
    found
}

fn words(piece: &Piece<'_>) -> String {
    match (piece.was.join(" "), piece.is.join(" ")) {
        (was, is) if was.is_empty() => say!("new: \"{is}\"", is),
        (was, is) if is.is_empty() => say!("gone: \"{was}\"", was),
        (was, is) => say!("\"{was}\" is now \"{is}\"", was, is),
    }
}

/// The pieces that differ, between the longest run of words that both texts have in the same order.
fn pieces<'a>(was: &[&'a str], is: &[&'a str]) -> Vec<Piece<'a>> {
    let same = was.iter().zip(is).take_while(|(a, b)| a == b).count();
    let (was, is) = (&was[same..], &is[same..]);
    let tail = was.iter().rev().zip(is.iter().rev()).take_while(|(a, b)| a == b).count();
    let (was, is) = (&was[..was.len() - tail], &is[..is.len() - tail]);
    if was.len().saturating_mul(is.len()) > MOST_COMPARISONS {
        return vec![Piece { was: was.to_vec(), is: is.to_vec() }];
    }
    let common = common_lengths(was, is);
    let (mut at, mut to) = (0, 0);
    let mut found = Vec::new();
    let mut open = Piece { was: Vec::new(), is: Vec::new() };
    while at < was.len() || to < is.len() {
        if at < was.len() && to < is.len() && was[at] == is[to] {
            close(&mut found, &mut open);
            (at, to) = (at + 1, to + 1);
        } else if to == is.len() || (at < was.len() && common[at + 1][to] >= common[at][to + 1]) {
            open.was.push(was[at]);
            at += 1;
        } else {
            open.is.push(is[to]);
            to += 1;
        }
    }
    close(&mut found, &mut open);
    found
}

fn close<'a>(found: &mut Vec<Piece<'a>>, open: &mut Piece<'a>) {
    if !open.was.is_empty() || !open.is.is_empty() {
        found.push(Piece { was: std::mem::take(&mut open.was), is: std::mem::take(&mut open.is) });
    }
}

/// `[a][b]`: how many words the texts from `a` and from `b` on have in common, in order.
fn common_lengths(was: &[&str], is: &[&str]) -> Vec<Vec<u32>> {
    let mut table = vec![vec![0; is.len() + 1]; was.len() + 1];
    for at in (0..was.len()).rev() {
        for to in (0..is.len()).rev() {
            table[at][to] = if was[at] == is[to] {
                table[at + 1][to + 1] + 1
            } else {
                table[at + 1][to].max(table[at][to + 1])
            };
        }
    }
    table
}

#[cfg(test)]
mod tests {
    use super::reworded;

    #[test]
    fn shows_the_changed_words_only() {
        let told = reworded("Push with 15 kg, both ways.", "Push with 12 kg, slowly, both ways.");
        assert_eq!(told.as_deref(), Some("\"15\" is now \"12\"; new: \"slowly,\""));
        let told = reworded("Look along the skin by daylight.", "Look along the skin.");
        assert_eq!(told.as_deref(), Some("\"skin by daylight.\" is now \"skin.\""));
    }

    #[test]
    fn spacing_is_no_rewording() {
        assert_eq!(reworded("a  b\nc", "a b c"), None);
    }

    #[test]
    fn a_text_written_anew_is_shown_whole() {
        let told = reworded("Tap the boom", "Listen at the fin root");
        assert_eq!(told.as_deref(), Some("it was \"Tap the boom\" and is now \"Listen at the fin root\""));
    }

    #[test]
    fn very_long_texts_end_in_good_time() {
        let long = |word: &str| vec![word; 20_000].join(" ");
        assert!(reworded(&long("left right"), &long("right up")).is_some());
    }
}
