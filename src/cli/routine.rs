//! Works steps of the invented annual by rote: confirms what they need, enters invented readings, answers.
//!
//! For the demo only. Nothing here judges a real glider.

use std::cell::OnceCell;

use chrono::Days;
use rust_decimal::Decimal;

use super::output::Failure;
use crate::airframe::Instrument;
use crate::checklist::{Measure, MeasureKind};
use crate::completion::totals;
use crate::event::{Actor, ControlCheck, ReadingValue, StepResult};
use crate::hangar::keys::unlock;
use crate::hangar::{EvidenceTarget, Hangar, Work};
use crate::plan::PlanStep;
use crate::quantity::{Limit, Number, Quantity, Unit};
use crate::seal::SecretKey;
use crate::session::{Request, parse_series};
use crate::store::unpack::write_file;

/// Opens the keys of the invented people. It is published: their keys protect nothing.
pub(super) const DEMO_PASSPHRASE: &str = "larkmoor invented demo";

/// Who works, and with which invented flex table.
pub(super) struct Crew<'a> {
    pub hangar: &'a Hangar,
    pub inspector: Actor,
    pub second: Actor,
    /// Opened when first needed: a passphrase is stretched on purpose, which takes its time.
    pub second_key: OnceCell<SecretKey>,
    /// A load–deflection table, entered wherever a step demands one.
    pub flex_table: &'a str,
}

impl Crew<'_> {
    /// Works one step as far as it is demanded and passes it.
    pub(super) fn pass(&self, work: &mut Work, id: &str) -> Result<(), Failure> {
        let Some(planned) = work.view.plan.step(id).cloned() else {
            return Err(Failure::refused(say!("the plan has no step \"{id}\"", id)));
        };
        self.prepare(work, &planned)?;
        self.measure(work, &planned)?;
        self.film(work, &planned)?;
        let request =
            Request::Answer { step: id.to_string(), result: StepResult::Passed, reason: None, why: None };
        work.record(self.hangar, &self.inspector, request)?;
        if planned.step.independent || work.view.state.step(id).is_some_and(|step| step.controls_disturbed) {
            self.second_look(work, id)?;
        }
        Ok(())
    }

    /// Confirms the configuration where it is not confirmed yet.
    pub(super) fn prepare(&self, work: &mut Work, planned: &PlanStep) -> Result<(), Failure> {
        let unmet = planned.step.configuration.unmet_in(&work.view.state.configuration);
        if !unmet.is_empty() {
            work.record(self.hangar, &self.inspector, Request::Confirm(unmet))?;
        }
        Ok(())
    }

    pub(super) fn measure(&self, work: &mut Work, planned: &PlanStep) -> Result<(), Failure> {
        for measure in &planned.step.measures {
            let missing = work.view.state.step(&planned.step.id).map_or(0, |step| step.missing(measure));
            for _ in 0..missing {
                let request = Request::Read {
                    step: planned.step.id.clone(),
                    measure: measure.id.clone(),
                    value: self.totals(work, planned, measure).map_or_else(|| self.value(measure), Ok)?,
                    instrument: self.instruments(measure),
                    corrects: None,
                    why: None,
                };
                work.record(self.hangar, &self.inspector, request)?;
            }
        }
        Ok(())
    }

    /// Invented files stand in for films and photos.
    pub(super) fn film(&self, work: &mut Work, planned: &PlanStep) -> Result<(), Failure> {
        for demand in &planned.step.evidence {
            let given = work.view.state.evidence_for(&planned.step.id, &demand.id).count();
            for number in given..usize::try_from(demand.count).unwrap_or(usize::MAX) {
                let name = format!("{}-{}-{}.txt", planned.step.id, demand.id, number + 1);
                let path = self.hangar.root.join("invented-evidence").join(&name);
                let text = format!(
                    "Invented stand-in for a {}: {}\nstep {}, session {}, round {}\n",
                    demand.kind.word(),
                    demand.what,
                    planned.step.id,
                    work.view.sid,
                    work.view.state.step(&planned.step.id).map_or(0, |step| step.round)
                );
                write_file(&path, text.as_bytes()).map_err(Failure::failed)?;
                let target = EvidenceTarget {
                    step: Some(planned.step.id.clone()),
                    demand: Some(demand.id.clone()),
                    defect: None,
                };
                work.add_evidence(self.hangar, &self.inspector, target, &path)?;
            }
        }
        Ok(())
    }

    pub(super) fn second_look(&self, work: &mut Work, id: &str) -> Result<(), Failure> {
        let request = Request::InspectIndependently {
            step: id.to_string(),
            connections: "all connections of this step (invented)".to_string(),
            checked: ControlCheck::ALL.to_vec(),
            satisfactory: true,
        };
        if self.second_key.get().is_none() {
            let person = self.hangar.person(&self.second.id)?;
            drop(self.second_key.set(unlock(self.hangar, person, None, DEMO_PASSPHRASE)?));
        }
        if let Some(key) = self.second_key.get() {
            work.inspect(self.hangar, &self.second, request, key)?;
        }
        Ok(())
    }

    /// The airframe's own totals, where the step asks for them: they cannot have fallen since.
    fn totals(&self, work: &Work, planned: &PlanStep, measure: &Measure) -> Option<ReadingValue> {
        if planned.step.id != totals::STEP {
            return None;
        }
        let airframe = &work.view.plan.airframe;
        match &measure.kind {
            MeasureKind::Number { unit: Unit::Hour, .. } => {
                Some(ReadingValue::Number { quantity: Quantity::new(airframe.hours, Unit::Hour) })
            }
            MeasureKind::Count { .. } => Some(ReadingValue::Count { count: airframe.launches }),
            _ => None,
        }
    }

    fn value(&self, measure: &Measure) -> Result<ReadingValue, Failure> {
        Ok(match &measure.kind {
            MeasureKind::Number { unit, limit } => {
                ReadingValue::Number { quantity: inside(limit.as_ref(), *unit) }
            }
            MeasureKind::Pair { unit, limit, .. } => {
                let side = inside(limit.as_ref(), *unit);
                ReadingValue::Pair { left: side, right: side }
            }
            MeasureKind::Count { min, .. } => ReadingValue::Count { count: min.unwrap_or(0) },
            MeasureKind::Choice { choices, accept } => {
                let choice = accept.first().or(choices.first()).cloned().unwrap_or_default();
                ReadingValue::Choice { choice }
            }
            MeasureKind::Text => ReadingValue::Text { text: "nothing unusual (invented)".to_string() },
            MeasureKind::Date { .. } => ReadingValue::Date {
                date: self.hangar.today().checked_add_days(Days::new(400)).unwrap_or_default(),
            },
            MeasureKind::Table { compute } => ReadingValue::Table {
                text: crate::compute::kind(compute).map_or_else(String::new, |kind| kind.example.to_string()),
            },
            MeasureKind::LoadDeflection(demand) => ReadingValue::Series {
                points: parse_series(demand, self.flex_table).map_err(Failure::refused)?,
            },
        })
    }

    /// The finest instruments of the register that are in calibration: one, and two for a load–deflection series.
    fn instruments(&self, measure: &Measure) -> Option<String> {
        if !measure.instrument {
            return None;
        }
        let named: Vec<&str> = match &measure.kind {
            MeasureKind::LoadDeflection(demand) => [demand.deflection_unit, demand.load_unit]
                .into_iter()
                .filter_map(|unit| self.finest(Some(unit)))
                .collect(),
            _ => self.finest(measure.unit()).into_iter().collect(),
        };
        (!named.is_empty()).then(|| named.join(" + "))
    }

    /// Of those that read in this kind of unit; of all where there is no unit.
    fn finest(&self, unit: Option<Unit>) -> Option<&str> {
        let today = self.hangar.today();
        let expanded =
            |found: &&Instrument| Quantity::new(found.uncertainty?, found.unit).in_unit_f64(unit?).ok();
        self.hangar
            .instruments
            .0
            .iter()
            .filter(|found| found.calibration_due.is_some_and(|due| due >= today))
            .filter(|found| unit.is_none_or(|unit| unit.dimension() == found.unit.dimension()))
            .min_by(|a, b| expanded(a).partial_cmp(&expanded(b)).unwrap_or(std::cmp::Ordering::Equal))
            .map(|found| found.id.as_str())
    }
}

/// An invented value inside the limit; without a limit, one that could be.
fn inside(limit: Option<&Limit>, unit: Unit) -> Quantity {
    let in_unit =
        |quantity: &Quantity| quantity.to(unit).map_or(Decimal::ONE, |quantity| quantity.value.decimal());
    let min = limit.and_then(|limit| limit.min().map(in_unit));
    let max = limit.and_then(|limit| limit.max().map(in_unit));
    let value = match (min, max) {
        (Some(min), Some(max)) => (min + max) / Decimal::TWO,
        (Some(min), None) => min + (min.abs() / Decimal::TEN),
        (None, Some(max)) => max / Decimal::TWO,
        (None, None) => match unit {
            Unit::Degree => Decimal::new(20, 0),
            Unit::Millimetre => Decimal::new(40, 0),
            Unit::Volt => Decimal::new(127, 1),
            Unit::Bar => Decimal::new(25, 1),
            _ => Decimal::new(10, 0),
        },
    };
    Quantity::new(Number::from(value.normalize()), unit)
}
