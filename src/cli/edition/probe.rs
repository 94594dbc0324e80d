//! A step in the making, judged in its file by the whole check: key by key while it is asked for, and whole at the end.

use std::ops::Range;
use std::sync::Arc;

use chrono::NaiveDate;

use crate::bench::Reading;
use crate::diagnostic::{Diagnostic, Source};
use crate::edition::{Insertion, NewStep, insert_step};
use crate::hangar::judge_draft;

pub(super) struct Probe {
    pub source: Arc<Source>,
    pub library: Vec<Reading>,
    pub today: NaiveDate,
}

/// The file with the step in it.
pub(super) struct Made {
    pub source: Arc<Source>,
    pub insertion: Insertion,
    /// What is to be said about the step; what the rest of the file had before is not told again.
    pub found: Vec<Diagnostic>,
}

impl Made {
    /// The step as it was put in.
    pub fn piece(&self) -> &str {
        &self.insertion.text[self.place()]
    }

    fn place(&self) -> Range<usize> {
        self.insertion.at..self.insertion.at + self.insertion.length
    }
}

impl Probe {
    /// # Errors
    /// The step cannot be put into the text at all.
    pub fn make(&self, step: &NewStep) -> Result<Made, String> {
        let insertion = insert_step(&self.source.text, &step.section, &step.to_toml())?;
        let source = Source::new(self.source.name.clone(), insertion.text.clone());
        let mut made = Made { source, insertion, found: Vec::new() };
        let place = made.place();
        let judged = judge_draft(&made.source, &self.library, self.today);
        made.found = judged.into_iter().filter(|fault| place.contains(&fault.place.span.start)).collect();
        Ok(made)
    }

    /// What is wrong with one key of the step, in words. Of measurements it is the last that is looked at.
    pub fn key(&self, step: &NewStep, key: &str) -> Result<(), String> {
        // Text that the step cannot be put into is told when it is written.
        let Ok(made) = self.make(step) else { return Ok(()) };
        let Some(range) = key_range(made.piece(), key) else { return Ok(()) };
        let at = made.insertion.at;
        let is_here = |fault: &&Diagnostic| range.contains(&(fault.place.span.start - at));
        let wrong: Vec<String> =
            made.found.iter().filter(|fault| fault.is_error()).filter(is_here).map(in_words).collect();
        if wrong.is_empty() { Ok(()) } else { Err(wrong.join("\n")) }
    }
}

fn in_words(fault: &Diagnostic) -> String {
    match &fault.hint {
        Some(hint) => format!("{}; {hint}", fault.message),
        None => fault.message.clone(),
    }
}

/// From the line that begins with a key to the next key's; "measure" means the last measurement.
fn key_range(piece: &str, wanted: &str) -> Option<Range<usize>> {
    if wanted == "measure" {
        return Some(piece.rfind("[[step.measure]]")?..piece.len());
    }
    let (mut start, mut at, mut is_inside) = (None, 0, false);
    for line in piece.split_inclusive('\n') {
        let key = line.split_once(" = ").map(|(key, _)| key).filter(|_| !is_inside);
        if start.is_some() && (key.is_some() || !is_inside && line.starts_with('[')) {
            return Some(start?..at);
        }
        if key == Some(wanted) {
            start = Some(at);
        }
        is_inside ^= line.matches("\"\"\"").count() % 2 == 1;
        at += line.len();
    }
    Some(start?..piece.len())
}

#[cfg(test)]
mod tests {
    use super::key_range;

    #[test]
    fn a_key_reaches_to_the_next_one_and_a_text_of_several_lines_is_one() {
        let piece = "\n[[step]]\nid = \"a\"\ninstruction = \"\"\"\nx = 1\n\"\"\"\nafter = [\"b\"]\n\n[[step.measure]]\nid = \"m\"\n";
        let of = |key: &str| key_range(piece, key).map(|range| &piece[range]);
        assert_eq!(of("instruction"), Some("instruction = \"\"\"\nx = 1\n\"\"\"\n"));
        assert_eq!(of("after"), Some("after = [\"b\"]\n\n"));
        assert_eq!(of("measure"), Some("[[step.measure]]\nid = \"m\"\n"));
        assert_eq!(of("kit"), None);
    }
}
