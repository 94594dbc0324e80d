//! The facts as CSV tables (RFC 4180), one file for each: for spreadsheets and other programs.

use ::csv::{QuoteStyle, Terminator, WriterBuilder};

use super::facts::{Facts, Mark, StruckFacts};
use crate::event::ReadingValue;

/// A table that can be asked for.
#[derive(Debug, Clone, Copy)]
pub struct CsvTable {
    pub name: &'static str,
    pub about: &'static str,
    head: &'static [&'static str],
    rows: fn(&Facts) -> Vec<Vec<String>>,
}

/// Every table, in the order in which a folder gets them.
pub const TABLES: [CsvTable; 9] = [
    CsvTable {
        name: "steps",
        about: "every answer of every step, struck ones included; an open step has one row without an answer",
        head: &[
            "section",
            "step",
            "title",
            "mandatory",
            "standing",
            "because",
            "entry",
            "answer",
            "reason",
            "by",
            "name",
            "when",
            "before_rectification",
            "struck_by_entry",
            "struck_by",
            "struck_why",
            "from_paper",
        ],
        rows: steps,
    },
    CsvTable {
        name: "readings",
        about: "every reading as entered, with limit, instruments and verdict",
        head: &[
            "step",
            "measure",
            "title",
            "entry",
            "value",
            "limit",
            "limit_source",
            "instruments",
            "verdict",
            "words",
            "by",
            "name",
            "when",
            "before_rectification",
            "struck_by_entry",
            "struck_by",
            "struck_why",
            "from_paper",
        ],
        rows: readings,
    },
    CsvTable {
        name: "series",
        about: "every point of every load-deflection series as entered",
        head: &[
            "step",
            "measure",
            "entry",
            "number",
            "direction",
            "way",
            "load",
            "load_unit",
            "deflection",
            "deflection_unit",
        ],
        rows: series,
    },
    CsvTable {
        name: "defects",
        about: "every defect with its place and standing",
        head: &[
            "defect",
            "what",
            "component",
            "side",
            "station_mm",
            "severity",
            "standing",
            "open",
            "grounds",
            "step",
            "entry",
            "by",
            "name",
            "when",
            "struck_by_entry",
            "struck_by",
            "struck_why",
            "from_paper",
        ],
        rows: defects,
    },
    CsvTable {
        name: "decisions",
        about: "what was decided and done about each defect",
        head: &["defect", "entry", "what", "note", "until", "by", "name", "when"],
        rows: decisions,
    },
    CsvTable {
        name: "due",
        about: "what falls due next, gravest first",
        head: &["kind", "id", "title", "standing", "limits", "first", "expected", "trouble"],
        rows: due,
    },
    CsvTable {
        name: "reports",
        about: "reports and how each was dealt with",
        head: &[
            "report",
            "kind",
            "date",
            "by",
            "text",
            "modules",
            "steps",
            "steps_done",
            "set_aside",
            "set_aside_entry",
        ],
        rows: reports,
    },
    CsvTable {
        name: "records",
        about: "directives, bulletins and life-limited items as answered",
        head: &["kind", "id", "title", "answer", "note", "next_due", "entry", "by", "name", "when"],
        rows: records,
    },
    CsvTable {
        name: "evidence",
        about: "evidence files with their SHA-256",
        head: &[
            "name",
            "bytes",
            "sha256",
            "step",
            "demand",
            "defect",
            "entry",
            "by",
            "when",
            "struck_by_entry",
            "struck_by",
            "struck_why",
        ],
        rows: evidence,
    },
];

/// Finds a table by its name.
pub fn table(name: &str) -> Option<&'static CsvTable> {
    TABLES.iter().find(|table| table.name == name)
}

impl CsvTable {
    /// The table as bytes: head first, lines end with CR LF. A text that a spreadsheet would take for a formula gets an
    /// apostrophe before it; numbers stay as they are.
    ///
    /// # Errors
    /// What the CSV writer says; writing into memory, none is known.
    pub fn bytes(&self, facts: &Facts) -> Result<Vec<u8>, String> {
        let mut writer = WriterBuilder::new()
            .quote_style(QuoteStyle::Necessary)
            .terminator(Terminator::CRLF)
            .from_writer(Vec::new());
        let failed = |error: ::csv::Error| say!("the table {} cannot be written: {error}", self.name, error);
        let first = ["registration", "session"];
        writer.write_record(first.iter().chain(self.head)).map_err(failed)?;
        for row in (self.rows)(facts) {
            let keys = [facts.airframe.registration.clone(), facts.session.clone()];
            let cells = keys.into_iter().chain(row).map(|cell| harmless(&cell));
            writer.write_record(cells).map_err(failed)?;
        }
        writer.into_inner().map_err(|error| say!("the table {} cannot be written: {error}", self.name, error))
    }
}

fn harmless(cell: &str) -> String {
    let begins = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let is_number = cell.trim_start_matches(['+', '-']).starts_with(|c: char| c.is_ascii_digit());
    let clean: String =
        cell.chars().map(|c| if c.is_control() && c != '\n' { '\u{FFFD}' } else { c }).collect();
    if begins && !is_number { format!("'{clean}") } else { clean }
}

fn some(text: Option<&String>) -> String {
    text.cloned().unwrap_or_default()
}

fn yes(flag: bool) -> String {
    if flag { "yes" } else { "no" }.to_string()
}

fn who(mark: &Mark) -> [String; 3] {
    [mark.by.clone(), mark.name.clone(), mark.wall.clone()]
}

fn struck(struck: Option<&StruckFacts>) -> [String; 3] {
    struck.map_or_else(Default::default, |struck| {
        [struck.entry.to_string(), struck.by.clone(), struck.why.clone()]
    })
}

/// Where it stood on paper first, in words; empty where it was entered at once.
fn paper(mark: &Mark) -> String {
    mark.from_paper.as_ref().map_or_else(String::new, |paper| paper.words.clone())
}

fn steps(facts: &Facts) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for section in &facts.sections {
        for step in &section.steps {
            let about = vec![
                section.title.clone(),
                step.id.clone(),
                step.title.clone(),
                yes(step.mandatory),
                step.result.clone(),
                step.because.join(" "),
            ];
            if step.answers.is_empty() {
                rows.push([about.clone(), vec![String::new(); 11]].concat());
            }
            for answer in &step.answers {
                let mut row = about.clone();
                row.extend([
                    answer.mark.entry.to_string(),
                    answer.result.clone(),
                    some(answer.reason.as_ref()),
                ]);
                row.extend(who(&answer.mark));
                row.push(yes(answer.before_rectification));
                row.extend(struck(answer.struck.as_ref()));
                row.push(paper(&answer.mark));
                rows.push(row);
            }
        }
    }
    rows
}

fn readings(facts: &Facts) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for step in facts.sections.iter().flat_map(|section| &section.steps) {
        for reading in &step.readings {
            let instruments: Vec<&str> =
                reading.instruments.iter().map(|instrument| instrument.id.as_str()).collect();
            let mut row = vec![
                step.id.clone(),
                reading.measure.clone(),
                reading.title.clone(),
                reading.mark.entry.to_string(),
                reading.value.clone(),
                some(reading.limit.as_ref()),
                some(reading.limit_source.as_ref()),
                instruments.join(" "),
                reading.verdict.clone(),
                reading.words.clone(),
            ];
            row.extend(who(&reading.mark));
            row.push(yes(reading.before_rectification));
            row.extend(struck(reading.struck.as_ref()));
            row.push(paper(&reading.mark));
            rows.push(row);
        }
    }
    rows
}

fn series(facts: &Facts) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for step in facts.sections.iter().flat_map(|section| &section.steps) {
        for reading in &step.readings {
            let ReadingValue::Series { points } = &reading.recorded else { continue };
            for (index, point) in points.iter().enumerate() {
                rows.push(vec![
                    step.id.clone(),
                    reading.measure.clone(),
                    reading.mark.entry.to_string(),
                    (index + 1).to_string(),
                    point.direction.clone(),
                    if point.loading { "up" } else { "down" }.to_string(),
                    point.load.value.to_string(),
                    point.load.unit.symbol().to_string(),
                    point.deflection.value.to_string(),
                    point.deflection.unit.symbol().to_string(),
                ]);
            }
        }
    }
    rows
}

fn defects(facts: &Facts) -> Vec<Vec<String>> {
    facts
        .defects
        .iter()
        .map(|defect| {
            let mut row = vec![
                defect.id.clone(),
                defect.what.clone(),
                some(defect.component.as_ref()),
                some(defect.side.as_ref()),
                some(defect.station_mm.as_ref()),
                defect.severity.clone(),
                defect.standing.clone(),
                yes(defect.is_open),
                yes(defect.grounds),
                some(defect.step.as_ref()),
                defect.mark.entry.to_string(),
            ];
            row.extend(who(&defect.mark));
            row.extend(struck(defect.struck.as_ref()));
            row.push(paper(&defect.mark));
            row
        })
        .collect()
}

fn decisions(facts: &Facts) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for defect in &facts.defects {
        for decision in &defect.decisions {
            let mut row = vec![
                defect.id.clone(),
                decision.mark.entry.to_string(),
                decision.what.clone(),
                decision.note.clone(),
                some(decision.until.as_ref()),
            ];
            row.extend(who(&decision.mark));
            rows.push(row);
        }
    }
    rows
}

fn due(facts: &Facts) -> Vec<Vec<String>> {
    facts
        .due
        .rows
        .iter()
        .map(|row| {
            vec![
                row.kind.clone(),
                row.id.clone(),
                row.title.clone(),
                row.standing.clone(),
                row.limits.join("; "),
                some(row.first.as_ref()),
                some(row.expected.as_ref()),
                some(row.trouble.as_ref()),
            ]
        })
        .collect()
}

fn reports(facts: &Facts) -> Vec<Vec<String>> {
    facts
        .reports
        .iter()
        .map(|report| {
            let aside = report.set_aside.as_ref();
            vec![
                report.id.clone(),
                report.kind.clone(),
                report.date.clone(),
                report.by.clone(),
                report.text.clone(),
                report.modules.join(" "),
                report.steps.to_string(),
                report.steps_done.to_string(),
                aside.map(|aside| aside.reason.clone()).unwrap_or_default(),
                aside.map(|aside| aside.mark.entry.to_string()).unwrap_or_default(),
            ]
        })
        .collect()
}

fn records(facts: &Facts) -> Vec<Vec<String>> {
    facts
        .records
        .iter()
        .map(|record| {
            let mut row = vec![
                record.kind.to_string(),
                record.id.clone(),
                record.title.clone(),
                some(record.answer.as_ref()),
                some(record.note.as_ref()),
                some(record.next_due.as_ref()),
            ];
            match &record.mark {
                Some(mark) => {
                    row.push(mark.entry.to_string());
                    row.extend(who(mark));
                }
                None => row.extend(vec![String::new(); 4]),
            }
            row
        })
        .collect()
}

fn evidence(facts: &Facts) -> Vec<Vec<String>> {
    facts
        .evidence
        .iter()
        .map(|file| {
            let mut row = vec![
                file.name.clone(),
                file.bytes.to_string(),
                file.sha256.clone(),
                some(file.step.as_ref()),
                some(file.demand.as_ref()),
                some(file.defect.as_ref()),
                file.mark.entry.to_string(),
                file.mark.by.clone(),
                file.mark.wall.clone(),
            ];
            row.extend(struck(file.struck.as_ref()));
            row
        })
        .collect()
}
