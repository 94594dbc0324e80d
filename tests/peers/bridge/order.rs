//! The hangar order: least person-minutes of changes.

use super::args::refused;
use serde_json::json;
use spanwise::order::{ASPECTS, Job, Problem, Stand, exact_states, solve};

pub const ALL: &[super::Statistic] = &[("hangar_order", |a| {
    let start = settings(&a.numbers("start")?)?.map(|setting| setting.unwrap_or(0));
    let mut costs = [[0; 3]; ASPECTS];
    for (row, given) in costs.iter_mut().zip(a.rows("costs")?) {
        for (cost, given) in row.iter_mut().zip(given) {
            *cost = given as u32;
        }
    }
    let mut jobs = Vec::new();
    for (needs, after) in a.rows("needs")?.iter().zip(a.rows("after")?) {
        let after = after.iter().map(|job| *job as usize).collect();
        jobs.push(Job { needs: settings(needs)?, after });
    }
    let problem = Problem::new(jobs, Stand(start), costs);
    let solved = solve(&problem, exact_states(problem.jobs.len())).ok_or_else(|| refused("a circle"))?;
    Ok(json!({ "cost": solved.cost, "bound": solved.lower_bound, "optimal": solved.optimal }))
})];

/// Setting indices by aspect; below zero where it does not matter.
fn settings(row: &[f64]) -> Result<[Option<u8>; ASPECTS], String> {
    let all: Vec<Option<u8>> = row.iter().map(|x| (*x >= 0.0).then_some(*x as u8)).collect();
    all.try_into().map_err(|row: Vec<_>| format!("{} aspects where {ASPECTS} are wanted", row.len()))
}
