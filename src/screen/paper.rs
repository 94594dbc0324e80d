//! "From paper": the lines of a printed worksheet in its order, one row each, as they are typed in.

use super::desk::Desk;
use super::field::{Entry, Field};
use super::form::{Form, Problem};
use super::purpose::Purpose;
use crate::checklist::configuration_words;
use crate::paper::words::{self, screen};
use crate::paper::{Line, LineOf, Passage, Typed, label_of, written};
use crate::plan::Plan;
use crate::state::State;
use crate::words::{date, of_checklist, said};

/// Name of every row's field; its label begins with the line's.
pub const ROW: &str = "row";
/// Rows at the end for what belongs to no line.
const FREE_ROWS: usize = 3;

/// What has to be told before the rows: which sheet, who wrote on it, when. What was entered last stands in it.
pub fn head(desk: &dyn Desk) -> Form {
    let view = desk.session();
    let last = view.as_ref().and_then(|view| view.entries.iter().rev().find_map(|told| told.event.paper()));
    let people = &desk.hangar().people;
    let names = people.iter().map(|person| format!("{} ({})", person.name, said(&person.role))).collect();
    let working = desk.person().map(|person| person.id.as_str());
    let writer = last.map(|paper| paper.written_by.id.as_str()).or(working);
    let at = people.iter().position(|person| Some(person.id.as_str()) == writer);
    let (code, day) = match last {
        Some(paper) => (paper.sheet.clone(), paper.written()),
        None => (String::new(), desk.today().to_string()),
    };
    Form::new(Purpose::PaperHead, said(screen::HEAD_TITLE))
        .intro(said(screen::HEAD_INTRO))
        .field(Field::text("sheet", said(screen::SHEET), code).hint(said(screen::SHEET_HINT)))
        .field(Field::choice("writer", said(screen::WRITER), names, at).hint(said(screen::WRITER_HINT)))
        .field(Field::text("written", said(screen::WRITTEN), day).hint(said(screen::WRITTEN_HINT)))
        .field(
            Field::choice(
                "accept",
                said(screen::ACCEPT),
                screen::ACCEPT_WORDS.map(|word| said(word).to_string()).to_vec(),
                Some(0),
            )
            .hint(said(screen::ACCEPT_HINT)),
        )
}

/// What the head tells, with the sheet found in the record.
pub fn passage(form: &Form, desk: &dyn Desk) -> Result<Passage, Problem> {
    let sheet = desk.sheet(&form.text("sheet")).map_err(|fault| Problem::new(fault.why, fault.next))?;
    let writer = form.chosen("writer").and_then(|at| desk.hangar().people.get(at)).cloned();
    let Some(written_by) = writer else {
        return Err(Problem::new(said(screen::NO_WRITER), said(screen::NO_WRITER_NEXT)));
    };
    let (written_on, written_at) =
        written(&form.text("written")).map_err(|why| Problem::new(why, said(screen::WRITTEN_HINT)))?;
    let accept = form.chosen("accept") == Some(1);
    let passage = Passage { sheet, written_by, written_on, written_at, accept };
    let checked = desk.check_paper(&passage, &[]);
    match checked.and_then(|checked| checked.against_all.into_iter().next()) {
        Some(fault) => Err(Problem::new(fault.why, fault.next)),
        None => Ok(passage),
    }
}

/// One row for each line of the sheet, and some of no line.
pub fn rows(passage: Passage, state: &State) -> Form {
    let sheet = &passage.sheet;
    let mut form = Form::new(Purpose::FromPaper { sheet: sheet.code.to_string() }, title(&passage));
    for line in &sheet.lines {
        let field = Field::text(ROW, label(line, &sheet.plan), "");
        form.fields.push(field.hint(recorded(line, state).unwrap_or_default()));
    }
    for number in 1..=FREE_ROWS {
        form.fields.push(Field::text(ROW, format!("-{number} {}", said(screen::FREE)), ""));
    }
    form.paper = Some(Box::new(passage));
    form
}

/// What the record has of this line when the form is opened.
fn recorded(line: &Line, state: &State) -> Option<String> {
    match &line.of {
        LineOf::Block { .. } => None,
        LineOf::Step { step } => {
            let standing = state.standing(step);
            (!standing.is_open()).then(|| format!("{} {}", said(screen::RECORDED), said(standing.word())))
        }
        LineOf::Measure { step, measure } => {
            let taken = state.step(step)?.readings_of(measure).count();
            (taken > 0).then(|| format!("{} {taken}", said(screen::RECORDED)))
        }
    }
}

/// Sheet, who wrote it and when.
pub fn title(passage: &Passage) -> String {
    let written = match passage.written_at {
        Some(at) => format!("{} {}", date(passage.written_on), at.format("%H:%M")),
        None => date(passage.written_on),
    };
    say!(
        "From paper: sheet {}, written {written} by {}",
        passage.sheet.code,
        passage.written_by.name,
        written
    )
}

fn label(line: &Line, plan: &Plan) -> String {
    let about = match &line.of {
        LineOf::Block { configuration } => {
            format!("{} {}", said(screen::STANDS), configuration_words(configuration))
        }
        LineOf::Step { step } => {
            plan.step(step).map(|planned| of_checklist(&planned.step.title).to_string()).unwrap_or_default()
        }
        LineOf::Measure { .. } => {
            line.measure(plan).map(|measure| of_checklist(&measure.title).to_string()).unwrap_or_default()
        }
    };
    format!("{} {about}", line.label)
}

/// The field's row as the command takes it: "17 p". Nothing where nothing is typed.
pub fn row_text(field: &Field) -> Option<String> {
    let Entry::Text(input) = &field.entry else { return None };
    let typed = input.value().trim();
    let (label, _) = label_of(&field.label);
    let label = if label.starts_with('-') { "-" } else { label };
    (!typed.is_empty()).then(|| format!("{label} {typed}"))
}

/// Everything typed, each numbered by its field from 1.
pub fn typed(form: &Form) -> Vec<Typed> {
    let rows = form.fields.iter().enumerate();
    rows.filter_map(|(at, field)| Some(Typed { number: at + 1, text: row_text(field)? })).collect()
}

/// What may be typed into a row.
pub fn hint(form: &Form, at: usize) -> String {
    let Some(passage) = &form.paper else { return String::new() };
    let plan = &passage.sheet.plan;
    match passage.sheet.lines.get(at) {
        None => said(screen::FREE_HINT).to_string(),
        Some(line) => match (&line.of, line.measure(plan)) {
            (LineOf::Block { .. }, _) => said(screen::BLOCK_HINT).to_string(),
            (_, Some(measure)) => {
                let unit =
                    measure.unit().map(|unit| unit.symbol()).filter(|unit| *unit != measure.kind_word());
                let kind = said(measure.kind_word());
                let kind = unit.map_or(kind.to_string(), |unit| say!("{kind} in {unit}", kind, unit));
                format!("{kind} · {}", super::reading::limit_line(measure))
            }
            (_, None) => said(words::NEXT_KEY).to_string(),
        },
    }
}
