//! Commands of the Hand-over screen: choosing, proposing openings, writing the brief.

use std::collections::BTreeSet;

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;

use super::app::{App, Overlay, Tone};
use super::desk::{Desk, Told, Wish};
use super::form::{Form, Problem};
use super::handover::{self, Item, Shown, sign_of};
use super::list::Row;
use super::purpose::Purpose;
use crate::checklist::Side;
use crate::command::{Id, Need, Place};
use crate::handover::{
    HEIGHT_RANGE, Margin, Opening, OpeningError, Proposal, brief_text, check_opening, check_words,
    handover_note, is_chosen_at_first,
};
use crate::quantity::Number;
use crate::session::Request;
use crate::state::Defect;
use crate::words::said;

/// What is kept of the hand-over while the program runs.
#[derive(Debug, Default)]
pub struct HandoverScreen {
    /// Ids of the defects handed over; none typed yet: those referred or grounding.
    chosen: Option<BTreeSet<String>>,
    proposals: Vec<Proposal>,
}

impl HandoverScreen {
    fn is_chosen(&self, defect: &Defect) -> bool {
        match &self.chosen {
            Some(chosen) => chosen.contains(&defect.id),
            None => is_chosen_at_first(defect),
        }
    }
}

impl App {
    /// True where the command was one of this screen's.
    pub(super) fn on_handover(&mut self, desk: &mut dyn Desk, id: Id) -> bool {
        match (id, self.place) {
            (Id::GoHandover, _) => self.go(desk, Place::Handover),
            (Id::Choose, _) => self.choose_defect(desk),
            (Id::ChooseAll, _) => self.choose_all(desk),
            (Id::Propose, _) => self.propose_form(desk),
            (Id::DropOpening, _) => self.drop_opening(desk),
            (Id::WriteBrief, _) => self.brief_form(desk),
            (Id::Jump, Place::Handover) => self.jump_to_defect(desk),
            _ => return false,
        }
        true
    }

    fn standing_defects<'a>(&self, desk: &'a dyn Desk) -> Vec<&'a Defect> {
        desk.session().map_or_else(Vec::new, |view| view.state.standing_defects().collect())
    }

    pub(super) fn handover_len(&self, desk: &dyn Desk) -> usize {
        if desk.session().is_none() {
            return 0;
        }
        1 + self.standing_defects(desk).len() + self.handover.proposals.len()
    }

    fn handover_item(&self, desk: &dyn Desk) -> Option<Item> {
        handover::item(self.cursor().at, self.standing_defects(desk).len(), self.handover.proposals.len())
    }

    fn with_handover<T>(&self, desk: &dyn Desk, draw: impl FnOnce(&Shown<'_>) -> T) -> Option<T> {
        let view = desk.session()?;
        let faults = desk.record_faults();
        let defects: Vec<(&Defect, bool)> =
            view.state.standing_defects().map(|defect| (defect, self.handover.is_chosen(defect))).collect();
        let proposals = &self.handover.proposals;
        Some(draw(&Shown { view: &view, faults: &faults, defects: &defects, proposals }))
    }

    pub(super) fn handover_rows(&self, desk: &dyn Desk) -> Vec<Row> {
        self.with_handover(desk, |shown| handover::rows(shown, self.look)).unwrap_or_default()
    }

    pub(super) fn handover_detail(
        &self,
        desk: &dyn Desk,
        at: usize,
        width: usize,
        height: usize,
    ) -> Vec<Line<'static>> {
        self.with_handover(desk, |shown| handover::detail(shown, at, self.look, width, height))
            .unwrap_or_default()
    }

    /// The caution above the details, which gives way to nothing; tells what is left for them.
    pub(super) fn draw_pinned(&self, area: Rect, frame: &mut Frame<'_>) -> Rect {
        if self.place != Place::Handover {
            return area;
        }
        let lines = handover::pinned(self.look, usize::from(area.width).saturating_sub(2));
        for (line, y) in lines.iter().zip(area.y..area.bottom()) {
            frame.buffer_mut().set_line(area.x + 1, y, line, area.width.saturating_sub(1));
        }
        let used = u16::try_from(lines.len()).unwrap_or(u16::MAX).min(area.height);
        Rect { y: area.y + used, height: area.height - used, ..area }
    }

    fn choose_defect(&mut self, desk: &dyn Desk) {
        let defects = self.standing_defects(desk);
        let Some(Item::Defect(index)) = self.handover_item(desk) else {
            return self.say(Tone::Plain, say!("select a defect: space hands it over or leaves it out"));
        };
        let Some(defect) = defects.get(index) else { return };
        let mut chosen: BTreeSet<String> = defects
            .iter()
            .filter(|defect| self.handover.is_chosen(defect))
            .map(|defect| defect.id.clone())
            .collect();
        let text = if chosen.remove(&defect.id) {
            say!("left out")
        } else {
            chosen.insert(defect.id.clone());
            say!("handed over")
        };
        self.handover.chosen = Some(chosen);
        self.say(Tone::Plain, format!("{}: {text}", defect.id));
    }

    fn choose_all(&mut self, desk: &dyn Desk) {
        let all: BTreeSet<String> =
            self.standing_defects(desk).iter().map(|defect| defect.id.clone()).collect();
        if self.handover.chosen.as_ref() == Some(&all) {
            self.handover.chosen = None;
            self.say(Tone::Plain, say!("handed over: what is referred or keeps the airframe on the ground"));
        } else {
            self.handover.chosen = Some(all);
            self.say(Tone::Plain, say!("handed over: every defect that stands"));
        }
    }

    /// Offers a component of the type's data that a chosen defect names.
    fn propose_form(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let of_type = view.plan.of_type.as_ref();
        let chosen = view.state.standing_defects().filter(|defect| self.handover.is_chosen(defect));
        let component =
            chosen.into_iter().find_map(|defect| defect.raised.component.clone()).unwrap_or_default();
        let margin = match Margin::choose(None, of_type) {
            Ok(margin) => format!("{} mm, {}", margin.mm, margin.source),
            Err(why) => why,
        };
        let form = handover::propose_form(&component, &margin);
        self.open_form(form);
    }

    fn drop_opening(&mut self, desk: &dyn Desk) {
        let Some(Item::Opening(index)) = self.handover_item(desk) else {
            return self.say(Tone::Plain, say!("select an opening: x takes it out of the brief"));
        };
        let dropped = self.handover.proposals.remove(index);
        let last = self.handover_len(desk).saturating_sub(1);
        let cursor = self.cursor_mut();
        cursor.at = cursor.at.min(last);
        self.say(Tone::Plain, say!("taken out of the brief: {}", dropped.opening));
    }

    fn brief_form(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        if !view.state.standing_defects().any(|defect| self.handover.is_chosen(defect)) {
            return self.say(Tone::Bad, say!("no defect is chosen: space on a defect hands it over"));
        }
        let registration = view.plan.airframe.registration.to_lowercase();
        let path = format!("hand-over-{registration}-entry-{}.txt", view.state.entries);
        self.open_form(handover::brief_form(&path));
    }

    fn jump_to_defect(&mut self, desk: &dyn Desk) {
        let Some(Item::Defect(index)) = self.handover_item(desk) else {
            return self.say(Tone::Plain, say!("select a defect: Enter goes to it"));
        };
        let Some(view) = desk.session() else { return };
        let defect = view.state.standing_defects().nth(index).map(|defect| defect.id.as_str());
        let at = view.state.defects.iter().position(|other| Some(other.id.as_str()) == defect);
        if let Some(at) = at {
            self.back.push(self.place);
            self.show(desk, Place::Defects);
            self.go_to(desk, at);
        }
    }

    /// What an open form of this screen would come to, as far as it is typed.
    pub(super) fn live_opening(&self, form: &Form, desk: &dyn Desk) -> Option<(Style, String)> {
        if form.purpose != Purpose::Opening
            || form.given("station").is_none()
            || form.given("height").is_none()
        {
            return None;
        }
        let view = desk.session()?;
        match proposal(form, desk) {
            Ok(proposal) => {
                let check = check_opening(&proposal.opening, &proposal.margin, view.plan.of_type.as_ref());
                let (sign, style) = sign_of(check.outcome, self.look);
                let words = check_words(&check, 400);
                // The first two lines repeat what is typed.
                let words: Vec<&str> = words.lines().skip(2).map(str::trim).take(3).collect();
                Some((style, format!("{sign} {}", words.join("; "))))
            }
            Err((_, problem)) => Some((self.look.quiet(), format!("… {}", problem.why))),
        }
    }

    /// Saves a form of this screen; `None` where the form on top is none.
    pub(super) fn save_handover(&mut self, desk: &mut dyn Desk) -> Option<Result<(), Problem>> {
        let Some(Overlay::Form(form)) = self.overlays.last() else { return None };
        match form.purpose {
            Purpose::Opening => Some(match proposal(form, desk) {
                Ok(proposal) => {
                    self.keep_proposal(desk, proposal);
                    Ok(())
                }
                Err((field, problem)) => {
                    if let Some(Overlay::Form(form)) = self.overlays.last_mut() {
                        form.go_to(field);
                    }
                    Err(problem)
                }
            }),
            Purpose::Brief => {
                let (path, record) = (form.given("path"), form.chosen("record").unwrap_or(0));
                Some(self.write_brief(desk, path, record))
            }
            _ => None,
        }
    }

    fn keep_proposal(&mut self, desk: &dyn Desk, proposal: Proposal) {
        self.overlays.pop();
        let of_type = desk.session().and_then(|view| view.plan.of_type.clone());
        let check = check_opening(&proposal.opening, &proposal.margin, of_type.as_ref());
        let tone = if check.outcome == crate::handover::Outcome::Clear { Tone::Plain } else { Tone::Bad };
        self.say(tone, format!("{}: {}", said(check.outcome.words()), proposal.opening));
        self.handover.proposals.push(proposal);
        self.go_to(desk, usize::MAX);
    }

    /// The file first: what is recorded names its content.
    fn write_brief(
        &mut self,
        desk: &mut dyn Desk,
        path: Option<String>,
        record: usize,
    ) -> Result<(), Problem> {
        let path =
            path.ok_or_else(|| Problem::new(say!("no file is named"), say!("type the path of a new file")))?;
        if record > 0
            && let Some(why) = Need::Record.objection(&self.circumstances_here(desk))
        {
            return Err(Problem::new(
                say!("the hand-over cannot be recorded: {why}", why),
                say!("choose to write the file only, or mend that first; nothing was written"),
            ));
        }
        let brief = self
            .with_handover(desk, |shown| shown.brief())
            .ok_or_else(|| Problem::new(say!("no session is open"), say!("open one in the hangar")))?;
        let text = brief_text(&brief);
        let mut is_whole = true;
        let mut told = match desk.carry_out(Wish::WriteFile { path: path.clone(), text: text.clone() }) {
            // With the folder that it went into, where the desk tells it.
            Told::Done { note: Some(note) } => say!("the brief is {note}", note),
            Told::Done { note: None } | Told::Saved { .. } => say!("the brief is in {path}", path),
            Told::Declined { why, next } | Told::Full { why, next, .. } | Told::Failed { why, next } => {
                return Err(Problem::new(say!("the file is not written: {why}", why), next));
            }
        };
        self.overlays.pop();
        let name = path.rsplit(['/', '\\']).next().unwrap_or(&path).to_string();
        if record > 0 {
            let note = handover_note(&brief, &name, &text);
            let wish = Wish::Record(Request::Note { step: None, text: note });
            is_whole &= self.record(desk, wish, say!("the note"), &mut told);
        }
        if record > 1 {
            for defect in &brief.defects {
                let wish = Wish::AddEvidenceFile {
                    step: None,
                    demand: None,
                    defect: Some(defect.id.clone()),
                    path: path.clone(),
                };
                is_whole &= self.record(desk, wish, &say!("evidence of {}", defect.id), &mut told);
            }
        }
        let tone = if is_whole { Tone::Good } else { Tone::Bad };
        self.say(tone, told);
        Ok(())
    }

    /// Whether one entry was made, and what came of it in words; the file stands whatever it is.
    fn record(&mut self, desk: &mut dyn Desk, wish: Wish, what: &str, told: &mut String) -> bool {
        let done = self.carry(desk, wish);
        told.push_str(&match &done {
            Ok(()) => {
                let entry = self.message.as_ref().map_or(String::new(), |message| message.text.clone());
                format!("; {what}: {entry}")
            }
            Err(problem) => say!("; {what} is NOT RECORDED: {}; {}", problem.why, problem.next, what),
        });
        done.is_ok()
    }
}

/// The opening and its margin; else the field that is wrong, and why.
fn proposal(form: &Form, desk: &dyn Desk) -> Result<Proposal, (&'static str, Problem)> {
    let no_session =
        || ("component", Problem::new(say!("no session is open"), say!("open one in the hangar")));
    let view = desk.session().ok_or_else(no_session)?;
    let side = match form.chosen("side") {
        Some(0) => Some(Side::Left),
        Some(1) => Some(Side::Right),
        _ => None,
    };
    let opening = Opening::new(&form.text("component"), side, &form.text("station"), &form.text("height"))
        .map_err(opening_problem)?;
    let typed: Option<Number> = match form.given("margin") {
        None => None,
        Some(text) => Some(Number::typed(text.trim_end_matches("mm").trim()).map_err(|error| {
            ("margin", Problem::new(say!("the margin: {error}", error), say!("type millimetres, such as 20")))
        })?),
    };
    let margin = Margin::choose(typed, view.plan.of_type.as_ref())
        .map_err(|why| ("margin", Problem::new(why, say!("type 0 or more, or leave it empty"))))?;
    Ok(Proposal { opening, margin })
}

/// In the form each part has a field of its own: how an opening is typed in one line says nothing here.
fn opening_problem(error: OpeningError) -> (&'static str, Problem) {
    match error {
        OpeningError::Range { what, error } => {
            let field = if what == HEIGHT_RANGE { "height" } else { "station" };
            (
                field,
                Problem::new(
                    say!("the {what}: {error}", what = said(what), error),
                    say!("correct it, then save again"),
                ),
            )
        }
        OpeningError::Missing(what) => (
            "component",
            Problem::new(say!("{what} is missing", what = said(what)), say!("fill it in, then save again")),
        ),
    }
}
