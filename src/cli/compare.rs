//! `compare` and `compare-plans`: two sessions or two plans of a hangar, found and set beside each other.

use clap::Args;

use super::compare_plans_text;
use super::compare_text;
use super::output::{Failure, Output, exit};
use crate::audit::compare::{Side, compare_plans, compare_sessions, last_time};
use crate::forward::failed_before;
use crate::hangar::{Hangar, Viewing, earlier_annual, find_session, plan_in_force, preview};
use crate::plan::Plan;
use crate::screen::desk::Earlier;
use crate::words::date;

#[derive(Debug, Args)]
pub struct CompareArgs {
    /// The annual to look at; with a second session, the earlier of the two.
    pub session: String,
    /// The later session. Without it, SESSION is compared with the last signed annual of the same airframe before it,
    /// else with the newest one before it.
    pub later: Option<String>,
    /// As JSON, for other programs.
    #[arg(long)]
    pub json: bool,
    /// Leave out what stayed the same.
    #[arg(long)]
    pub changes_only: bool,
}

/// Compare two plans step by step: new, gone and changed steps, and what an answer already given no longer answers.
///
/// A plan is named by a session's id, its beginning, or a registration for the newest session. SESSION alone is the plan
/// that holds now; SESSION@N is the plan that held at entry N; SESSION@now is the plan that an annual of that airframe
/// would get now.
#[derive(Debug, Args)]
pub struct ComparePlansArgs {
    /// The plan before.
    #[arg(value_name = "SESSION[@N|@now]")]
    pub before: String,
    /// The plan after; without it, the one that an annual of the same airframe would get now.
    #[arg(value_name = "SESSION[@N|@now]")]
    pub after: Option<String>,
    /// As JSON, for other programs.
    #[arg(long)]
    pub json: bool,
}

pub fn sessions(hangar: &Hangar, args: &CompareArgs, out: &mut Output) -> Result<u8, Failure> {
    let first = open(hangar, &args.session)?;
    let (then, now) = match &args.later {
        Some(later) => (first, open(hangar, later)?),
        None => (earlier(hangar, &first)?, first),
    };
    if then.sid == now.sid {
        return Err(Failure::usage(say!("both words name the same session; name two, or one alone")));
    }
    let code = told_damage(&[&then, &now], out);
    let (then_label, now_label) = (label(&then), label(&now));
    let mut difference = compare_sessions(side(&then, &then_label), side(&now, &now_label));
    if args.changes_only {
        difference.keep_changes();
    }
    if args.json {
        let damaged = [&then, &now].map(|view| (view.sid.clone(), view.integrity.clone()));
        out.json(&compare_text::json(&difference, &damaged));
    } else {
        out.text(&compare_text::text(&difference, args.changes_only));
    }
    Ok(code)
}

fn open(hangar: &Hangar, word: &str) -> Result<Viewing, Failure> {
    let sid = find_session(hangar, word)?;
    Ok(Viewing::open(hangar, &sid)?)
}

fn earlier(hangar: &Hangar, now: &Viewing) -> Result<Viewing, Failure> {
    let registration = &now.plan.airframe.registration;
    earlier_annual(hangar, now).ok_or_else(|| {
        if let Some(before) = now.state.opened.as_ref().and_then(|told| told.what.continues.as_ref()) {
            return Failure::failed(say!("session {} continues {1}, which is the same annual, and this hangar has none before that; set the two \
                 beside each other with: spanwise compare {1} {0}", short(&now.sid), format_args!("{:.12}", before.sid)));
        }
        Failure::failed(say!("this hangar has no annual of {registration} before session {}; name another session to compare with, \
             such as one of a sister airframe: spanwise compare <session> {registration}", short(&now.sid), registration))
    })
}

/// What the annual before says of each step, for the screens; read once when a session is opened.
pub(super) fn earlier_steps(then: &Viewing) -> Earlier {
    let label = label(then);
    let steps = last_time(side(then, &label));
    let failed = failed_before(&then.plan, &then.state);
    let failed = failed.into_iter().map(|failed| (failed.step, failed.how.to_string())).collect();
    Earlier { label, steps, failed }
}

/// "annual of 2025-11-20", by the sign-off, else by its beginning.
fn label(view: &Viewing) -> String {
    let state = &view.state;
    let begun = state.opened.as_ref().map(|told| told.stamp.short()).unwrap_or_default();
    match &state.signed {
        Some(signed) => say!("annual signed on {}", date(signed.what.date)),
        None if !view.integrity.is_empty() => {
            say!("annual begun on {begun}, damaged: whether it was signed cannot be told", begun)
        }
        None => say!("annual begun on {begun}, not signed", begun),
    }
}

fn side<'a>(view: &'a Viewing, label: &'a str) -> Side<'a> {
    Side { plan: &view.plan, state: &view.state, sid: &view.sid, label }
}

fn short(sid: &str) -> &str {
    sid.get(..12).unwrap_or(sid)
}

/// Tells every damage, and what the comparison is worth then.
fn told_damage(views: &[&Viewing], out: &mut Output) -> u8 {
    let mut code = exit::DONE;
    for view in views {
        for problem in &view.integrity {
            out.error(&say!(
                "the record of session {} is damaged: {problem}; it is compared as far as it verifies",
                short(&view.sid),
                problem
            ));
            code = exit::DAMAGED;
        }
    }
    code
}

pub fn plans(hangar: &Hangar, args: &ComparePlansArgs, out: &mut Output) -> Result<u8, Failure> {
    let before = Named::read(hangar, &args.before)?;
    let after = match &args.after {
        Some(word) => Named::read(hangar, word)?,
        None => Named::now(hangar, &before.plan.airframe.registration)?,
    };
    let difference = compare_plans(&before.plan, &after.plan);
    if args.json {
        out.json(&serde_json::json!({
            "before": before.words, "after": after.words, "difference": difference,
        }));
    } else {
        out.text(&compare_plans_text::text(
            &before.words,
            &before.plan,
            &after.words,
            &after.plan,
            &difference,
        ));
    }
    let views: Vec<&Viewing> =
        [&before, &after].into_iter().filter_map(|named| named.view.as_ref()).collect();
    Ok(told_damage(&views, out))
}

/// A plan as a person named it.
struct Named {
    words: String,
    plan: Plan,
    /// The session it comes from.
    view: Option<Viewing>,
}

impl Named {
    /// `SESSION`, `SESSION@N` or `SESSION@now`.
    fn read(hangar: &Hangar, word: &str) -> Result<Named, Failure> {
        let Some((session, at)) = word.rsplit_once('@') else {
            let view = open(hangar, word)?;
            let words = say!("plan of session {} of {}", short(&view.sid), view.plan.airframe.registration);
            return Ok(Named { words, plan: view.plan.clone(), view: Some(view) });
        };
        if at == "now" {
            // The registration itself names the airframe, with or without a session.
            let known = hangar.airframe(session).is_ok();
            let registration = match known {
                true => session.to_string(),
                false => open(hangar, session)?.plan.airframe.registration,
            };
            return Named::now(hangar, &registration);
        }
        let entry: u64 = at.parse().map_err(|_| {
            Failure::usage(&say!("\"{word}\": after @ stands the number of an entry, or now; such as {session}@12 or {session}@now", word, session))
        })?;
        let view = open(hangar, session)?;
        let plan = plan_in_force(&view, entry)?.clone();
        let words = say!(
            "plan of session {} of {} at entry {entry}",
            short(&view.sid),
            view.plan.airframe.registration,
            entry
        );
        Ok(Named { words, plan, view: Some(view) })
    }

    fn now(hangar: &Hangar, registration: &str) -> Result<Named, Failure> {
        let plan = preview(hangar, registration)?;
        let words = say!("plan that an annual of {} would get now", plan.airframe.registration);
        Ok(Named { words, plan, view: None })
    }
}
