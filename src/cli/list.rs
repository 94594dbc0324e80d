//! `list`: airframes and sessions.

use std::fmt::Write as _;

use serde_json::{Value, json};

use crate::hangar::{Hangar, SessionSummary, airframe_grounding};

pub fn text(hangar: &Hangar, sessions: &[SessionSummary]) -> String {
    let mut out = String::new();
    if hangar.is_demo() {
        let _ = writeln!(out, "This hangar is invented: club, people, types, registrations and figures.\n");
    }
    let _ = writeln!(out, "Airframes in {}", hangar.root.display());
    if !hangar.root.exists() {
        let _ = writeln!(out, "  there is no such folder yet; check the path given with --hangar");
    }
    if hangar.airframes.is_empty() {
        let _ =
            writeln!(out, "  none; write a record into airframes/<registration>.toml, or try: spanwise demo");
    }
    for file in &hangar.airframes {
        match &file.airframe {
            Ok(airframe) => {
                let last = airframe.last_annual.map_or("never".to_string(), |date| date.to_string());
                let _ = writeln!(
                    out,
                    "  {:<10} {:<12} serial {:<8} {} h, {} launches; last annual {last}; {}",
                    airframe.registration,
                    airframe.type_id,
                    airframe.serial,
                    airframe.hours,
                    airframe.launches,
                    counted(airframe.open_reports().count(), "report", "reports")
                );
                for why in airframe_grounding(airframe, sessions, hangar.today()) {
                    let _ = writeln!(out, "             NOT AIRWORTHY: {why}");
                }
            }
            Err(faults) => {
                let first = faults.first().map(ToString::to_string).unwrap_or_default();
                let _ = writeln!(out, "  {:<10} cannot be read: {first}", file.name());
            }
        }
    }
    let _ = writeln!(out, "\nSessions");
    if sessions.is_empty() {
        let _ = writeln!(out, "  none; begin one with: spanwise begin <registration> --by <person>");
    }
    for session in sessions {
        let progress =
            session.progress.map_or(String::new(), |(answered, all)| format!(", {answered} of {all} steps"));
        let open = if session.open_mandatory > 0 {
            format!(", {} mandatory open", session.open_mandatory)
        } else {
            String::new()
        };
        let _ = writeln!(
            out,
            "  {}  {:<10} begun {} by {}: {}{progress}{open}",
            session.sid.get(..12).unwrap_or(&session.sid),
            session.registration,
            session.begun,
            session.by,
            session.standing_words()
        );
        for why in &session.grounding {
            let _ = writeln!(out, "      NOT AIRWORTHY: {why}");
        }
    }
    let faults = faults(hangar);
    if !faults.is_empty() {
        let _ = writeln!(out, "\nFaults of files; no annual is begun with a faulty checklist");
        for fault in faults {
            let _ = writeln!(out, "  {fault}");
        }
    }
    out
}

fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// Of the registers and of the checklists; those of an airframe stand beside it.
fn faults(hangar: &Hangar) -> Vec<String> {
    hangar.faults.iter().chain(&hangar.own_checklist_faults()).map(ToString::to_string).collect()
}

pub fn json(hangar: &Hangar, sessions: &[SessionSummary]) -> Value {
    let airframes: Vec<Value> = hangar
        .airframes
        .iter()
        .map(|file| match &file.airframe {
            Ok(airframe) => json!({
                "registration": airframe.registration,
                "type": airframe.type_id,
                "serial": airframe.serial,
                "build_standard": airframe.build_standard,
                "hours": airframe.hours,
                "launches": airframe.launches,
                "last_annual": airframe.last_annual,
                "reports": airframe.open_reports().count(),
                "grounded": airframe_grounding(airframe, sessions, hangar.today()),
            }),
            Err(faults) => json!({
                "registration": file.name(),
                "faults": faults.iter().map(ToString::to_string).collect::<Vec<_>>(),
            }),
        })
        .collect();
    let sessions: Vec<Value> = sessions
        .iter()
        .map(|session| {
            json!({
                "session": session.sid,
                "registration": session.registration,
                "begun": session.begun_minute(),
                "by": session.by,
                "standing": session.standing,
                "answered": session.progress.map(|(answered, _)| answered),
                "steps": session.progress.map(|(_, all)| all),
                "open_mandatory": session.open_mandatory,
                "grounded": session.grounded,
                "grounding": session.grounding,
                "continues": session.continues,
                "continued_by": session.continued_by,
            })
        })
        .collect();
    json!({
        "hangar": hangar.root,
        "airframes": airframes,
        "sessions": sessions,
        "faults": faults(hangar),
    })
}
