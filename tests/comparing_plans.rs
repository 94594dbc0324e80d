//! Two plans beside each other. The trade's reasons are the project's own: a demand that changed is answered anew, a word
//! that changed in a title is not.

mod support;

use proptest::prelude::*;
use spanwise::audit::compare::{FieldChange, PlanDifference, StepChange, compare_plans};
use spanwise::checklist::{
    Aspect, Condition, EvidenceDemand, EvidenceKind, Guard, Measure, MeasureKind, OnFailure, SeriesDemand,
    Setting, Severity, Step,
};
use spanwise::plan::{Plan, PlanStep};
use spanwise::quantity::{Limit, Number, Unit};
use spanwise::source::Located;
use support::{quantity, small_plan};

const STEP: &str = "wing.play";

fn number(text: &str) -> Number {
    text.parse().unwrap_or_else(|error| panic!("{error}"))
}

fn limit(min: Option<&str>, max: Option<&str>) -> Option<Limit> {
    Some(Limit::new(min.map(quantity), max.map(quantity)).unwrap_or_else(|error| panic!("{error}")))
}

fn measure(id: &str, kind: MeasureKind) -> Measure {
    Measure {
        id: id.to_string(),
        title: id.to_string(),
        kind,
        readings: 1,
        instrument: false,
        demanded: true,
        guard: Guard::Conformance95,
        limit_source: Some("invented".to_string()),
    }
}

fn series() -> SeriesDemand {
    SeriesDemand {
        load_unit: Unit::parse("N").expect("a unit"),
        deflection_unit: Unit::parse("mm").expect("a unit"),
        directions: vec!["left".to_string(), "right".to_string()],
        min_levels: 4,
        max_load: number("147"),
        take_up: Some(number("20")),
        unloading: true,
        min_stiffness: Some(number("30")),
        max_side_difference_percent: Some(number("10")),
    }
}

/// The small plan, with one step that has something of everything.
fn base() -> Plan {
    let mut plan = small_plan();
    let mm = Unit::parse("mm").expect("a unit");
    let step = step_of(&mut plan);
    step.caution = Some("Nobody under the wing.".to_string());
    step.instruction = "Push with 15 kg at the tip, both ways, and read the gauge at the root.".to_string();
    step.kit = vec!["gauge".to_string()];
    step.configuration.set(Aspect::Wings, Setting::Rigged);
    step.evidence = vec![photo("root", "the wing root")];
    let Some(play) = step.measures.first_mut() else { panic!("the step measures the play") };
    play.kind = MeasureKind::Number { unit: mm, limit: limit(Some("0.02 mm"), Some("0.50 mm")) };
    step.measures.push(measure(
        "tips",
        MeasureKind::Pair { unit: mm, limit: limit(None, Some("5 mm")), max_difference: Some(number("2")) },
    ));
    let launches = Unit::parse("launches").expect("a unit");
    step.measures.push(measure("cracks", MeasureKind::Count { unit: launches, min: None, max: Some(3) }));
    let words = |words: &[&str]| words.iter().map(ToString::to_string).collect::<Vec<_>>();
    step.measures.push(measure(
        "bulge",
        MeasureKind::Choice { choices: words(&["none", "felt"]), accept: words(&["none"]) },
    ));
    step.measures.push(measure("flex", MeasureKind::LoadDeflection(series())));
    step.measures.push(measure("table", MeasureKind::Table { compute: "tap".to_string() }));
    step.measures.push(measure("due", MeasureKind::Date { not_before_today: false, not_before: None }));
    plan
}

fn photo(id: &str, what: &str) -> EvidenceDemand {
    EvidenceDemand { id: id.to_string(), kind: EvidenceKind::Photo, count: 1, what: what.to_string() }
}

fn step_of(plan: &mut Plan) -> &mut Step {
    let planned: Option<&mut PlanStep> = plan.steps.iter_mut().find(|planned| planned.step.id == STEP);
    &mut planned.expect("the step").step
}

fn kind_of<'a>(step: &'a mut Step, id: &str) -> &'a mut MeasureKind {
    &mut step.measures.iter_mut().find(|measure| measure.id == id).expect("the measurement").kind
}

/// A change made to the step, and what must be said of it.
struct Case {
    field: &'static str,
    reopens: bool,
    words: &'static str,
    make: Make,
}

type Make = fn(&mut Step);

impl Case {
    /// What it changes is still there.
    fn fits(&self, step: &Step) -> bool {
        let has = |id: &str| step.measure(id).is_some();
        !step.evidence.is_empty() && (!self.words.contains("bulge") || has("bulge"))
    }
}

fn case(field: &'static str, reopens: bool, words: &'static str, make: Make) -> Case {
    Case { field, reopens, words, make }
}

fn step_cases() -> Vec<Case> {
    vec![
        case("title", false, "title reworded: it was \"Pin play\" and is now \"Root fit\"", |step| {
            step.title = "Root fit".to_string();
        }),
        case("section", false, "moved from section body to tail", |step| {
            step.section = Located::new("tail".to_string(), 0..0);
        }),
        case("instruction", true, "instruction reworded: \"15\" is now \"12\"", |step| {
            step.instruction = step.instruction.replace("15", "12");
        }),
        case("caution", true, "caution reworded: \"under\" is now \"near\"", |step| {
            step.caution = Some("Nobody near the wing.".to_string());
        }),
        case("caution", false, "caution gone: Nobody under the wing.", |step| step.caution = None),
        case("mandatory", false, "now optional", |step| step.mandatory = false),
        case("may_be_not_applicable", false, "may now be answered as not applicable", |step| {
            step.may_be_not_applicable = true;
        }),
        case("basis", false, "basis: new \"43D(x)\"; gone \"43D(f)\"", |step| {
            step.basis = vec![Located::new("43D(x)".to_string(), 0..0)];
        }),
        case(
            "configuration",
            true,
            "configuration: wings derigged instead of rigged, now tailplane off",
            |step| {
                step.configuration.set(Aspect::Wings, Setting::Derigged);
                step.configuration.set(Aspect::Tailplane, Setting::Off);
            },
        ),
        case("configuration", true, "configuration: wings rigged no longer needed", |step| {
            step.configuration = Default::default();
        }),
        case("after", true, "steps to be answered before it: new \"prep.clean\"", |step| {
            step.after.push(Located::new("prep.clean".to_string(), 0..0));
        }),
        case("people", false, "people: 1, now 3", |step| step.people = 3),
        case("minutes", false, "minutes: 5, now 20", |step| step.minutes = 20),
        case("kit", false, "kit: new \"lamp\"", |step| step.kit.push("lamp".to_string())),
        case("loads", true, "a load is now applied to the structure", |step| step.loads = true),
        case("independent", true, "an independent inspection is now demanded", |step| {
            step.independent = true
        }),
        case("when", false, "the conditions under which it belongs to an annual changed", |step| {
            step.when.push(Condition::LaunchesAtLeast(100));
        }),
        case("evidence", true, "evidence now demanded: 1 photo of the pin", |step| {
            step.evidence.push(photo("pin", "the pin"));
        }),
        case("evidence", true, "evidence: 1 photo of the wing root, now 2 photo of the wing root", |step| {
            step.evidence[0].count = 2;
        }),
        case("evidence", true, "evidence no longer demanded: 1 photo of the wing root", |step| {
            step.evidence.clear();
        }),
        case("on_failure", false, "a failure was usually minor and is now usually grounding", |step| {
            failure(step).severity = Severity::Grounding;
        }),
        case("on_failure", false, "a defect of it may no longer be deferred", |step| {
            failure(step).may_defer = false;
        }),
        case("on_failure", false, "hint for a failure: new: \"worn bush\"", |step| {
            failure(step).hint = Some("worn bush".to_string());
        }),
        case("on_failure", false, "steps to pull forward after a failure: new \"fin.look\"", |step| {
            failure(step).follow.push(Located::new("fin.look".to_string(), 0..0));
        }),
    ]
}

fn failure(step: &mut Step) -> &mut OnFailure {
    step.on_failure.as_mut().expect("it says what a failure means")
}

fn set_play(step: &mut Step, min: Option<&str>, max: Option<&str>) {
    if let MeasureKind::Number { limit: held, .. } = kind_of(step, "play") {
        *held = limit(min, max);
    }
}

fn set_series(step: &mut Step, change: impl Fn(&mut SeriesDemand)) {
    if let MeasureKind::LoadDeflection(demand) = kind_of(step, "flex") {
        change(demand);
    }
}

fn measure_cases() -> Vec<Case> {
    vec![
        case("measure", true, "Play: limit tightened from 0.02 to 0.50 mm to 0.02 to 0.30 mm", |step| {
            set_play(step, Some("0.02 mm"), Some("0.30 mm"));
        }),
        case("measure", true, "Play: limit loosened from 0.02 to 0.50 mm to at most 0.60 mm", |step| {
            set_play(step, None, Some("0.60 mm"));
        }),
        case("measure", true, "Play: limit changed from 0.02 to 0.50 mm to 0.05 to 0.60 mm", |step| {
            set_play(step, Some("0.05 mm"), Some("0.60 mm"));
        }),
        // 0.05 cm is 0.50 mm: the same limit.
        case(
            "measure",
            false,
            "Play: limit written otherwise from 0.02 to 0.50 mm to 0.02 mm to 0.05 cm",
            |step| {
                set_play(step, Some("0.02 mm"), Some("0.05 cm"));
            },
        ),
        case("measure", true, "Play: limit gone, it was 0.02 to 0.50 mm", |step| {
            *kind_of(step, "play") =
                MeasureKind::Number { unit: Unit::parse("mm").expect("mm"), limit: None };
        }),
        case(
            "measure",
            true,
            "tips: limit tightened from left and right apart at most 2 mm to left and right apart at most 1 mm",
            |step| {
                if let MeasureKind::Pair { max_difference, .. } = kind_of(step, "tips") {
                    *max_difference = Some(number("1"));
                }
            },
        ),
        case(
            "measure",
            true,
            "cracks: limit loosened from at most 3 launches to at most 5 launches",
            |step| {
                if let MeasureKind::Count { max, .. } = kind_of(step, "cracks") {
                    *max = Some(5);
                }
            },
        ),
        case("measure", true, "bulge: good: none, now any", |step| {
            if let MeasureKind::Choice { accept, .. } = kind_of(step, "bulge") {
                accept.clear();
            }
        }),
        case("measure", true, "bulge: choices: none, felt, now none, felt, seen", |step| {
            if let MeasureKind::Choice { choices, .. } = kind_of(step, "bulge") {
                choices.push("seen".to_string());
            }
        }),
        case("measure", true, "table: judged by the weighing computation instead of tap", |step| {
            *kind_of(step, "table") = MeasureKind::Table { compute: "weighing".to_string() };
        }),
        case("measure", true, "due: limit of the date changed: not before today", |step| {
            *kind_of(step, "due") = MeasureKind::Date { not_before_today: true, not_before: None };
        }),
        case("measure", true, "due: another kind of measurement", |step| {
            *kind_of(step, "due") = MeasureKind::Text
        }),
        case("measure", true, "flex: limit tightened from load at most 147 N to load at most 98 N", |step| {
            set_series(step, |demand| demand.max_load = number("98"));
        }),
        case(
            "measure",
            true,
            "flex: limit tightened from stiffness at least 30 N/mm to stiffness at least 35 N/mm",
            |step| {
                set_series(step, |demand| demand.min_stiffness = Some(number("35")));
            },
        ),
        case(
            "measure",
            true,
            "flex: limit loosened from directions apart at most 10 % to directions apart at most 12 %",
            |step| {
                set_series(step, |demand| demand.max_side_difference_percent = Some(number("12")));
            },
        ),
        case("measure", true, "flex: load levels in each direction: 4, now 5", |step| {
            set_series(step, |demand| demand.min_levels = 5);
        }),
        case("measure", true, "flex: readings on the way back down no longer demanded", |step| {
            set_series(step, |demand| demand.unloading = false);
        }),
        case("measure", true, "flex: load that takes up the play: 20 N, now none", |step| {
            set_series(step, |demand| demand.take_up = None);
        }),
        case("measure", true, "Play: readings: 1, now 3", |step| step.measures[0].readings = 3),
        case("measure", true, "Play: the instrument need no longer be named", |step| {
            step.measures[0].instrument = false;
        }),
        case("measure", true, "Play: no longer demanded", |step| step.measures[0].demanded = false),
        case("measure", true, "Play: decision rule at the limit: conformance-95, now expanded-2", |step| {
            step.measures[0].guard = Guard::Expanded2;
        }),
        case("measure", false, "Play: source of the limit: invented, now none", |step| {
            step.measures[0].limit_source = None;
        }),
        case("measure", false, "measurement \"Play\" is now called \"Play at the pin\"", |step| {
            step.measures[0].title = "Play at the pin".to_string();
        }),
        case("measure", true, "new measurement \"wear\"", |step| {
            step.measures.push(measure("wear", MeasureKind::Text));
        }),
        case("measure", true, "measurement gone: \"bulge\", good: none", |step| {
            step.measures.retain(|measure| measure.id != "bulge");
        }),
    ]
}

#[test]
fn each_change_of_a_step_is_told_in_words_and_reopens_or_not() {
    for case in step_cases().into_iter().chain(measure_cases()) {
        let before = base();
        let mut after = base();
        (case.make)(step_of(&mut after));
        let difference = compare_plans(&before, &after);
        let [StepChange { id, what, reopens, .. }] = &difference.changed[..] else {
            panic!("\"{}\": {difference:?}", case.words)
        };
        let [FieldChange { field, words, .. }] = &what[..] else { panic!("\"{}\": {what:?}", case.words) };
        assert_eq!(
            (id.as_str(), *field, words.as_str(), *reopens),
            (STEP, case.field, case.words, case.reopens)
        );
        assert!(!difference.is_empty());
    }
}

#[test]
fn turned_round_the_strict_demand_reopens() {
    let cases: [(Make, &str); 3] = [
        (|step| step.mandatory = false, "now mandatory"),
        (|step| step.may_be_not_applicable = true, "may no longer be answered as not applicable"),
        (|step| step.caution = None, "new caution: Nobody under the wing."),
    ];
    for (make, words) in cases {
        let mut before = base();
        make(step_of(&mut before));
        let difference = compare_plans(&before, &base());
        assert_eq!(difference.changed[0].what[0].words, words);
        assert!(difference.changed[0].reopens, "{words}");
        assert_eq!(difference.reopened().collect::<Vec<_>>(), [STEP]);
    }
}

#[test]
fn where_a_step_stands_in_its_file_is_no_change_of_it() {
    let mut after = base();
    for planned in &mut after.steps {
        planned.origin.line += 40;
        planned.origin.version = "1.1.0".to_string();
    }
    assert!(compare_plans(&base(), &after).is_empty());
}

#[test]
fn editions_reports_and_sections_are_told() {
    let mut after = base();
    after.editions[0].version = "1.1.0".to_string();
    after.editions[1].sha256 = "0".repeat(64);
    after.reports[0].id = "r9".to_string();
    after.sections[0].title = "Fuselage".to_string();
    if let Some(of_type) = &mut after.of_type {
        of_type.fin_side_load_ceiling = Some(quantity("120 N"));
    }
    let difference = compare_plans(&base(), &after);
    let words: Vec<String> = difference.editions.iter().map(|edition| edition.words()).collect();
    assert_eq!(words, ["small: 1.0.0, now 1.1.0", "ostrel-supplement: 1.0.0 in both, but the files differ"]);
    assert_eq!(difference.reports_added, ["r9"]);
    assert_eq!(difference.reports_gone, ["r1"]);
    assert_eq!(difference.sections[0].to.as_deref(), Some("Fuselage"));
    assert_eq!(difference.type_data, ["ceiling of a hand load on the fin top: 150 N, now 120 N"]);
}

#[test]
fn a_plan_read_back_from_its_bytes_is_the_same_plan() {
    let plan = base();
    let again = Plan::from_bytes(&plan.to_bytes().expect("bytes")).expect("a plan");
    assert!(compare_plans(&plan, &again).is_empty());
}

/// The base plan with some steps left out, some changed, in some order.
fn any_plan() -> impl Strategy<Value = Plan> {
    let cases = step_cases().len() + measure_cases().len();
    let steps = base().steps.len();
    (
        proptest::collection::vec(any::<bool>(), steps),
        proptest::collection::vec(0..cases, 0..4),
        Just((0..steps).collect::<Vec<_>>()).prop_shuffle(),
    )
        .prop_map(|(kept, changes, order)| {
            let mut plan = base();
            let all: Vec<Case> = step_cases().into_iter().chain(measure_cases()).collect();
            for change in changes {
                // A change that needs what an earlier one took away is left out.
                if all[change].fits(step_of(&mut plan)) {
                    (all[change].make)(step_of(&mut plan));
                }
            }
            let steps = order.into_iter().filter(|at| kept[*at]).map(|at| plan.steps[at].clone()).collect();
            Plan { steps, ..plan }
        })
}

fn sorted(mut ids: Vec<String>) -> Vec<String> {
    ids.sort();
    ids
}

fn changed(difference: &PlanDifference) -> Vec<String> {
    sorted(difference.changed.iter().map(|change| change.id.clone()).collect())
}

proptest! {
    #[test]
    fn a_plan_does_not_differ_from_itself(plan in any_plan()) {
        prop_assert!(compare_plans(&plan, &plan).is_empty());
    }

    #[test]
    fn turned_round_new_and_gone_change_places(a in any_plan(), b in any_plan()) {
        let (there, back) = (compare_plans(&a, &b), compare_plans(&b, &a));
        prop_assert_eq!(sorted(there.added.clone()), sorted(back.gone.clone()));
        prop_assert_eq!(sorted(there.gone.clone()), sorted(back.added.clone()));
        prop_assert_eq!(changed(&there), changed(&back));
        prop_assert_eq!(there.reordered, back.reordered);
    }

    #[test]
    fn a_step_is_changed_exactly_when_it_differs(a in any_plan(), b in any_plan()) {
        let differ = a.steps.iter().filter(|was| b.step(&was.step.id).is_some_and(|is| is.step != was.step));
        let differ = sorted(differ.map(|planned| planned.step.id.clone()).collect());
        prop_assert_eq!(changed(&compare_plans(&a, &b)), differ);
    }
}
