//! The exact search: A* over (jobs done, stand), with the bound of `bound.rs`.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap, HashSet};

use super::bound::lower_bound;
use super::problem::{Done, Problem, Stand};

/// A state of the search. Sorted by least total cost, then by the order so far: of orders that cost the same, the
/// one that is first by rank, compared job by job, is found first.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Node {
    pub least: u32,
    pub order: Vec<usize>,
    pub cost: u32,
    pub stand: Stand,
    pub done: Done,
}

/// How the search ended.
pub enum Ended {
    Proved {
        order: Vec<usize>,
        states: usize,
    },
    /// The budget was used up; no order costs less than the bound.
    Stopped {
        lower_bound: u32,
        states: usize,
    },
}

impl Node {
    /// The start, with everything done that is ready without a change.
    pub fn first(problem: &Problem) -> Node {
        Node {
            least: 0,
            order: Vec::new(),
            cost: 0,
            stand: problem.start,
            done: Done::none(problem.jobs.len()),
        }
        .settled(problem)
    }

    /// Does what is ready and fits, and renews the bound.
    fn settled(mut self, problem: &Problem) -> Node {
        let (stand, order) = (self.stand, &mut self.order);
        problem.close(&mut self.done, |needs| stand.fits(needs), |job| order.push(job));
        self.least = self.cost.saturating_add(lower_bound(problem, &self.stand, &self.done));
        self
    }

    /// After changing to what this ready job needs, and doing it first: so the order alone tells every change.
    pub fn changed_for(&self, problem: &Problem, job: usize) -> Node {
        let stand = self.stand.changed_for(&problem.jobs[job].needs);
        let cost = self.cost.saturating_add(problem.change_cost(&self.stand, &stand));
        let mut node = Node { least: 0, order: self.order.clone(), cost, stand, done: self.done.clone() };
        node.order.push(job);
        node.done.add(job);
        node.settled(problem)
    }

    /// The states after each change that some ready job asks for.
    ///
    /// Of jobs that ask for the same stand the lowest goes first; the state reached is the same.
    pub fn next(&self, problem: &Problem) -> Vec<Node> {
        let mut stands = HashSet::new();
        problem
            .ready_jobs(&self.done)
            .filter(|job| stands.insert(self.stand.changed_for(&problem.jobs[*job].needs)))
            .map(|job| self.changed_for(problem, job))
            .collect()
    }

    pub fn is_complete(&self, problem: &Problem) -> bool {
        self.order.len() == problem.jobs.len()
    }
}

/// Searches until an order is proved to be a least one, or `budget` states were looked at.
pub fn search(problem: &Problem, budget: usize) -> Ended {
    let mut queue = BinaryHeap::from([Reverse(Node::first(problem))]);
    let mut cheapest: HashMap<(Stand, Done), u32> = HashMap::new();
    let mut settled: HashSet<(Stand, Done)> = HashSet::new();
    let mut states = 0;
    let mut least = 0;
    while let Some(Reverse(node)) = queue.pop() {
        least = node.least;
        if node.is_complete(problem) {
            return Ended::Proved { order: node.order, states };
        }
        if states >= budget {
            break;
        }
        if !settled.insert((node.stand, node.done.clone())) {
            continue;
        }
        states += 1;
        for next in node.next(problem) {
            let known = cheapest.entry((next.stand, next.done.clone())).or_insert(u32::MAX);
            // One that costs the same stays: its order may be the one first by rank.
            if next.cost <= *known {
                *known = next.cost;
                queue.push(Reverse(next));
            }
        }
    }
    Ended::Stopped { lower_bound: least, states }
}
