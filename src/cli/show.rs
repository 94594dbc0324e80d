//! A session as text: step by step, as on a worksheet, or entry by entry.

use std::fmt::Write as _;

use chrono::NaiveDate;

use super::word::padded;
use crate::event::initialled_words;
use crate::plan::{Plan, PlanStep};
use crate::screen::words;
use crate::session::value_words;
use crate::state::{Stamp, Stamped, State, StepState, Struck, grounding};
use crate::vocabulary::kind_words;
use crate::words::{date, figure, of_checklist, said};

/// The worksheet: every step with its answers, readings, notes and what was struck.
pub fn worksheet(sid: &str, plan: &Plan, state: &State, today: NaiveDate) -> String {
    let mut out = String::new();
    let airframe = &plan.airframe;
    let _ = writeln!(
        out,
        "{}",
        say!("Annual of {} ({}, serial {})", airframe.registration, airframe.type_id, airframe.serial)
    );
    let _ = writeln!(
        out,
        "{}",
        say!("session {sid}; {} h, {} launches", figure(airframe.hours), airframe.launches, sid = sid)
    );
    if !airframe.build_standard.is_empty() {
        let _ = writeln!(out, "{}", say!("build standard: {}", airframe.build_standard.join(", ")));
    }
    for why in grounding(state, today) {
        let _ = writeln!(out, "{}", say!("NOT AIRWORTHY: {why}", why = why));
    }
    papers(&mut out, plan, state);
    for section in &plan.sections {
        let _ = writeln!(out, "\n{}", of_checklist(&section.title));
        for planned in plan.steps.iter().filter(|planned| planned.step.section.value == section.id) {
            if let Some(step) = state.step(&planned.step.id) {
                show_step(&mut out, plan, planned, step, state);
            }
        }
    }
    defects(&mut out, state, today);
    for told in &state.notes {
        let _ = writeln!(
            out,
            "\n{}",
            say!("note, {}, {}: {}", told.stamp.short(), told.stamp.by.name, told.what)
        );
        from_paper(&mut out, "  ", &told.stamp);
    }
    signature(&mut out, state);
    out
}

fn papers(out: &mut String, plan: &Plan, state: &State) {
    for report in &plan.reports {
        let fate = if report.modules.is_empty() {
            match state.set_aside.get(&report.id) {
                Some(told) => say!("set aside by {}: {}", told.stamp.by.name, told.what),
                None => say!("NOT DEALT WITH").to_string(),
            }
        } else {
            say!("targeted by {}", report.modules.join(", "))
        };
        let _ = writeln!(
            out,
            "{}",
            say!(
                "report {} {} ({}): {} -> {fate}",
                report.id,
                date(report.date),
                kind_words(&report.kind),
                report.text,
                fate = fate
            )
        );
    }
    for directive in &plan.airframe.directives {
        let answer = state
            .directives
            .get(&directive.id)
            .map_or(say!("UNANSWERED"), |told| said(told.what.answer.word()));
        let _ = writeln!(
            out,
            "{}",
            say!("directive {}: {} -> {answer}", directive.id, directive.title, answer = answer)
        );
    }
    for item in &plan.airframe.life_items {
        let answer =
            state.life_items.get(&item.id).map_or(say!("UNANSWERED"), |told| said(told.what.answer.word()));
        let _ = writeln!(
            out,
            "{}",
            say!("life-limited {}: {} -> {answer}", item.id, item.title, answer = answer)
        );
    }
}

fn show_step(out: &mut String, plan: &Plan, planned: &PlanStep, step: &StepState, state: &State) {
    let mandatory = if planned.step.mandatory { "" } else { say!(" (optional)") };
    let because = if planned.because.is_empty() {
        String::new()
    } else {
        format!(" {}", say!("[because of {}]", planned.because.join(", ")))
    };
    let _ = writeln!(
        out,
        "  {}{}  {}{mandatory}{because}",
        padded(said(step.standing().word()), 15),
        planned.step.id,
        of_checklist(&planned.step.title)
    );
    for initials in &step.initials {
        let _ = writeln!(
            out,
            "    {}",
            say!(
                "initialled {} by {}, entry {}: {}{}",
                initials.stamp.short(),
                initials.stamp.hand().name,
                initials.stamp.entry,
                initialled_words(&initials.work),
                struck_words(initials.struck.as_ref())
            )
        );
        from_paper(out, "      ", &initials.stamp);
    }
    for report in plan.reports_behind(planned) {
        let _ = writeln!(
            out,
            "    {}",
            say!(
                "here because of: {} of {} (\"{}\"): {}",
                report.kind,
                date(report.date),
                report.text,
                plan.module_words(planned)
            )
        );
    }
    for answer in &step.answers {
        let reason = answer.answered.reason.as_ref().map(|reason| format!(": {reason}")).unwrap_or_default();
        let _ = writeln!(
            out,
            "    {}",
            say!(
                "{} {} by {}, entry {}{reason}{}",
                said(answer.answered.result.word()),
                answer.stamp.short(),
                answer.stamp.by.name,
                answer.stamp.entry,
                struck_words(answer.struck.as_ref()),
                reason = reason
            )
        );
        from_paper(out, "      ", &answer.stamp);
        if !answer.unmet.is_empty() {
            let _ = writeln!(out, "      {}", say!("not confirmed at that time: {}", answer.unmet));
        }
    }
    for reading in &step.readings {
        let title = planned
            .step
            .measure(&reading.taken.measure)
            .map_or(reading.taken.measure.as_str(), |measure| of_checklist(&measure.title));
        let with = reading
            .taken
            .used()
            .ids()
            .map(|ids| format!(" {}", say!("with {ids}", ids = ids)))
            .unwrap_or_default();
        let _ = writeln!(
            out,
            "    {}",
            say!(
                "{title}: {}{with}, {}, entry {}{} -> {}: {}",
                value_words(&reading.taken.value),
                reading.stamp.short(),
                reading.stamp.entry,
                struck_words(reading.struck.as_ref()),
                reading.judgement.headline(),
                reading.judgement.words,
                title = title,
                with = with
            )
        );
        from_paper(out, "      ", &reading.stamp);
    }
    for told in state.evidence.iter().filter(|told| told.what.step.as_deref() == Some(&planned.step.id)) {
        let _ = writeln!(
            out,
            "    {}",
            say!(
                "evidence {} ({} bytes, {}), entry {}{}",
                told.what.name,
                told.what.bytes,
                &told.what.sha256.get(..12).unwrap_or(&told.what.sha256),
                told.stamp.entry,
                struck_words(told.struck.as_ref())
            )
        );
    }
    for inspection in &step.inspections {
        let checked: Vec<&str> =
            inspection.inspected.checked.iter().map(|check| said(check.word())).collect();
        let found =
            if inspection.inspected.satisfactory { say!("satisfactory") } else { say!("NOT satisfactory") };
        let _ = writeln!(
            out,
            "    {}",
            say!(
                "independent inspection {} by {}: {} ({}), {found}",
                inspection.stamp.short(),
                inspection.stamp.by.name,
                inspection.inspected.connections,
                checked.join(", "),
                found = found
            )
        );
    }
    for note in &step.notes {
        let _ = writeln!(
            out,
            "    {}",
            say!("note {} {}: {}", note.stamp.short(), note.stamp.by.name, note.text)
        );
        from_paper(out, "      ", &note.stamp);
    }
}

/// Of what stood on a printed sheet first: where, when, by whom, and who entered it.
fn from_paper(out: &mut String, margin: &str, stamp: &Stamp) {
    if let Some(words) = stamp.paper_words() {
        let _ = writeln!(out, "{margin}{words}");
    }
}

/// On paper an earlier answer is struck through; in plain text it says so.
fn struck_words(struck: Option<&Struck>) -> String {
    struck.map_or_else(String::new, |struck| {
        format!(" {}", say!("[struck by entry {}, {}: {}]", struck.by_entry, struck.who, struck.why))
    })
}

fn defects(out: &mut String, state: &State, today: NaiveDate) {
    if state.defects.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{}", say!("Defects"));
    for defect in &state.defects {
        let place: Vec<String> = [
            defect.raised.component.clone(),
            defect.raised.side.clone(),
            defect.raised.station_mm.map(|station| say!("station {station} mm", station = figure(station))),
        ]
        .into_iter()
        .flatten()
        .collect();
        let place = if place.is_empty() { String::new() } else { format!(" ({})", place.join(", ")) };
        let _ = writeln!(
            out,
            "  {} {}: {}{place}, {}{}",
            defect.id,
            said(defect.raised.severity.word()),
            defect.raised.what,
            said(defect.standing().word()),
            struck_words(defect.struck.as_ref())
        );
        from_paper(out, "    ", &defect.stamp);
        if let Some(words) = defect.record_words(today) {
            let _ = writeln!(out, "    {words}");
        }
        for told in &defect.dispositions {
            let until = told
                .what
                .until
                .map(|until| format!(" {}", say!("until {}", date(until))))
                .unwrap_or_default();
            let _ = writeln!(
                out,
                "    {}",
                say!(
                    "{} {}{until} by {} {}",
                    told.stamp.short(),
                    said(told.what.disposition.word()),
                    told.stamp.by.name,
                    told.what.note,
                    until = until
                )
            );
        }
        for told in &defect.rectifications {
            let _ = writeln!(
                out,
                "    {}",
                say!("{} rectified by {}: {}", told.stamp.short(), told.stamp.by.name, told.what.work)
            );
        }
        if let Some(stamp) = &defect.reinspected {
            let _ = writeln!(
                out,
                "    {}",
                say!("{} re-inspected by {}, entry {}", stamp.short(), stamp.by.name, stamp.entry)
            );
        }
    }
}

fn signature(out: &mut String, state: &State) {
    let Some(signed) = &state.signed else { return };
    let _ = writeln!(
        out,
        "\n{}",
        say!("Signed off {}: {}", signed.stamp.short(), said(signed.what.outcome.word()))
    );
    let _ = writeln!(out, "  {}", said(&signed.what.statement));
    let _ = writeln!(
        out,
        "  {}",
        say!(
            "{}, {} {}; total time {} h, {} launches",
            signed.what.by.name,
            signed.what.certificate,
            signed.what.authorisation,
            figure(signed.what.hours),
            signed.what.launches
        )
    );
    for discrepancy in &signed.what.discrepancies {
        let _ = writeln!(out, "  {}", say!("discrepancy {}: {}", discrepancy.from, discrepancy.text));
    }
}

/// Entry by entry, oldest first, in plain words.
pub fn entries(entries: &[Stamped]) -> String {
    entries
        .iter()
        .map(|stamped| {
            let by = stamped.event.actor().map_or(say!("the program"), |actor| actor.name.as_str());
            format!("{:>5}  {}  {by}: {}\n", stamped.entry, stamped.wall, words(&stamped.event))
        })
        .collect()
}

/// Entry by entry as JSON: the record's own words beside the plain ones.
pub fn entries_json(sid: &str, entries: &[Stamped]) -> serde_json::Value {
    let entries: Vec<serde_json::Value> = entries
        .iter()
        .map(|stamped| {
            serde_json::json!({
                "entry": stamped.entry,
                "wall": stamped.wall,
                "mono_ms": stamped.mono_ms,
                "hash": stamped.hash,
                "event": stamped.event,
                "words": words(&stamped.event),
            })
        })
        .collect();
    serde_json::json!({ "session": sid, "entries": entries })
}
