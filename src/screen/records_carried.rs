//! The part of the Records screen that tells what the annual opened with: defects left open, failures and readings before.

use ratatui::style::Style;

use super::desk::SessionView;
use super::look::{Look, sign_of_defect};
use super::records::Record;
use super::text::Page;
use crate::plan::PlanStep;
use crate::state::{Defect, Standing, readings_before};
use crate::words::{self, of_checklist, said};

pub fn items<'a>(view: &SessionView<'a>) -> Vec<Record<'a>> {
    let (plan, state) = (view.plan, view.state);
    let defects = state.defects.iter().filter(|defect| defect.raised.from_record.is_some());
    let failed = view.earlier.into_iter().flat_map(move |earlier| {
        plan.steps.iter().filter_map(move |planned| {
            let how = earlier.failed.get(&planned.step.id)?;
            Some(Record::FailedBefore(planned, how.as_str()))
        })
    });
    let readings = (!plan.airframe.earlier_readings.is_empty()).then_some(Record::ReadingsBefore);
    defects.map(Record::CarriedDefect).chain(failed).chain(readings).collect()
}

pub fn title(view: &SessionView<'_>, item: &Record<'_>) -> String {
    match item {
        Record::CarriedDefect(defect) => format!("{} {}", defect.id, defect.raised.what),
        Record::FailedBefore(planned, how) => format!("{} ({how})", of_checklist(&planned.step.title)),
        _ => say!("{n} earlier reading" | "{n} earlier readings" % view.plan.airframe.earlier_readings.len()),
    }
}

pub fn standing(item: &Record<'_>, look: Look) -> (&'static str, String, Style) {
    match item {
        Record::CarriedDefect(defect) => {
            let standing = defect.standing();
            let word = match (standing, &defect.raised.from_record) {
                (Standing::Undecided, Some(record)) => say!("was {}", said(&record.standing)),
                _ => said(standing.word()).to_string(),
            };
            (sign_of_defect(standing), word, look.of_defect(standing))
        }
        Record::FailedBefore(..) => ("↩", say!("failed last time").to_string(), look.doubt()),
        _ => ("·", say!("stand beside the new").to_string(), look.quiet()),
    }
}

pub fn defect_detail(page: &mut Page, view: &SessionView<'_>, today: chrono::NaiveDate, defect: &Defect) {
    page.text(page.look.strong(), &format!("{}: {}", defect.id, defect.raised.what));
    if let Some(words) = defect.record_words(today) {
        page.plain(&words);
    }
    if let Some(until) = defect.overdue_on(today) {
        page.block(
            page.look.alarm(),
            &say!("OVERDUE: it was deferred until {until}", until = words::date(until)),
        );
    }
    page.field(say!("now"), said(defect.standing().word()));
    if let Some(step) = defect.raised.step.as_deref().and_then(|id| view.plan.step(id)) {
        page.field(say!("found by"), of_checklist(&step.step.title));
    }
    page.text(
        page.look.quiet(),
        say!("Enter decides what becomes of it; the Defects screen (2) tells all of it."),
    );
}

pub fn failed_detail(page: &mut Page, view: &SessionView<'_>, planned: &PlanStep, how: &str) {
    page.text(page.look.strong(), of_checklist(&planned.step.title));
    page.field(say!("last time"), how);
    page.field(say!("now"), said(view.state.standing(&planned.step.id).word()));
    let Some(earlier) = view.earlier else { return };
    page.head(&earlier.label);
    for line in earlier.steps.get(&planned.step.id).map_or(&[][..], Vec::as_slice) {
        page.hanging(Style::new(), "· ", line);
    }
}

pub fn readings_detail(page: &mut Page, view: &SessionView<'_>) {
    page.text(page.look.strong(), say!("Earlier readings by the airframe's record"));
    for planned in &view.plan.steps {
        for measure in &planned.step.measures {
            let before = readings_before(view.plan, &planned.step.id, &measure.id);
            if !before.is_empty() {
                let text = format!(
                    "{}, {}: {}",
                    of_checklist(&planned.step.title),
                    of_checklist(&measure.title),
                    before.join("; ")
                );
                page.hanging(Style::new(), "· ", &text);
            }
        }
    }
}
