//! How a form is drawn: each field with what is typed, the one at hand always in view.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::field::{Entry, Field, left_over};
use super::form::Form;
use super::look::Look;
use super::seen::{Seen, Target};
use super::text::{Page, cut};

/// Lines of a form, line and column of its cursor, and what can be clicked on which line.
struct Drawn {
    page: Page,
    cursor: Option<(usize, usize)>,
    places: Vec<(usize, Target)>,
    /// Behind the last line of the field at hand.
    end: usize,
}

/// So many ticks are all shown, also where the field is not at hand; a digit goes to each.
pub(super) const FEW: usize = 9;
/// Of a choice of many so many are shown at once.
const FOUND: usize = 6;

impl Form {
    /// `live` is the judgement of what stands in the fields now.
    pub fn draw(
        &self,
        area: Rect,
        look: Look,
        live: Option<(Style, String)>,
        frame: &mut Frame<'_>,
        seen: &mut Seen,
    ) {
        if self.paper.is_some() {
            return self.draw_sheet(area, look, live, frame, seen);
        }
        let drawn = self.page(area, look, live.clone(), false);
        if drawn.page.lines.len() <= usize::from(area.height) {
            return show(&drawn.page.lines, drawn.cursor, drawn.places, area, frame, seen);
        }
        // A form longer than the window: a problem stands at the field at hand, and the last line tells where one is.
        let drawn = self.page(area, look, live, true);
        let body = Rect { height: area.height.saturating_sub(1), ..area };
        let told = format!("── field {} of {} · Tab, Shift-Tab: on, back ──", self.at + 1, self.fields.len());
        frame.buffer_mut().set_string(area.x + 1, body.bottom(), told, look.quiet());
        show_to(&drawn.page.lines, drawn.cursor, drawn.end, drawn.places, body, frame, seen);
    }

    /// The lines, where the cursor stands in them, and what can be clicked.
    fn page(&self, area: Rect, look: Look, live: Option<(Style, String)>, is_long: bool) -> Drawn {
        let width = usize::from(area.width).saturating_sub(2);
        let mut page = Page::new(look, width);
        page.text(look.strong(), &self.title);
        if let Some(caution) = &self.caution {
            page.block(look.caution(), &format!("▲ CAUTION: {caution}"));
        }
        for intro in &self.intro {
            page.plain(intro);
        }
        page.gap();
        let mut cursor = None;
        let mut places: Vec<(usize, Target)> = Vec::new();
        let mut end = 0;
        for (index, field) in self.fields.iter().enumerate() {
            self.draw_field(&mut page, index, field, &mut cursor, &mut places);
            if is_long && index == self.at {
                self.draw_problem(&mut page);
            }
            if index == self.at {
                end = page.lines.len();
            }
        }
        if let Some((style, words)) = live {
            page.gap();
            page.text(style, &words);
        }
        if !is_long && self.problem.is_some() {
            page.gap();
            self.draw_problem(&mut page);
        }
        Drawn { page, cursor, places, end }
    }

    fn draw_problem(&self, page: &mut Page) {
        if let Some(problem) = &self.problem {
            page.hanging(page.look.bad(), "✗ ", &problem.why);
            page.hanging(Style::new(), "→ ", &problem.next);
        }
    }

    fn draw_field(
        &self,
        page: &mut Page,
        index: usize,
        field: &Field,
        cursor: &mut Option<(usize, usize)>,
        places: &mut Vec<(usize, Target)>,
    ) {
        let look = page.look;
        let is_at = index == self.at;
        let label_style = if is_at { look.strong() } else { look.quiet() };
        let first_line = page.lines.len();
        if look.big {
            page.lines.push(Line::default());
        }
        // Below a list longer than the window nobody would see how it is ticked.
        let is_told = is_at && matches!(&field.entry, Entry::Ticks { options, .. } if options.len() > FEW);
        let label = if is_told { format!("{} · {}", field.label, field.hint) } else { field.label.clone() };
        page.hanging(label_style, if is_at { "▶ " } else { "  " }, &label);
        let mut choices = Vec::new();
        match &field.entry {
            Entry::Text(input) => {
                let at = if field.is_secret {
                    let dots = tui_input::Input::new("•".repeat(input.value().chars().count()));
                    draw_text(page, &dots.with_cursor(input.cursor()))
                } else {
                    draw_text(page, input)
                };
                *cursor = if is_at { Some(at) } else { *cursor };
            }
            Entry::Choice { options, at } if !is_at => {
                // Only the field at hand shows all its options: a small screen has no room for more.
                let chosen = at.and_then(|at| options.get(at));
                let text = chosen.map_or("· not chosen".to_string(), |chosen| format!("■ {chosen}"));
                page.hanging(Style::new(), "    ", &text);
            }
            Entry::Choice { options, at } => {
                for (option, text) in options.iter().enumerate() {
                    let is_chosen = *at == Some(option);
                    let sign = if is_chosen { "■" } else { "·" };
                    option_line(page, option, is_chosen, sign, text, &mut choices);
                }
            }
            Entry::Ticks { options, on, .. } if !is_at && options.len() > FEW => {
                let ticked = options.iter().zip(on).filter(|(_, on)| **on);
                let ticked: Vec<&str> = ticked.map(|(option, _)| option.as_str()).collect();
                let text = if ticked.is_empty() {
                    "· none".to_string()
                } else {
                    format!("■ {}", ticked.join(", "))
                };
                page.hanging(Style::new(), "    ", &text);
            }
            Entry::Ticks { options, on, at } => {
                let is_long = options.len() > FEW;
                for (option, text) in options.iter().enumerate() {
                    let sign = if on.get(option).copied().unwrap_or(false) { "[x]" } else { "[ ]" };
                    let is_marked = is_at && *at == option;
                    if is_long {
                        tick_line(page, option, is_marked, sign, text, &mut choices);
                    } else {
                        option_line(page, option, is_marked, sign, text, &mut choices);
                    }
                    if is_marked && is_long {
                        *cursor = Some((page.lines.len() - 1, 0));
                    }
                }
            }
            Entry::Find { options, at, .. } if !is_at => {
                let chosen = at.and_then(|at| options.get(at));
                let text = chosen.map_or("· not chosen".to_string(), |chosen| format!("■ {chosen}"));
                page.hanging(Style::new(), "    ", &text);
            }
            Entry::Find { options, typed, at } => {
                *cursor = Some(draw_text(page, typed));
                draw_found(page, options, typed.value(), *at, &mut choices);
            }
        }
        if is_at && !is_told && !field.hint.is_empty() {
            page.hanging(look.quiet(), "    ", &field.hint);
        }
        if look.big {
            page.lines.push(Line::default());
        }
        places.extend((first_line..page.lines.len()).map(|line| (line, Target::Field(index))));
        if is_at {
            // Options of the field at hand lie on top of the field.
            places.extend(choices);
            cursor.get_or_insert((page.lines.len().saturating_sub(1), 0));
        }
    }
}

/// Draws typed text, as many lines as it needs; answers where its cursor stands.
fn draw_text(page: &mut Page, input: &tui_input::Input) -> (usize, usize) {
    let room = page.width().saturating_sub(5);
    let before: String = input.value().chars().take(input.cursor()).collect();
    let pieces = cut(&before, room);
    let column = pieces.last().map_or(0, |piece| piece.width());
    let cursor = (page.lines.len() + pieces.len() - 1, column + 4);
    let underlined = Style::new().add_modifier(Modifier::UNDERLINED);
    for piece in cut(input.value(), room) {
        page.lines.push(Line::from(vec![Span::raw("    "), Span::styled(format!("{piece} "), underlined)]));
    }
    cursor
}

/// Some of what the typed words leave, the chosen one among them.
fn draw_found(
    page: &mut Page,
    options: &[String],
    typed: &str,
    at: Option<usize>,
    places: &mut Vec<(usize, Target)>,
) {
    let left = left_over(options, typed);
    let place = at.and_then(|at| left.iter().position(|index| *index == at)).unwrap_or(0);
    let first = (place / FOUND) * FOUND;
    for index in left.iter().skip(first).take(FOUND) {
        let Some(text) = options.get(*index) else { continue };
        let is_chosen = at == Some(*index);
        let style = if is_chosen { page.look.strong() } else { Style::new() };
        let line = page.lines.len();
        page.hanging(style, if is_chosen { "    ■ " } else { "    · " }, text);
        places.extend((line..page.lines.len()).map(|line| (line, Target::Choice(*index))));
    }
    let shown = left.len().saturating_sub(first).min(FOUND);
    let told = match left.len() {
        0 => "nothing contains that; Backspace takes letters back".to_string(),
        all => {
            format!("{} to {} of {all}; type to narrow down, Left and Right choose", first + 1, first + shown)
        }
    };
    page.hanging(page.look.quiet(), "    ", &told);
}

/// One of a long list: no digit goes there, so none is shown.
fn tick_line(
    page: &mut Page,
    index: usize,
    is_marked: bool,
    sign: &str,
    text: &str,
    places: &mut Vec<(usize, Target)>,
) {
    let style = if is_marked { page.look.strong() } else { Style::new() };
    let line = page.lines.len();
    page.hanging(style, &format!("    {} {sign} ", if is_marked { "▸" } else { " " }), text);
    places.extend((line..page.lines.len()).map(|line| (line, Target::Choice(index))));
}

fn option_line(
    page: &mut Page,
    index: usize,
    is_marked: bool,
    sign: &str,
    text: &str,
    places: &mut Vec<(usize, Target)>,
) {
    let style = if is_marked { page.look.strong() } else { Style::new() };
    let first = page.lines.len();
    page.hanging(style, &format!("    {} {sign} ", index + 1), text);
    if page.look.big {
        page.lines.push(Line::default());
    }
    places.extend((first..page.lines.len()).map(|line| (line, Target::Choice(index))));
}

/// Draws lines so that the cursor's one is visible, and says where things lie.
pub fn show(
    lines: &[Line<'static>],
    cursor: Option<(usize, usize)>,
    places: Vec<(usize, Target)>,
    area: Rect,
    frame: &mut Frame<'_>,
    seen: &mut Seen,
) {
    let end = cursor.map_or(0, |(line, _)| line + 3);
    show_to(lines, cursor, end, places, area, frame, seen);
}

/// The same with everything up to `end` in view, as far as the cursor's line lets it.
fn show_to(
    lines: &[Line<'static>],
    cursor: Option<(usize, usize)>,
    end: usize,
    places: Vec<(usize, Target)>,
    area: Rect,
    frame: &mut Frame<'_>,
    seen: &mut Seen,
) {
    let height = usize::from(area.height);
    let first = end.min(lines.len()).saturating_sub(height);
    // The line above the cursor's names the field.
    let first = cursor.map_or(first, |(line, _)| first.min(line.saturating_sub(1)));
    for (line, y) in lines.iter().skip(first).take(height).zip(area.y..) {
        frame.buffer_mut().set_line(area.x + 1, y, line, area.width.saturating_sub(1));
    }
    let on_screen = |line: usize| -> Option<u16> {
        let row = u16::try_from(line.checked_sub(first)?).ok()?;
        (row < area.height).then(|| area.y + row)
    };
    for (line, target) in places {
        if let Some(y) = on_screen(line) {
            seen.add(Rect { x: area.x, y, width: area.width, height: 1 }, target);
        }
    }
    if let Some((line, column)) = cursor
        && let Some(y) = on_screen(line)
        && column > 0
    {
        let x = area.x + 1 + u16::try_from(column).unwrap_or(0);
        frame.set_cursor_position(Position::new(x.min(area.right().saturating_sub(1)), y));
    }
}
