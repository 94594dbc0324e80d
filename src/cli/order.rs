//! `order`: the open steps in the order with the least changing of the configuration.

use super::args::OrderArgs;
use super::order_text;
use super::output::{Failure, Output, exit};
use crate::checklist::Configuration;
use crate::hangar::{Hangar, Viewing, find_session, preview, unfinished_annual};
use crate::order::{Task, hangar_order};
use crate::plan::Plan;

/// Orders what is open in a session, or the plan that an annual would get.
pub fn order(hangar: &Hangar, args: &OrderArgs, out: &mut Output) -> Result<u8, Failure> {
    let from = match args.from.as_deref().map(Configuration::parse).transpose() {
        Ok(from) => from.unwrap_or_default(),
        Err(why) => return Err(Failure::usage(&say!("--from: {why}", why = why))),
    };
    let (session, plan, mut task) = task_of(hangar, &args.what)?;
    task.confirmed.overlay(&from);
    task.people = args.people;
    let order = hangar_order(&plan, &task).map_err(Failure::failed)?;
    if args.json {
        out.json(&serde_json::json!({
            "session": session,
            "registration": plan.airframe.registration,
            "order": order,
        }));
    } else {
        out.text(&order_text::text(session.as_deref(), &plan.airframe.registration, &order));
    }
    Ok(exit::DONE)
}

/// A registration means its unfinished annual; without one, the plan that an annual would get. Else it is a session.
pub(super) fn task_of(hangar: &Hangar, word: &str) -> Result<(Option<String>, Plan, Task), Failure> {
    let running = unfinished_annual(hangar, word).map(|summary| summary.sid);
    if running.is_none() && hangar.airframe(word).is_ok() {
        let plan = preview(hangar, word)?;
        let task = Task::of_plan(&plan);
        return Ok((None, plan, task));
    }
    let sid = match running {
        Some(sid) => sid,
        None => find_session(hangar, word)?,
    };
    let view = Viewing::open(hangar, &sid)?;
    if !view.integrity.is_empty() {
        return Err(Failure::damaged(say!(
            "the record is damaged: {}; see spanwise verify {word}",
            view.integrity.join("; "),
            word = word
        )));
    }
    if view.state.signed.is_some() {
        return Err(Failure::refused(say!(
            "this session is signed off, so no step is left to order; for the next annual give the registration: spanwise order {}",
            view.plan.airframe.registration
        )));
    }
    let task = Task::of_session(&view.plan, &view.state);
    Ok((Some(sid), view.plan, task))
}
