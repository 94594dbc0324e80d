//! The conditions of a step can hold together for some airframe.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Condition;
use crate::diagnostic::{Diagnostic, Weight};
use crate::quantity::Number;

pub const RULE: Rule = Rule {
    code: "condition-never",
    weight: Weight::Error,
    doc: mark!("The conditions of a step can hold together for some airframe."),
    why: mark!("A step that is never in a plan is never worked, and nobody notices."),
    bad: r#"when = [ { equipment = "oxygen" }, { without_equipment = "oxygen" } ]
"#,
    good: r#"when = [ { equipment = "oxygen" }, { without_equipment = "battery" } ]
"#,
    found_by: FoundBy::Bench(find),
};

/// No airframe reaches these: common practice, no source. The highest lives that types state lie far below.
const MOST_HOURS: i64 = 100_000;
const MOST_LAUNCHES: u32 = 1_000_000;

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps().filter(|step| !step.value.when.is_empty()) {
        let message = if !can_hold(&step.value.when) {
            say!("no airframe meets all conditions of \"{}\"", step.value.id)
        } else if step.value.when.iter().any(is_out_of_reach) {
            say!("no airframe gets so old as \"{}\" asks for", step.value.id)
        } else {
            continue;
        };
        found.push(
            subject.fault(RULE.code, subject.at(step, "when"), message).hint(say!(
                "all rows must hold at once; where one is enough, write { any = [ { … }, { … } ] }"
            )),
        );
    }
}

fn is_out_of_reach(condition: &Condition) -> bool {
    match condition {
        Condition::HoursAtLeast(hours) => *hours > Number::from(MOST_HOURS),
        Condition::LaunchesAtLeast(launches) => *launches > MOST_LAUNCHES,
        _ => false,
    }
}

/// Whether some airframe meets all rows. Alternatives inside alternatives are tried one by one, up to a bound above
/// which the answer is yes.
pub(super) fn can_hold(rows: &[Condition]) -> bool {
    let mut budget = 4_096;
    try_all(rows.iter().collect(), Vec::new(), &mut budget)
}

fn try_all<'c>(mut open: Vec<&'c Condition>, mut taken: Vec<&'c Condition>, budget: &mut u32) -> bool {
    while let Some(row) = open.pop() {
        if *budget == 0 {
            return true;
        }
        *budget -= 1;
        if let Condition::Any(branches) = row {
            // An empty list of alternatives was told by the reader.
            return branches.is_empty()
                || branches.iter().any(|branch| {
                    let mut rest = open.clone();
                    rest.push(branch);
                    try_all(rest, taken.clone(), budget)
                });
        }
        if taken.iter().any(|other| excludes(row, other)) {
            return false;
        }
        taken.push(row);
    }
    true
}

fn excludes(one: &Condition, other: &Condition) -> bool {
    match (one, other) {
        (Condition::Equipment(a), Condition::WithoutEquipment(b))
        | (Condition::WithoutEquipment(a), Condition::Equipment(b))
        | (Condition::BuildStandard(a), Condition::WithoutBuildStandard(b))
        | (Condition::WithoutBuildStandard(a), Condition::BuildStandard(b)) => a == b,
        _ => false,
    }
}
