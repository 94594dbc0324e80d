//! The airframe with its defects: below the words of one, over the whole screen, and beside the form of a new one.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;
use unicode_width::UnicodeWidthStr;

use super::app::App;
use super::desk::{Desk, SessionView};
use super::form::Form;
use super::forms::SIDES;
use super::list::Cursor;
use super::look::{Look, sign_of_defect};
use super::picture::styled;
use super::purpose::Purpose;
use super::text::{Page, fit, wrap};
use crate::command::{Id, Place};
use crate::plot::{AirframePicture, Mark, Prefer};
use crate::quantity::Number;
use crate::sketch;
use crate::state::Defect;

/// Fewer lines show no airframe.
const FEWEST_LINES: usize = 6;
const ROOM_FOR_LEGEND: usize = 14;
/// More lines only pull it apart.
const MOST_LINES: usize = 30;
/// Wider pictures than this are no clearer.
const MOST_COLUMNS: usize = 120;
/// From this height on the form of a defect leaves room for the picture.
const FORM_AND_PICTURE: u16 = 34;
const BELOW_FORM: u16 = 13;

impl App {
    /// Opens the picture at the selected defect, or turns it.
    pub(super) fn on_airframe(&mut self, desk: &dyn Desk, id: Id) {
        if id == Id::OtherView {
            let now = desk.session().map(|view| self.shown_view(&view));
            self.view = if now == Some(Prefer::Top) { Prefer::Side } else { Prefer::Top };
            return;
        }
        let at = self.cursor().at;
        self.view = Prefer::Marks;
        self.cursors.insert(Place::Sketch, Cursor { at, scroll: 0 });
        self.go(desk, Place::Sketch);
    }

    /// The single view that would be drawn now.
    fn shown_view(&self, view: &SessionView<'_>) -> Prefer {
        match self.view {
            Prefer::Marks => preferred(view, self.cursor().at),
            chosen => chosen,
        }
    }
}

/// The view that shows one defect best.
fn preferred(view: &SessionView<'_>, at: usize) -> Prefer {
    let component = view.state.defects.get(at).and_then(|defect| defect.raised.component.as_deref());
    let region = component.and_then(crate::plot::recognise);
    if region.is_some_and(crate::plot::Region::is_flat) { Prefer::Top } else { Prefer::Side }
}

/// Every standing defect, the selected one emphasised in the legend.
pub fn all(
    view: &SessionView<'_>,
    at: usize,
    prefer: Prefer,
    look: Look,
    width: usize,
    height: usize,
) -> Vec<Line<'static>> {
    let defects: Vec<&Defect> = view.state.standing_defects().collect();
    let selected = view.state.defects.get(at).map(|defect| defect.id.as_str());
    let prefer = if prefer == Prefer::Marks { preferred(view, at) } else { prefer };
    let mut page = Page::new(look, width);
    let registration = &view.plan.airframe.registration;
    page.text(look.strong(), &say!("Defects of {registration} on the airframe", registration));
    let marks: Vec<Mark> = defects.iter().map(|defect| sketch::mark_of(defect)).collect();
    // The legend says how much room is left; it is the same for every size of the picture but for one line.
    let draw = |rows| {
        let columns = width.min(MOST_COLUMNS);
        sketch::picture(view.plan, &marks, columns, rows, prefer, look.ascii)
    };
    let mut below = Page::new(look, width);
    write_legend(&mut below, &draw(height), &defects, selected);
    below.text(look.quiet(), &sketch::source_words(view.plan));
    // A long legend scrolls rather than making the picture too small.
    let rows = height.saturating_sub(1 + below.lines.len()).max(height / 2);
    let picture = draw(rows);
    page.lines.extend(styled(&picture.rows, look));
    write_legend(&mut page, &picture, &defects, selected);
    page.text(look.quiet(), &sketch::source_words(view.plan));
    if defects.is_empty() {
        page.plain(say!("no defect stands"));
    }
    page.lines
}

fn write_legend(page: &mut Page, picture: &AirframePicture, defects: &[&Defect], selected: Option<&str>) {
    let look = page.look;
    for (line, defect) in picture.legend.iter().zip(defects) {
        let standing = defect.standing();
        let is_selected = selected == Some(defect.id.as_str());
        let style = if is_selected { look.strong() } else { look.of_defect(standing) };
        let at = if is_selected { "▶" } else { " " };
        let lead = format!("{at}{} ", sign_of_defect(standing));
        // What is wrong stands in the list of defects: here as far as one line has room.
        let room = page.width().saturating_sub(lead.width() + line.width() + 3);
        let what = if room < 8 { String::new() } else { format!(" · {}", fit(&defect.raised.what, room)) };
        page.hanging(style, &lead, &format!("{line}{what}"));
    }
    for line in picture.legend.iter().skip(defects.len()) {
        page.text(look.quiet(), line);
    }
}

/// Below the words of one defect, as large as the room allows; without room the key that shows it is named.
pub fn below(page: &mut Page, view: &SessionView<'_>, defect: &Defect, height: usize) {
    if defect.struck.is_some() {
        return;
    }
    let (width, look) = (page.width(), page.look);
    let marks = [sketch::mark_of(defect)];
    let draw = |rows| sketch::picture(view.plan, &marks, width, rows, Prefer::Marks, look.ascii);
    let left = height.saturating_sub(page.lines.len() + 1);
    // The place stands above in words: of the legend only what is special about this mark, and in little room
    // only why it cannot be drawn as it was written.
    let special = |picture: &AirframePicture| -> Vec<String> {
        let of_mark = format!(" {}: ", defect.id);
        let is_wanted = |line: &&String| match line.contains(&of_mark) {
            true => line.contains("; "),
            false => left >= ROOM_FOR_LEGEND,
        };
        picture.legend.iter().filter(is_wanted).flat_map(|line| wrap(line, width)).collect()
    };
    let legend = special(&draw(height));
    let room = left.saturating_sub(legend.len()).min(MOST_LINES);
    if room < FEWEST_LINES {
        page.text(look.quiet(), say!("v shows it on the picture of the airframe"));
        return;
    }
    page.gap();
    let picture = draw(room);
    page.lines.extend(styled(&picture.rows, look));
    for line in special(&picture) {
        page.text(look.quiet(), &line);
    }
}

/// Where the typed place would be, in words; nothing while no station is typed.
pub fn live(form: &Form, desk: &dyn Desk, look: Look) -> Option<(Style, String)> {
    let view = desk.session()?;
    let station = Number::typed(&form.given("station")?).ok()?;
    let component = form.given("component");
    let (words, is_doubtful) = sketch::place_words(view.plan, component.as_deref(), station)?;
    Some(match is_doubtful {
        true => (look.doubt(), say!("▲ {words}; it can be saved as it is, look again first", words)),
        false => (look.quiet(), format!("· {words}")),
    })
}

/// The mark that the typed place would be.
fn typed_mark(form: &Form, id: &str) -> Mark {
    Mark {
        id: id.to_string(),
        component: form.given("component"),
        side: form.chosen("side").and_then(|at| SIDES.get(at)).map(ToString::to_string),
        station_mm: form.given("station").and_then(|text| Number::typed(&text).ok()).map(|n| n.to_f64()),
    }
}

/// Draws the picture below the form of a defect where there is room; answers what is left for the form.
pub fn beside_form(form: &Form, desk: &dyn Desk, area: Rect, look: Look, frame: &mut Frame<'_>) -> Rect {
    let (Purpose::Defect { .. }, Some(view)) = (&form.purpose, desk.session()) else { return area };
    if area.height < FORM_AND_PICTURE {
        return area;
    }
    let mark = typed_mark(form, &view.state.next_defect_id());
    if mark.component.is_none() && mark.station_mm.is_none() {
        return area;
    }
    let above = Rect { height: area.height - BELOW_FORM, ..area };
    let width = usize::from(area.width).saturating_sub(2).min(MOST_COLUMNS);
    let rows = usize::from(BELOW_FORM) - 1;
    let picture = sketch::picture(view.plan, &[mark], width, rows, Prefer::Marks, look.ascii);
    for (line, y) in styled(&picture.rows, look).iter().zip(above.bottom()..area.bottom()) {
        frame.buffer_mut().set_line(area.x + 1, y, line, area.width.saturating_sub(1));
    }
    above
}
