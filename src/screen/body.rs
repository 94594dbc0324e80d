//! Which list and which details belong to a place.

use ratatui::text::Line;

use super::desk::Desk;
use super::list::Row;
use super::look::Look;
use super::readings::Filter;
use super::{
    defects, findings, hangar, help, history, readings, readings_detail, records, sign_off, step_detail,
};
use crate::command::{Circumstances, Place};

/// Items that can be selected.
pub fn count(desk: &dyn Desk, place: Place, filter: Filter) -> usize {
    if place == Place::Hangar {
        return hangar::items(desk.hangar()).len();
    }
    let Some(view) = desk.session() else { return 0 };
    match place {
        Place::Worksheet => view.plan.steps.len(),
        Place::Defects | Place::Sketch => view.state.defects.len(),
        Place::Records => records::items(&view, desk.today()).len(),
        Place::Readings => readings::items(&view, filter).len(),
        Place::SignOff => sign_off::items(&view).len(),
        Place::History => view.entries.len(),
        Place::Findings => desk.findings().len(),
        _ => 0,
    }
}

/// Rows of every list but the worksheet's, which is made row by row.
pub fn rows(desk: &dyn Desk, place: Place, filter: Filter, look: Look) -> Vec<Row> {
    if place == Place::Hangar {
        return hangar::rows(desk.hangar(), look);
    }
    let Some(view) = desk.session() else { return Vec::new() };
    match place {
        Place::Defects => defects::rows(&view, desk.today(), look),
        Place::Records => records::rows(&view, desk.today(), look),
        Place::Readings => readings::rows(&view, filter, look),
        Place::SignOff => sign_off::rows(&view, look),
        Place::History => history::rows(&view, look),
        Place::Findings => findings::rows(view.entries, &desk.findings(), look),
        _ => Vec::new(),
    }
}

pub fn detail(
    desk: &dyn Desk,
    place: Place,
    at: usize,
    filter: Filter,
    help_for: Place,
    look: Look,
    width: usize,
) -> Vec<Line<'static>> {
    match place {
        Place::Hangar => return hangar::detail(desk.hangar(), at, look, width),
        Place::Help => return help::detail(help_for, look, width),
        _ => {}
    }
    let Some(view) = desk.session() else { return vec![Line::from(say!("No session is open."))] };
    match place {
        Place::Worksheet => step_detail::detail(&view, at, look, width),
        Place::Records => records::detail(&view, desk.today(), at, look, width),
        Place::Readings => readings_detail::detail(&view, filter, at, look, width),
        Place::SignOff => {
            let signer = desk.person().map(|person| person.name.as_str());
            sign_off::detail(&view, desk.today(), signer, at, look, width)
        }
        Place::Findings => findings::detail(&view, &desk.findings(), at, look, width),
        _ => history::detail(&view, at, look, width),
    }
}

/// What holds for the commands of this place and item.
pub fn circumstances(
    desk: &dyn Desk,
    place: Place,
    at: usize,
    filter: Filter,
    failed: bool,
) -> Circumstances {
    let mut now = Circumstances {
        person: desk.person().is_some(),
        selected: at < count(desk, place, filter),
        failed,
        ..Circumstances::default()
    };
    let Some(view) = desk.session() else { return now };
    now.session = true;
    now.read_only = view.read_only.is_some();
    now.paused = view.state.paused.is_some();
    if place == Place::Readings {
        now.measures = now.selected;
        now.correctable =
            readings::items(&view, filter).get(at).is_some_and(|item| !item.readings.is_empty());
    }
    if place == Place::Worksheet
        && let Some(planned) = view.plan.steps.get(at)
    {
        now.measures = !planned.step.measures.is_empty();
        now.configuration = !planned.step.configuration.is_empty();
        now.correctable =
            view.state.step(&planned.step.id).is_some_and(|state| {
                state.answer().is_some()
                    || state.initials().next().is_some()
                    || state.readings.iter().any(|reading| reading.struck.is_none())
            }) || view.state.confirmations.iter().any(|told| {
                let needed = &planned.step.configuration;
                told.struck.is_none() && told.what.iter().any(|(aspect, _)| needed.get(aspect).is_some())
            }) || view.state.evidence.iter().any(|told| {
                told.struck.is_none() && told.what.step.as_deref() == Some(planned.step.id.as_str())
            });
    }
    now
}
