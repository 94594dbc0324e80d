//! Progress, and time worked against the minutes that the checklist plans. An estimate, and told as one.

use chrono::{DateTime, Duration, FixedOffset};

use super::app::{App, Overlay};
use super::desk::{Desk, SessionView};
use super::pick::{Pick, Then};
use crate::audit::replay::Elapsed;
use crate::event::Event;
use crate::state::{Stamped, instant};

const MINUTE_MS: i64 = 60_000;
/// So many planned minutes must be answered before a pace is told. Common practice, no source.
const TELLING_MINUTES: i64 = 15;
/// What is longer is no longer one day's work, and a time of day would mislead. Common practice, no source.
const DAY_MINUTES: i64 = 600;

/// Where the work stands. Minutes are the checklist's, milliseconds those that passed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Pace {
    pub mandatory: usize,
    pub mandatory_answered: usize,
    pub optional: usize,
    pub optional_answered: usize,
    pub answered_minutes: i64,
    pub open_minutes: i64,
    /// Of the open minutes those of optional steps.
    pub open_optional_minutes: i64,
}

/// Counts steps and minutes of the plan.
pub fn pace(view: &SessionView<'_>) -> Pace {
    let mut found = Pace::default();
    for planned in &view.plan.steps {
        let step = &planned.step;
        let is_open = view.state.standing(&step.id).is_open();
        let minutes = i64::from(step.minutes);
        let (all, answered) = if step.mandatory {
            (&mut found.mandatory, &mut found.mandatory_answered)
        } else {
            (&mut found.optional, &mut found.optional_answered)
        };
        *all += 1;
        *answered += usize::from(!is_open);
        if is_open {
            found.open_minutes += minutes;
            found.open_optional_minutes += if step.mandatory { 0 } else { minutes };
        } else {
            found.answered_minutes += minutes;
        }
    }
    found
}

/// Milliseconds from the first entry to the last. Left out: pauses, the time between two runs of the program,
/// and what a clock that was set back hides.
pub fn worked_ms(entries: &[Stamped]) -> i64 {
    let mut sum = 0;
    let mut is_paused = false;
    for (before, now) in entries.iter().zip(entries.iter().skip(1)) {
        match before.event {
            Event::Paused { .. } => is_paused = true,
            Event::Resumed { .. } => is_paused = false,
            _ => {}
        }
        if !is_paused && !matches!(now.event, Event::RunStarted(_)) {
            sum += Elapsed::between(before, now).map_or(0, |elapsed| elapsed.ms.max(0));
        }
    }
    sum
}

/// `0 min`, `45 min`, `3 h 05 min`.
pub fn hours(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, minutes) => format!("{hours} h {minutes:02} min"),
    }
}

/// For the head, where it is wide.
pub fn short(view: &SessionView<'_>) -> String {
    let pace = pace(view);
    say!(
        "{} of {} answered, {} planned for the rest",
        pace.mandatory_answered,
        pace.mandatory,
        hours(pace.open_minutes)
    )
}

/// Everything, a paragraph each.
pub fn words(view: &SessionView<'_>) -> Vec<String> {
    let pace = pace(view);
    let worked = worked_ms(view.entries) / MINUTE_MS;
    let last = view.entries.last().and_then(|stamped| instant(&stamped.wall));
    let mut told = vec![say!(
        "Mandatory steps: {} of {} answered. Optional steps: {} of {}.",
        pace.mandatory_answered,
        pace.mandatory,
        pace.optional_answered,
        pace.optional
    )];
    let optional = match pace.open_optional_minutes {
        0 => String::new(),
        minutes => say!(" (optional ones {} of that)", hours(minutes)),
    };
    told.push(say!(
        "By the checklist's minutes: {} for what is answered, {}{optional} for what is open.",
        hours(pace.answered_minutes),
        hours(pace.open_minutes),
        optional
    ));
    let until = last.map_or(String::new(), |last| say!(" up to the last entry at {}", clock(last, last)));
    told.push(say!(
        "Worked: {}{until}. Pauses and the time between two runs of the program are left out.",
        hours(worked),
        until
    ));
    let over = worked - pace.answered_minutes;
    told.push(match over {
        0 => say!("That is as long as the checklist plans for what is answered.").to_string(),
        1.. => say!("That is {} more than the checklist plans for what is answered.", hours(over)),
        _ => say!("That is {} less than the checklist plans for what is answered.", hours(-over)),
    });
    told.extend(end(view, &pace, worked, last));
    told.push(
        say!("The minutes are an estimate by the checklist's author. Waiting for help, changing the configuration, defects and their rectification are not in them.")
            .to_string(),
    );
    told
}

/// When it would end: only of a session that goes on.
fn end(
    view: &SessionView<'_>,
    pace: &Pace,
    worked: i64,
    last: Option<DateTime<FixedOffset>>,
) -> Option<String> {
    if view.state.signed.is_some() || view.read_only.is_some() || pace.open_minutes == 0 {
        return None;
    }
    let at_this_pace = (pace.answered_minutes >= TELLING_MINUTES && worked > 0)
        .then(|| pace.open_minutes.saturating_mul(worked) / pace.answered_minutes);
    if view.state.paused.is_some() {
        let other =
            at_this_pace.map_or(String::new(), |minutes| say!(", or {} at the pace so far", hours(minutes)));
        return Some(say!(
            "Paused. Once resumed, {} are left by the checklist's minutes{other}.",
            hours(pace.open_minutes),
            other
        ));
    }
    let last = last?;
    if pace.open_minutes > DAY_MINUTES {
        return Some(say!(
            "{} by the checklist's minutes is more than a day's work: no end is told in hours of the day.",
            hours(pace.open_minutes)
        ));
    }
    let at = |minutes: i64| {
        Duration::try_minutes(minutes)
            .and_then(|left| last.checked_add_signed(left))
            .map(|end| clock(end, last))
    };
    let by_plan = at(pace.open_minutes)?;
    let other = at_this_pace
        .and_then(at)
        .map_or(String::new(), |end| say!("; {end} if the rest goes at the pace so far", end));
    Some(say!(
        "Expected end, counted from {} without a pause: {by_plan} by the checklist's minutes{other}.",
        clock(last, last),
        by_plan,
        other
    ))
}

/// The time of day; with the date where that is another day than `beside`.
fn clock(time: DateTime<FixedOffset>, beside: DateTime<FixedOffset>) -> String {
    if time.date_naive() == beside.date_naive() {
        time.format("%H:%M").to_string()
    } else {
        crate::words::date_and_time(&time)
    }
}

impl App {
    pub(super) fn show_pace(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let mut pick = Pick::new(say!("Progress and time, by the checklist's minutes"));
        for line in words(&view) {
            pick = pick.intro(line);
        }
        self.overlays.push(Overlay::Pick(pick.option(say!("back"), Then::Nothing)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Actor, RunStarted};

    fn by() -> Actor {
        Actor { id: "a".into(), name: "A".into() }
    }

    fn at(wall: &str, mono_min: u64, event: Event) -> Stamped {
        let wall = format!("2026-11-25T{wall}:00+01:00");
        Stamped { entry: 0, wall, mono_ms: mono_min * 60_000, hash: String::new(), event }
    }

    fn note() -> Event {
        Event::Noted { by: by(), step: None, text: "t".into() }
    }

    #[test]
    fn pauses_and_time_between_runs_are_left_out() {
        let run = RunStarted { program: String::new(), device: String::new(), boot: None };
        let entries = [
            at("09:00", 0, note()),
            at("09:20", 20, note()),
            at("09:30", 30, Event::Paused { by: by(), note: None }),
            at("10:30", 90, Event::Resumed { by: by() }),
            at("10:45", 105, note()),
            // Closed over night without a pause, and begun anew.
            at("18:00", 1, Event::RunStarted(run)),
            at("18:05", 6, note()),
        ];
        assert_eq!(worked_ms(&entries) / MINUTE_MS, 30 + 15 + 5);
    }

    #[test]
    fn a_clock_set_back_takes_nothing_away() {
        let entries = [at("09:00", 50, note()), at("08:00", 10, note()), at("08:10", 20, note())];
        assert_eq!(worked_ms(&entries) / MINUTE_MS, 10);
    }

    #[test]
    fn hours_are_told_as_people_say_them() {
        assert_eq!([hours(0), hours(45), hours(185)], ["0 min", "45 min", "3 h 05 min"]);
    }
}
