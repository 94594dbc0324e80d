//! Wall time, running time and boot: the only reading of clocks in the program.

use std::fmt::Debug;
use std::sync::Mutex;
use std::time::Duration;

use chrono::{DateTime, FixedOffset, Local, SecondsFormat};

use super::writer::Draft;

/// Order is by sequence number, never by time; clocks are recorded, not trusted.
pub trait Clock: Debug + Send + Sync {
    /// What the machine says the time is, with its offset from UTC.
    fn now(&self) -> DateTime<FixedOffset>;
    /// Milliseconds since this clock was made, suspended time counted where the system can.
    fn monotonic_ms(&self) -> u64;
    /// Identifies the boot, so that running times of two runs can be told apart.
    fn boot_id(&self) -> Option<String>;

    /// A draft stamped now: wall time as RFC 3339 with offset, in milliseconds.
    fn draft(&self, kind: &str, body: serde_json::Value) -> Draft {
        Draft { kind: kind.to_owned(), body, wall: wall_text(self.now()), mono_ms: self.monotonic_ms() }
    }
}

/// RFC 3339 with offset and three decimals, the form kept in the journal.
pub fn wall_text(time: DateTime<FixedOffset>) -> String {
    time.to_rfc3339_opts(SecondsFormat::Millis, false)
}

/// The machine's clock.
#[derive(Debug)]
pub struct RealClock {
    start: Duration,
}

impl RealClock {
    pub fn new() -> Self {
        RealClock { start: since_boot() }
    }
}

impl Default for RealClock {
    fn default() -> Self {
        Self::new()
    }
}

impl Clock for RealClock {
    fn now(&self) -> DateTime<FixedOffset> {
        Local::now().fixed_offset()
    }

    fn monotonic_ms(&self) -> u64 {
        since_boot().saturating_sub(self.start).as_millis() as u64
    }

    fn boot_id(&self) -> Option<String> {
        boot_id()
    }
}

/// Counts suspended time, so that closing the lid does not look like a step of the wall clock.
#[cfg(target_os = "linux")]
fn since_boot() -> Duration {
    let time = rustix::time::clock_gettime(rustix::time::ClockId::Boottime);
    Duration::new(u64::try_from(time.tv_sec).unwrap_or(0), u32::try_from(time.tv_nsec).unwrap_or(0))
}

/// Without suspended time; counted from the first reading in this process.
#[cfg(not(target_os = "linux"))]
fn since_boot() -> Duration {
    use std::sync::OnceLock;
    use std::time::Instant;
    static FIRST: OnceLock<Instant> = OnceLock::new();
    FIRST.get_or_init(Instant::now).elapsed()
}

#[cfg(target_os = "linux")]
fn boot_id() -> Option<String> {
    let text = std::fs::read_to_string("/proc/sys/kernel/random/boot_id").ok()?;
    let id = text.trim();
    (!id.is_empty()).then(|| id.to_owned())
}

#[cfg(not(target_os = "linux"))]
fn boot_id() -> Option<String> {
    None
}

/// A clock for tests and demonstrations: starts where told and steps by a fixed amount at each reading of the
/// wall time.
#[derive(Debug)]
pub struct FakeClock {
    state: Mutex<FakeState>,
    step_ms: u64,
}

#[derive(Debug)]
struct FakeState {
    wall: DateTime<FixedOffset>,
    mono_ms: u64,
}

impl FakeClock {
    /// Always the same time.
    pub fn fixed(wall: DateTime<FixedOffset>) -> Self {
        Self::stepping(wall, 0)
    }

    /// Moves on by `step_ms` after each reading of the wall time.
    pub fn stepping(wall: DateTime<FixedOffset>, step_ms: u64) -> Self {
        FakeClock { state: Mutex::new(FakeState { wall, mono_ms: 0 }), step_ms }
    }

    /// Lets time pass on both clocks.
    pub fn advance_ms(&self, ms: u64) {
        pass(&mut self.lock(), ms);
    }

    /// Sets the wall clock alone, as a person or a dead battery would.
    pub fn set_wall(&self, wall: DateTime<FixedOffset>) {
        self.lock().wall = wall;
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, FakeState> {
        self.state.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

fn pass(state: &mut FakeState, ms: u64) {
    state.wall += Duration::from_millis(ms);
    state.mono_ms += ms;
}

impl Clock for FakeClock {
    fn now(&self) -> DateTime<FixedOffset> {
        let mut state = self.lock();
        let now = state.wall;
        pass(&mut state, self.step_ms);
        now
    }

    fn monotonic_ms(&self) -> u64 {
        self.lock().mono_ms
    }

    fn boot_id(&self) -> Option<String> {
        Some("00000000-0000-4000-8000-000000000000".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noon() -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339("2030-05-04T12:00:00+02:00").unwrap()
    }

    #[test]
    fn fakes() {
        let clock = FakeClock::stepping(noon(), 250);
        assert_eq!(wall_text(clock.now()), "2030-05-04T12:00:00.000+02:00");
        assert_eq!(wall_text(clock.now()), "2030-05-04T12:00:00.250+02:00");
        assert_eq!(clock.monotonic_ms(), 500);
        clock.advance_ms(1000);
        assert_eq!(clock.monotonic_ms(), 1500);
        clock.set_wall(noon());
        assert_eq!((clock.now(), clock.monotonic_ms()), (noon(), 1750));
        assert_eq!(FakeClock::fixed(noon()).now(), noon());
    }

    #[test]
    fn the_machine_clock_runs_forward() {
        let clock = RealClock::new();
        let first = clock.monotonic_ms();
        std::thread::sleep(Duration::from_millis(15));
        assert!(clock.monotonic_ms() >= first + 10);
        let draft = clock.draft("run", serde_json::json!({}));
        assert!(DateTime::parse_from_rfc3339(&draft.wall).is_ok());
    }
}
