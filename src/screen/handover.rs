//! Hand-over: the defects that go to the repairer, the brief, and openings proposed with what they would cut.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::field::Field;
use super::form::Form;
use super::list::Row;
use super::look::{Look, sign_of_defect};
use super::picture;
use super::purpose::Purpose;
use super::text::{Page, pad};
use crate::handover::{
    Brief, CAUTION, Check, Material, Outcome, Proposal, brief_of, brief_text_within, check_opening,
    check_plot, check_words, others_words,
};
use crate::state::Defect;
use crate::words::said;

/// Sides of an opening, as the form offers them; the last one means both skins.
pub const SIDES: [&str; 3] = [mark!("left"), mark!("right"), mark!("both")];
/// Forms of recording, as the form offers them.
pub const RECORDS: [&str; 3] = [
    mark!("no: write the file only"),
    mark!("yes: a note with the openings and the file's SHA-256"),
    mark!("yes: the note, and the file taken in as evidence of each defect"),
];

/// What the screen draws.
pub struct Shown<'a> {
    pub view: &'a SessionView<'a>,
    pub faults: &'a [String],
    /// Those that stand, with whether they are handed over.
    pub defects: &'a [(&'a Defect, bool)],
    pub proposals: &'a [Proposal],
}

/// One row that can be selected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Item {
    Brief,
    Defect(usize),
    Opening(usize),
}

/// The item at a place of the list: the brief, the defects, the openings.
pub fn item(at: usize, defects: usize, openings: usize) -> Option<Item> {
    match at {
        0 => Some(Item::Brief),
        at if at <= defects => Some(Item::Defect(at - 1)),
        at if at <= defects + openings => Some(Item::Opening(at - 1 - defects)),
        _ => None,
    }
}

impl Shown<'_> {
    fn chosen(&self) -> Vec<&Defect> {
        self.defects.iter().filter(|(_, is_chosen)| *is_chosen).map(|(defect, _)| *defect).collect()
    }

    /// The brief of what is chosen.
    pub fn brief(&self) -> Brief {
        self.brief_with(&self.chosen(), self.proposals)
    }

    fn brief_with(&self, defects: &[&Defect], proposals: &[Proposal]) -> Brief {
        let material = Material {
            session: self.view.sid,
            plan: self.view.plan,
            plan_hash: &self.view.state.plan,
            state: self.view.state,
            record_faults: self.faults,
        };
        brief_of(&material, defects, proposals)
    }

    fn check(&self, proposal: &Proposal) -> Check {
        check_opening(&proposal.opening, &proposal.margin, self.view.plan.of_type.as_ref())
    }
}

pub fn rows(shown: &Shown<'_>, look: Look) -> Vec<Row> {
    let chosen = shown.chosen().len();
    let defects = say!("{n} defect" | "{n} defects" % chosen);
    let openings = say!("{n} opening" | "{n} openings" % shown.proposals.len());
    let style = if chosen == 0 { look.doubt() } else { look.strong() };
    let mut rows = vec![
        Row::item(0, vec![(say!(" The brief: {defects}, {openings}", defects, openings), style)]),
        Row::heading(look, say!("Defects ([x] is handed over)")),
    ];
    if shown.defects.is_empty() {
        rows.push(Row::heading(look, say!("  none stands; d raises one on the defects screen (2)")));
    }
    for (index, (defect, is_chosen)) in shown.defects.iter().enumerate() {
        let standing = defect.standing();
        let mark = if *is_chosen { "[x]" } else { "[ ]" };
        let style = look.of_defect(standing);
        rows.push(Row::item(
            index + 1,
            vec![
                (format!("{mark} {} {} ", sign_of_defect(standing), pad(&defect.id, 4)), style),
                (format!("{} · {}: ", said(standing.word()), said(defect.raised.severity.word())), style),
                (defect.raised.what.clone(), Style::new()),
            ],
        ));
    }
    rows.push(Row::heading(look, say!("Openings proposed (kept while the program runs)")));
    if shown.proposals.is_empty() {
        rows.push(Row::heading(look, say!("  none; o proposes one and checks it")));
    }
    for (index, proposal) in shown.proposals.iter().enumerate() {
        let (sign, style) = sign_of(shown.check(proposal).outcome, look);
        let words = said(shown.check(proposal).outcome.words());
        rows.push(Row::item(
            1 + shown.defects.len() + index,
            vec![(format!("{sign} {words}: "), style), (proposal.opening.to_string(), Style::new())],
        ));
    }
    rows
}

pub fn sign_of(outcome: Outcome, look: Look) -> (&'static str, Style) {
    match outcome {
        Outcome::Clear => ("✓", look.good()),
        Outcome::Cuts | Outcome::Near => ("✗", look.bad()),
        Outcome::NotMapped => ("?", look.doubt()),
    }
}

/// Stands above the details however far they are scrolled.
pub fn pinned(look: Look, width: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    page.block(look.caution(), &say!("▲ CAUTION: {caution}", caution = said(CAUTION)));
    page.lines
}

pub fn detail(shown: &Shown<'_>, at: usize, look: Look, width: usize, height: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    match item(at, shown.defects.len(), shown.proposals.len()) {
        Some(Item::Opening(index)) => opening(&mut page, shown, index, height),
        Some(Item::Defect(index)) => {
            if let Some((defect, is_chosen)) = shown.defects.get(index) {
                let text = if *is_chosen {
                    say!("handed over; space leaves it out")
                } else {
                    say!("left out; space hands it over")
                };
                page.hanging(
                    look.strong(),
                    if *is_chosen { "✓ " } else { "– " },
                    &format!("{}: {text}", defect.id),
                );
                page.gap();
                brief_lines(&mut page, &shown.brief_with(&[*defect], &[]));
            }
        }
        _ if shown.chosen().is_empty() => {
            page.text(
                look.doubt(),
                say!("? no defect is chosen: space on a defect hands it over, a chooses all"),
            );
        }
        _ => brief_lines(&mut page, &shown.brief()),
    }
    page.lines
}

/// The brief's own text; its headings are the lines that are underlined.
fn brief_lines(page: &mut Page, brief: &Brief) {
    let text = brief_text_within(brief, page.width());
    let lines: Vec<&str> = text.lines().collect();
    let is_rule = |line: &str| line.len() > 2 && line.chars().all(|c| c == '-');
    for (index, line) in lines.iter().enumerate() {
        let next_is_rule = lines.get(index + 1).is_some_and(|next| is_rule(next));
        let style = match line {
            _ if next_is_rule => page.look.strong(),
            line if is_rule(line) => page.look.quiet(),
            line if line.starts_with("CAUTION") => page.look.doubt(),
            _ => Style::new(),
        };
        page.lines.push(Line::styled((*line).to_string(), style));
    }
}

fn opening(page: &mut Page, shown: &Shown<'_>, index: usize, height: usize) {
    let Some(proposal) = shown.proposals.get(index) else { return };
    let check = shown.check(proposal);
    let (sign, style) = sign_of(check.outcome, page.look);
    page.hanging(style, &format!("{sign} "), &format!("{}: {}", said(check.outcome.words()), check.opening));
    let of_type = shown.view.plan.of_type.as_ref();
    if of_type.is_none_or(|data| data.mapped_areas.is_empty()) {
        page.text(
            page.look.doubt(),
            say!("? the type's data of this plan hold no mapped area: nothing is called clear"),
        );
    }
    let lines = (height / 2).clamp(picture::DETAIL_LINES, 22);
    page.lines.extend(picture::lines(&check_plot(&check, of_type), page.width(), lines, page.look));
    page.gap();
    let words = check_words(&check, page.width());
    page.lines.extend(words.lines().map(|line| Line::from(line.to_string())));
    let others = others_words(&check, of_type, page.width());
    if !others.is_empty() {
        page.head(say!("Hidden items not in the way"));
        page.lines.extend(others.lines().map(|line| Line::from(line.to_string())));
    }
}

/// The form for an opening; `component` and `margin` are offered.
pub fn propose_form(component: &str, margin: &str) -> Form {
    Form::new(Purpose::Opening, say!("Propose an opening"))
        .caution(Some(said(CAUTION).to_string()))
        .intro(say!("It is checked against what the type's data tell of hidden items. Clear means: clear of those entered."))
        .field(Field::text("component", say!("component"), component).hint(say!("as the type's data call it: fin, tail boom")))
        .field(Field::choice("side", say!("side"), SIDES.map(|side| said(side).to_string()).to_vec(), Some(2)))
        .field(Field::text("station", say!("station from..to"), "").hint(say!("such as 4250..4310; bare numbers are mm")))
        .field(Field::text("height", say!("height from..to"), "").hint(say!("such as 120..180")))
        .field(Field::text("margin", say!("margin, mm"), "").hint(say!("empty: {margin}", margin)))
}

/// The form for writing the brief.
pub fn brief_form(path: &str) -> Form {
    Form::new(Purpose::Brief, say!("Write the brief to a file"))
        .intro(say!("A new file of plain text, 80 columns; a file that is there is never written over."))
        .field(Field::text("path", say!("path of the new file"), path))
        .field(Field::choice(
            "record",
            say!("record the hand-over"),
            RECORDS.map(|words| said(words).to_string()).to_vec(),
            Some(1),
        ))
}
