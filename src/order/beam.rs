//! Above the exact search's size: a beam, then improving what it found. No proof; the bound comes from `exact.rs`.

use std::collections::HashSet;

use super::exact::Node;
use super::problem::Problem;

/// States kept after each change.
const WIDTH: usize = 48;
/// Rounds of moving one change to another place.
const ROUNDS: usize = 8;

/// A good order. `by_rank` is one that is known; the result never costs more.
pub fn search(problem: &Problem, by_rank: &[usize]) -> Vec<usize> {
    let mut best = by_rank.to_vec();
    let mut cost = problem.cost_of(&best);
    if let Some(found) = beam(problem) {
        let improved = improve(problem, found);
        if improved.cost < cost {
            (best, cost) = (improved.order, improved.cost);
        }
    }
    debug_assert_eq!(cost, problem.cost_of(&best));
    best
}

/// Level after level of one more change, the most promising states of each.
fn beam(problem: &Problem) -> Option<Node> {
    let mut level = vec![Node::first(problem)];
    let mut best: Option<Node> = None;
    while !level.is_empty() {
        let mut next = Vec::new();
        for node in level {
            if node.is_complete(problem) {
                if best.as_ref().is_none_or(|best| node < *best) {
                    best = Some(node);
                }
            } else {
                next.extend(node.next(problem));
            }
        }
        let limit = best.as_ref().map_or(u32::MAX, |best| best.cost);
        next.retain(|node| node.least < limit);
        next.sort();
        let mut seen = HashSet::new();
        next.retain(|node| seen.insert((node.stand, node.done.clone())));
        next.truncate(WIDTH);
        level = next;
    }
    best
}

/// Moves one change before or behind others as long as that saves something.
fn improve(problem: &Problem, start: Node) -> Node {
    let mut best = start;
    for _ in 0..ROUNDS {
        let asked: Vec<usize> =
            problem.blocks(&best.order).iter().filter_map(|(_, jobs)| jobs.first().copied()).collect();
        let mut better: Option<Node> = None;
        for from in 0..asked.len() {
            for to in (0..asked.len()).filter(|to| *to != from) {
                let mut moved = asked.clone();
                let job = moved.remove(from);
                moved.insert(to, job);
                let node = follow(problem, &moved);
                if node.cost < better.as_ref().map_or(best.cost, |better| better.cost) {
                    better = Some(node);
                }
            }
        }
        match better {
            Some(node) => best = node,
            None => break,
        }
    }
    best
}

/// Changes for the first job of the list that is ready and not done, else for the lowest ready one, to the end.
fn follow(problem: &Problem, asked: &[usize]) -> Node {
    let mut node = Node::first(problem);
    while !node.is_complete(problem) {
        let wanted =
            asked.iter().copied().find(|job| !node.done.has(*job) && problem.ready(*job, &node.done));
        let Some(job) = wanted.or_else(|| problem.ready_jobs(&node.done).next()) else { break };
        node = node.changed_for(problem, job);
    }
    node
}
