//! What `check` found, as JSON. The shape is a promise to other programs; see DEVELOPERS.md.

use std::collections::HashMap;
use std::sync::Arc;

use serde::Serialize;

use super::check::{Lines, Position};
use crate::bench::Report;
use crate::diagnostic::{Diagnostic, Place, Source};

/// Raised when a field changes its sense or goes; new fields do not raise it.
const FORMAT: u32 = 1;

#[derive(Serialize)]
pub(super) struct Document<'a> {
    format: u32,
    checklists: usize,
    records: usize,
    errors: usize,
    advice: usize,
    found: Vec<Found<'a>>,
}

#[derive(Serialize)]
struct Found<'a> {
    code: &'static str,
    severity: &'static str,
    message: &'a str,
    hint: Option<&'a str>,
    file: &'a str,
    start: At,
    end: At,
    related: Vec<Beside<'a>>,
}

#[derive(Serialize)]
struct Beside<'a> {
    message: &'a str,
    file: &'a str,
    start: At,
    end: At,
}

/// Line and column from 1, the column in characters; the byte from 0.
#[derive(Serialize)]
struct At {
    line: usize,
    column: usize,
    byte: usize,
}

pub(super) fn document(report: &Report) -> Document<'_> {
    let mut files = Files::default();
    let found: Vec<Found<'_>> = report.found.iter().map(|fault| found(fault, &mut files)).collect();
    Document {
        format: FORMAT,
        checklists: report.checklists,
        records: report.records,
        errors: report.errors(),
        advice: report.found.len() - report.errors(),
        found,
    }
}

fn found<'a>(fault: &'a Diagnostic, files: &mut Files<'a>) -> Found<'a> {
    let (start, end) = files.ends(&fault.place);
    let related = fault.related.iter().map(|beside| {
        let (start, end) = files.ends(&beside.place);
        Beside { message: &beside.label, file: &beside.place.source.name, start: at(start), end: at(end) }
    });
    Found {
        code: fault.code,
        severity: fault.weight.word(),
        message: &fault.message,
        hint: fault.hint.as_deref(),
        file: &fault.place.source.name,
        start: at(start),
        related: related.collect(),
        end: at(end),
    }
}

fn at(position: Position) -> At {
    At { line: position.line, column: position.column, byte: position.byte }
}

/// The line tables of the files that were pointed into.
#[derive(Default)]
pub(super) struct Files<'a>(HashMap<*const Source, Lines<'a>>);

impl<'a> Files<'a> {
    /// Where a place begins and ends.
    pub fn ends(&mut self, place: &'a Place) -> (Position, Position) {
        let lines = self.0.entry(Arc::as_ptr(&place.source)).or_insert_with(|| Lines::of(&place.source));
        (lines.position(place.span.start), lines.position(place.span.end.max(place.span.start)))
    }
}
