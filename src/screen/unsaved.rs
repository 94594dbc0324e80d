//! What is typed and not recorded, as text that outlives the program: tables, and the fields of every form.
//!
//! A flex test is typed while people hold a glider: a crash must not make them push it again.

use tui_input::Input;

use super::app::{App, Overlay, Tone, is_touched, words_of};
use super::desk::{Desk, SessionView};
use super::field::Entry;
use super::form::Form;
use super::kept_form::{self, KeptForm};
use super::purpose::ON_FILE;
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
    /// Keeps what is typed in forms and tables, whenever it changed.
    pub(super) fn keep_typed(&mut self, desk: &mut dyn Desk) {
        self.keep_here(desk);
        if desk.session().is_none() {
            return;
        }
        let open = self.drafts.iter().chain(&self.overlays).filter(|overlay| is_touched(overlay));
        let open = open.filter(|overlay| !is_on_file(overlay));
        let open = open.filter_map(|overlay| match overlay {
            Overlay::Series(series) => Some(text_of(series)),
            Overlay::Form(form) => kept_form::text_of(form),
            Overlay::Pick(_) => None,
        });
        let kept = self.kept_forms.iter().filter(|kept| !kept.key.starts_with(ON_FILE));
        let text: String = kept.map(|kept| kept.text.clone()).chain(open).collect();
        if text == self.kept_text {
            return;
        }
        if let Err(why) = desk.keep_unsaved(&text) {
            self.say(Tone::Bad, say!("what is typed here is not kept if the program ends: {why}", why));
        }
        self.kept_text = text;
    }

    /// The same for forms of the hangar's files, which belong to no session.
    fn keep_here(&mut self, desk: &mut dyn Desk) {
        let open = self.drafts.iter().chain(&self.overlays).filter(|overlay| is_touched(overlay));
        let open = open.filter_map(|overlay| match overlay {
            Overlay::Form(form) if form.purpose.is_on_file() => kept_form::text_of(form),
            _ => None,
        });
        let kept = self.kept_forms.iter().filter(|kept| kept.key.starts_with(ON_FILE));
        let text: String = kept.map(|kept| kept.text.clone()).chain(open).collect();
        if text == self.kept_here {
            return;
        }
        if let Err(why) = desk.keep_unsaved_here(&text) {
            self.say(Tone::Bad, say!("what is typed here is not kept if the program ends: {why}", why));
        }
        self.kept_here = text;
    }

    /// Brings back what an earlier run typed into forms of the hangar's files, when those are opened again.
    pub(super) fn restore_here(&mut self, desk: &dyn Desk) {
        self.kept_here = desk.unsaved_here().unwrap_or_default();
        let found = sections(&self.kept_here).into_iter().filter_map(KeptForm::read);
        self.kept_forms = found.filter(|kept| kept.key.starts_with(ON_FILE)).collect();
        if !self.kept_forms.is_empty() {
            let words: Vec<&str> = self.kept_forms.iter().map(|kept| kept.words.as_str()).collect();
            let text = say!(
                "typed before and NOT written: {}; the same key on the same item brings it back",
                words.join("; ")
            );
            self.say(Tone::Bad, text);
        }
    }

    /// What is typed in this run and belongs to the open session.
    pub(super) fn session_drafts(&self) -> Vec<String> {
        let open = self.drafts.iter().chain(&self.overlays);
        open.filter(|overlay| is_touched(overlay) && !is_on_file(overlay)).map(words_of).collect()
    }

    /// Brings back what an earlier run did not record: tables at once, forms when their command is given again.
    pub(super) fn restore_typed(&mut self, desk: &dyn Desk) {
        self.kept_text = desk.unsaved().unwrap_or_default();
        self.kept_forms.retain(|kept| kept.key.starts_with(ON_FILE));
        let Some(view) = desk.session() else { return };
        let mut titles = Vec::new();
        for section in sections(&self.kept_text) {
            if let Some(series) = restored(desk, &view, section) {
                titles.push(say!("{} (r on its step)", series.title));
                self.drafts.push(Overlay::Series(Box::new(series)));
            } else if let Some(form) = KeptForm::read(section) {
                titles.push(form.words.clone());
                self.kept_forms.push(form);
            }
        }
        if !titles.is_empty() {
            let text = say!(
                "typed before and NOT recorded: {}; the same key on the same item brings it back",
                titles.join("; ")
            );
            self.say(Tone::Bad, text);
        }
    }

    /// Puts what an earlier run kept into a form that is opened anew.
    pub(super) fn take_kept(&mut self, form: &mut Form) -> bool {
        let Some(key) = form.purpose.kept_as() else { return false };
        let Some(at) = self.kept_forms.iter().position(|kept| kept.key == key) else { return false };
        self.kept_forms.remove(at).fill(form);
        true
    }
}

fn is_on_file(overlay: &Overlay) -> bool {
    matches!(overlay, Overlay::Form(form) if form.purpose.is_on_file())
}

/// The pieces of the kept text, each beginning with the line that says what it is.
fn sections(text: &str) -> Vec<&str> {
    let is_head = |line: &str| [TABLE, kept_form::FORM].contains(&line.split('\t').next().unwrap_or(""));
    let mut starts = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        if is_head(line.trim_end_matches('\n')) {
            starts.push(at);
        }
        at += line.len();
    }
    let ends = starts.iter().skip(1).copied().chain([text.len()]);
    starts.iter().zip(ends).map(|(start, end)| &text[*start..end]).collect()
}
