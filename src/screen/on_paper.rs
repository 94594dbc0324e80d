//! Commands of "From paper": opening it, checking the row at hand, saving all that is typed.

use ratatui::style::Style;

use super::app::{App, Overlay, Tone};
use super::desk::{Desk, Wish};
use super::form::{Form, Problem};
use super::paper;
use super::purpose::Purpose;
use crate::paper::Typed;
use crate::paper::words::screen;
use crate::session::Request;
use crate::words::said;

impl App {
    pub(super) fn open_paper(&mut self, desk: &dyn Desk) {
        self.overlays.push(Overlay::Form(paper::head(desk)));
    }

    /// Of a form of this screen: what came of saving it. `None` for any other form.
    pub(super) fn save_paper(&mut self, desk: &mut dyn Desk) -> Option<Result<(), Problem>> {
        let Some(Overlay::Form(form)) = self.overlays.last() else { return None };
        match form.purpose {
            Purpose::PaperHead => Some(self.open_rows(desk)),
            Purpose::FromPaper { .. } => Some(self.save_rows(desk)),
            _ => None,
        }
    }

    fn open_rows(&mut self, desk: &mut dyn Desk) -> Result<(), Problem> {
        let Some(Overlay::Form(head)) = self.overlays.last() else { return Ok(()) };
        let passage = paper::passage(head, desk)?;
        let Some(view) = desk.session() else { return Ok(()) };
        let form = paper::rows(passage.clone(), view.state);
        self.overlays.pop();
        self.message = None;
        self.open_form(form);
        // What was typed before may have been told of another day: now it is of this one.
        if let Some(Overlay::Form(form)) = self.overlays.last_mut() {
            form.title = paper::title(&passage);
            form.paper = Some(Box::new(passage));
        }
        Ok(())
    }

    fn save_rows(&mut self, desk: &mut dyn Desk) -> Result<(), Problem> {
        let Some(Overlay::Form(form)) = self.overlays.last_mut() else { return Ok(()) };
        let Some(passage) = form.paper.clone() else { return Ok(()) };
        let rows = paper::typed(form);
        if rows.is_empty() {
            return Err(Problem::new(said(screen::NOTHING), said(screen::NOTHING_NEXT)));
        }
        if let Some(checked) = desk.check_paper(&passage, &rows) {
            let mut faulty: Vec<_> = checked.rows.iter().filter(|row| row.outcome.is_err()).collect();
            faulty.sort_by_key(|row| row.typed.number);
            if let Some((row, Err(fault))) = faulty.first().map(|row| (row, &row.outcome)) {
                form.at = row.typed.number - 1;
                let others = match faulty.len() {
                    1 => String::new(),
                    count => format!(" ({})", say!("{count} rows are at fault", count)),
                };
                let problem = Problem::new(format!("{}{others}", fault.why), fault.next.clone());
                self.say(Tone::Bad, say!("not recorded: {}; {}", problem.why, problem.next));
                return Err(problem);
            }
        }
        self.carry(desk, Wish::EnterPaper { passage, rows })?;
        self.overlays.pop();
        self.keep_selection(desk);
        Ok(())
    }

    /// What the row at hand would record, or why it cannot be.
    pub(super) fn live_paper(&self, form: &Form, desk: &dyn Desk) -> Option<(Style, String)> {
        let passage = form.paper.as_ref()?;
        let text = paper::row_text(form.fields.get(form.at)?)?;
        let row = Typed { number: form.at + 1, text };
        let checked = desk.check_paper(passage, std::slice::from_ref(&row))?;
        match &checked.rows.first()?.outcome {
            Err(fault) => Some((self.look.bad(), format!("✗ {}; {}", fault.why, fault.next))),
            Ok(done) if done.requests.is_empty() => {
                Some((self.look.quiet(), said(screen::ALREADY).to_string()))
            }
            // Whether it comes in its turn is told when all rows are saved together.
            Ok(done)
                if done.requests.iter().all(|(request, _)| matches!(request, Request::Answer { .. })) =>
            {
                None
            }
            Ok(done) => done.remarks.first().map(|remark| (self.look.doubt(), format!("▲ {remark}"))),
        }
    }
}
