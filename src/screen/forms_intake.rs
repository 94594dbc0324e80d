//! Forms around reports, as they are when first opened, and what they ask for when filled.

use chrono::NaiveDate;

use super::desk::{ReportWish, Wish};
use super::field::Field;
use super::form::{Form, Problem};
use super::purpose::Purpose;
use super::reading::date;
use crate::vocabulary::kind_words;

pub fn new_report(kind: &str, today: NaiveDate) -> Form {
    Form::new(Purpose::NewReport { kind: kind.to_string() }, say!("New report: {}", kind_words(kind)))
        .intro(say!("It is written into the airframe's record at once. What changes in the plan is shown then, and taken up by the certifier."))
        .field(Field::text("text", say!("what was reported, in the pilot's own words"), ""))
        .field(Field::text("date", say!("when, as 2026-11-25"), today.to_string()))
        .field(Field::text("by", say!("by whom"), ""))
        .field(
            Field::text("modules", say!("further modules"), "")
                .hint(say!("ids joined by commas, besides those that the kind selects; may stay empty")),
        )
}

/// So that the first line, which tells the report, stays on a small screen; the command line shows all.
const LINES_SHOWN: usize = 7;

pub fn take_up(lines: &[String]) -> Form {
    let mut form = Form::new(Purpose::TakeUp, say!("Take up the changed plan?")).intro(say!(
        "Answers to unchanged steps hold; new and changed ones are to be worked. The certifier decides."
    ));
    for line in lines.iter().take(LINES_SHOWN) {
        form = form.intro(line.clone());
    }
    if lines.len() > LINES_SHOWN {
        form = form.intro(say!(
            "… and {n} further line; the plan that is taken up shows them"
                | "… and {n} further lines; the plan that is taken up shows them" % lines.len() - LINES_SHOWN
        ));
    }
    form.field(
        Field::text("why", say!("why it is taken up (Esc leaves the plan as it is)"), "")
            .hint(say!("a report that selects no step is set aside in writing afterwards (Enter on it)")),
    )
}

/// The wish of a filled form; `None` where it is none of these forms.
pub fn wish_of(form: &Form) -> Option<Result<Wish, Problem>> {
    match &form.purpose {
        Purpose::NewReport { kind } => Some(report(form, kind)),
        Purpose::TakeUp => Some(match form.given("why") {
            Some(why) => Ok(Wish::TakeUp { why }),
            None => Err(Problem::new(say!("no reason is given"), say!("write why the plan changes"))),
        }),
        _ => None,
    }
}

fn report(form: &Form, kind: &str) -> Result<Wish, Problem> {
    let Some(text) = form.given("text") else {
        return Err(Problem::new(
            say!("the report says nothing"),
            say!("write what was reported, in the pilot's own words"),
        ));
    };
    let Some(day) = form.given("date") else {
        return Err(Problem::new(say!("the day is missing"), say!("type when it happened or was reported")));
    };
    let modules = form.given("modules").unwrap_or_default();
    Ok(Wish::NewReport(ReportWish {
        kind: kind.to_string(),
        date: date(&day, say!("the day"))?,
        by: form.text("by"),
        text,
        modules: modules
            .split(',')
            .map(str::trim)
            .filter(|part| !part.is_empty())
            .map(str::to_string)
            .collect(),
    }))
}
