//! Every event of the record in plain words, for the history, the command line and the replay.

use crate::event::{ControlCheck, Event, SignedOff, initialled_words};
use crate::order::configuration_words;
use crate::session::value_words;
use crate::state::instant;
use crate::words::{date, date_and_time, figure, number, said};

/// What happened, without who and when.
pub fn words(event: &Event) -> String {
    match event {
        Event::Opened(opened) => {
            let begun = say!(
                "annual begun on {}, type {}, serial number {}",
                opened.registration,
                opened.type_id,
                opened.serial
            );
            match &opened.continues {
                Some(earlier) => say!("{begun}; it continues {}: {}", earlier.sid, earlier.reason, begun),
                None => begun,
            }
        }
        Event::RunStarted(run) => say!("record taken up on {} by {}", run.device, run.program),
        Event::ConfigurationConfirmed { configuration, .. } => {
            say!(
                "configuration confirmed: {configuration}",
                configuration = configuration_words(configuration)
            )
        }
        Event::Answered(answered) => {
            let mut text = format!("{}: {}", answered.step, said(answered.result.word()));
            if let Some(defect) = &answered.reinspects {
                text.push_str(&say!(" (re-inspection of {defect})", defect));
            }
            if let Some(reason) = &answered.reason {
                text.push_str(&format!("; {reason}"));
            }
            text + &correction(answered.corrects.as_ref())
        }
        Event::ReadingTaken(taken) => {
            let mut text = format!("{}: {} {}", taken.step, taken.measure, value_words(&taken.value));
            if let Some(ids) = taken.used().ids() {
                text.push_str(&say!(", with {ids}", ids));
            }
            text + &correction(taken.corrects.as_ref())
        }
        Event::Withdrawn { entry, why, .. } => say!("entry {entry} taken back: {why}", entry, why),
        Event::Noted { step: Some(step), text, .. } => say!("{step}: note: {text}", step, text),
        Event::Noted { step: None, text, .. } => say!("note: {text}", text),
        Event::EvidenceAdded(added) => {
            let target = added.step.as_deref().or(added.defect.as_deref()).unwrap_or(say!("the session"));
            say!("evidence \"{}\" ({} bytes) added to {target}", added.name, added.bytes, target)
        }
        Event::Initialled(initialled) => {
            say!("{}: initialled: {}", initialled.step, initialled_words(&initialled.work))
        }
        Event::Carried(carried) => {
            say!(
                "{} (carried over from entry {} of {})",
                words(&carried.event),
                carried.from,
                format_args!("{:.8}", carried.sid)
            )
        }
        Event::FromPaper(entered) => format!("{} ({})", words(&entered.event), entered.paper.words()),
        Event::SignedOff(signed) => signed_words(signed),
        other => defect_words(other).or_else(|| record_words(other)).unwrap_or_default(),
    }
}

fn correction(correction: Option<&crate::event::Correction>) -> String {
    correction.map_or_else(String::new, |correction| {
        say!("; corrects entry {}: {}", correction.entry, correction.why)
    })
}

fn defect_words(event: &Event) -> Option<String> {
    Some(match event {
        Event::DefectRaised(raised) => {
            let side = raised.side.as_deref().map(|side| said(side).to_string());
            let place = [raised.component.clone(), side];
            let station =
                raised.station_mm.map(|station| say!("station {station} mm", station = figure(station)));
            let place: Vec<String> = place.into_iter().chain([station]).flatten().collect();
            let place = if place.is_empty() { String::new() } else { format!(" ({})", place.join(", ")) };
            let found = raised.step.as_ref().map_or_else(String::new, |step| say!(", found by {step}", step));
            say!(
                "defect {} raised, {}: {}{place}{found}",
                raised.defect,
                said(raised.severity.word()),
                raised.what,
                place,
                found
            )
        }
        Event::DefectDisposed(disposed) => {
            let until =
                disposed.until.map_or_else(String::new, |until| say!(" until {until}", until = date(until)));
            let decided =
                say!("defect {}: {}{until}", disposed.defect, said(disposed.disposition.word()), until);
            with_note(decided, &disposed.note)
        }
        Event::DefectRectified(rectified) => {
            let controls =
                if rectified.disturbed_controls { say!("; flight controls disturbed") } else { "" };
            say!("defect {} rectified: {}{controls}", rectified.defect, rectified.work, controls)
        }
        Event::DefectReinspected { defect, satisfactory, note, .. } => {
            let result = if *satisfactory { say!("satisfactory") } else { say!("not satisfactory") };
            with_note(say!("defect {defect} re-inspected, {result}", defect, result), note)
        }
        _ => return None,
    })
}

fn record_words(event: &Event) -> Option<String> {
    Some(match event {
        Event::ReportSetAside { report, reason, .. } => {
            say!("report {report} set aside: {reason}", report, reason)
        }
        Event::DirectiveAnswered(answered) => {
            let due =
                answered.next_due.map_or_else(String::new, |due| say!(", next due {due}", due = date(due)));
            with_note(
                say!("directive {}: {}{due}", answered.directive, said(answered.answer.word()), due),
                &answered.note,
            )
        }
        Event::LifeItemAnswered(answered) => {
            let due =
                answered.next_due.map_or_else(String::new, |due| say!(", next due {due}", due = date(due)));
            let told =
                say!("life-limited item {}: {}{due}", answered.item, said(answered.answer.word()), due);
            with_note(told, &answered.note)
        }
        Event::IndependentlyInspected(inspected) => {
            let checks: Vec<&str> =
                inspected.checked.iter().map(|check| said(ControlCheck::word(*check))).collect();
            let result = if inspected.satisfactory { say!("satisfactory") } else { say!("not satisfactory") };
            say!(
                "{}: independent inspection of {}: {}; {result}",
                inspected.step,
                inspected.connections,
                checks.join(", "),
                result
            )
        }
        Event::Paused { note, .. } => {
            with_note(say!("paused").to_string(), note.as_deref().unwrap_or_default())
        }
        Event::Resumed { .. } => say!("resumed").to_string(),
        Event::PlanRevised(revised) => say!(
            "plan changed, {}: {}; {} steps new, {} changed, {} gone",
            said(revised.cause.word()),
            revised.why,
            revised.added.len(),
            revised.changed.len(),
            revised.gone.len()
        ),
        Event::Countersigned(added) => {
            let agrees = if added.agrees {
                say!("countersigned")
            } else {
                say!("seen by a second person, who does not agree")
            };
            with_note(say!("sign-off of entry {} {agrees}", added.entry, agrees), &added.note)
        }
        Event::ClockStepped { wall_before, wall_now, wall_change_ms, elapsed_ms } => say!(
            "the clock was changed: from {wall_before} to {wall_now} ({} s on the clock, {} s really)",
            number(&format!("{:.1}", *wall_change_ms as f64 / 1000.0)),
            number(&format!("{:.1}", *elapsed_ms as f64 / 1000.0)),
            wall_before,
            wall_now
        ),
        Event::Recovered(recovered) => say!(
            "a torn entry of {} bytes at byte {} was set aside when the record was opened",
            recovered.len,
            recovered.byte_offset
        ),
        _ => return None,
    })
}

fn signed_words(signed: &SignedOff) -> String {
    let list = match signed.discrepancies.len() {
        0 => String::new(),
        some => say!(", with {n} discrepancy" | ", with {n} discrepancies" % some),
    };
    say!(
        "signed: {}{list}; {} {}, authorisation {}",
        said(signed.outcome.word()),
        signed.certificate,
        signed.by.name,
        signed.authorisation,
        list
    )
}

fn with_note(text: String, note: &str) -> String {
    if note.trim().is_empty() { text } else { format!("{text}; {note}") }
}

/// `2026-11-25 09:14` of a recorded time; the text as it is where it is no time.
pub fn minute(wall: &str) -> String {
    match instant(wall) {
        Some(moment) => date_and_time(&moment),
        None => wall.get(..16).unwrap_or(wall).replace('T', " "),
    }
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
