//! What a change of the airframe's configuration costs.
//!
//! The checklist format carries no such figures, so one table stands here: hands and minutes to bring one aspect
//! into a setting, whichever it had before. Common practice, no source; the values are this project's own guesses
//! for a single-seater with a small crew. Only their sum decides between orders; no limit rests on them.
//!
//! Because a cost depends on the setting reached and not on the one left, a detour is never cheaper than the
//! direct change. The search leans on that: see `problem.rs`.

use serde::Serialize;

use crate::checklist::{Aspect, Configuration, Setting};

/// Hands and minutes to bring an aspect into a setting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct ChangeCost {
    pub aspect: Aspect,
    pub to: Setting,
    pub people: u32,
    pub minutes: u32,
}

impl ChangeCost {
    pub fn person_minutes(&self) -> u32 {
        self.people.saturating_mul(self.minutes)
    }
}

/// The table, one row for each setting. Common practice, no source.
const DEFAULT: [(Aspect, Setting, u32, u32); 15] = [
    (Aspect::Wings, Setting::Rigged, 3, 20),
    (Aspect::Wings, Setting::Derigged, 3, 15),
    (Aspect::Support, Setting::Wheel, 3, 5),
    (Aspect::Support, Setting::BellyDolly, 3, 10),
    (Aspect::Support, Setting::Trestles, 3, 10),
    (Aspect::Tailplane, Setting::On, 2, 8),
    (Aspect::Tailplane, Setting::Off, 2, 5),
    (Aspect::TailWheel, Setting::Loaded, 2, 2),
    (Aspect::TailWheel, Setting::Clear, 2, 4),
    (Aspect::Controls, Setting::Connected, 2, 15),
    (Aspect::Controls, Setting::Disconnected, 1, 10),
    (Aspect::Panels, Setting::In, 1, 15),
    (Aspect::Panels, Setting::Out, 1, 10),
    (Aspect::Power, Setting::On, 1, 2),
    (Aspect::Power, Setting::Off, 1, 1),
];

/// The costs in force: the default table, with rows that a caller put in their place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeTable(Vec<ChangeCost>);

impl Default for ChangeTable {
    fn default() -> Self {
        ChangeTable(
            DEFAULT
                .into_iter()
                .map(|(aspect, to, people, minutes)| ChangeCost { aspect, to, people, minutes })
                .collect(),
        )
    }
}

impl ChangeTable {
    /// Puts a row in the place of the one for the same aspect and setting, such as a figure for one type.
    pub fn set(&mut self, cost: ChangeCost) {
        self.0.retain(|row| (row.aspect, row.to) != (cost.aspect, cost.to));
        self.0.push(cost);
    }

    /// The row for this setting; a setting that the table does not know costs nothing.
    pub fn of(&self, aspect: Aspect, to: Setting) -> ChangeCost {
        self.0.iter().copied().find(|row| row.aspect == aspect && row.to == to).unwrap_or(ChangeCost {
            aspect,
            to,
            people: 0,
            minutes: 0,
        })
    }
}

/// How an airframe is taken to stand where nothing was confirmed: as it comes in after its last flight.
/// Common practice, no source.
pub fn arrival() -> Configuration {
    let mut arrival = Configuration::default();
    for (aspect, setting) in [
        (Aspect::Wings, Setting::Rigged),
        (Aspect::Support, Setting::Wheel),
        (Aspect::Tailplane, Setting::On),
        (Aspect::TailWheel, Setting::Loaded),
        (Aspect::Controls, Setting::Connected),
        (Aspect::Panels, Setting::In),
        (Aspect::Power, Setting::Off),
    ] {
        arrival.set(aspect, setting);
    }
    arrival
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_setting_has_one_row_and_arrival_knows_every_aspect() {
        for aspect in Aspect::ALL {
            for setting in aspect.settings() {
                let rows = DEFAULT.iter().filter(|row| row.0 == aspect && row.1 == *setting).count();
                assert_eq!(rows, 1, "{} {}", aspect.word(), setting.word());
            }
            assert!(arrival().get(aspect).is_some(), "{}", aspect.word());
        }
        assert_eq!(DEFAULT.len(), Aspect::ALL.iter().map(|aspect| aspect.settings().len()).sum::<usize>());
    }
}
