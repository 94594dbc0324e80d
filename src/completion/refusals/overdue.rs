//! 11: a directive or life-limited item is overdue or unanswered.

use super::{Context, Refusal, Subject};
use crate::airframe::{Airframe, Directive};
use crate::completion::answered::airframe_after;
use crate::completion::totals::{self, totals};
use crate::due::{Horizon, Reckoning, directive_reckoned, life_item_reckoned};
use crate::event::{DirectiveAnswer, LifeAnswer};
use crate::measure::life::{Counter, LifeError, Part, Usage};
use crate::words::{date, figure};

pub const NAME: &str = mark!("directive or life-limited item");
pub const DOC: &str = mark!(
    "Every directive and every life-limited item of the airframe is answered at the annual, and \
none of them is overdue at sign-off: no day has passed, and something is left of every counter, by whichever limit comes \
first. An overdue one keeps the airframe from being released; it can stand on the list of discrepancies (14 CFR 43.11(b)). \
Lives are judged against the higher of the airframe's record and the totals read at this annual; a total below the record \
needs a written note. So does one of which the record does not say enough to tell when it falls due. One that does not \
apply is answered, too, with the reason (AMC to ML.A.305)."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    let noted = context.state.step(totals::STEP).is_some_and(|step| !step.notes.is_empty());
    for why in totals::fallen(context.plan, context.state).into_iter().filter(|_| !noted) {
        let clears = say!("correct the reading, or write a note on the step why the record is wrong");
        found.push(refusal(Subject::Step(totals::STEP.to_string()), why, clears, false));
    }
    let judge = Judge::new(context);
    let airframe = &context.plan.airframe;
    for directive in &airframe.directives {
        let subject = Subject::Directive(directive.id.clone());
        if !context.state.directives.contains_key(&directive.id) {
            let mut why = say!("\"{}\" is unanswered", directive.title);
            if let Some(objection) = objection(airframe, directive) {
                why.push_str(&say!("; by the record {objection}", objection = objection));
            }
            let clears = say!("answer it: complied, not applicable, or not yet due");
            found.push(refusal(subject, why, clears, false));
        } else if let Some(why) = judge.directive(&directive.id) {
            found.push(why.refusal(subject, &directive.title, say!("comply with it and answer it again")));
        }
    }
    for item in &airframe.life_items {
        let subject = Subject::LifeItem(item.id.clone());
        if !context.state.life_items.contains_key(&item.id) {
            let why = say!("\"{}\" is unanswered", item.title);
            found.push(refusal(subject, why, say!("answer it: within its life, or replaced"), false));
        } else if let Some(why) = judge.life_item(&item.id) {
            found.push(why.refusal(subject, &item.title, say!("replace or overhaul it and answer it again")));
        }
    }
}

fn refusal(subject: Subject, why: String, clears: &str, release_only: bool) -> Refusal {
    Refusal { number: 11, name: NAME, subject, why, clears: clears.to_string(), release_only }
}

/// Why a directive does not apply by the record's own ranges: offered as the reason of the answer.
pub fn objection(airframe: &Airframe, directive: &Directive) -> Option<String> {
    directive.applicability.as_ref().filter(|_| !directive.applies)?.objection(airframe)
}

/// Everything overdue, with its id and words, for the list of discrepancies.
pub fn overdue(context: &Context<'_>) -> Vec<(String, String)> {
    let judge = Judge::new(context);
    let airframe = &context.plan.airframe;
    let of = |id: &str, title: &str, why: Option<Against>| match why {
        Some(Against::Overdue(words)) => {
            Some((id.to_string(), say!("\"{title}\" {words}", title = title, words = words)))
        }
        _ => None,
    };
    let directives =
        airframe.directives.iter().filter_map(|one| of(&one.id, &one.title, judge.directive(&one.id)));
    let items =
        airframe.life_items.iter().filter_map(|item| of(&item.id, &item.title, judge.life_item(&item.id)));
    directives.chain(items).collect()
}

/// What stands against an answer.
enum Against {
    Overdue(String),
    /// The record does not say enough, and no note says more.
    Unclear(String),
}

impl Against {
    fn refusal(self, subject: Subject, title: &str, clears: &str) -> Refusal {
        match self {
            Against::Overdue(words) => {
                refusal(subject, say!("\"{title}\" {words}", title = title, words = words), clears, true)
            }
            Against::Unclear(words) => {
                let why = say!(
                    "it cannot be told when \"{title}\" falls due: {words}",
                    title = title,
                    words = words
                );
                let clears =
                    say!("answer it again with a note how its due date was found, or correct the record");
                refusal(subject, why, clears, false)
            }
        }
    }
}

/// Judges answered papers by the record as it is once the answers are in it.
struct Judge<'a> {
    context: &'a Context<'a>,
    after: Airframe,
    now: Result<Usage, LifeError>,
}

impl<'a> Judge<'a> {
    fn new(context: &'a Context<'a>) -> Judge<'a> {
        let after = airframe_after(context.plan, context.state, context.today);
        let now = Horizon::of_record(&after, context.today).map(|horizon| horizon.now);
        Judge { context, after, now }
    }

    fn directive(&self, id: &str) -> Option<Against> {
        let answered = &self.context.state.directives.get(id)?.what;
        if answered.answer == DirectiveAnswer::NotApplicable {
            return None;
        }
        // A day that the answer itself names has passed, whatever else the record says.
        if let Some(due) = answered.next_due.filter(|due| *due < self.context.today) {
            return Some(Against::Overdue(say!("fell due on {due}", due = date(due))));
        }
        let directive = self.after.directives.iter().find(|directive| directive.id == id)?;
        let reckoned = self.now.and_then(|now| directive_reckoned(&self.after, directive, &now));
        self.against(reckoned, &answered.note)
    }

    fn life_item(&self, id: &str) -> Option<Against> {
        let answered = &self.context.state.life_items.get(id)?.what;
        let item = self.after.life_items.iter().find(|item| item.id == id)?;
        let reckoned = self.now.and_then(|now| life_item_reckoned(&self.after, item, &now));
        // Nobody knows the limits of what was fitted better than the note that says what it is.
        let is_new = answered.answer == LifeAnswer::Replaced;
        self.against(reckoned, &answered.note).filter(|why| !is_new || matches!(why, Against::Overdue(_)))
    }

    fn against(&self, reckoned: Result<Reckoning, LifeError>, note: &str) -> Option<Against> {
        let troubles = match reckoned {
            Ok(reckoned) => {
                if let Some(part) = reckoned.exhausted().next() {
                    return Some(Against::Overdue(self.overdue_words(part)));
                }
                reckoned.troubles
            }
            Err(error) => vec![error.to_string()],
        };
        (!troubles.is_empty() && note.trim().is_empty()).then(|| Against::Unclear(troubles.join("; ")))
    }

    fn overdue_words(&self, part: &Part) -> String {
        match part {
            Part::Calendar { due, .. } => say!("fell due on {due}", due = date(*due)),
            Part::Counted { counter, due_at, .. } => {
                let totals = totals(self.context.plan, self.context.state);
                let has = match counter {
                    Counter::Hours => format!("{} h", figure(totals.hours)),
                    Counter::Launches => totals.launches.to_string(),
                    Counter::Cycles => self.after.cycles.unwrap_or(0).to_string(),
                };
                let unit = if *counter == Counter::Hours { "h".to_string() } else { counter.to_string() };
                say!(
                    "fell due at {due_at} {unit}; the airframe has {has}",
                    due_at = figure(due_at),
                    unit = unit,
                    has = has
                )
            }
        }
    }
}
