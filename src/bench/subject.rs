//! One checklist under judgement: what it may refer to, and where its parts stand.

use std::ops::Range;
use std::sync::OnceLock;

use super::reading::Reading;
use super::world::{Edition, World};
use crate::checklist::{Checklist, Kind, Measure, Step, Tightening};
use crate::diagnostic::{Diagnostic, Place};
use crate::source::{Located, Node};

pub struct Subject<'a> {
    pub reading: &'a Reading,
    pub checklist: &'a Checklist,
    pub world: &'a World<'a>,
    scope: OnceLock<Vec<&'a Edition<'a>>>,
}

impl<'a> Subject<'a> {
    pub(super) fn new(reading: &'a Reading, checklist: &'a Checklist, world: &'a World<'a>) -> Subject<'a> {
        Subject { reading, checklist, world, scope: OnceLock::new() }
    }

    pub fn steps(&self) -> impl Iterator<Item = &'a Located<Step>> {
        self.checklist.steps.iter()
    }

    /// What takes part in every plan that this checklist takes part in: itself, its programme, and for a supplement
    /// the others of its type. A module may be selected alone, so other modules are out of its reach.
    pub fn scope(&self) -> &[&'a Edition<'a>] {
        self.scope.get_or_init(|| {
            let is_self = |edition: &&Edition<'a>| std::ptr::eq(edition.checklist, self.checklist);
            let mut scope: Vec<&Edition<'a>> = self.world.editions.iter().filter(is_self).collect();
            if !matches!(self.checklist.kind, Kind::Programme) {
                scope.extend(self.required());
            }
            if let Kind::Supplement(own) = &self.checklist.kind {
                let others = self.world.supplements().filter(|(edition, of)| {
                    of.of_type.id == own.of_type.id && edition.id() != self.checklist.id.value
                });
                scope.extend(others.map(|(edition, _)| edition));
            }
            scope
        })
    }

    /// The editions that it requires; the newest where none fits, which is told at the requirement.
    fn required(&self) -> Vec<&'a Edition<'a>> {
        let mut found: Vec<&Edition<'a>> = Vec::new();
        for requirement in &self.checklist.requires {
            let fits = |edition: &&Edition<'_>| requirement.range.matches(edition.version());
            let id = &requirement.id.value;
            let mut fitting = self.world.editions_of(id).rev().filter(fits);
            found.extend(fitting.next().or_else(|| self.world.editions_of(id).next_back()));
        }
        if found.is_empty() {
            found.extend(self.world.newest().filter(|edition| edition.is_programme()));
        }
        found
    }

    /// A step that this checklist may refer to.
    pub fn reach(&self, id: &str) -> Option<&'a Located<Step>> {
        self.scope().iter().find_map(|edition| edition.step(id))
    }

    pub fn reachable_ids(&self) -> impl Iterator<Item = &'a str> {
        self.scope()
            .iter()
            .flat_map(|edition| edition.checklist.steps.iter().map(|step| step.value.id.as_str()))
    }

    /// Whether a list of tables (`step`, `section`) of a checklist in reach has this id in its text, be it ever so
    /// faulty: what refers to it is then no fault of its own.
    pub fn is_written(&self, list: &str, id: &str) -> bool {
        self.scope().iter().filter(|edition| !edition.reading.faults.is_empty()).any(|edition| {
            let root = &edition.reading.outline().root;
            root.items(list).iter().any(|item| item.text("id") == Some(id))
                || edition.reading.has_broken_syntax() && is_written_as_id(&edition.reading.source.text, id)
        })
    }

    /// Whether something in reach lacks its id, so that nobody can say what is dangling.
    pub fn has_nameless(&self, list: &str) -> bool {
        self.scope().iter().filter(|edition| !edition.reading.faults.is_empty()).any(|edition| {
            edition.reading.outline().root.items(list).iter().any(|item| item.text("id").is_none())
        })
    }

    pub fn place(&self, span: Range<usize>) -> Place {
        Place::new(&self.reading.source, span)
    }

    pub fn fault(&self, code: &'static str, span: Range<usize>, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(code, self.place(span), message)
    }

    fn node(&self, step: &Located<Step>) -> Option<&Node> {
        let root = &self.reading.outline().root;
        root.items("step").iter().find(|node| node.get("id").is_some_and(|id| id.span == step.span))
    }

    /// Whether the file gives the step this key, in whatever shape.
    pub fn has(&self, step: &Located<Step>, key: &str) -> bool {
        self.node(step).is_some_and(|node| node.get(key).is_some())
    }

    /// The value of a step's key; the step's id where the key is not there.
    pub fn at(&self, step: &Located<Step>, key: &str) -> Range<usize> {
        let value = self.node(step).and_then(|node| node.get(key));
        value.map_or_else(|| step.span.clone(), |value| value.span.clone())
    }

    /// A value in a table of the step's, such as `configuration.tailplane`.
    pub fn within(&self, step: &Located<Step>, key: &str, inner: &str) -> Range<usize> {
        let value = self.node(step).and_then(|node| node.get(key)).and_then(|node| node.get(inner));
        value.map_or_else(|| self.at(step, key), |value| value.span.clone())
    }

    /// An item of a list of the step's; the whole list where there is no such item.
    pub fn item(&self, step: &Located<Step>, key: &str, index: usize) -> Range<usize> {
        let value = self.node(step).and_then(|node| node.get(key)).and_then(|node| node.items.get(index));
        value.map_or_else(|| self.at(step, key), |value| value.span.clone())
    }

    /// A key of a measurement; its id where the key is not there.
    pub fn of_measure(&self, step: &Located<Step>, measure: &Measure, key: &str) -> Range<usize> {
        let measures = self.node(step).map_or(&[][..], |node| node.items("measure"));
        let node = measures.iter().find(|node| node.text("id") == Some(&measure.id));
        let value = node.and_then(|node| node.get(key).or_else(|| node.get("id")));
        value.map_or_else(|| step.span.clone(), |value| value.span.clone())
    }

    /// A key of a tightening; its step's id where the key is not there.
    pub fn of_tightening(&self, tightening: &Located<Tightening>, key: &str) -> Range<usize> {
        let rows = self.reading.outline().root.items("tighten");
        let node = rows.iter().find(|node| node.get("step").is_some_and(|step| step.span == tightening.span));
        let value = node.and_then(|node| node.get(key));
        value.map_or_else(|| tightening.span.clone(), |value| value.span.clone())
    }

    /// A key of the file's head; the id where it is not there.
    pub fn of_head(&self, key: &str) -> Range<usize> {
        let value = self.reading.outline().root.get(key);
        value.map_or_else(|| self.checklist.id.span.clone(), |value| value.span.clone())
    }

    /// Some words inside the text of a step's key, found as they stand in the file; the whole text where they do not
    /// stand there in one piece.
    pub fn words(&self, step: &Located<Step>, key: &str, words: &str) -> Range<usize> {
        let span = self.at(step, key);
        let text = self.reading.source.text.get(span.clone()).unwrap_or_default().to_ascii_lowercase();
        match text.find(&words.to_ascii_lowercase()) {
            Some(at) => span.start + at..span.start + at + words.len(),
            None => span,
        }
    }
}

/// In a block that could not be parsed.
fn is_written_as_id(text: &str, id: &str) -> bool {
    text.lines().any(|line| {
        let rest =
            line.trim().strip_prefix("id").map(str::trim_start).and_then(|rest| rest.strip_prefix('='));
        rest.is_some_and(|rest| rest.trim().trim_matches(['"', '\'']) == id)
    })
}
