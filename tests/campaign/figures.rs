//! The campaign's figures and how they are printed.

use std::fmt;
use std::time::Duration;

use super::check::{Broken, Outcome};
use super::story::{PHASES, Phase};

/// Counts of one phase. Everything but `time` is the same for the same seed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Row {
    pub points: u64,
    pub faults: u64,
    pub absent: u64,
    pub clean: u64,
    pub healed: u64,
    pub set_aside: u64,
    /// Damaged on purpose, and refused.
    pub damaged: u64,
    pub lost: u64,
    pub phantoms: u64,
    pub false_alarms: u64,
    /// Any other invariant.
    pub other: u64,
}

#[derive(Debug, Clone, Default)]
pub struct Figures {
    pub rows: [Row; PHASES.len()],
    pub times: [Duration; PHASES.len()],
    /// Descriptions of what broke, the first few.
    pub breaks: Vec<String>,
    /// How many points were tried when the first of them broke.
    pub first_break: u64,
}

const KEPT: usize = 3;

impl Figures {
    pub fn row(&mut self, phase: Phase) -> &mut Row {
        &mut self.rows[phase as usize]
    }

    pub fn count(&mut self, phase: Phase, found: Result<Outcome, &Broken>) {
        let row = self.row(phase);
        row.points += 1;
        let counter = match found {
            Ok(Outcome::Absent) => &mut row.absent,
            Ok(Outcome::Clean) => &mut row.clean,
            Ok(Outcome::Healed) => &mut row.healed,
            Ok(Outcome::SetAside) => &mut row.set_aside,
            Err(Broken { invariant: "I1", .. }) => &mut row.lost,
            Err(Broken { invariant: "I2", .. }) => &mut row.phantoms,
            Err(Broken { invariant: "I8", .. }) => &mut row.false_alarms,
            Err(_) => &mut row.other,
        };
        *counter += 1;
    }

    pub fn describe(&mut self, words: impl FnOnce() -> String) {
        if self.breaks.is_empty() {
            self.first_break = self.points();
        }
        if self.breaks.len() < KEPT {
            self.breaks.push(words());
        }
    }

    pub fn add(&mut self, other: Figures) {
        for (row, more) in self.rows.iter_mut().zip(other.rows) {
            *row = row.plus(&more);
        }
        for (time, more) in self.times.iter_mut().zip(other.times) {
            *time += more;
        }
        self.breaks.extend(other.breaks);
    }

    pub fn total(&self) -> Row {
        self.rows.iter().fold(Row::default(), |sum, row| sum.plus(row))
    }

    pub fn points(&self) -> u64 {
        self.total().points
    }

    /// How often an invariant broke.
    pub fn broken(&self) -> u64 {
        let all = self.total();
        all.lost + all.phantoms + all.false_alarms + all.other
    }
}

impl Row {
    fn columns(&self) -> [u64; 11] {
        let Row { points, faults, absent, clean, healed, set_aside, damaged, .. } = *self;
        let Row { lost, phantoms, false_alarms, other, .. } = *self;
        [points, faults, absent, clean, healed, set_aside, damaged, lost, phantoms, false_alarms, other]
    }

    fn plus(&self, more: &Row) -> Row {
        Row {
            points: self.points + more.points,
            faults: self.faults + more.faults,
            absent: self.absent + more.absent,
            clean: self.clean + more.clean,
            healed: self.healed + more.healed,
            set_aside: self.set_aside + more.set_aside,
            damaged: self.damaged + more.damaged,
            lost: self.lost + more.lost,
            phantoms: self.phantoms + more.phantoms,
            false_alarms: self.false_alarms + more.false_alarms,
            other: self.other + more.other,
        }
    }
}

const HEADS: [&str; 11] = [
    "crashes",
    "faults",
    "absent",
    "clean",
    "healed",
    "aside",
    "damaged",
    "lost",
    "phantom",
    "false al.",
    "other",
];

impl fmt::Display for Figures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:22}", "phase")?;
        HEADS.iter().try_for_each(|head| write!(f, "{head:>10}"))?;
        writeln!(f, "{:>9}", "time s")?;
        let mut line = |name: &str, row: &Row, time: Duration| {
            write!(f, "{name:22}")?;
            row.columns().iter().try_for_each(|count| write!(f, "{count:>10}"))?;
            writeln!(f, "{:>9.1}", time.as_secs_f64())
        };
        for ((_, name), (row, time)) in PHASES.iter().zip(self.rows.iter().zip(self.times)) {
            line(name, row, time)?;
        }
        line("all", &self.total(), self.times.iter().sum())
    }
}
