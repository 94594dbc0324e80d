//! The hangar order: the open steps in an order whose changes of configuration cost the fewest person-minutes.
//!
//! Rules, in this order: what a step waits for (`after`) comes before it, and before a connection is inspected
//! independently whatever needs it apart; the changes cost least; among orders
//! that cost the same and do at once whatever is ready, the one that is first in the checklist, compared step by
//! step. After a failure the steps that its checklist names to follow, and the open steps they wait for, count as
//! the head of the checklist: they come as early as that is possible without one more person-minute of changes.
//!
//! The least cost is proved as long as no more than [`exact_states`] states have to be looked at. That holds for any
//! eight open steps: 2^8 sets of steps in 192 stands are fewer than 50,000. A whole programme of 137 steps may take
//! 2,919, and needs far fewer (tests/hangar_order.rs prints how many), because the bound is nearly always exact there.
//! Beyond, the order found is compared with a computed lower bound and called what it is.

mod beam;
mod blocks;
mod bound;
mod costs;
mod exact;
mod problem;

use std::collections::{BTreeMap, BTreeSet};

use crate::checklist::{Aspect, Configuration};
use crate::plan::Plan;
use crate::state::{State, StepStanding};

pub use crate::checklist::{aspect_words, configuration_words, setting_words};
pub use blocks::{BeyondHands, Block, BlockStep, Change, HangarOrder, Pulled, Totals};
pub use costs::{ChangeCost, ChangeTable, arrival};
pub use problem::{ASPECTS, Done, Job, Needs, Problem, Stand, costs_of, needs_of};

/// States that the exact search looks at before it gives up the proof: the fewer, the more jobs there are, because
/// each then takes longer to look at.
pub fn exact_states(jobs: usize) -> usize {
    400_000 / jobs.max(8)
}

/// What of a plan is to be ordered, and from where.
#[derive(Debug, Clone, Default)]
pub struct Task {
    /// Ids of the steps still to be worked; others are left out, and nothing waits for them.
    pub open: Vec<String>,
    /// Steps pulled forward, each with the failed steps that name it.
    pub follow: BTreeMap<String, Vec<String>>,
    /// As last confirmed. Aspects that nobody confirmed are taken as [`arrival`] has them.
    pub confirmed: Configuration,
    /// How many people are at hand, the inspector among them.
    pub people: Option<u32>,
    pub costs: ChangeTable,
}

/// Why there is no order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OrderFault {
    /// Steps that cannot come because they wait for each other.
    pub waiting: Vec<String>,
}

impl std::fmt::Display for OrderFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&say!(
            "the plan has no order: these steps wait for each other in a circle: {steps}; take one of them out of \
             \"after\" in a newer checklist edition",
            steps = self.waiting.join(", ")
        ))
    }
}

impl std::error::Error for OrderFault {}

/// An order of jobs, and what is known about its cost.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solved {
    pub order: Vec<usize>,
    /// Person-minutes of changes.
    pub cost: u32,
    /// No order costs less.
    pub lower_bound: u32,
    pub optimal: bool,
    /// States that the exact search looked at.
    pub states: usize,
}

impl Task {
    /// The whole plan, as an annual would begin.
    pub fn of_plan(plan: &Plan) -> Task {
        Task { open: plan.steps.iter().map(|step| step.step.id.clone()).collect(), ..Task::default() }
    }

    /// What is open in a running session, from the configuration last confirmed, with what failures pull forward.
    pub fn of_session(plan: &Plan, state: &State) -> Task {
        let is_open = |id: &str| state.standing(id).is_open();
        let mut follow: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for step in &plan.steps {
            if state.standing(&step.step.id) != StepStanding::Failed {
                continue;
            }
            let named = step.step.on_failure.iter().flat_map(|failure| &failure.follow);
            for pulled in named.filter(|pulled| is_open(&pulled.value)) {
                follow.entry(pulled.value.clone()).or_default().push(step.step.id.clone());
            }
        }
        let open = plan.steps.iter().map(|step| &step.step.id).filter(|id| is_open(id)).cloned();
        Task {
            open: open.collect(),
            follow,
            confirmed: state.configuration.clone(),
            people: None,
            costs: ChangeTable::default(),
        }
    }

    /// The configuration from which the order starts, and which of it nobody confirmed.
    pub fn start(&self) -> (Configuration, Vec<Aspect>) {
        let mut start = arrival();
        start.overlay(&self.confirmed);
        let assumed = Aspect::ALL.into_iter().filter(|aspect| self.confirmed.get(*aspect).is_none());
        (start, assumed.collect())
    }
}

/// Orders the open steps of a plan.
pub fn hangar_order(plan: &Plan, task: &Task) -> Result<HangarOrder, OrderFault> {
    hangar_order_within(plan, task, exact_states(task.open.len()))
}

/// [`hangar_order`], with a budget of its own for the exact search.
pub fn hangar_order_within(plan: &Plan, task: &Task, states: usize) -> Result<HangarOrder, OrderFault> {
    let open: Vec<usize> =
        (0..plan.steps.len()).filter(|index| task.open.contains(&plan.steps[*index].step.id)).collect();
    let in_turn = problem_of(plan, task, &open);
    let Some(checklist) = in_turn.by_rank() else { return Err(circle(plan, &open, &in_turn)) };
    let checklist_blocks = in_turn.blocks(&checklist);
    let checklist_order = Totals {
        changes: count_changes(&in_turn, &checklist_blocks),
        person_minutes: in_turn.cost_of(&checklist),
    };
    let ranked = pulled_first(plan, task, &open);
    let problem = inspect_what_stays(plan, &ranked, problem_of(plan, task, &ranked));
    let solved = solve(&problem, states).ok_or_else(|| circle(plan, &open, &in_turn))?;
    Ok(blocks::tell(plan, task, &ranked, &problem, &solved, checklist_order))
}

/// Orders jobs; `None` where some wait for each other in a circle.
///
/// Looks at up to `states` states for a proved least order, and takes the best that can be found quickly beyond.
pub fn solve(problem: &Problem, states: usize) -> Option<Solved> {
    let by_rank = problem.by_rank()?;
    let solved = match exact::search(problem, states) {
        exact::Ended::Proved { order, states } => {
            let cost = problem.cost_of(&order);
            Solved { order, cost, lower_bound: cost, optimal: true, states }
        }
        exact::Ended::Stopped { lower_bound, states } => {
            let order = beam::search(problem, &by_rank);
            let cost = problem.cost_of(&order);
            // An order that costs what none can go below is a least one, however it was found.
            Solved { order, cost, lower_bound, optimal: cost == lower_bound, states }
        }
    };
    Some(solved)
}

fn count_changes(problem: &Problem, blocks: &[(Stand, Vec<usize>)]) -> usize {
    let mut stand = problem.start;
    blocks.iter().filter(|(next, _)| std::mem::replace(&mut stand, *next) != *next).count()
}

/// The problem of these steps of the plan, ranked as they are listed.
fn problem_of(plan: &Plan, task: &Task, ranked: &[usize]) -> Problem {
    let rank: BTreeMap<&str, usize> =
        ranked.iter().enumerate().map(|(rank, index)| (plan.steps[*index].step.id.as_str(), rank)).collect();
    let is_last = |index: &usize| plan.steps[*index].step.last;
    let jobs = ranked.iter().map(|index| {
        let step = &plan.steps[*index].step;
        let named = step.after.iter().filter_map(|after| rank.get(after.value.as_str()).copied());
        let others = ranked.iter().enumerate().filter(|(_, other)| step.last && !is_last(other));
        let after: BTreeSet<usize> = named.chain(others.map(|(rank, _)| rank)).collect();
        Job { needs: needs_of(&step.configuration), after: after.into_iter().collect() }
    });
    Problem::new(jobs.collect(), Stand::of(&task.start().0), costs_of(&task.costs))
}

/// A connection that is inspected independently is not taken apart again: its step waits for every step that needs it
/// apart, except for those that wait for it. The checklist's own order knows no such rule, and is compared as it is.
fn inspect_what_stays(plan: &Plan, ranked: &[usize], problem: Problem) -> Problem {
    let Problem { mut jobs, start, costs, .. } = problem;
    let step = |rank: usize| &plan.steps[ranked[rank]].step;
    for inspected in (0..jobs.len()).filter(|rank| step(*rank).independent) {
        let connections = step(inspected).configuration.connections();
        for other in (0..jobs.len()).filter(|other| connections.contradicts(&step(*other).configuration)) {
            if !jobs[inspected].after.contains(&other) && !waits_for(&jobs, other, inspected) {
                jobs[inspected].after.push(other);
            }
        }
    }
    Problem::new(jobs, start, costs)
}

/// Whether `job` comes after `before`, directly or by others.
fn waits_for(jobs: &[Job], job: usize, before: usize) -> bool {
    let (mut seen, mut left) = (vec![false; jobs.len()], vec![job]);
    while let Some(at) = left.pop() {
        if at == before {
            return true;
        }
        if !std::mem::replace(&mut seen[at], true) {
            left.extend(&jobs[at].after);
        }
    }
    false
}

/// Open steps in the checklist's order, but those pulled forward, and what they wait for, at its head.
fn pulled_first(plan: &Plan, task: &Task, open: &[usize]) -> Vec<usize> {
    let mut pulled: Vec<bool> =
        plan.steps.iter().map(|step| task.follow.contains_key(&step.step.id)).collect();
    let mut waiting: Vec<usize> = (0..pulled.len()).filter(|index| pulled[*index]).collect();
    while let Some(index) = waiting.pop() {
        for after in &plan.steps[index].step.after {
            let before = plan.position(&after.value);
            if let Some(before) = before.filter(|before| open.contains(before) && !pulled[*before]) {
                pulled[before] = true;
                waiting.push(before);
            }
        }
    }
    let (first, rest): (Vec<usize>, Vec<usize>) = open.iter().partition(|index| pulled[**index]);
    first.into_iter().chain(rest).collect()
}

/// The steps that nothing can begin with. Their own `after` is enough to find the circle among them.
fn circle(plan: &Plan, open: &[usize], problem: &Problem) -> OrderFault {
    let mut done = Done::none(problem.jobs.len());
    problem.close(&mut done, |_| true, |_| {});
    let stuck = open.iter().enumerate().filter(|(rank, _)| !done.has(*rank));
    OrderFault { waiting: stuck.map(|(_, index)| plan.steps[*index].step.id.clone()).collect() }
}
