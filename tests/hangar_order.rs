//! The hangar order against trying every order, and on the programme's own plans.
#![allow(clippy::disallowed_methods, reason = "a test reads the demo's files and prints how long it took")]

use std::path::Path;
use std::time::Instant;

use proptest::prelude::*;
use spanwise::checklist::{Aspect, Configuration, Setting};
use spanwise::hangar::{Hangar, preview};
use spanwise::order::{
    ASPECTS, ChangeTable, HangarOrder, Job, Problem, Stand, Task, costs_of, exact_states, hangar_order,
    hangar_order_within, solve,
};
use spanwise::plan::Plan;

/// Small instances: up to seven jobs over the first three aspects (two, three and two settings), any costs.
fn instances() -> impl Strategy<Value = Problem> {
    let job = (prop::option::of(0u8..2), prop::option::of(0u8..3), prop::option::of(0u8..2), any::<u8>());
    let costs = prop::array::uniform3(prop::array::uniform3(0u32..60));
    (prop::collection::vec(job, 0..8), costs, any::<u32>()).prop_map(|(jobs, some, shape)| {
        let count = jobs.len();
        // Dependencies follow a line that begins anywhere, so some point against the ranks.
        let turn = shape as usize % count.max(1);
        let place = |job: usize| (job + turn) % count.max(1);
        let mut made: Vec<Job> = Vec::new();
        for (index, (wings, support, tailplane, mask)) in jobs.into_iter().enumerate() {
            let mut needs = [None; ASPECTS];
            (needs[0], needs[1], needs[2]) = (wings, support, tailplane);
            let earlier =
                |other: &usize| place(*other) < place(index) && mask & (1 << *other) != 0 && mask % 3 == 0;
            made.push(Job { needs, after: (0..count).filter(earlier).collect() });
        }
        let mut table = [[0; 3]; ASPECTS];
        table[..3].copy_from_slice(&some);
        let start = Stand([u8::from(shape & 1 != 0), (shape / 2 % 3) as u8, 0, 0, 0, 0, 0]);
        Problem::new(made, start, table)
    })
}

/// Every order that keeps the dependencies, told one by one: cost by a walk of its own, straight from the rule.
fn every_order(problem: &Problem, tell: &mut dyn FnMut(&[usize], u32)) {
    fn go(
        p: &Problem,
        order: &mut Vec<usize>,
        stand: [u8; ASPECTS],
        cost: u32,
        tell: &mut dyn FnMut(&[usize], u32),
    ) {
        if order.len() == p.jobs.len() {
            return tell(order, cost);
        }
        for job in 0..p.jobs.len() {
            if order.contains(&job) || p.jobs[job].after.iter().any(|before| !order.contains(before)) {
                continue;
            }
            let (mut next, mut more) = (stand, 0);
            for aspect in 0..ASPECTS {
                if let Some(need) = p.jobs[job].needs[aspect].filter(|need| *need != stand[aspect]) {
                    next[aspect] = need;
                    more += p.costs[aspect][usize::from(need)];
                }
            }
            order.push(job);
            go(p, order, next, cost + more, tell);
            order.pop();
        }
    }
    go(problem, &mut Vec::new(), problem.start.0, 0, tell);
}

/// True where the order does everything that is ready and fits before it changes, lowest rank first.
fn is_eager(p: &Problem, order: &[usize]) -> bool {
    let mut stand = p.start;
    order.iter().enumerate().all(|(at, job)| {
        let open = &order[at..];
        let ready = |other: &usize| p.jobs[*other].after.iter().all(|before| !open.contains(before));
        let free =
            open.iter().copied().filter(|other| ready(other) && stand.fits(&p.jobs[*other].needs)).min();
        stand = stand.changed_for(&p.jobs[*job].needs);
        free.is_none_or(|free| free == *job)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Source: the definition itself, by trying all orders (up to 5,040).
    #[test]
    fn least_of_all_orders_and_first_in_the_checklist_among_them(problem in instances()) {
        let mut least = u32::MAX;
        every_order(&problem, &mut |_, cost| least = least.min(cost));
        let mut first: Option<Vec<usize>> = None;
        every_order(&problem, &mut |order, cost| {
            if cost == least && is_eager(&problem, order) && first.as_ref().is_none_or(|first| order < &first[..]) {
                first = Some(order.to_vec());
            }
        });
        let solved = solve(&problem, exact_states(problem.jobs.len())).expect("no circle");
        prop_assert!(solved.optimal);
        prop_assert_eq!(solved.cost, least);
        prop_assert_eq!(problem.cost_of(&solved.order), least);
        prop_assert_eq!(Some(solved.order), first);
    }

    /// Without the budget for a proof: the bound is below the least cost, the order is one, and no worse than by rank.
    #[test]
    fn the_bound_holds_where_nothing_is_proved(problem in instances(), budget in 0usize..4) {
        let mut least = u32::MAX;
        every_order(&problem, &mut |_, cost| least = least.min(cost));
        let solved = solve(&problem, budget).expect("no circle");
        prop_assert!(solved.lower_bound <= least, "{} above {least}", solved.lower_bound);
        prop_assert!(solved.cost >= least);
        prop_assert!(solved.cost <= problem.cost_of(&problem.by_rank().expect("no circle")));
        prop_assert_eq!(solved.optimal, solved.cost == solved.lower_bound);
        prop_assert!(!solved.optimal || solved.cost == least);
        for (at, job) in solved.order.iter().enumerate() {
            prop_assert!(problem.jobs[*job].after.iter().all(|before| solved.order[..at].contains(before)));
        }
    }

    /// Jobs that need the same and wait for nothing come in the order of their ranks.
    #[test]
    fn equal_and_independent_jobs_keep_the_checklists_order(problem in instances()) {
        let solved = solve(&problem, exact_states(problem.jobs.len())).expect("no circle");
        let place = |job: usize| solved.order.iter().position(|other| *other == job);
        for low in 0..problem.jobs.len() {
            for high in low + 1..problem.jobs.len() {
                let (a, b) = (&problem.jobs[low], &problem.jobs[high]);
                if a.after.is_empty() && b.after.is_empty() && a.needs == b.needs {
                    prop_assert!(place(low) < place(high));
                }
            }
        }
    }
}

#[test]
fn a_circle_is_no_order() {
    let job = |after: usize| Job { after: vec![after], ..Job::default() };
    let problem = Problem::new(vec![job(1), job(0)], Stand([0; ASPECTS]), costs_of(&ChangeTable::default()));
    assert_eq!(solve(&problem, exact_states(problem.jobs.len())), None);
}

/// The plans of the demo's airframes: the programme's steps with the modules that their reports select.
fn demo_plans() -> Vec<Plan> {
    let hangar = Hangar::load(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/hangar"));
    let registrations: Vec<String> = hangar.airframes.iter().map(|file| file.name()).collect();
    assert_eq!(registrations.len(), 4);
    registrations
        .iter()
        .map(|name| preview(&hangar, name).unwrap_or_else(|e| panic!("{name}: {e}")))
        .collect()
}

fn ids(order: &HangarOrder) -> Vec<&str> {
    order.blocks.iter().flat_map(|block| block.steps.iter().map(|step| step.id.as_str())).collect()
}

/// Checked against the plan, block by block: nothing missing, nothing twice, needs met, dependencies kept, sums right.
fn assert_sound(plan: &Plan, task: &Task, order: &HangarOrder) {
    let ids = ids(order);
    let mut sorted: Vec<&str> = ids.clone();
    sorted.sort_unstable();
    let mut open: Vec<&str> = task.open.iter().map(String::as_str).collect();
    open.sort_unstable();
    assert_eq!(sorted, open);
    let mut stand = order.start.clone();
    let mut spent = 0;
    for block in &order.blocks {
        for change in &block.changes {
            assert_eq!(stand.get(change.cost.aspect), Some(change.from));
            stand.set(change.cost.aspect, change.cost.to);
            spent += change.cost.people * change.cost.minutes;
        }
        assert_eq!(stand, block.configuration);
        for step in &block.steps {
            let planned = &plan.step(&step.id).expect("a step of the plan").step;
            assert!(planned.configuration.unmet_in(&stand).is_empty(), "{} in {stand}", step.id);
            let at = ids.iter().position(|id| *id == step.id);
            for after in &planned.after {
                let before = ids.iter().position(|id| *id == after.value);
                assert!(before.is_none() || before < at, "{} before {}", step.id, after.value);
            }
            assert!(planned.kit.iter().all(|item| block.kit.contains(item)));
            assert!(block.hands >= planned.people);
        }
    }
    assert_eq!(spent, order.changing.person_minutes);
    assert!(order.lower_bound <= spent);
    assert!(spent <= order.checklist_order.person_minutes);
    assert_eq!(order.saved, order.checklist_order.person_minutes - spent);
}

#[test]
fn whole_plans_are_proved_sound_and_the_same_each_time() {
    for plan in demo_plans() {
        let task = Task::of_plan(&plan);
        let before = Instant::now();
        let order = hangar_order(&plan, &task).expect("an order");
        let took = before.elapsed();
        println!(
            "{}: {} steps, {} states, {took:?}; {:?}, checklist {:?}, bound {}",
            plan.airframe.registration,
            task.open.len(),
            order.states,
            order.changing,
            order.checklist_order,
            order.lower_bound
        );
        assert!(plan.steps.len() > 120);
        assert_sound(&plan, &task, &order);
        assert!(order.optimal);
        assert!(order.saved > 0, "the checklist's order is by sections, not by configuration");
        assert_eq!(hangar_order(&plan, &task).as_ref(), Ok(&order));
    }
}

#[test]
fn without_the_proof_a_whole_plan_is_ordered_within_its_bound() {
    for plan in demo_plans() {
        let task = Task::of_plan(&plan);
        let least = hangar_order(&plan, &task).expect("an order").changing.person_minutes;
        let order = hangar_order_within(&plan, &task, 3).expect("an order");
        println!("{:?} against {least}, bound {}", order.changing, order.lower_bound);
        // What the screen gives itself before it draws.
        let before = Instant::now();
        let quick = hangar_order_within(&plan, &task, 150).expect("an order");
        println!("within 150 states: {:?}, {:?}", quick.changing, before.elapsed());
        assert_sound(&plan, &task, &quick);
        assert_sound(&plan, &task, &order);
        assert!(order.lower_bound <= least && least <= order.changing.person_minutes);
    }
}

/// Forty jobs that need much and wait for much: more than the budget given here can prove.
#[test]
fn a_hard_problem_is_told_with_its_gap_and_the_same_each_time() {
    let mut rng = fastrand::Rng::with_seed(3);
    let settings = Aspect::ALL.map(|aspect| aspect.settings().len() as u8);
    let jobs: Vec<Job> = (0..40)
        .map(|job| Job {
            needs: settings.map(|count| (rng.u8(0..10) < 4).then(|| rng.u8(0..count))),
            after: (0..job).filter(|_| rng.u8(0..100) < 4).collect(),
        })
        .collect();
    let problem = Problem::new(jobs, Stand([0; ASPECTS]), costs_of(&ChangeTable::default()));
    let before = Instant::now();
    let solved = solve(&problem, 50).expect("no circle");
    let by_rank = problem.cost_of(&problem.by_rank().expect("no circle"));
    println!("{} within {}, by rank {by_rank}, {:?}", solved.cost, solved.lower_bound, before.elapsed());
    assert!(!solved.optimal && solved.states == 50);
    assert!(solved.lower_bound > 0 && solved.lower_bound < solved.cost && solved.cost < by_rank);
    assert_eq!(solve(&problem, 50).as_ref(), Some(&solved));
    let more = solve(&problem, 500).expect("no circle");
    println!("with ten times the states: {} within {}", more.cost, more.lower_bound);
    assert!(more.lower_bound >= solved.lower_bound && more.lower_bound <= solved.cost);
}

/// A step pulled forward by a failure comes no later than without, and never for one more person-minute.
#[test]
fn a_failure_pulls_its_steps_forward_without_another_change() {
    let plan = demo_plans().remove(0);
    let plain = hangar_order(&plan, &Task::of_plan(&plan)).expect("an order");
    let mut earlier = 0;
    for step in plan.steps.iter().step_by(3) {
        let mut task = Task::of_plan(&plan);
        task.follow.insert(step.step.id.clone(), vec!["invented.failure".to_string()]);
        let order = hangar_order(&plan, &task).expect("an order");
        assert_sound(&plan, &task, &order);
        assert_eq!(order.changing.person_minutes, plain.changing.person_minutes);
        let at = |order: &HangarOrder| ids(order).iter().position(|id| *id == step.step.id);
        if step.step.after.is_empty() {
            assert!(at(&order) <= at(&plain), "{}", step.step.id);
        }
        earlier += usize::from(at(&order) < at(&plain));
        assert_eq!(order.pulled.len(), 1);
        assert_eq!(order.pulled[0].step, step.step.id);
        assert!(order.blocks[order.pulled[0].block].steps.iter().any(|other| other.id == step.step.id));
    }
    assert!(earlier > 10, "{earlier}");
}

/// Started from where the steps stand, nothing is changed for them; too few hands are told with the block.
#[test]
fn start_hands_and_costs_are_taken_as_given() {
    let plan = demo_plans().remove(0);
    let needs_derigged = |id: &&String| {
        let step = &plan.step(id).expect("a step").step;
        step.configuration.get(Aspect::Wings) == Some(Setting::Derigged)
            && step.configuration.iter().count() == 1
    };
    let whole = Task::of_plan(&plan);
    let open: Vec<String> = whole.open.iter().filter(needs_derigged).cloned().collect();
    assert!(open.len() > 5);
    let mut confirmed = Configuration::default();
    confirmed.set(Aspect::Wings, Setting::Derigged);
    let here = Task { open: open.clone(), confirmed, ..Task::default() };
    let order = hangar_order(&plan, &here).expect("an order");
    assert_eq!((order.changing.changes, order.changing.person_minutes, order.blocks.len()), (0, 0, 1));
    assert!(!order.assumed.contains(&Aspect::Wings) && order.assumed.contains(&Aspect::Support));
    // The table's row: three people for fifteen minutes.
    let mut away = Task { open, people: Some(2), ..Task::default() };
    let order = hangar_order(&plan, &away).expect("an order");
    assert_eq!((order.changing.changes, order.changing.person_minutes), (1, 45));
    assert_eq!(order.blocks[0].hands.max(3), order.blocks[0].hands);
    let short = order.beyond_hands.first().expect("the derigging");
    assert_eq!((short.what.as_str(), short.people, short.block), ("wings rigged to derigged", 3, 0));
    let row =
        spanwise::order::ChangeCost { aspect: Aspect::Wings, to: Setting::Derigged, people: 2, minutes: 7 };
    away.costs.set(row);
    let order = hangar_order(&plan, &away).expect("an order");
    assert_eq!(order.changing.person_minutes, 14);
    assert!(order.beyond_hands.iter().all(|short| !short.what.starts_with("wings")));
}
