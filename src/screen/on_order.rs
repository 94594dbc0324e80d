//! Commands of the Hangar order screen, and the next step in its order from the worksheet.

use super::app::{App, Overlay, Tone};
use super::body;
use super::desk::Desk;
use super::hangar;
use super::list::Row;
use super::look::Look;
use super::order::{self, Ordered, Shown, Whose};
use super::pick::{Pick, Then};
use crate::command::{Circumstances, Id, Place};
use crate::order::{Change, Task, configuration_words, exact_states, hangar_order_within};
use crate::plan::Plan;
use ratatui::text::Line;

/// States that the exact search may look at before the screen is shown.
const SCREEN_STATES: usize = 150;

/// What the Hangar order screen keeps while the program runs.
#[derive(Debug, Default)]
pub struct OrderScreen {
    ordered: Option<Box<Ordered>>,
    /// How many people are at hand.
    people: Option<u32>,
    /// The step that was gone to last in this order.
    gone_to: Option<String>,
    /// Of an annual that is not begun: its registration and plan.
    preview: Option<(String, Box<Plan>)>,
}

impl App {
    /// True where the command was one of this screen's.
    pub(super) fn on_order(&mut self, desk: &mut dyn Desk, id: Id) -> bool {
        match (id, self.place) {
            (Id::GoOrder, Place::Hangar) => self.preview_order(desk),
            (Id::GoOrder, _) => self.go(desk, Place::Order),
            (Id::NextInOrder, _) => self.next_in_order(desk),
            (Id::Confirm, Place::Order) => self.ask_block(desk),
            (Id::Jump, Place::Order) => self.work_step(desk),
            (Id::Prove, _) => self.prove(desk),
            (Id::MorePeople, _) => {
                self.set_people(self.order.people.map_or(1, |people| people.saturating_add(1)))
            }
            (Id::FewerPeople, _) => {
                self.set_people(self.order.people.map_or(0, |people| people.saturating_sub(1)))
            }
            _ => return false,
        }
        true
    }

    /// Computes the order anew where an entry, or another session, made the last one out of date. The step that
    /// was selected stays so.
    pub(super) fn refresh_order(&mut self, desk: &dyn Desk) {
        if self.place != Place::Order {
            return;
        }
        let selected = self.order.ordered.as_ref().and_then(|ordered| ordered.at(self.cursor().at));
        let selected = selected.map(|(_, _, step)| step.id.clone());
        if self.compute_order(desk, SCREEN_STATES) {
            let ordered = self.order.ordered.as_ref();
            let same = selected.and_then(|step| ordered?.position(&step));
            let last = self.order_len().saturating_sub(1);
            let at = same.unwrap_or(self.cursor().at).min(last);
            self.cursor_mut().at = at;
        }
    }

    /// True where it was computed anew. A longer search that was made for the same entries stays.
    fn compute_order(&mut self, desk: &dyn Desk, states: usize) -> bool {
        let view = desk.session();
        let (name, entries, plan_hash) = match (&view, &self.order.preview) {
            (Some(view), _) => (view.sid.to_string(), view.state.entries, view.state.plan.clone()),
            (None, Some((registration, _))) => (registration.clone(), 0, String::new()),
            (None, None) => return false,
        };
        let whose = Whose { name, entries, plan: plan_hash, states };
        let is_same = |old: &Whose| {
            (&old.name, old.entries, &old.plan) == (&whose.name, whose.entries, &whose.plan)
                && old.states >= whose.states
        };
        if self.order.ordered.as_ref().is_some_and(|old| is_same(&old.whose)) {
            return false;
        }
        let (plan, mut task) = match (&view, &self.order.preview) {
            (Some(view), _) => (view.plan, Task::of_session(view.plan, view.state)),
            (None, Some((_, plan))) => (plan.as_ref(), Task::of_plan(plan)),
            (None, None) => return false,
        };
        task.people = self.order.people;
        let order = hangar_order_within(plan, &task, states);
        self.order.ordered = Some(Box::new(Ordered { whose, order }));
        true
    }

    fn prove(&mut self, desk: &dyn Desk) {
        let states = exact_states(self.order_len());
        self.compute_order(desk, states);
        let last = self.order_len().saturating_sub(1);
        let cursor = self.cursor_mut();
        cursor.at = cursor.at.min(last);
        match self.order.ordered.as_ref().map(|ordered| &ordered.order) {
            Some(Ok(order)) if order.optimal => {
                self.say(Tone::Good, say!("proved: no order changes for fewer person-minutes"));
            }
            _ => self.say(Tone::Plain, say!("not proved within the states that this program looks at")),
        }
    }

    fn set_people(&mut self, people: u32) {
        self.order.people = (people > 0).then_some(people);
        if let Some(Ok(order)) = self.order.ordered.as_mut().map(|ordered| ordered.order.as_mut()) {
            order.set_people(self.order.people);
        }
    }

    /// The order of the annual that would begin on the selected airframe.
    fn preview_order(&mut self, desk: &mut dyn Desk) {
        let at = self.cursor().at;
        let registration = match hangar::items(desk.hangar()).get(at) {
            Some(hangar::Item::Airframe(row)) => row.registration.clone(),
            Some(hangar::Item::Session(_)) => {
                return self.say(Tone::Plain, say!("open the session (Enter): 9 shows its order there"));
            }
            _ => return self.say(Tone::Plain, say!("select an airframe: its annual is ordered")),
        };
        match desk.preview(&registration) {
            Ok(plan) => {
                self.order.preview = Some((registration, Box::new(plan)));
                self.order.ordered = None;
                self.cursors.remove(&Place::Order);
                self.go(desk, Place::Order);
            }
            Err(why) => self.say(Tone::Bad, say!("no plan: {why}", why)),
        }
    }

    fn next_in_order(&mut self, desk: &dyn Desk) {
        self.compute_order(desk, SCREEN_STATES);
        let Some(planned) = App::planned(desk, self.cursor().at) else { return };
        let Some(ordered) = &self.order.ordered else { return };
        // The order's first is what comes next; pressed again there, it is passed over.
        let came_here = self.order.gone_to.as_ref() == Some(&planned.step.id);
        let at = ordered.position(&planned.step.id).filter(|_| came_here);
        let after = at.map_or(0, |at| at + 1);
        let Some((index, block, step)) = ordered.at(after).or_else(|| ordered.at(0)) else {
            let why = match &ordered.order {
                Err(fault) => fault.to_string(),
                Ok(_) => say!("no step is open; s shows what else stands against signing").to_string(),
            };
            return self.say(Tone::Plain, why);
        };
        let mut text = say!("hangar order, block {}", index + 1);
        let is_first = block.steps.first().is_some_and(|first| first.id == step.id);
        if is_first && !block.changes.is_empty() {
            let changes: Vec<String> = block.changes.iter().map(Change::words).collect();
            text.push_str(&say!(": change {}", changes.join(", ")));
        }
        if !step.because.is_empty() {
            text.push_str(&say!("; pulled forward, because {} failed", step.because.join(", ")));
        }
        let at = desk.session().and_then(|view| view.plan.position(&step.id));
        let step = step.id.clone();
        if let Some(at) = at {
            self.order.gone_to = Some(step);
            self.go_to(desk, at);
            self.say(Tone::Plain, text);
        }
    }

    fn work_step(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let step = self.order.ordered.as_ref().and_then(|ordered| ordered.at(self.cursor().at));
        let Some(at) = step.and_then(|(_, _, step)| view.plan.position(&step.id)) else {
            return self.say(Tone::Plain, say!("no step is open"));
        };
        self.back.push(self.place);
        self.show(desk, Place::Worksheet);
        self.go_to(desk, at);
    }

    /// Asked before it is recorded, as on the worksheet: a stray key would say that the airframe stands as it does
    /// not.
    fn ask_block(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let ordered = self.order.ordered.as_ref();
        let Some((index, block, _)) = ordered.and_then(|ordered| ordered.at(self.cursor().at)) else {
            return;
        };
        let configuration = block.wanted(view.plan);
        let mut pick = Pick::new(say!("Does the airframe stand so now?"))
            .intro(say!(
                "Block {}: {configuration}",
                index + 1,
                configuration = configuration_words(&configuration)
            ))
            .option(say!("it stands so: confirm it"), Then::ConfirmBlock { configuration })
            .option(say!("back"), Then::Nothing);
        pick.at = 1;
        self.overlays.push(Overlay::Pick(pick));
    }

    pub(super) fn order_len(&self) -> usize {
        self.order.ordered.as_ref().map_or(0, |ordered| ordered.len())
    }

    pub(super) fn order_circumstances(&self, desk: &dyn Desk, now: Circumstances) -> Circumstances {
        let step = self.order.ordered.as_ref().and_then(|ordered| ordered.at(self.cursor().at));
        let needs =
            desk.session().zip(step).is_some_and(|(view, (_, block, _))| !block.wanted(view.plan).is_empty());
        Circumstances { selected: step.is_some(), configuration: needs, ..now }
    }

    pub(super) fn order_rows(&self, desk: &dyn Desk) -> Vec<Row> {
        self.with_order(desk, order::rows).unwrap_or_default()
    }

    pub(super) fn order_detail(&self, desk: &dyn Desk, at: usize, width: usize) -> Vec<Line<'static>> {
        self.with_order(desk, |shown, look| order::detail(shown, at, look, width)).unwrap_or_default()
    }

    fn with_order<T>(&self, desk: &dyn Desk, draw: impl FnOnce(&Shown<'_>, Look) -> T) -> Option<T> {
        let ordered = self.order.ordered.as_deref()?;
        let view = desk.session();
        let plan = match (&view, &self.order.preview) {
            (Some(view), _) => view.plan,
            (None, Some((_, plan))) => plan.as_ref(),
            (None, None) => return None,
        };
        Some(draw(&Shown { ordered, plan, view: view.as_ref() }, self.look))
    }

    /// What no session shows any longer.
    pub(super) fn forget_order(&mut self) {
        self.order.ordered = None;
        self.order.preview = None;
    }

    /// What holds here: of the screens whose items only the app knows, too.
    pub(super) fn circumstances_here(&self, desk: &dyn Desk) -> Circumstances {
        let now = body::circumstances(desk, self.place, self.cursor().at, self.readings, self.failed);
        match self.place {
            Place::Order => self.order_circumstances(desk, now),
            Place::Handover => Circumstances { selected: self.cursor().at < self.handover_len(desk), ..now },
            _ => now,
        }
    }
}
