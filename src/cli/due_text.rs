//! What falls due, as text of 80 columns.

use std::fmt::Write as _;

use super::due::Told;
use super::order_text::paragraph;
use crate::due::{DueLine, Horizon, is_exhausted, part_words};
use crate::measure::life::Part;
use crate::words::{date, figure, of_checklist, said};

pub fn text(told: &Told, all: bool) -> String {
    let mut out = String::new();
    head(&mut out, told);
    let shown: Vec<&DueLine> = told.lines.iter().filter(|line| all || line.is_before_next()).collect();
    if shown.is_empty() {
        out.push_str(&format!("\n{}\n", say!("Nothing falls due before then.")));
    }
    lines(&mut out, shown.iter().copied());
    let later = told.lines.len() - shown.len();
    if later > 0 {
        let _ = writeln!(out, "\n{}", say!("{later} more fall due later: --all shows them", later = later));
    }
    for remark in &told.remarks {
        out.push('\n');
        paragraph(&mut out, "", &say!("note: {remark}", remark = remark));
    }
    out
}

fn head(out: &mut String, told: &Told) {
    let Horizon { now, next } = &told.horizon;
    paragraph(out, "", &told.title);
    if told.registration.is_some() {
        paragraph(
            out,
            "",
            &say!(
                "on {} at {} h and {} launches",
                date(now.date),
                figure(now.hours.normalize()),
                now.launches
            ),
        );
        let then = next.hours.normalize();
        let words = say!(
            "next annual on {}, expected at {then} h and {} launches",
            date(next.date),
            next.launches,
            then = figure(then)
        );
        paragraph(out, "", &words);
    } else {
        paragraph(out, "", &say!("on {}, looking ahead to {}", date(now.date), date(next.date)));
    }
}

/// Grouped by standing, gravest first.
pub fn lines<'a>(out: &mut String, lines: impl Iterator<Item = &'a DueLine>) {
    let mut heading = "";
    for line in lines {
        if line.standing.word() != heading {
            heading = line.standing.word();
            let _ = writeln!(out, "\n{}", said(heading).to_uppercase());
        }
        let title = if line.title.eq_ignore_ascii_case(line.kind.word()) {
            of_checklist(&line.title).to_string()
        } else {
            format!("{}: {}", said(line.kind.word()), of_checklist(&line.title))
        };
        paragraph(out, "  ", &title);
        parts(out, line);
    }
}

fn parts(out: &mut String, line: &DueLine) {
    for part in &line.parts {
        let mut words = part_words(part);
        if is_exhausted(part) {
            words.push_str(say!(", OVERDUE"));
        }
        if let Some((first, day)) = line.first.filter(|(first, _)| first == part) {
            if line.parts.len() > 1 {
                words.push_str(say!(", first"));
            }
            if matches!(first, Part::Counted { .. }) && !is_exhausted(part) {
                let _ = write!(words, "{}", say!(", expected on {day}", day = date(day)));
            }
        }
        paragraph(out, "    ", &words);
    }
    if let Some(trouble) = &line.trouble {
        paragraph(out, "    ", &format!("? {trouble}"));
    }
}
