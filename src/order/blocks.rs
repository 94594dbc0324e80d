//! The order as people read it: blocks, each with how the airframe stands, how it gets there, hands and kit.

use serde::Serialize;

use super::costs::ChangeCost;
use super::problem::{Problem, Stand};
use super::{Solved, Task, count_changes};
use crate::checklist::{Aspect, Configuration, Setting};
use crate::checklist::{aspect_words, setting_words};
use crate::plan::Plan;

/// The open steps in blocks, with what the order costs and what is known about that. Times in minutes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct HangarOrder {
    pub start: Configuration,
    /// Aspects of `start` that nobody confirmed.
    pub assumed: Vec<Aspect>,
    pub blocks: Vec<Block>,
    /// Changes of the configuration, and the person-minutes they cost.
    pub changing: Totals,
    /// The same for the checklist's order, each step as soon as what it waits for is done.
    pub checklist_order: Totals,
    /// Person-minutes saved against the checklist's order.
    pub saved: u32,
    /// No order costs fewer person-minutes of changes.
    pub lower_bound: u32,
    /// `changing` is proved to be least.
    pub optimal: bool,
    pub states: usize,
    /// Work on the steps themselves: minutes one after the other, and person-minutes.
    pub work_minutes: u32,
    pub work_person_minutes: u32,
    pub people: Option<u32>,
    /// Steps and changes that need more people than are at hand.
    pub beyond_hands: Vec<BeyondHands>,
    /// Steps that a failure pulls forward.
    pub pulled: Vec<Pulled>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Totals {
    pub changes: usize,
    pub person_minutes: u32,
}

/// Steps worked without changing the configuration.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Block {
    pub configuration: Configuration,
    /// How to get here from the block before; empty where it is as it stood.
    pub changes: Vec<Change>,
    pub change_person_minutes: u32,
    /// The most people that a step or a change of this block needs.
    pub hands: u32,
    /// Everything that its steps need, in the order in which they first need it.
    pub kit: Vec<String>,
    pub minutes: u32,
    pub person_minutes: u32,
    pub steps: Vec<BlockStep>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Change {
    pub from: Setting,
    #[serde(flatten)]
    pub cost: ChangeCost,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BlockStep {
    pub id: String,
    pub title: String,
    pub people: u32,
    pub minutes: u32,
    /// Failed steps that pull this one forward.
    pub because: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BeyondHands {
    /// A step's id, or a change in words.
    pub what: String,
    pub people: u32,
    /// Index of its block.
    pub block: usize,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Pulled {
    pub step: String,
    pub because: Vec<String>,
    /// Index of its block.
    pub block: usize,
}

impl HangarOrder {
    /// The ids of the steps in the order, each with the index of its block.
    pub fn steps(&self) -> impl Iterator<Item = (usize, &BlockStep)> {
        let blocks = self.blocks.iter().enumerate();
        blocks.flat_map(|(index, block)| block.steps.iter().map(move |step| (index, step)))
    }

    /// Tells anew what needs more hands than are at hand. The order does not depend on it.
    pub fn set_people(&mut self, people: Option<u32>) {
        self.people = people;
        self.beyond_hands = beyond_hands(people, &self.blocks);
    }
}

impl Block {
    /// What its steps need and what was changed to get here: all that somebody has to look at before it is worked.
    /// The other aspects of `configuration` are as they happen to be.
    pub fn wanted(&self, plan: &Plan) -> Configuration {
        let mut wanted = Configuration::default();
        for change in &self.changes {
            wanted.set(change.cost.aspect, change.cost.to);
        }
        for planned in self.steps.iter().filter_map(|step| plan.step(&step.id)) {
            wanted.overlay(&planned.step.configuration);
        }
        wanted
    }
}

impl Change {
    /// "tailplane on to off".
    pub fn words(&self) -> String {
        let aspect = self.cost.aspect;
        say!(
            "{aspect} {from} to {to}",
            aspect = aspect_words(aspect),
            from = setting_words(aspect, self.from),
            to = setting_words(aspect, self.cost.to)
        )
    }
}

/// Tells a solved problem in terms of the plan. `ranked` has the plan's index of each job.
pub(super) fn tell(
    plan: &Plan,
    task: &Task,
    ranked: &[usize],
    problem: &Problem,
    solved: &Solved,
    checklist_order: Totals,
) -> HangarOrder {
    let jobs = problem.blocks(&solved.order);
    let changes = count_changes(problem, &jobs);
    let mut stand = problem.start;
    let blocks: Vec<Block> = jobs
        .iter()
        .map(|(next, jobs)| {
            let steps: Vec<usize> = jobs.iter().map(|job| ranked[*job]).collect();
            block(plan, task, &std::mem::replace(&mut stand, *next), next, &steps)
        })
        .collect();
    let (start, assumed) = task.start();
    HangarOrder {
        start,
        assumed,
        changing: Totals { changes, person_minutes: solved.cost },
        checklist_order,
        saved: checklist_order.person_minutes.saturating_sub(solved.cost),
        lower_bound: solved.lower_bound,
        optimal: solved.optimal,
        states: solved.states,
        work_minutes: blocks.iter().fold(0, |sum, block| sum.saturating_add(block.minutes)),
        work_person_minutes: blocks.iter().fold(0, |sum, block| sum.saturating_add(block.person_minutes)),
        people: task.people,
        beyond_hands: beyond_hands(task.people, &blocks),
        pulled: pulled(&blocks),
        blocks,
    }
}

fn block(plan: &Plan, task: &Task, from: &Stand, to: &Stand, indices: &[usize]) -> Block {
    let changes = changes(task, &from.configuration(), &to.configuration());
    let mut kit: Vec<String> = Vec::new();
    let mut steps = Vec::with_capacity(indices.len());
    let (mut minutes, mut person_minutes) = (0u32, 0u32);
    for index in indices {
        let step = &plan.steps[*index].step;
        for item in &step.kit {
            if !kit.contains(item) {
                kit.push(item.clone());
            }
        }
        minutes = minutes.saturating_add(step.minutes);
        person_minutes = person_minutes.saturating_add(step.minutes.saturating_mul(step.people));
        steps.push(BlockStep {
            id: step.id.clone(),
            title: step.title.clone(),
            people: step.people,
            minutes: step.minutes,
            because: task.follow.get(&step.id).cloned().unwrap_or_default(),
        });
    }
    let hands = steps.iter().map(|step| step.people).chain(changes.iter().map(|change| change.cost.people));
    Block {
        configuration: to.configuration(),
        change_person_minutes: changes
            .iter()
            .fold(0, |sum: u32, change| sum.saturating_add(change.cost.person_minutes())),
        hands: hands.max().unwrap_or(0),
        changes,
        kit,
        minutes,
        person_minutes,
        steps,
    }
}

fn changes(task: &Task, from: &Configuration, to: &Configuration) -> Vec<Change> {
    to.iter()
        .filter_map(|(aspect, setting)| {
            let before = from.get(aspect)?;
            (before != setting).then(|| Change { from: before, cost: task.costs.of(aspect, setting) })
        })
        .collect()
}

fn beyond_hands(people: Option<u32>, blocks: &[Block]) -> Vec<BeyondHands> {
    let Some(people) = people else { return Vec::new() };
    let mut found = Vec::new();
    for (index, block) in blocks.iter().enumerate() {
        let changes = block.changes.iter().map(|change| (change.words(), change.cost.people));
        let steps = block.steps.iter().map(|step| (step.id.clone(), step.people));
        for (what, needed) in changes.chain(steps).filter(|(_, needed)| *needed > people) {
            found.push(BeyondHands { what, people: needed, block: index });
        }
    }
    found
}

fn pulled(blocks: &[Block]) -> Vec<Pulled> {
    let mut found = Vec::new();
    for (index, block) in blocks.iter().enumerate() {
        for step in block.steps.iter().filter(|step| !step.because.is_empty()) {
            found.push(Pulled { step: step.id.clone(), because: step.because.clone(), block: index });
        }
    }
    found
}
