//! Defects: list and detail, from raising to closing.

use chrono::NaiveDate;
use ratatui::style::Style;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

use super::desk::SessionView;
use super::list::Row;
use super::look::{Look, sign_of_defect};
use super::sketch;
use super::text::{Page, pad};
use crate::completion::Subject;
use crate::state::{Defect, Standing};
use crate::words::{date, figure, of_checklist, said};

/// Least columns of standing and severity in the list.
const STANDING: usize = 29;
const SEVERITY: usize = 10;

pub fn rows(view: &SessionView<'_>, today: NaiveDate, look: Look) -> Vec<Row> {
    if view.state.defects.is_empty() {
        return vec![Row::heading(look, say!("  no defect is raised; d raises one found outside the steps"))];
    }
    let told: Vec<String> = view.state.defects.iter().map(|defect| standing_word(defect, today)).collect();
    let wide = told.iter().map(|word| word.width()).fold(STANDING, usize::max);
    let severities = view.state.defects.iter().map(|defect| said(defect.raised.severity.word()).width());
    let severe = severities.fold(SEVERITY, usize::max);
    let row = |(index, defect): (usize, &Defect)| {
        let standing = defect.standing();
        let is_overdue = defect.overdue_on(today).is_some();
        let style = if is_overdue { look.bad() } else { look.of_defect(standing) };
        let word = told.get(index).map_or("", String::as_str);
        Row::item(
            index,
            vec![
                (format!("{} {} ", sign_of_defect(standing), pad(&defect.id, 4)), style),
                (format!("{} ", pad(word, wide)), style),
                (format!("{} ", pad(said(defect.raised.severity.word()), severe)), Style::new()),
                (defect.raised.what.clone(), Style::new()),
            ],
        )
    };
    view.state.defects.iter().enumerate().map(row).collect()
}

fn standing_word(defect: &Defect, today: NaiveDate) -> String {
    let standing = defect.standing();
    match &defect.raised.from_record {
        _ if defect.overdue_on(today).is_some() => say!("OVERDUE, {}", said(standing.word())),
        Some(record) if standing == Standing::Undecided => {
            say!("undecided; was {}", said(&record.standing))
        }
        _ => said(standing.word()).to_string(),
    }
}

/// `height` is the room on the screen: the picture of the airframe takes what the words leave.
pub fn detail(
    view: &SessionView<'_>,
    today: NaiveDate,
    at: usize,
    look: Look,
    width: usize,
    height: usize,
) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    let Some(defect) = view.state.defects.get(at) else {
        page.plain(say!(
            "A defect is raised from a step (d on the worksheet) or here, when no step found it."
        ));
        return page.lines;
    };
    let standing = defect.standing();
    page.text(look.strong(), &format!("{}: {}", defect.id, defect.raised.what));
    let lead = format!("{} ", sign_of_defect(standing));
    page.hanging(
        look.of_defect(standing),
        &lead,
        &format!("{} · {}", said(standing.word()), said(defect.raised.severity.word())),
    );
    if defect.grounds() || defect.overdue_on(today).is_some() {
        page.block(look.alarm(), say!("NOT AIRWORTHY while this is open"));
    }
    if let Some(until) = defect.overdue_on(today) {
        page.hanging(look.bad(), "✗ ", &say!("OVERDUE: it was deferred until {until}", until = date(until)));
    }
    if let Some(words) = defect.record_words(today) {
        page.hanging(look.doubt(), "↩ ", &words);
    }
    place(&mut page, view, defect);
    life(&mut page, defect);
    evidence(&mut page, view, defect);
    page.gap();
    // A disposition that the checklist does not allow is told here, not only at sign-off.
    let about = Subject::Defect(defect.id.clone());
    let against: Vec<_> = view
        .verdict
        .refusals()
        .iter()
        .filter(|refusal| refusal.number == 4 && refusal.subject == about)
        .collect();
    if against.is_empty() || standing != Standing::Deferred {
        page.hanging(look.quiet(), "→ ", next(defect));
    } else {
        for refusal in against {
            page.hanging(look.bad(), "✗ ", &refusal.why);
            page.hanging(look.quiet(), "→ ", &refusal.clears);
        }
    }
    sketch::below(&mut page, view, defect, height);
    page.lines
}

fn place(page: &mut Page, view: &SessionView<'_>, defect: &Defect) {
    let raised = &defect.raised;
    if let Some(component) = &raised.component {
        page.field(say!("component"), component);
    }
    if let Some(side) = &raised.side {
        page.field(say!("side"), said(side));
    }
    if let Some(station) = raised.station_mm {
        let datum = view
            .plan
            .of_type
            .as_ref()
            .map_or(String::new(), |of_type| format!(" ({})", of_checklist(&of_type.datum)));
        page.field(say!("station"), &format!("{} mm{datum}", figure(station)));
    }
    let found = match &raised.step {
        Some(id) => view.plan.step(id).map_or(id.as_str(), |step| of_checklist(&step.step.title)).to_string(),
        None => say!("found outside the steps").to_string(),
    };
    page.field(say!("found by"), &found);
    page.field(
        say!("of a defect" => "raised"),
        &say!("{} · {} (entry {})", defect.stamp.by.name, defect.stamp.short(), defect.stamp.entry),
    );
    if let Some(words) = defect.stamp.paper_words() {
        page.field("", &words);
    }
    if let Some(struck) = &defect.struck {
        page.hanging(
            page.look.struck(),
            say!("taken back: "),
            &say!("of a reason" => "{} by {}", struck.why, struck.who),
        );
    }
}

fn life(page: &mut Page, defect: &Defect) {
    if defect.dispositions.is_empty() && defect.rectifications.is_empty() {
        return;
    }
    page.head(say!("Decisions and work"));
    let mut told: Vec<(u64, String)> = Vec::new();
    for disposed in &defect.dispositions {
        let until =
            disposed.what.until.map_or(String::new(), |until| say!(" until {until}", until = date(until)));
        let note =
            if disposed.what.note.is_empty() { String::new() } else { format!("; {}", disposed.what.note) };
        let by = format!("{} · {}", disposed.stamp.by.name, disposed.stamp.short());
        let word = said(disposed.what.disposition.word());
        told.push((disposed.stamp.entry, say!("decided: {word}{until}{note} · {by}", word, until, note, by)));
    }
    for rectified in &defect.rectifications {
        let controls =
            if rectified.what.disturbed_controls { say!("; flight controls disturbed") } else { "" };
        let by = format!("{} · {}", rectified.stamp.by.name, rectified.stamp.short());
        told.push((
            rectified.stamp.entry,
            say!("rectified: {}{controls} · {by}", rectified.what.work, controls = controls, by = by),
        ));
    }
    if let Some(stamp) = &defect.reinspected {
        told.push((stamp.entry, say!("re-inspected, satisfactory · {} · {}", stamp.by.name, stamp.short())));
    }
    told.sort_by_key(|(entry, _)| *entry);
    for (_, text) in told {
        page.hanging(Style::new(), "· ", &text);
    }
}

fn evidence(page: &mut Page, view: &SessionView<'_>, defect: &Defect) {
    let id = Some(defect.id.as_str());
    let files: Vec<_> = view.state.evidence.iter().filter(|told| told.what.defect.as_deref() == id).collect();
    if files.is_empty() {
        return;
    }
    page.head(say!("Evidence"));
    for told in files {
        let style = if told.struck.is_some() { page.look.struck() } else { Style::new() };
        page.hanging(style, "· ", &say!("{} ({} bytes)", told.what.name, told.what.bytes));
    }
}

/// What to do next with it.
fn next(defect: &Defect) -> &'static str {
    match (defect.standing(), defect.raised.step.is_some()) {
        (Standing::Undecided, _) => say!("decide what becomes of it (a)"),
        (Standing::Rectifying, _) => say!("record the rectification when the work is done (r)"),
        (Standing::AwaitingReinspection, true) => say!("work its step again: Enter goes there"),
        (Standing::AwaitingReinspection, false) => say!("re-inspect it (i)"),
        (Standing::Referred, _) => {
            say!(
                "the repairer takes over; cutting, grinding and repair are for an approved composite repairer only"
            )
        }
        (Standing::Deferred, _) => say!("it may wait until its limit"),
        (Standing::NotAirworthy, _) => {
            say!("the airframe stays on the ground; rectify it, or sign as not airworthy")
        }
        (Standing::Closed | Standing::Struck, _) => say!("nothing is left to do"),
    }
}
