//! A long invented record in memory, the same for the same seed: answers, corrections, readings, notes, pauses.
#![allow(dead_code, reason = "each of its users needs a part")]

use std::collections::BTreeMap;

use spanwise::checklist::{Aspect, Configuration, Measure, MeasureKind, SeriesDemand};
use spanwise::event::{
    Actor, Answered, Correction, Event, ReadingTaken, ReadingValue, SeriesPoint, StepResult,
};
use spanwise::plan::Plan;
use spanwise::quantity::{Number, Quantity};
use spanwise::state::Stamped;

/// What a record is made of.
pub struct Long<'a> {
    pub plan: &'a Plan,
    pub people: Vec<Actor>,
    pub seed: u64,
    /// Every so many entries a load–deflection series is read, where the plan has one.
    pub series_every: u64,
}

/// Numbers that look random (a linear congruential generator, Knuth's constants, from memory).
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }

    fn pick<'a, T>(&mut self, items: &'a [T]) -> &'a T {
        &items[self.below(items.len() as u64) as usize]
    }
}

impl Long<'_> {
    /// `count` events, of which the first gets the entry number `first`.
    pub fn events(&self, first: u64, count: u64) -> Vec<Event> {
        let mut chance = Chance(self.seed);
        let mut answered: BTreeMap<String, u64> = BTreeMap::new();
        let mut is_paused = false;
        let series = self.series();
        (first..first + count)
            .map(|entry| {
                let by = chance.pick(&self.people).clone();
                if is_paused {
                    is_paused = false;
                    return Event::Resumed { by };
                }
                if let Some((step, measure, demand)) = series.filter(|_| entry % self.series_every == 0) {
                    return read(by, step, measure, self.points(demand, &mut chance));
                }
                let step = chance.pick(&self.plan.steps);
                match chance.below(20) {
                    0 => {
                        is_paused = true;
                        Event::Paused { by, note: Some(format!("tea at {entry}")) }
                    }
                    1 | 2 => Event::ConfigurationConfirmed { by, configuration: some_setting(&mut chance) },
                    3 | 4 => Event::Noted {
                        by,
                        step: Some(step.step.id.clone()),
                        text: format!("looked at {entry}"),
                    },
                    5 => match answered.remove(&step.step.id) {
                        Some(earlier) => Event::Withdrawn { by, entry: earlier, why: "wrong step".into() },
                        None => Event::Noted { by, step: None, text: "nothing to take back".into() },
                    },
                    _ => {
                        let earlier = answered.insert(step.step.id.clone(), entry);
                        let corrects = earlier.map(|entry| Correction { entry, why: "seen again".into() });
                        let results = [StepResult::Passed, StepResult::Passed, StepResult::Failed];
                        Event::Answered(Answered {
                            by,
                            step: step.step.id.clone(),
                            result: *chance.pick(&results),
                            reason: None,
                            corrects,
                            reinspects: None,
                        })
                    }
                }
            })
            .collect()
    }

    fn series(&self) -> Option<(&str, &Measure, &SeriesDemand)> {
        self.plan.steps.iter().find_map(|step| {
            step.step.measures.iter().find_map(|measure| match &measure.kind {
                MeasureKind::LoadDeflection(demand) => Some((step.step.id.as_str(), measure, demand)),
                _ => None,
            })
        })
    }

    fn points(&self, demand: &SeriesDemand, chance: &mut Chance) -> ReadingValue {
        let mut points = Vec::new();
        for direction in &demand.directions {
            let levels = [40, 60, 80, 100, 120, 100, 80, 60, 40];
            for (at, load) in levels.into_iter().enumerate() {
                let hundredths = load * 3 + i64::try_from(chance.below(5)).unwrap_or(0);
                let number = |text: String| text.parse::<Number>().expect("a number");
                points.push(SeriesPoint {
                    direction: direction.clone(),
                    loading: at <= 4,
                    load: Quantity::new(number(load.to_string()), demand.load_unit),
                    deflection: Quantity::new(
                        number(format!("{}.{:02}", hundredths / 100, hundredths % 100)),
                        demand.deflection_unit,
                    ),
                });
            }
        }
        ReadingValue::Series { points }
    }
}

fn read(by: Actor, step: &str, measure: &Measure, value: ReadingValue) -> Event {
    Event::ReadingTaken(ReadingTaken {
        by,
        step: step.to_string(),
        measure: measure.id.clone(),
        value,
        instrument: None,
        load_instrument: None,
        corrects: None,
    })
}

fn some_setting(chance: &mut Chance) -> Configuration {
    let aspect = *chance.pick(&Aspect::ALL);
    let mut configuration = Configuration::default();
    configuration.set(aspect, *chance.pick(aspect.settings()));
    configuration
}

/// Puts events into their places in a record, one a minute.
pub fn stamped(events: Vec<Event>) -> Vec<Stamped> {
    let start = chrono::DateTime::parse_from_rfc3339("2026-11-25T08:00:00+01:00").expect("a time");
    let stamp = |(at, event): (usize, Event)| Stamped {
        entry: at as u64,
        wall: (start + chrono::TimeDelta::minutes(at as i64)).to_rfc3339(),
        mono_ms: at as u64 * 60_000,
        hash: format!("{:064x}", at + 1),
        event,
    };
    events.into_iter().enumerate().map(stamp).collect()
}
