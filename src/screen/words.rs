//! Every event of the record in plain words, for the history, the command line and the replay.

use crate::event::{ControlCheck, Event, SignedOff};
use crate::session::value_words;

/// What happened, without who and when.
pub fn words(event: &Event) -> String {
    match event {
        Event::Opened(opened) => {
            let begun = format!(
                "annual begun on {}, type {}, serial number {}",
                opened.registration, opened.type_id, opened.serial
            );
            match &opened.continues {
                Some(earlier) => format!("{begun}; it continues {}: {}", earlier.sid, earlier.reason),
                None => begun,
            }
        }
        Event::RunStarted(run) => format!("record taken up on {} by {}", run.device, run.program),
        Event::ConfigurationConfirmed { configuration, .. } => {
            format!("configuration confirmed: {configuration}")
        }
        Event::Answered(answered) => {
            let mut text = format!("{}: {}", answered.step, answered.result.word());
            if let Some(defect) = &answered.reinspects {
                text.push_str(&format!(" (re-inspection of {defect})"));
            }
            if let Some(reason) = &answered.reason {
                text.push_str(&format!("; {reason}"));
            }
            text + &correction(answered.corrects.as_ref())
        }
        Event::ReadingTaken(taken) => {
            let mut text = format!("{}: {} {}", taken.step, taken.measure, value_words(&taken.value));
            if let Some(ids) = taken.used().ids() {
                text.push_str(&format!(", with {ids}"));
            }
            text + &correction(taken.corrects.as_ref())
        }
        Event::Withdrawn { entry, why, .. } => format!("entry {entry} taken back: {why}"),
        Event::Noted { step: Some(step), text, .. } => format!("{step}: note: {text}"),
        Event::Noted { step: None, text, .. } => format!("note: {text}"),
        Event::EvidenceAdded(added) => {
            let target = added.step.as_deref().or(added.defect.as_deref()).unwrap_or("the session");
            format!("evidence \"{}\" ({} bytes) added to {target}", added.name, added.bytes)
        }
        Event::Initialled(initialled) => {
            format!("{}: initialled: {}", initialled.step, initialled.work)
        }
        Event::Carried(carried) => {
            format!(
                "{} (carried over from entry {} of {:.8})",
                words(&carried.event),
                carried.from,
                carried.sid
            )
        }
        Event::FromPaper(entered) => format!("{} ({})", words(&entered.event), entered.paper.words()),
        Event::SignedOff(signed) => signed_words(signed),
        other => defect_words(other).or_else(|| record_words(other)).unwrap_or_default(),
    }
}

fn correction(correction: Option<&crate::event::Correction>) -> String {
    correction.map_or_else(String::new, |correction| {
        format!("; corrects entry {}: {}", correction.entry, correction.why)
    })
}

fn defect_words(event: &Event) -> Option<String> {
    Some(match event {
        Event::DefectRaised(raised) => {
            let place = [raised.component.clone(), raised.side.clone()];
            let station = raised.station_mm.map(|station| format!("station {station} mm"));
            let place: Vec<String> = place.into_iter().chain([station]).flatten().collect();
            let place = if place.is_empty() { String::new() } else { format!(" ({})", place.join(", ")) };
            let found = raised.step.as_ref().map_or_else(String::new, |step| format!(", found by {step}"));
            format!(
                "defect {} raised, {}: {}{place}{found}",
                raised.defect,
                raised.severity.word(),
                raised.what
            )
        }
        Event::DefectDisposed(disposed) => {
            let until = disposed.until.map_or_else(String::new, |until| format!(" until {until}"));
            let decided = format!("defect {}: {}{until}", disposed.defect, disposed.disposition.word());
            with_note(decided, &disposed.note)
        }
        Event::DefectRectified(rectified) => {
            let controls = if rectified.disturbed_controls { "; flight controls disturbed" } else { "" };
            format!("defect {} rectified: {}{controls}", rectified.defect, rectified.work)
        }
        Event::DefectReinspected { defect, satisfactory, note, .. } => {
            let result = if *satisfactory { "satisfactory" } else { "not satisfactory" };
            with_note(format!("defect {defect} re-inspected, {result}"), note)
        }
        _ => return None,
    })
}

fn record_words(event: &Event) -> Option<String> {
    Some(match event {
        Event::ReportSetAside { report, reason, .. } => format!("report {report} set aside: {reason}"),
        Event::DirectiveAnswered(answered) => {
            let due = answered.next_due.map_or_else(String::new, |due| format!(", next due {due}"));
            with_note(
                format!("directive {}: {}{due}", answered.directive, answered.answer.word()),
                &answered.note,
            )
        }
        Event::LifeItemAnswered(answered) => {
            let due = answered.next_due.map_or_else(String::new, |due| format!(", next due {due}"));
            let told = format!("life-limited item {}: {}{due}", answered.item, answered.answer.word());
            with_note(told, &answered.note)
        }
        Event::IndependentlyInspected(inspected) => {
            let checks: Vec<&str> =
                inspected.checked.iter().map(|check| ControlCheck::word(*check)).collect();
            let result = if inspected.satisfactory { "satisfactory" } else { "not satisfactory" };
            format!(
                "{}: independent inspection of {}: {}; {result}",
                inspected.step,
                inspected.connections,
                checks.join(", ")
            )
        }
        Event::Paused { note, .. } => with_note("paused".to_string(), note.as_deref().unwrap_or_default()),
        Event::Resumed { .. } => "resumed".to_string(),
        Event::PlanRevised(revised) => format!(
            "plan changed, {}: {}; {} steps new, {} changed, {} gone",
            revised.cause.word(),
            revised.why,
            revised.added.len(),
            revised.changed.len(),
            revised.gone.len()
        ),
        Event::Countersigned(added) => {
            let agrees =
                if added.agrees { "countersigned" } else { "seen by a second person, who does not agree" };
            with_note(format!("sign-off of entry {} {agrees}", added.entry), &added.note)
        }
        Event::ClockStepped { wall_before, wall_now, wall_change_ms, elapsed_ms } => format!(
            "the clock was changed: from {wall_before} to {wall_now} ({:.1} s on the clock, {:.1} s really)",
            *wall_change_ms as f64 / 1000.0,
            *elapsed_ms as f64 / 1000.0
        ),
        Event::Recovered(recovered) => format!(
            "a torn entry of {} bytes at byte {} was set aside when the record was opened",
            recovered.len, recovered.byte_offset
        ),
        _ => return None,
    })
}

fn signed_words(signed: &SignedOff) -> String {
    let list = match signed.discrepancies.len() {
        0 => String::new(),
        1 => ", with 1 discrepancy".to_string(),
        many => format!(", with {many} discrepancies"),
    };
    format!(
        "signed: {}{list}; {} {}, authorisation {}",
        signed.outcome.word(),
        signed.certificate,
        signed.by.name,
        signed.authorisation
    )
}

fn with_note(text: String, note: &str) -> String {
    if note.trim().is_empty() { text } else { format!("{text}; {note}") }
}

/// `2026-11-25 09:14` of a recorded time; the text as it is where it is no time.
pub fn minute(wall: &str) -> String {
    wall.get(..16).unwrap_or(wall).replace('T', " ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::event::{Actor, Disposition};

    fn by() -> Actor {
        Actor { id: "a".into(), name: "A".into() }
    }

    #[test]
    fn no_reason_or_note_is_left_out() {
        let withdrawn = Event::Withdrawn { by: by(), entry: 4, why: "misread".into() };
        assert_eq!(words(&withdrawn), "entry 4 taken back: misread");
        let disposed = Event::DefectDisposed(crate::event::DefectDisposed {
            by: by(),
            defect: "d1".into(),
            disposition: Disposition::Defer,
            note: "small".into(),
            until: chrono::NaiveDate::from_ymd_opt(2027, 3, 1),
        });
        assert_eq!(words(&disposed), "defect d1: defer until 2027-03-01; small");
        let paused = Event::Paused { by: by(), note: None };
        assert_eq!(words(&paused), "paused");
    }

    #[test]
    fn a_changed_clock_is_told_with_both_times() {
        let stepped = Event::ClockStepped {
            wall_before: "2026-11-25T09:00:00+01:00".into(),
            wall_now: "2026-11-25T08:00:00+01:00".into(),
            wall_change_ms: -3_600_000,
            elapsed_ms: 1_500,
        };
        let told = words(&stepped);
        assert!(told.contains("-3600.0 s on the clock, 1.5 s really"), "{told}");
    }

    #[test]
    fn a_time_is_cut_to_the_minute() {
        assert_eq!(minute("2026-11-25T09:14:31+01:00"), "2026-11-25 09:14");
        assert_eq!(minute("no time"), "no time");
    }
}
