//! Every entry understood, and every entry fitting to those before it.

use super::JOURNAL;
use super::report::{Fault, Found, KEEP, Report};
use crate::event::Event;
use crate::journal::{Entry, Verified};
use crate::plan::{Plan, Plans};
use crate::state::{Stamped, State};
use crate::words::said;

/// Entries as events, up to the first that is not understood.
pub(super) fn read(report: &mut Report, verified: &Verified<'_>) -> Vec<Event> {
    let mut events = Vec::with_capacity(verified.entries.len());
    for entry in &verified.entries {
        let event = Event::from_parts(&entry.kind, &entry.body).map_err(|error| error.to_string()).and_then(
            |event| {
                let opening = matches!(event, Event::Opened(_));
                match opening == (entry.seq == 0) {
                    true => Ok(event),
                    false => {
                        Err(say!("the opening entry stands at the beginning, and there alone").to_string())
                    }
                }
            },
        );
        match event {
            Ok(event) => events.push(event),
            Err(why) => {
                let next = say!(
                    "a newer version of the program may know this entry; else the record was made by another program"
                );
                wrong(report, mark!("understood"), verified, entry, why, next);
                return events;
            }
        }
    }
    report.add(mark!("understood"), Found::Good, say!("all {} entries are understood", events.len()));
    events
}

fn wrong(
    report: &mut Report,
    name: &'static str,
    verified: &Verified<'_>,
    entry: &Entry,
    why: String,
    next: &str,
) {
    let fault = Fault {
        file: JOURNAL.to_string(),
        entry: Some(entry.seq),
        byte: verified.start_of(entry.seq),
        stands: say!("an entry of kind {} of {}", entry.kind, entry.wall),
        should: why.clone(),
        next: next.to_string(),
    };
    report.bad(name, say!("entry {}: {why}", entry.seq, why), fault);
}

/// Folds the events over the plan as the program does. The state as far as it fits.
pub(super) fn fit(
    report: &mut Report,
    plans: Option<&Plans>,
    verified: &Verified<'_>,
    events: &[Event],
) -> State {
    let Some(plans) = plans else {
        report.add(
            mark!("replay"),
            Found::Unknown,
            say!("the entries cannot be held to a plan that is not the right one").to_string(),
        );
        return State::default();
    };
    let mut plan = plans.first();
    let mut state = State::new(plan);
    for (entry, event) in verified.entries.iter().zip(events) {
        if let Err(why) = step(&mut state, &mut plan, plans, entry, event) {
            wrong(report, mark!("replay"), verified, entry, why, said(KEEP));
            return state;
        }
    }
    let words = say!("all {} entries fit the plan and those before them", events.len());
    report.add(mark!("replay"), Found::Good, words);
    state
}

fn step<'a>(
    state: &mut State,
    plan: &mut &'a Plan,
    plans: &'a Plans,
    entry: &Entry,
    event: &Event,
) -> Result<(), String> {
    if let Event::PlanRevised(revised) = event {
        *plan = plans
            .of(&revised.plan)
            .ok_or(say!("the plan that it takes up is not there in the right form"))?;
    }
    let stamped = Stamped {
        entry: entry.seq,
        wall: entry.wall.clone(),
        mono_ms: entry.mono_ms,
        hash: entry.hash.to_string(),
        event: event.clone(),
    };
    state.apply(plan, &stamped).map_err(|fault| fault.why)
}
