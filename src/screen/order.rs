//! Hangar order: the open steps in blocks, each with how the airframe stands, how it gets there, hands and kit.
//!
//! The order is computed when the screen is shown and again after an entry, never while it is drawn.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::list::Row;
use super::look::{Look, sign_of_standing};
use super::text::Page;
use crate::checklist::{Aspect, Setting};
use crate::order::{
    Block, BlockStep, Change, HangarOrder, OrderFault, Totals, aspect_words, configuration_words,
    setting_words,
};
use crate::plan::Plan;
use crate::words::{all_of_checklist, of_checklist};

/// Of what an order was computed: a session with its entries and plan, or the plan of an annual not begun.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Whose {
    pub name: String,
    pub entries: u64,
    pub plan: String,
    /// States that the exact search may look at.
    pub states: usize,
}

/// The last order computed.
#[derive(Debug, Clone)]
pub struct Ordered {
    pub whose: Whose,
    pub order: Result<HangarOrder, OrderFault>,
}

impl Ordered {
    pub fn len(&self) -> usize {
        self.order.as_ref().map_or(0, |order| order.steps().count())
    }

    /// The selected step and its block.
    pub fn at(&self, at: usize) -> Option<(usize, &Block, &BlockStep)> {
        let order = self.order.as_ref().ok()?;
        let (index, step) = order.steps().nth(at)?;
        Some((index, order.blocks.get(index)?, step))
    }

    pub fn position(&self, step: &str) -> Option<usize> {
        self.order.as_ref().ok()?.steps().position(|(_, other)| other.id == step)
    }
}

/// What the screen draws: the order, and the session that it belongs to; without one an annual not begun.
pub struct Shown<'a> {
    pub ordered: &'a Ordered,
    pub plan: &'a Plan,
    pub view: Option<&'a SessionView<'a>>,
}

pub fn rows(shown: &Shown<'_>, look: Look) -> Vec<Row> {
    let order = match &shown.ordered.order {
        Ok(order) if order.blocks.is_empty() => return vec![Row::heading(look, say!("  no step is open"))],
        Ok(order) => order,
        Err(_) => return vec![Row::heading(look, say!("  there is no order"))],
    };
    let mut rows = Vec::new();
    let mut item = 0;
    for (index, block) in order.blocks.iter().enumerate() {
        rows.push(Row::heading(look, &block_line(index, block)));
        for step in &block.steps {
            rows.push(Row::item(item, parts(shown, order, step, look)));
            item += 1;
        }
    }
    rows
}

fn block_line(index: usize, block: &Block) -> String {
    let changes = if block.changes.is_empty() {
        say!("as it stands").to_string()
    } else {
        let to = |change: &Change| setting_words(change.cost.aspect, change.cost.to);
        let changes = block.changes.iter().map(to);
        say!("{} ({} p-min)", changes.collect::<Vec<_>>().join(", "), block.change_person_minutes)
    };
    let steps = say!("{n} step" | "{n} steps" % block.steps.len());
    say!("Block {}: {changes} · {steps}, {} min", index + 1, block.minutes, changes, steps)
}

fn parts(shown: &Shown<'_>, order: &HangarOrder, step: &BlockStep, look: Look) -> Vec<(String, Style)> {
    let standing = shown.view.map(|view| view.state.standing(&step.id));
    let (sign, style) = standing
        .map_or(("○", Style::new()), |standing| (sign_of_standing(standing), look.of_standing(standing)));
    let mut parts = vec![(format!(" {sign} "), style)];
    if order.people.is_some_and(|people| step.people > people) {
        parts.push((say!("✗ needs {} people · ", step.people), look.bad()));
    }
    if !step.because.is_empty() {
        parts.push((say!("▲ pulled forward · ").to_string(), look.doubt()));
    }
    parts.push((of_checklist(&step.title).to_string(), Style::new()));
    parts
}

pub fn detail(shown: &Shown<'_>, at: usize, look: Look, width: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    let order = match &shown.ordered.order {
        Ok(order) => order,
        Err(fault) => {
            page.hanging(look.bad(), "✗ ", &fault.to_string());
            return page.lines;
        }
    };
    if shown.view.is_none() {
        let text = say!("{}: the annual that would begin now", shown.plan.airframe.registration);
        page.text(look.strong(), &text);
    }
    summary(&mut page, order);
    if let Some((index, block, step)) = shown.ordered.at(at) {
        block_detail(&mut page, shown, order, (index, block), step);
    } else {
        page.plain(say!("No step is open: there is nothing to order."));
    }
    costs(&mut page, shown, order);
    page.lines
}

/// In few lines: on a small screen they are all that is seen of the whole.
fn summary(page: &mut Page, order: &HangarOrder) {
    page.hanging(
        page.look.strong(),
        "",
        &say!(
            "{}; checklist order {}; saved {} person-minutes",
            totals(order.changing),
            totals(order.checklist_order),
            order.saved
        ),
    );
    let gap = order.changing.person_minutes.saturating_sub(order.lower_bound);
    if order.optimal {
        page.hanging(page.look.good(), "✓ ", say!("proved: no order changes for fewer person-minutes"));
    } else {
        let text = say!(
            "not proved least: at most {gap} person-minutes too many (none is below {}); v searches longer",
            order.lower_bound,
            gap
        );
        page.hanging(page.look.doubt(), "? ", &text);
    }
    match (order.people, order.beyond_hands.len()) {
        (None, _) => {
            page.hanging(page.look.quiet(), "· ", say!("people at hand: any number (+ and - set it)"))
        }
        (Some(people), 0) => {
            page.hanging(
                page.look.good(),
                "✓ ",
                &say!("{people} at hand: enough for all (+ and - set it)", people),
            );
        }
        (Some(people), beyond) => {
            let what = say!("{n} step or change needs" | "{n} steps or changes need" % beyond);
            page.hanging(
                page.look.bad(),
                "✗ ",
                &say!("{people} at hand: {what} more (+ and - set it)", people, what),
            );
        }
    }
}

fn totals(totals: Totals) -> String {
    say!(
        "{} of configuration, {} person-minutes",
        say!("{n} change" | "{n} changes" % totals.changes),
        totals.person_minutes
    )
}

fn block_detail(
    page: &mut Page,
    shown: &Shown<'_>,
    order: &HangarOrder,
    (index, block): (usize, &Block),
    selected: &BlockStep,
) {
    page.head(&say!("Block {} of {}", index + 1, order.blocks.len()));
    for beyond in order.beyond_hands.iter().filter(|beyond| beyond.block == index) {
        let people = order.people.unwrap_or(0);
        // A step by its id, or a change of configuration in words already.
        let what = title(shown.plan, &beyond.what);
        let text = say!("TOO FEW HANDS: {what} needs {}, {people} at hand", beyond.people, what, people);
        page.hanging(page.look.bad(), "✗ ", &text);
    }
    changes(page, block);
    page.field(
        say!("hands"),
        &say!("{}, work {} min, {} person-minutes", block.hands, block.minutes, block.person_minutes),
    );
    if !block.kit.is_empty() {
        page.field(say!("kit"), &all_of_checklist(&block.kit));
    }
    stands(page, shown, block);
    page.head(say!("Its steps"));
    for step in &block.steps {
        let mark = if step.id == selected.id { "▶ " } else { "· " };
        let hands = if step.people > 1 { say!(", {} people", step.people) } else { String::new() };
        page.hanging(
            Style::new(),
            mark,
            &say!("{}: {} min{hands}", of_checklist(&step.title), step.minutes, hands),
        );
        if !step.because.is_empty() {
            let why: Vec<&str> = step.because.iter().map(|id| title(shown.plan, id)).collect();
            let text = say!("pulled forward, because this failed: {}", why.join(", "));
            page.hanging(page.look.doubt(), "  ▲ ", &text);
        }
    }
}

fn title<'a>(plan: &'a Plan, id: &'a str) -> &'a str {
    of_checklist(plan.step(id).map_or(id, |planned| planned.step.title.as_str()))
}

fn changes(page: &mut Page, block: &Block) {
    if block.changes.is_empty() {
        page.field(say!("to get there"), say!("nothing to change"));
    }
    for change in &block.changes {
        let cost = &change.cost;
        let people = say!("{n} person" | "{n} people" % usize::try_from(cost.people).unwrap_or(usize::MAX));
        let mut text = say!(
            "{}: {people}, {} min = {} person-minutes",
            change.words(),
            cost.minutes,
            cost.person_minutes(),
            people
        );
        if (cost.aspect, cost.to) == (Aspect::Controls, Setting::Connected) {
            text.push_str(say!("; an independent inspection follows"));
        }
        page.hanging(Style::new(), "→ ", &text);
    }
    if block.changes.iter().any(|change| change.cost.aspect == Aspect::Support) {
        page.block(
            page.look.caution(),
            say!("▲ CAUTION: trestle only at the stations of the type's manual; nobody under an airframe on trestles"),
        );
    }
}

/// `tailplane off`.
fn stands_so(aspect: Aspect, setting: Setting) -> String {
    format!("{} {}", aspect_words(aspect), setting_words(aspect, setting))
}

/// Each aspect that the block needs: confirmed by whom and when, or not; then how the rest happens to be.
fn stands(page: &mut Page, shown: &Shown<'_>, block: &Block) {
    page.head(say!("Configuration"));
    let wanted = block.wanted(shown.plan);
    for (aspect, setting) in wanted.iter() {
        match shown.view {
            Some(view) => confirmation(page, view, aspect, setting),
            None => page.hanging(Style::new(), "· ", &stands_so(aspect, setting)),
        }
    }
    if wanted.is_empty() {
        page.plain(say!("Its steps need no certain configuration."));
    }
    let others = block.configuration.iter().filter(|(aspect, _)| wanted.get(*aspect).is_none());
    let others: Vec<String> = others.map(|(aspect, setting)| stands_so(aspect, setting)).collect();
    if !others.is_empty() {
        page.hanging(page.look.quiet(), "· ", &say!("as it happens to stand: {}", others.join(", ")));
    }
    if let Some(view) = shown.view
        && view.read_only.is_none()
        && !wanted.unmet_in(&view.state.configuration).is_empty()
    {
        page.text(page.look.quiet(), say!("k confirms it, once the airframe stands so"));
    }
}

/// One aspect: how it is wanted, and who confirmed it when, or what was confirmed last.
pub fn confirmation(page: &mut Page, view: &SessionView<'_>, aspect: Aspect, setting: Setting) {
    let wanted = stands_so(aspect, setting);
    match view.state.confirmed(aspect) {
        Some((now, stamp)) if now == setting => {
            let text = say!("{wanted}: confirmed by {} · {}", stamp.by.name, stamp.short(), wanted);
            page.hanging(page.look.good(), "✓ ", &text);
            super::step_record::from_paper(page, "    ", stamp);
        }
        Some((now, stamp)) => {
            let text = say!(
                "{wanted}: NOT confirmed; last confirmed {} by {} · {}",
                setting_words(aspect, now),
                stamp.by.name,
                stamp.short(),
                wanted
            );
            page.hanging(page.look.bad(), "✗ ", &text);
        }
        None => page.hanging(page.look.doubt(), "○ ", &say!("{wanted}: not confirmed yet", wanted)),
    }
}

fn costs(page: &mut Page, shown: &Shown<'_>, order: &HangarOrder) {
    page.head(say!("The whole"));
    page.field(say!("begins with"), &configuration_words(&order.start));
    if !order.assumed.is_empty() {
        let words: Vec<&str> = order.assumed.iter().map(|aspect| aspect_words(*aspect)).collect();
        page.field(say!("assumed, because nobody confirmed it"), &words.join(", "));
    }
    page.field(
        say!("work"),
        &say!("{} min, {} person-minutes", order.work_minutes, order.work_person_minutes),
    );
    page.text(
        page.look.quiet(),
        say!("What a change costs is common practice, no source: rough figures of this program."),
    );
    if !order.optimal && shown.ordered.whose.states < crate::order::exact_states(shown.ordered.len()) {
        page.text(
            page.look.quiet(),
            say!("To show it at once the proof is looked for a short time only; v takes the time that the command does."),
        );
    }
}
