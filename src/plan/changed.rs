//! What a supplement changed, for showing. The plan keeps it in English, part by part as [`super::tighten`] writes it.

use super::Change;
use crate::words::{number, said};

/// Parts that stand alone.
const ALONE: &[&str] = &[
    mark!("with a named instrument"),
    mark!("mandatory"),
    mark!("may not be left out"),
    mark!("with an independent inspection"),
    mark!("with a further caution"),
];

/// What stands before a figure or a list; the longer first.
const BEFORE: &[&str] = &[
    mark!("left and right apart at most"),
    mark!("stiffness at least N/mm"),
    mark!("load at most"),
    mark!("in configuration"),
    mark!("at least"),
    mark!("at most"),
    mark!("nominal"),
    mark!("tolerance"),
    mark!("with"),
];

/// What stands behind a count.
const BEHIND: &[&str] = &[mark!("readings"), mark!("people"), mark!("minutes")];

impl Change {
    /// What was changed, in the chosen language.
    pub fn words(&self) -> String {
        let (measure, parts) = match self.what.split_once(": ") {
            Some((measure, parts)) => (Some(measure), parts),
            None => (None, self.what.as_str()),
        };
        let parts = parts.split(", ").map(part_words).collect::<Vec<_>>().join(", ");
        measure.map_or_else(|| parts.clone(), |measure| format!("{measure}: {parts}"))
    }
}

fn part_words(part: &str) -> String {
    if ALONE.contains(&part) {
        return said(part).to_string();
    }
    for before in BEFORE {
        if let Some(rest) = part.strip_prefix(before).and_then(|rest| rest.strip_prefix(' ')) {
            return format!("{} {}", said(before), number(rest));
        }
    }
    match part.split_once(' ') {
        Some((count, behind)) if BEHIND.contains(&behind) => format!("{count} {}", said(behind)),
        _ => part.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, with_language};

    #[test]
    fn a_change_is_shown_in_the_chosen_language_and_kept_as_it_is() {
        let what = "play: at most 0.5, 3 readings, with a named instrument, with torch, mirror".to_string();
        let change = Change { by: String::new(), what: what.clone(), reason: String::new(), line: None };
        assert_eq!(change.words(), what);
        let german = with_language(Language::German, || change.words());
        assert_eq!(german, "play: höchstens 0,5, 3 Ablesungen, mit benanntem Messmittel, mit torch, mirror");
    }
}
