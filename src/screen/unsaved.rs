//! Tables that are typed and not recorded, as text that outlives the program.
//!
//! A flex test is typed while people hold a glider: a crash must not make them push it again.

use tui_input::Input;

use super::app::{App, Overlay, Tone};
use super::desk::{Desk, SessionView};
use super::field::Entry;
use super::series::{Series, SeriesRow};

/// Begins a table: step, measurement, entry that it corrects.
const TABLE: &str = "table";
const ROW: &str = "row";
const WHY: &str = "why";

/// One table after the other, one line a row, fields parted by tabs.
fn text_of(series: &Series) -> String {
    let corrects = series.corrects.map_or(String::new(), |entry| entry.to_string());
    let mut text = format!("{TABLE}\t{}\t{}\t{corrects}\n", series.step, series.measure.id);
    for row in &series.rows {
        let (way, set) = (if row.loading { "up" } else { "down" }, if row.way_is_set { "set" } else { "" });
        let (load, deflection) = (row.load.value(), row.deflection.value());
        text.push_str(&format!("{ROW}\t{}\t{way}\t{set}\t{load}\t{deflection}\n", row.direction));
    }
    for field in &series.tail {
        if let Entry::Text(input) = &field.entry {
            text.push_str(&format!("{WHY}\t{}\n", input.value()));
        }
    }
    text
}

/// Puts the kept lines into a fresh table. A line of another form is left out.
fn fill<'a>(series: &mut Series, lines: impl Iterator<Item = &'a str>) {
    let mut rows = Vec::new();
    for line in lines {
        let fields: Vec<&str> = line.split('\t').collect();
        match fields[..] {
            [ROW, direction, way, set, load, deflection] => {
                let direction =
                    direction.parse().unwrap_or(0).min(series.demand.directions.len().saturating_sub(1));
                rows.push(SeriesRow {
                    direction,
                    loading: way == "up",
                    way_is_set: set == "set",
                    load: Input::new(load.to_string()),
                    deflection: Input::new(deflection.to_string()),
                });
            }
            [WHY, why] => {
                for field in &mut series.tail {
                    if let Entry::Text(input) = &mut field.entry {
                        *input = Input::new(why.to_string());
                    }
                }
            }
            _ => {}
        }
    }
    if !rows.is_empty() {
        series.rows = rows;
        series.go_to_last_row();
        series.touched = true;
    }
}

fn restored(desk: &dyn Desk, view: &SessionView<'_>, table: &str) -> Option<Series> {
    let mut lines = table.lines();
    let head: Vec<&str> = lines.next()?.split('\t').collect();
    let [TABLE, step, measure, corrects] = head[..] else { return None };
    let planned = view.plan.step(step)?;
    let found = planned.step.measure(measure)?;
    let state = view.state.step(step);
    let corrects: Option<u64> = corrects.parse().ok();
    let replaced = state
        .and_then(|state| state.readings_of(measure).find(|reading| Some(reading.stamp.entry) == corrects));
    let taken = state.map_or(0, |state| state.readings_of(measure).count());
    let needs_why = u32::try_from(taken).is_ok_and(|taken| taken >= found.readings);
    let mut series = Series::new(desk, view.plan, planned, found, replaced, None, needs_why)?;
    fill(&mut series, lines);
    series.touched.then_some(series)
}

impl App {
    /// Keeps what is typed in tables, whenever it changed.
    pub(super) fn keep_tables(&mut self, desk: &mut dyn Desk) {
        if desk.session().is_none() {
            return;
        }
        let tables = self.drafts.iter().chain(&self.overlays).filter_map(|overlay| match overlay {
            Overlay::Series(series) if series.touched => Some(text_of(series)),
            _ => None,
        });
        let text: String = tables.collect();
        if text == self.kept_tables {
            return;
        }
        if let Err(why) = desk.keep_unsaved(&text) {
            self.say(Tone::Bad, format!("what is typed here is not kept if the program ends: {why}"));
        }
        self.kept_tables = text;
    }

    /// Brings the tables back that an earlier run did not record.
    pub(super) fn restore_tables(&mut self, desk: &dyn Desk) {
        self.kept_tables = desk.unsaved().unwrap_or_default();
        let Some(view) = desk.session() else { return };
        let starts: Vec<usize> = self
            .kept_tables
            .match_indices(TABLE)
            .map(|(at, _)| at)
            .filter(|at| *at == 0 || self.kept_tables[..*at].ends_with('\n'))
            .collect();
        let mut titles = Vec::new();
        for (index, start) in starts.iter().enumerate() {
            let end = starts.get(index + 1).copied().unwrap_or(self.kept_tables.len());
            if let Some(series) = restored(desk, &view, &self.kept_tables[*start..end]) {
                titles.push(series.title.clone());
                self.drafts.push(Overlay::Series(Box::new(series)));
            }
        }
        if !titles.is_empty() {
            let text = format!(
                "typed before and NOT recorded: {}; r on its step brings the table back",
                titles.join("; ")
            );
            self.say(Tone::Bad, text);
        }
    }
}
