//! 7: the instrument is not named, or was out of calibration on the day.

use super::{Context, Refusal, about_step, worked_steps};
use crate::checklist::{Measure, MeasureKind};
use crate::event::InstrumentUse;
use crate::state::Reading;
use crate::words::{date, of_checklist};

pub const NAME: &str = mark!("instrument not named or out of calibration");
pub const DOC: &str = mark!(
    "Tools are controlled and calibrated to an official standard where necessary \
(ML.A.402(b)(4)). A reading that demands an instrument names one that was in calibration on the day."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in worked_steps(context) {
        for measure in planned.step.measures.iter().filter(|measure| measure.instrument) {
            for reading in state.readings_of(&measure.id) {
                for why in doubts(measure, reading) {
                    found.push(Refusal {
                        number: 7,
                        name: NAME,
                        subject: about_step(planned),
                        why: say!("\"{}\": {why}", of_checklist(&measure.title), why = why),
                        clears: say!(
                            "take the reading again with an instrument in calibration, and correct it"
                        )
                        .to_string(),
                        release_only: false,
                    });
                }
            }
        }
    }
}

/// A load–deflection series is read with two instruments, and both count.
fn doubts(measure: &Measure, reading: &Reading) -> Vec<String> {
    let used = reading.taken.used();
    match measure.kind {
        MeasureKind::LoadDeflection(_) => {
            let both = [
                doubt(used.instrument, say!("no instrument is named for the deflection"), reading),
                doubt(used.load, say!("no instrument is named for the load"), reading),
            ];
            both.into_iter().flatten().collect()
        }
        _ => doubt(used.instrument, say!("no instrument is named"), reading).into_iter().collect(),
    }
}

fn doubt(used: Option<&InstrumentUse>, none_named: &str, reading: &Reading) -> Option<String> {
    let Some(instrument) = used else {
        return Some(none_named.to_string());
    };
    match (instrument.calibration_due, reading.stamp.day()) {
        (None, _) => Some(say!("{} has no calibration date in the register", instrument.id)),
        (Some(due), Some(day)) if day > due => Some(say!(
            "{} was out of calibration on {day} (due {due})",
            instrument.id,
            day = date(day),
            due = date(due)
        )),
        (Some(_), None) => Some(say!("the day of the reading cannot be told").to_string()),
        (Some(_), Some(_)) => None,
    }
}
