//! The parts of the document, each from the facts of the session.

mod cover;
mod defects;
mod discrepancies;
mod due;
mod handover;
mod logbook;
mod measurements;
mod papers;
mod pictures;
mod step_rows;
mod trends;
mod verify;
mod worksheet;

use super::facts::{Facts, Mark, Material, PersonFacts, SignOffFacts, Status, StruckFacts, facts};
use super::local;
use super::model::{Block, Document, PageMark, Part, Style, Text, Tone};
use super::words;
use crate::words::{Language, moment_of, of_checklist, said};

/// What the parts are made from.
pub(crate) struct Source<'a> {
    pub material: &'a Material<'a>,
    pub facts: &'a Facts,
}

impl Source<'_> {
    fn initials(&self, id: &str) -> &str {
        let find = |person: &&PersonFacts| person.id == id;
        self.facts.people.iter().find(find).map_or("?", |person| person.initials.as_str())
    }
}

type Maker = fn(&Source<'_>) -> Part;

/// The document of a session. `only` names the parts to keep, by their ids; all where it is empty.
pub fn document(material: &Material<'_>, only: &[String]) -> Document {
    let facts = facts(material);
    document_of(material, &facts, only)
}

/// As [`document`], from facts already gathered.
pub fn document_of(material: &Material<'_>, facts: &Facts, only: &[String]) -> Document {
    let source = Source { material, facts };
    let makers: [(&str, Maker); 11] = [
        (words::COVER.0, cover::part),
        (words::LOGBOOK.0, logbook::part),
        (words::DISCREPANCIES.0, discrepancies::part),
        (words::DEFECTS.0, defects::part),
        (words::DUE.0, due::part),
        (words::REPORTS.0, papers::reports),
        (words::RECORDS.0, papers::records),
        (words::WORKSHEET.0, worksheet::part),
        (words::MEASUREMENTS.0, measurements::part),
        (words::HANDOVER.0, handover::part),
        (words::VERIFY.0, verify::part),
    ];
    let is_wanted = |id: &str| only.is_empty() || only.iter().any(|wanted| wanted == id);
    let frame = &facts.airframe;
    Document {
        language: crate::words::current().tag(),
        title: super::model::shown(&format!("{}: {}", said(words::TITLE), frame.registration)),
        dated: crate::state::instant(&facts.as_of.wall),
        head: super::model::shown(&page_head(
            &frame.registration,
            frame.type_name.as_deref().unwrap_or(&frame.type_id),
            &frame.serial,
        )),
        marks: marks(facts),
        foot: foot(facts),
        parts: makers.iter().filter(|(id, _)| is_wanted(id)).map(|(_, make)| make(&source)).collect(),
    }
}

/// What every page must say.
fn marks(facts: &Facts) -> Vec<PageMark> {
    let mut marks = Vec::new();
    let mut mark = |tone, text: &str| marks.push(PageMark { tone, text: text.to_string() });
    if !facts.record_faults.is_empty() {
        mark(Tone::Grave, said(words::DAMAGED));
    }
    match facts.status {
        Status::Draft => mark(Tone::Caution, said(words::DRAFT_MARK)),
        Status::NotAirworthy => mark(Tone::Grave, said(words::NOT_AIRWORTHY_MARK)),
        Status::Released => {}
    }
    if facts.status != Status::NotAirworthy && facts.grounded {
        mark(Tone::Grave, said(words::NOT_AIRWORTHY_MARK));
    }
    if facts.invented {
        mark(Tone::Plain, said(words::INVENTED));
    }
    marks
}

fn foot(facts: &Facts) -> String {
    super::model::shown(&page_foot(&facts.session, facts.as_of.entries, facts.as_of.paper_code.as_deref()))
}

/// Share of a column whose words are much longer in German.
fn share(english: f32, german: f32) -> f32 {
    if crate::words::current() == Language::English { english } else { german }
}

/// The statement, letter by letter as it was signed.
fn statement(signed: &SignOffFacts) -> Text {
    let english = crate::words::current() != Language::English;
    Text::default().with(&signed.statement, Style { english, ..Style::PLAIN })
}

/// The statement stands as it was signed, in English, which 14 CFR 43.11(a)(4) and (5) word. Who reads another language finds
/// beside it what it says.
fn statement_in_words(facts: &Facts) -> Option<Block> {
    facts.sign_off.as_ref()?;
    if crate::words::current() == Language::English {
        return None;
    }
    let words = match facts.status {
        Status::Released => say!(
            "What the signed statement says: the aircraft was inspected as an annual inspection demands, and was found in \
             airworthy condition. The English wording is the one that was signed."
        ),
        _ => say!(
            "What the signed statement says: the aircraft was inspected as an annual inspection demands, and a list of \
             discrepancies and unairworthy items is given to its owner or operator. The English wording is the one that was \
             signed."
        ),
    };
    Some(quiet_para(words))
}

/// The aircraft at the head of every page.
pub(in crate::report) fn page_head(registration: &str, of_type: &str, serial: &str) -> String {
    say!(
        "{registration} · {type} · serial {serial}",
        registration,
        type = of_checklist(of_type),
        serial
    )
}

/// The record at the foot of every page.
pub(in crate::report) fn page_foot(session: &str, entries: u64, code: Option<&str>) -> String {
    match code {
        Some(code) => say!("session {session} · {entries} entries · code {code}", session, entries, code),
        None => say!("session {session} · {entries} entries", session, entries),
    }
}

fn heading(level: u8, id: impl Into<String>, text: impl Into<String>) -> Block {
    Block::Heading { level, id: id.into(), text: super::model::shown(&text.into()) }
}

fn para(text: impl Into<Text>) -> Block {
    Block::Para(text.into())
}

fn quiet_para(text: &str) -> Block {
    Block::Para(Text::default().quiet(text))
}

fn notice(tone: Tone, text: impl Into<Text>) -> Block {
    Block::Notice { tone, text: text.into() }
}

/// "2026-11-25 09:14 [12]", with the number that it had in the earlier session.
fn when(mark: &Mark) -> Text {
    let carried = mark.carried_from.map(|entry| say!(", carried from [{entry}]", entry)).unwrap_or_default();
    Text::default().quiet(format!("{} [{}]{carried}", moment_of(&mark.when), mark.entry))
}

/// "TO 2026-11-25 09:14 [12]".
fn who_when(source: &Source<'_>, mark: &Mark) -> Text {
    Text::default()
        .quiet(format!("{} ", source.initials(&mark.by)))
        .joined(when(mark))
        .joined(from_paper(mark))
}

/// " · from paper, written 2026-11-24 by Edwin Hask, sheet K7Q2-M3XD-07 line 17".
fn from_paper(mark: &Mark) -> Text {
    match &mark.from_paper {
        Some(paper) => Text::default().quiet(format!(" · {}", local::from_paper(paper))),
        None => Text::default(),
    }
}

fn struck_words(struck: &StruckFacts) -> Text {
    Text::default().with("  ", Style::PLAIN).quiet(words::struck_by(
        struck.entry,
        &struck.when,
        &struck.by,
        &struck.why,
    ))
}

/// The text as it is, or struck through with who did that.
fn perhaps_struck(text: impl AsRef<str>, struck: Option<&StruckFacts>) -> Text {
    match struck {
        None => Text::plain(text),
        Some(by) => Text::struck(text).joined(struck_words(by)),
    }
}

/// Hashes are shown whole once, in the list of evidence, and by their first letters elsewhere.
fn short_hash(hash: &str) -> String {
    hash.chars().take(12).collect()
}

fn or_not_recorded(text: Option<&String>) -> String {
    text.cloned().unwrap_or_else(|| said(words::NOT_RECORDED).to_string())
}
