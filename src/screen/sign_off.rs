//! Sign-off: both outcomes with their exact statement, and every reason that stands against them.

use chrono::NaiveDate;
use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::list::Row;
use super::look::Look;
use super::text::Page;
use crate::completion::Refusal;
use crate::completion::refusals::ALL;
use crate::event::Outcome;
use crate::seal::key_id;
use crate::signoff::statement;
use crate::words::{Language, current, figure, said};

#[derive(Clone, Copy)]
pub enum Item<'a> {
    Outcome(Outcome),
    Refusal(&'a Refusal),
}

pub fn items<'a>(view: &SessionView<'a>) -> Vec<Item<'a>> {
    let outcomes = [Item::Outcome(Outcome::Release), Item::Outcome(Outcome::NotAirworthy)];
    if view.state.signed.is_some() {
        return outcomes.into_iter().filter(|item| is_signed(view, item)).collect();
    }
    outcomes.into_iter().chain(view.verdict.refusals().iter().map(Item::Refusal)).collect()
}

fn is_signed(view: &SessionView<'_>, item: &Item<'_>) -> bool {
    let signed = view.state.signed.as_ref().map(|told| told.what.outcome);
    matches!(item, Item::Outcome(outcome) if Some(*outcome) == signed)
}

pub fn rows(view: &SessionView<'_>, look: Look) -> Vec<Row> {
    let mut rows = vec![Row::heading(look, say!("Outcomes"))];
    let mut number = 0;
    for (index, item) in items(view).iter().enumerate() {
        match item {
            Item::Outcome(outcome) => rows.push(Row::item(index, outcome_parts(view, *outcome, look))),
            Item::Refusal(refusal) => {
                if refusal.number != number {
                    number = refusal.number;
                    let same = view.verdict.refusals().iter().filter(|other| other.number == number).count();
                    rows.push(Row::heading(look, &format!("{number} · {} ({same})", said(refusal.name))));
                }
                let (sign, style) =
                    if refusal.release_only { ("»", look.doubt()) } else { ("✗", look.bad()) };
                rows.push(Row::item(
                    index,
                    vec![(format!("{sign} "), style), (refusal.why.clone(), Style::new())],
                ));
            }
        }
    }
    rows
}

fn outcome_parts(view: &SessionView<'_>, outcome: Outcome, look: Look) -> Vec<(String, Style)> {
    let name = match outcome {
        Outcome::Release => say!("Release: airworthy"),
        Outcome::NotAirworthy => say!("Completed, not airworthy, with discrepancies"),
    };
    let (sign, word, style) = if view.state.signed.is_some() {
        ("✓", say!("SIGNED").to_string(), look.good())
    } else if view.verdict.allows(outcome) {
        ("✓", say!("can be signed").to_string(), look.good())
    } else {
        let against = view.verdict.against(outcome).count();
        let word = if against == 0 {
            say!("no discrepancy to list").to_string()
        } else {
            say!("refused, {n} reason" | "refused, {n} reasons" % against)
        };
        ("✗", word, look.bad())
    };
    vec![(format!("{sign} {name}: "), style), (word, style)]
}

pub fn detail(
    view: &SessionView<'_>,
    today: NaiveDate,
    signer: Option<&str>,
    at: usize,
    look: Look,
    width: usize,
) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    match items(view).get(at) {
        Some(Item::Outcome(outcome)) => outcome_detail(&mut page, view, today, signer, *outcome),
        Some(Item::Refusal(refusal)) => {
            page.text(look.strong(), &format!("{} · {}", refusal.number, said(refusal.name)));
            page.hanging(look.bad(), "✗ ", &refusal.why);
            page.field(say!("about"), &refusal.subject.words());
            page.field(say!("clears"), &refusal.clears);
            if refusal.release_only {
                page.plain(say!("It stands against a release only; \"completed, not airworthy\" can be signed all the same."));
            }
            page.text(look.quiet(), say!("Enter goes to it."));
            if let Some(check) = ALL.iter().find(|check| check.number == refusal.number) {
                page.gap();
                page.text(look.quiet(), said(check.doc));
            }
        }
        None => {}
    }
    page.lines
}

/// The statement goes into the record in English. Who reads another language finds below it what it says.
fn statement_in_words(page: &mut Page, outcome: Outcome) {
    if current() == Language::English {
        return;
    }
    let words = match outcome {
        Outcome::Release => say!(
            "The English wording is what is signed. It says: inspected as an annual inspection demands, and found in airworthy \
             condition."
        ),
        Outcome::NotAirworthy => say!(
            "The English wording is what is signed. It says: inspected as an annual inspection demands; a list of \
             discrepancies and unairworthy items is given to the owner or operator."
        ),
    };
    page.text(page.look.quiet(), words);
}

fn outcome_detail(
    page: &mut Page,
    view: &SessionView<'_>,
    today: NaiveDate,
    signer: Option<&str>,
    outcome: Outcome,
) {
    let look = page.look;
    if let Some(told) = &view.state.signed {
        page.text(look.good(), &say!("✓ signed: {}", said(told.what.outcome.word())));
        page.plain(&format!("“{}”", told.what.statement));
        statement_in_words(page, told.what.outcome);
        page.field(say!("by"), &format!("{}, {}", told.stamp.by.name, told.what.certificate));
        page.field(say!("authorisation"), &told.what.authorisation);
        page.field(say!("signature" => "on"), &told.stamp.short());
        page.field(say!("airframe"), &say!("{} h, {} launches", figure(told.what.hours), told.what.launches));
        for item in &told.what.discrepancies {
            page.hanging(Style::new(), "· ", &format!("{}: {}", item.from, item.text));
        }
        if let Some(id) = told.what.seal.as_ref().and_then(|seal| key_id(&seal.key).ok()) {
            page.field(say!("signature" => "key"), &id.to_string());
        }
        for added in &view.state.countersigned {
            let word = if added.what.agrees { say!("countersigned") } else { say!("NOT AGREED") };
            page.field(
                word,
                &format!("{}, {} {}", added.stamp.by.name, added.stamp.short(), added.what.note),
            );
        }
        page.text(look.quiet(), say!("Enter: a second person countersigns."));
        return;
    }
    page.text(look.strong(), say!("The statement that would be signed"));
    page.plain(&format!("“{}”", statement(outcome, today)));
    statement_in_words(page, outcome);
    page.field(say!("signer"), signer.unwrap_or(say!("nobody is named; w chooses who works")));
    if outcome == Outcome::NotAirworthy {
        page.head(say!("Discrepancies"));
        if view.verdict.discrepancies().is_empty() {
            page.plain(say!("none; without one there is nothing to hand to the owner"));
        }
        for item in view.verdict.discrepancies() {
            page.hanging(Style::new(), "· ", &format!("{}: {}", item.from, item.text));
        }
    }
    page.gap();
    if view.verdict.allows(outcome) {
        page.text(look.good(), say!("✓ Enter begins the signing; the registration has to be typed."));
    } else {
        let against = view.verdict.against(outcome).count();
        let text = say!(
            "cannot be signed: {n} reason stands in the list"
                | "cannot be signed: {n} reasons stand in the list" % against
        );
        page.hanging(look.bad(), "✗ ", &text);
    }
    page.gap();
    page.text(
        look.quiet(),
        say!("The program judges completeness, not the airframe. The type's manual, the local rules and the licensed person decide."),
    );
}
