//! One search through what a session holds: steps, answers, notes, evidence and defects.

use super::app::{App, Overlay, Tone};
use super::desk::{Desk, SessionView};
use super::pick::{Pick, Then};
use crate::command::Place;
use crate::event::EntryNumber;
use crate::words::{of_checklist, said};

/// Characters shown on either side of what was found.
const AROUND: usize = 28;

/// Where a hit leads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spot {
    Step(String),
    Defect(String),
    Entry(EntryNumber),
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// "step", "answer", "initials", "note", "evidence", "defect"; [`said`] tells it in the language that is spoken.
    pub kind: &'static str,
    /// The step or defect that it belongs to, in words.
    pub place: String,
    /// What was found with the words around it.
    pub words: String,
    pub spot: Spot,
    /// The title of a step holds it, as it is shown or as it was written.
    pub is_titled: bool,
}

/// Every hit, in the order of the plan, then defects, then what belongs to the session as a whole.
pub fn hits(view: &SessionView<'_>, wanted: &str) -> Vec<Hit> {
    let wanted = folded(wanted.trim());
    let mut found = Found { wanted, hits: Vec::new() };
    if found.wanted.is_empty() {
        return found.hits;
    }
    for planned in &view.plan.steps {
        of_step(&mut found, view, planned);
    }
    for defect in &view.state.defects {
        let place = say!("defect {}", defect.id);
        let mut texts = vec![defect.raised.what.as_str()];
        texts.extend(defect.raised.component.as_deref());
        texts.extend(defect.dispositions.iter().map(|told| told.what.note.as_str()));
        texts.extend(defect.rectifications.iter().map(|told| told.what.work.as_str()));
        texts.extend(defect.struck.iter().map(|struck| struck.why.as_str()));
        found.first(mark!("defect"), &place, &Spot::Defect(defect.id.clone()), &texts);
    }
    for told in &view.state.notes {
        found.first(mark!("note"), say!("the session"), &Spot::Entry(told.stamp.entry), &[&told.what]);
    }
    for told in view.state.evidence.iter().filter(|told| told.what.step.is_none()) {
        let (place, spot) = match &told.what.defect {
            Some(defect) => (say!("defect {}", defect), Spot::Defect(defect.clone())),
            None => (say!("the session").to_string(), Spot::Entry(told.stamp.entry)),
        };
        found.first(mark!("evidence"), &place, &spot, &[&told.what.name]);
    }
    found.hits
}

fn of_step(found: &mut Found, view: &SessionView<'_>, planned: &crate::plan::PlanStep) {
    let step = &planned.step;
    let spot = Spot::Step(step.id.clone());
    let title = of_checklist(&step.title);
    let caution = step.caution.as_deref().unwrap_or_default();
    // What is shown comes first; whoever knows the original words finds the step by them as well.
    let written = [step.title.as_str(), &step.id, &step.instruction, caution];
    let shown = [title, &step.id, of_checklist(&step.instruction), of_checklist(caution)];
    found.first(mark!("step"), title, &spot, &[shown, written].concat());
    found.title([title, &step.title]);
    let Some(state) = view.state.step(&step.id) else { return };
    for answer in &state.answers {
        let reason = answer.answered.reason.as_deref().unwrap_or_default();
        let why = answer.struck.as_ref().map_or("", |struck| struck.why.as_str());
        found.first(mark!("answer"), title, &spot, &[reason, why]);
    }
    for initials in &state.initials {
        found.first(mark!("initials"), title, &spot, &[&initials.work]);
    }
    for note in &state.notes {
        found.first(mark!("note"), title, &spot, &[&note.text]);
    }
    for told in view.state.evidence.iter().filter(|told| told.what.step.as_deref() == Some(&step.id)) {
        found.first(mark!("evidence"), title, &spot, &[&told.what.name]);
    }
}

struct Found {
    wanted: Vec<char>,
    hits: Vec<Hit>,
}

impl Found {
    /// One hit for the first of the texts that holds what is wanted.
    fn first(&mut self, kind: &'static str, place: &str, spot: &Spot, texts: &[&str]) {
        let words = texts.iter().find_map(|text| around(text, &self.wanted));
        if let Some(words) = words {
            let place = place.to_string();
            self.hits.push(Hit { kind, place, words, spot: spot.clone(), is_titled: false });
        }
    }

    /// The hit that was found last is of a step with these titles.
    fn title(&mut self, titles: [&str; 2]) {
        let holds = |title: &&str| around(title, &self.wanted).is_some();
        if titles.iter().any(holds)
            && let Some(hit) = self.hits.last_mut()
        {
            hit.is_titled = true;
        }
    }
}

/// One character for each, so that places stay where they are.
fn folded(text: &str) -> Vec<char> {
    text.chars().map(|c| c.to_lowercase().next().unwrap_or(c)).collect()
}

/// The first place with some words on either side; nothing where it does not occur.
fn around(text: &str, wanted: &[char]) -> Option<String> {
    let chars: Vec<char> = text.chars().map(|c| if c.is_whitespace() { ' ' } else { c }).collect();
    let at = folded(text).windows(wanted.len().max(1)).position(|window| window == wanted)?;
    let (end_of_hit, all) = (at + wanted.len(), chars.len());
    let (least, most) = (at.saturating_sub(AROUND), (end_of_hit + AROUND).min(all));
    // Whole words, where there is a space to cut at.
    let is_space = |index: &usize| chars.get(*index) == Some(&' ');
    let begin = if least == 0 { 0 } else { (least..at).find(is_space).unwrap_or(least) };
    let end = if most == all { all } else { (end_of_hit..most).rev().find(is_space).unwrap_or(most) };
    let before = if begin > 0 { "…" } else { "" };
    let after = if end < chars.len() { "…" } else { "" };
    let shown: String = chars.get(begin..end)?.iter().collect();
    Some(format!("{before}{}{after}", shown.trim()))
}

impl App {
    /// Searches; an empty text goes to the next hit of the last search. One hit is gone to at once, of several a
    /// list is shown.
    pub(super) fn search(&mut self, desk: &mut dyn Desk, text: &str) {
        if text.is_empty() && !self.last_search.is_empty() {
            return self.other_hit(desk, true);
        }
        self.last_search = text.to_string();
        let Some(view) = desk.session() else { return };
        let found = hits(&view, text);
        if found.is_empty() {
            return self.say(Tone::Plain, say!("nothing here contains \"{text}\"", text));
        }
        // From where one stands, as far as that is a step.
        let here = |hit: &Hit| matches!(&hit.spot, Spot::Step(id) if view.plan.position(id) > Some(self.cursor().at));
        let first = if self.place == Place::Worksheet { found.iter().position(here).unwrap_or(0) } else { 0 };
        // Who types words of a title wants that step, whatever else speaks of it.
        let first = found.iter().position(|hit| hit.is_titled).unwrap_or(first);
        if found.len() == 1 {
            return self.go_to_hit(desk, 0);
        }
        let title = say!("\"{text}\": {n} hit" | "\"{text}\": {n} hits" % found.len(), text = text);
        let mut pick =
            Pick::new(title).intro(say!("Once there, > goes to the next hit and < to the one before."));
        for (index, hit) in found.iter().enumerate() {
            let label = format!("{} · {} · {}", said(hit.kind), hit.place, hit.words);
            pick = pick.option(label, Then::Hit(index));
        }
        pick.at = first;
        self.overlays.push(Overlay::Pick(pick));
    }

    pub(super) fn other_hit(&mut self, desk: &mut dyn Desk, forward: bool) {
        let Some(view) = desk.session() else { return };
        let all = hits(&view, &self.last_search).len();
        if all == 0 {
            let text = match self.last_search.as_str() {
                "" => say!("nothing was searched for yet; / searches").to_string(),
                text => say!("nothing here contains \"{text}\" any longer", text),
            };
            return self.say(Tone::Plain, text);
        }
        let step = if forward { 1 } else { all - 1 };
        self.go_to_hit(desk, (self.hit + step) % all);
    }

    pub(super) fn go_to_hit(&mut self, desk: &mut dyn Desk, at: usize) {
        let Some(view) = desk.session() else { return };
        let found = hits(&view, &self.last_search);
        let Some(hit) = found.get(at) else { return };
        let (place, item) = match &hit.spot {
            Spot::Step(id) => (Place::Worksheet, view.plan.position(id)),
            Spot::Defect(id) => {
                (Place::Defects, view.state.defects.iter().position(|defect| defect.id == *id))
            }
            Spot::Entry(entry) => {
                (Place::History, view.entries.iter().position(|stamped| stamped.entry == *entry))
            }
        };
        let told = say!(
            "\"{}\": {} of {}: {} · {}",
            self.last_search,
            at + 1,
            found.len(),
            said(hit.kind),
            hit.words
        );
        self.hit = at;
        self.go(desk, place);
        if let Some(item) = item {
            self.go_to(desk, item);
        }
        self.say(Tone::Plain, told);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_around_are_cut_on_both_sides_and_capitals_do_not_count() {
        let wanted = folded("GELCOAT");
        assert_eq!(around("Look at the gelcoat.", &wanted).as_deref(), Some("Look at the gelcoat."));
        let long = format!("{} crack in the Gelcoat of the fin {}", "a ".repeat(40), "b ".repeat(40));
        let words = around(&long, &wanted).unwrap_or_default();
        assert!(words.starts_with('…') && words.ends_with('…') && words.contains("crack in the Gelcoat of"));
        assert_eq!(around("nothing of it", &wanted), None);
        // A letter that becomes two when folded must not shift what is shown.
        assert_eq!(around("İİİ gelcoat", &wanted).as_deref(), Some("İİİ gelcoat"));
    }
}
