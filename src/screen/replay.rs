//! Where the replay stands: the record, what is looked for, and which step's story is told.

use super::desk::{Desk, SessionView};
use super::words::words;
use crate::audit::replay::{Mark, Moment, Story, Timeline};
use crate::plan::Plan;
use crate::words::of_checklist;

pub struct Replay {
    sid: String,
    line: Timeline,
    pub kind: Mark,
    /// Only the entries of this step are listed.
    pub story: Option<Story>,
    /// How everything stood after the selected entry; kept up to date while the worksheet shows it.
    moment: Moment,
    hits: Vec<usize>,
}

impl Replay {
    pub fn open(desk: &dyn Desk) -> Option<Replay> {
        let view = desk.session()?;
        let mut line = Timeline::over(&desk.plans()?, view.entries, view.state);
        if let Some(first_bad) = desk.damaged_from() {
            line = line.damaged_from(first_bad);
        }
        let moment = line.moment(line.entries().len().saturating_sub(1));
        Some(Replay {
            sid: view.sid.to_string(),
            line,
            kind: Mark::Any,
            story: None,
            moment,
            hits: Vec::new(),
        })
    }

    /// The record has not grown since, and is the same one.
    pub fn is_of(&self, view: &SessionView<'_>) -> bool {
        let (own, theirs) = (self.line.entries().last(), view.entries.last());
        self.sid == view.sid && own.map(|last| &last.hash) == theirs.map(|last| &last.hash)
    }

    pub fn line(&self) -> &Timeline {
        &self.line
    }

    pub fn moment(&self) -> &Moment {
        &self.moment
    }

    /// The plan of the moment.
    pub fn plan(&self) -> &Plan {
        self.line.plan_at(self.moment.entry().unwrap_or(0))
    }

    /// Rows listed.
    pub fn len(&self) -> usize {
        self.story.as_ref().map_or(self.line.entries().len(), |story| story.happenings.len())
    }

    /// Entry of a row.
    pub fn entry(&self, row: usize) -> Option<usize> {
        match &self.story {
            Some(story) => story.happenings.get(row).map(|told| told.entry),
            None => Some(row).filter(|row| *row < self.line.entries().len()),
        }
    }

    /// Row of an entry, or the last row before it.
    pub fn row(&self, entry: usize) -> usize {
        match &self.story {
            Some(story) => story.happenings.partition_point(|told| told.entry <= entry).saturating_sub(1),
            None => entry,
        }
    }

    /// Brings the moment to an entry.
    pub fn stand_at(&mut self, entry: usize) {
        self.line.go(&mut self.moment, entry);
    }

    /// The next or previous entry of the kind, within the story where one is told.
    pub fn seek(&self, from: usize, forward: bool) -> Option<usize> {
        let mut at = from;
        loop {
            at = if forward { self.line.next(self.kind, at) } else { self.line.previous(self.kind, at) }?;
            if self.story.as_ref().is_none_or(|story| story.happenings.iter().any(|told| told.entry == at)) {
                return Some(at);
            }
        }
    }

    pub fn search(&mut self, text: &str) {
        self.hits = self.line.find(text, &words);
    }

    /// The hit after or before an entry, around the end; with its place among all.
    pub fn hit(&self, from: usize, forward: bool) -> Option<(usize, usize, usize)> {
        let last = self.hits.len().checked_sub(1)?;
        let place = if forward {
            self.hits.iter().position(|hit| *hit > from).unwrap_or(0)
        } else {
            self.hits.iter().rposition(|hit| *hit < from).unwrap_or(last)
        };
        self.hits.get(place).map(|hit| (*hit, place + 1, self.hits.len()))
    }

    /// A step by its id, else the only one whose title or id contains the words.
    ///
    /// # Errors
    /// None or several; what to do.
    pub fn step_named(&self, text: &str) -> Result<String, String> {
        let wanted = text.trim().to_lowercase();
        if wanted.is_empty() {
            return Err(say!("no step is named; type its id, or words of its title").to_string());
        }
        let ids = self.line.steps();
        if let Some(id) = ids.iter().find(|id| id.to_lowercase() == wanted) {
            return Ok((*id).to_string());
        }
        let plan = self.line.plan_at(self.line.entries().len());
        let has_words = |title: &str| {
            [title, of_checklist(title)].iter().any(|title| title.to_lowercase().contains(&wanted))
        };
        let is_titled = |id: &str| plan.step(id).is_some_and(|step| has_words(&step.step.title));
        let mut found: Vec<&str> =
            ids.into_iter().filter(|id| id.to_lowercase().contains(&wanted) || is_titled(id)).collect();
        found.sort_unstable();
        found.dedup();
        match found[..] {
            [one] => Ok(one.to_string()),
            [] => Err(say!("no step contains \"{}\"; the worksheet lists them", text.trim())),
            _ => {
                let some: Vec<&str> = found.iter().take(4).copied().collect();
                let more = if found.len() > some.len() { " …" } else { "" };
                Err(say!(
                    "{} steps contain \"{}\": {}{more}",
                    found.len(),
                    text.trim(),
                    some.join(", "),
                    more
                ))
            }
        }
    }
}
