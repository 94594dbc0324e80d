//! `status`: what is open, and whether the sign-off is possible.

use std::fmt::Write as _;

use chrono::NaiveDate;
use serde_json::{Value, json};

use crate::completion::Verdict;
use crate::event::Outcome;
use crate::plan::Plan;
use crate::state::{State, grounding};
use crate::words::said;

pub fn text(
    sid: &str,
    plan: &Plan,
    state: &State,
    verdict: &Verdict,
    outcome: Outcome,
    today: NaiveDate,
) -> String {
    let mut out = String::new();
    let answered = plan.steps.iter().filter(|step| !state.standing(&step.step.id).is_open()).count();
    let _ = writeln!(
        out,
        "{}",
        say!(
            "{} ({}), session {}: {answered} of {} steps answered, {} mandatory open",
            plan.airframe.registration,
            plan.airframe.type_id,
            sid.get(..12).unwrap_or(sid),
            plan.steps.len(),
            state.open_mandatory(plan).count(),
            answered = answered
        )
    );
    for why in grounding(state, today) {
        let _ = writeln!(out, "{}", say!("NOT AIRWORTHY: {why}", why = why));
    }
    if let Some(signed) = &state.signed {
        let _ = writeln!(
            out,
            "{}",
            say!(
                "Signed off {} by {}: {}.",
                signed.stamp.short(),
                signed.stamp.by.name,
                said(signed.what.outcome.word())
            )
        );
        return out;
    }
    if state.paused.is_some() {
        let _ = writeln!(out, "{}", say!("The session is paused."));
    }
    let against: Vec<_> = verdict.against(outcome).collect();
    if verdict.allows(outcome) {
        let _ = writeln!(out, "{}", say!("Nothing stands against the sign-off ({}).", said(outcome.word())));
        return out;
    }
    let _ = match against.len().max(1) {
        1 => writeln!(out, "{}", say!("The sign-off ({}) is refused for one reason:", said(outcome.word()))),
        many => writeln!(
            out,
            "{}",
            say!("The sign-off ({}) is refused for {many} reasons:", said(outcome.word()), many = many)
        ),
    };
    let mut last = 0;
    for refusal in against {
        if refusal.number != last {
            let _ = writeln!(out, "{:>2}. {}", refusal.number, said(refusal.name));
            last = refusal.number;
        }
        let _ = writeln!(out, "    {}: {}", refusal.subject.words(), refusal.why);
        let _ = writeln!(out, "      {}", say!("clears it: {}", refusal.clears));
    }
    if outcome == Outcome::NotAirworthy && verdict.discrepancies().is_empty() {
        let _ = writeln!(out, "    {}", say!("no discrepancy is open, so there is no list to hand over"));
    }
    if outcome == Outcome::Release && verdict.allows(Outcome::NotAirworthy) {
        let _ = writeln!(
            out,
            "{}",
            say!(
                "It can be signed as: {}, with the list of discrepancies.",
                said(Outcome::NotAirworthy.word())
            )
        );
    }
    out
}

pub fn json(sid: &str, plan: &Plan, state: &State, verdict: &Verdict, today: NaiveDate) -> Value {
    let answered = plan.steps.iter().filter(|step| !state.standing(&step.step.id).is_open()).count();
    json!({
        "session": sid,
        "registration": plan.airframe.registration,
        "steps": plan.steps.len(),
        "answered": answered,
        "open_mandatory": state.open_mandatory(plan).collect::<Vec<_>>(),
        "paused": state.paused.is_some(),
        "grounded": !grounding(state, today).is_empty(),
        "grounding": grounding(state, today),
        "signed": state.signed.as_ref().map(|told| &told.what),
        "release_possible": state.signed.is_none() && verdict.allows(Outcome::Release),
        "not_airworthy_possible": state.signed.is_none() && verdict.allows(Outcome::NotAirworthy),
        "refusals": verdict.refusals(),
        "discrepancies": verdict.discrepancies(),
        "entries": state.entries,
        "head": state.head,
    })
}
