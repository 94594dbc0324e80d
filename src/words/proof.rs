//! The proof language: the English with other letters of the same width, so that a word outside the catalogue stands out.

const PLAIN: &str = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
const OTHER: &str = "åƀćđéƒĝĥíĵķłɱńőþɋřśţúʋŵẋýžÅɃĆĐÉƑĜĤÍĴĶŁṀŃŐÞɊŘŚŢÚɅŴẊÝŽ";

/// The text with every letter exchanged; placeholders stay.
pub fn proof(text: &str) -> String {
    let mut is_inside = false;
    text.chars()
        .map(|letter| {
            match letter {
                '{' => is_inside = true,
                '}' => is_inside = false,
                _ => {}
            }
            if is_inside { letter } else { other(letter) }
        })
        .collect()
}

fn other(letter: char) -> char {
    PLAIN.chars().zip(OTHER.chars()).find(|(plain, _)| *plain == letter).map_or(letter, |(_, other)| other)
}

#[cfg(test)]
mod tests {
    use unicode_width::UnicodeWidthStr;

    use super::*;

    #[test]
    fn the_letters_are_exchanged_and_the_placeholders_and_the_width_stay() {
        assert_eq!(proof("No step {id}: {}"), "Ńő śţéþ {id}: {}");
        assert_eq!(PLAIN.chars().count(), OTHER.chars().count());
        assert_eq!(PLAIN.width(), OTHER.width());
        assert!(OTHER.chars().all(|letter| !letter.is_ascii()));
    }
}
