//! Steps that come after every other one: the reader, the turn, the order, and plans of before.

mod support;

use spanwise::checklist::Library;
use spanwise::order::{Task, hangar_order};
use spanwise::plan::Plan;
use spanwise::state::State;
use support::{AIRFRAME, MODULE, PROGRAMME, SUPPLEMENT, compose_with, source, texts};

fn compose(programme: &str) -> Result<Plan, String> {
    let sources = [
        source("small", "1.0.0", programme),
        source("ostrel-supplement", "1.0.0", SUPPLEMENT),
        source("tail", "1.0.0", MODULE),
    ];
    compose_with(&Library::read(&sources), AIRFRAME).map_err(|faults| texts(&faults))
}

/// Connecting the rudder comes last, though a module adds a step behind it; the wing pins are optional.
fn programme() -> String {
    PROGRAMME
        .replace("title = \"Connect the rudder\"", "title = \"Connect the rudder\"\nlast = true")
        .replace("title = \"Pin play\"", "title = \"Pin play\"\nmandatory = false")
}

fn plan() -> Plan {
    compose(&programme()).unwrap_or_else(|faults| panic!("{faults}"))
}

#[test]
fn it_waits_for_every_mandatory_step_of_every_checklist_and_for_no_optional_one() {
    let plan = plan();
    let (state, last) = (State::new(&plan), plan.step("rudder.connect").expect("planned"));
    let mut waits = state.open_before(&plan, last);
    waits.sort_unstable();
    let mut others: Vec<&str> = plan
        .steps
        .iter()
        .map(|step| step.step.id.as_str())
        .filter(|id| !["rudder.connect", "wing.play"].contains(id))
        .collect();
    others.sort_unstable();
    assert!(others.contains(&"tail.flex"), "a module's step, too: {others:?}");
    assert_eq!(waits, others);
    let look = plan.step("fin.look").expect("planned");
    assert_eq!(state.open_before(&plan, look), ["prep.clean"], "the others wait for what they name");
}

#[test]
fn the_hangar_order_ends_with_it() {
    let plan = plan();
    let order = hangar_order(&plan, &Task::of_plan(&plan)).expect("an order");
    let steps: Vec<&str> = order.steps().map(|(_, step)| step.id.as_str()).collect();
    assert_eq!(steps.len(), plan.steps.len());
    assert_eq!(steps.last(), Some(&"rudder.connect"), "{steps:?}");
}

#[test]
fn no_other_step_may_wait_for_it() {
    let programme = programme().replace("after = [\"prep.clean\"]", "after = [\"rudder.connect\"]");
    let found = compose(&programme).expect_err("a fault");
    assert!(found.contains("after-the-last") && found.contains("small/1.0.0.toml:"), "{found}");
    assert!(found.contains("\"fin.look\" waits for \"rudder.connect\""), "{found}");
}

#[test]
fn a_plan_without_one_is_written_as_before() {
    let plan = compose(PROGRAMME).unwrap_or_else(|faults| panic!("{faults}"));
    let text = String::from_utf8(plan.to_bytes().expect("bytes")).expect("text");
    assert!(!text.contains("\"last\""), "its hash would be another one");
    let with = String::from_utf8(self::plan().to_bytes().expect("bytes")).expect("text");
    assert_eq!(with.matches("\"last\":true").count(), 1);
}
