//! `plan.json`, and what is folded and judged by a plan that was read.

use spanwise::completion::{Context, verdict};
use spanwise::plan::{Plan, plan_hash};
use spanwise::state::State;

use super::{Target, text};
use crate::fake;
use crate::support::{day, small_plan};

pub fn target() -> Target {
    Target::new("plan", 500, run).seeds(seeds).tokens_from_seeds()
}

fn run(input: &[u8]) -> bool {
    let plan = match Plan::from_bytes(input) {
        Ok(plan) => plan,
        Err(why) => return why.to_string().is_empty(),
    };
    let again = plan.to_bytes().map(|bytes| plan_hash(&bytes)).unwrap_or_else(|why| why.to_string());
    assert!(!again.is_empty());
    let state = State::new(&plan);
    let evidence = Default::default();
    let context = Context {
        plan: &plan,
        state: &state,
        today: day("2026-11-25"),
        signer: None,
        integrity: &[],
        evidence: &evidence,
    };
    let told = format!("{:?}", verdict(&context).refusals());
    assert!(!told.is_empty());
    for step in &plan.steps {
        for measure in &step.step.measures {
            let _ = spanwise::session::parse_value(measure, &text(b"12.5 / 3"));
        }
    }
    true
}

fn seeds() -> Vec<Vec<u8>> {
    [small_plan(), fake::plan("", "")].iter().filter_map(|plan| plan.to_bytes().ok()).collect()
}
