//! `list`: airframes and sessions.

use std::fmt::Write as _;

use serde_json::{Value, json};

use crate::hangar::{Hangar, SessionSummary, airframe_grounding};
use crate::words::{date, figure};

pub fn text(hangar: &Hangar, sessions: &[SessionSummary]) -> String {
    let mut out = String::new();
    if hangar.is_demo() {
        let _ = writeln!(
            out,
            "{}\n",
            say!("This hangar is invented: club, people, types, registrations and figures.")
        );
    }
    let _ = writeln!(out, "{}", say!("Airframes in {}", hangar.root.display()));
    if !hangar.root.exists() {
        let _ =
            writeln!(out, "  {}", say!("there is no such folder yet; check the path given with --hangar"));
    }
    if hangar.airframes.is_empty() {
        let _ = writeln!(
            out,
            "  {}",
            say!("none; write a record into airframes/<registration>.toml, or try: spanwise demo")
        );
    }
    for file in &hangar.airframes {
        match &file.airframe {
            Ok(airframe) => {
                let last = airframe.last_annual.map_or(say!("never").to_string(), date);
                let _ = writeln!(
                    out,
                    "  {}",
                    say!(
                        "{} {} serial {} {} h, {} launches; last annual {last}; {}",
                        format_args!("{:<10}", airframe.registration),
                        format_args!("{:<12}", airframe.type_id),
                        format_args!("{:<8}", airframe.serial),
                        figure(airframe.hours),
                        airframe.launches,
                        say!("{n} report" | "{n} reports" % airframe.open_reports().count()),
                        last = last
                    )
                );
                for why in airframe_grounding(airframe, sessions, hangar.today()) {
                    let _ = writeln!(out, "             {}", say!("NOT AIRWORTHY: {why}", why = why));
                }
            }
            Err(faults) => {
                let first = faults.first().map(ToString::to_string).unwrap_or_default();
                let _ = writeln!(
                    out,
                    "  {}",
                    say!("{} cannot be read: {first}", format_args!("{:<10}", file.name()), first = first)
                );
            }
        }
    }
    let _ = writeln!(out, "\n{}", say!("Sessions"));
    if sessions.is_empty() {
        let _ =
            writeln!(out, "  {}", say!("none; begin one with: spanwise begin <registration> --by <person>"));
    }
    for session in sessions {
        let progress = session.progress.map_or(String::new(), |(answered, all)| {
            say!(", {answered} of {all} steps", answered = answered, all = all)
        });
        let open = if session.open_mandatory > 0 {
            say!(", {} mandatory open", session.open_mandatory)
        } else {
            String::new()
        };
        let _ = writeln!(
            out,
            "  {}",
            say!(
                "{}  {} begun {} by {}: {}{progress}{open}",
                session.sid.get(..12).unwrap_or(&session.sid),
                format_args!("{:<10}", session.registration),
                session.begun,
                session.by,
                session.standing_words(),
                progress = progress,
                open = open
            )
        );
        for why in &session.grounding {
            let _ = writeln!(out, "      {}", say!("NOT AIRWORTHY: {why}", why = why));
        }
    }
    let faults = faults(hangar);
    if !faults.is_empty() {
        let _ = writeln!(out, "\n{}", say!("Faults of files; no annual is begun with a faulty checklist"));
        for fault in faults {
            let _ = writeln!(out, "  {fault}");
        }
    }
    out
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
