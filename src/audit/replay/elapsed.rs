//! The time from one entry to the next, and which clock tells it.

use crate::event::Event;
use crate::state::{Stamped, instant};
use crate::words::{number, said};

/// Which clock the time was taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// The running time of one run of the program: it cannot be set.
    Running,
    /// The machine's clock, across two runs: it may have been set in between.
    Wall,
}

impl By {
    pub fn word(self) -> &'static str {
        match self {
            By::Running => mark!("running time"),
            By::Wall => mark!("wall clock"),
        }
    }
}

/// Milliseconds since the entry before; negative where the wall clock went back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Elapsed {
    pub ms: i64,
    pub by: By,
}

/// Within one run the program notes a clock that drifts apart by more than this, ms.
const CLOCK_STEP_MS: i64 = 2_000;

impl Elapsed {
    /// `None` where neither clock can tell.
    ///
    /// Running time begins anew with every run. A second run on the same boot leaves no mark of its own, but
    /// then the two clocks disagree without the record telling of a clock that was set; so they are compared.
    pub fn between(before: &Stamped, now: &Stamped) -> Option<Elapsed> {
        let running = now.mono_ms.checked_sub(before.mono_ms).and_then(|ms| i64::try_from(ms).ok());
        let wall =
            instant(&before.wall).zip(instant(&now.wall)).map(|(from, to)| (to - from).num_milliseconds());
        let is_one_run = match (&now.event, running, wall) {
            (Event::RunStarted(_), ..) | (_, None, _) => false,
            (Event::ClockStepped { .. }, Some(_), _) => true,
            (_, Some(running), Some(wall)) => (wall - running).abs() <= CLOCK_STEP_MS,
            (_, Some(_), None) => false,
        };
        if is_one_run {
            return running.map(|ms| Elapsed { ms, by: By::Running });
        }
        wall.map(|ms| Elapsed { ms, by: By::Wall })
    }

    /// `3.2 s`, `4 min 10 s`, `2 h 05 min`, `39 h 35 min`.
    pub fn short(self) -> String {
        let sign = if self.ms < 0 { "-" } else { "" };
        let ms = self.ms.unsigned_abs();
        let seconds = ms / 1000;
        let told = match seconds {
            0..=9 => number(&format!("{}.{} s", seconds, ms % 1000 / 100)).into_owned(),
            10..=59 => format!("{seconds} s"),
            60..=3599 => format!("{} min {:02} s", seconds / 60, seconds % 60),
            _ => format!("{} h {:02} min", seconds / 3600, seconds % 3600 / 60),
        };
        format!("{sign}{told}")
    }

    /// The same with the clock that told it.
    pub fn words(self) -> String {
        format!("{} ({})", self.short(), said(self.by.word()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Actor, RunStarted};

    fn at(wall: &str, mono_ms: u64, event: Event) -> Stamped {
        Stamped { entry: 0, wall: format!("2026-11-25T{wall}+01:00"), mono_ms, hash: String::new(), event }
    }

    fn note() -> Event {
        let by = Actor { id: "a".into(), name: "A".into() };
        Event::Noted { by, step: None, text: "t".into() }
    }

    fn told(before: &Stamped, now: &Stamped) -> String {
        Elapsed::between(before, now).expect("both clocks can be read").words()
    }

    #[test]
    fn one_run_is_told_by_the_running_time() {
        let before = at("09:00:00.000", 1_000, note());
        assert_eq!(told(&before, &at("09:04:10.300", 251_000, note())), "4 min 10 s (running time)");
        assert_eq!(told(&before, &at("09:00:03.250", 4_250, note())), "3.2 s (running time)");
    }

    #[test]
    fn two_runs_are_told_by_the_wall_clock() {
        let before = at("09:00:00.000", 5_000, note());
        let run = Event::RunStarted(RunStarted { program: String::new(), device: String::new(), boot: None });
        assert_eq!(told(&before, &at("11:05:00.000", 9_000, run)), "2 h 05 min (wall clock)");
        assert_eq!(told(&before, &at("09:00:30.000", 12, note())), "30 s (wall clock)", "it began anew");
        // A second run on the same boot: the running time grew by chance.
        assert_eq!(told(&before, &at("09:10:00.000", 5_100, note())), "10 min 00 s (wall clock)");
    }

    #[test]
    fn a_clock_set_during_a_run_does_not_change_what_elapsed() {
        let before = at("09:00:00.000", 5_000, note());
        let stepped = Event::ClockStepped {
            wall_before: String::new(),
            wall_now: String::new(),
            wall_change_ms: -3_600_000,
            elapsed_ms: 60_000,
        };
        assert_eq!(told(&before, &at("08:01:00.000", 65_000, stepped)), "1 min 00 s (running time)");
        assert_eq!(told(&before, &at("08:59:00.000", 1, note())), "-1 min 00 s (wall clock)");
    }
}
