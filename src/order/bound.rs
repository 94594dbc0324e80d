//! A lower bound on the person-minutes still to come.
//!
//! Costs add up over the aspects, so each aspect is looked at alone: all jobs keep their order among each other,
//! but only their need in this one aspect counts. The least cost of each of these small problems is found exactly,
//! and their sum cannot exceed the true least cost: any order of the whole is also one for each aspect alone.
//! Nor does the bound ever fall by more than a change costs (it is consistent), so the first solution taken from a
//! queue sorted by cost so far plus bound is a least one.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashSet};

use super::problem::{ASPECTS, Done, Problem, Stand};

/// Person-minutes that the remaining jobs cost at least.
pub fn lower_bound(problem: &Problem, stand: &Stand, done: &Done) -> u32 {
    (0..ASPECTS).fold(0, |sum, aspect| {
        let cost = one_aspect(problem, aspect, stand.0[aspect], done);
        sum.saturating_add(cost)
    })
}

/// Least cost with one aspect alone: Dijkstra over the jobs done and its setting.
fn one_aspect(problem: &Problem, aspect: usize, setting: u8, done: &Done) -> u32 {
    let other = |job: usize| problem.jobs[job].needs[aspect].is_some_and(|need| need != setting);
    if !(0..problem.jobs.len()).any(|job| !done.has(job) && other(job)) {
        return 0;
    }
    let mut queue = BinaryHeap::from([Reverse((0u32, setting, done.clone()))]);
    let mut seen = HashSet::new();
    while let Some(Reverse((cost, setting, mut done))) = queue.pop() {
        problem.close(&mut done, |needs| needs[aspect].is_none_or(|need| need == setting), |_| {});
        if done.count() == problem.jobs.len() {
            return cost;
        }
        if !seen.insert((setting, done.clone())) {
            continue;
        }
        let mut wanted = [false; 3];
        for job in problem.ready_jobs(&done) {
            if let Some(need) = problem.jobs[job].needs[aspect] {
                wanted[usize::from(need)] = true;
            }
        }
        for (next, row) in (0u8..).zip(problem.costs[aspect]).filter(|(next, _)| wanted[usize::from(*next)]) {
            queue.push(Reverse((cost.saturating_add(row), next, done.clone())));
        }
    }
    // Only jobs that wait for each other in a circle are left, which the caller has ruled out.
    0
}
