//! A condition can fail for some airframe.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Condition;
use crate::diagnostic::{Diagnostic, Weight};
use crate::quantity::Number;

pub const RULE: Rule = Rule {
    code: "condition-always",
    weight: Weight::Advice,
    doc: mark!("A condition can fail for some airframe."),
    why: mark!("A condition that always holds looks like a choice and is none."),
    bad: r#"when = [ { launches_at_least = 0 } ]
"#,
    good: r#"when = [ { launches_at_least = 500 } ]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for (index, row) in step.value.when.iter().enumerate().filter(|(_, row)| always_holds(row)) {
            let message = match row {
                Condition::Any(_) => say!("one of these always holds"),
                _ => say!("this holds for every airframe"),
            };
            found.push(
                subject
                    .fault(RULE.code, subject.item(step, "when", index), message)
                    .advice()
                    .hint(say!("take the row out, or correct it")),
            );
        }
    }
}

fn always_holds(row: &Condition) -> bool {
    match row {
        Condition::HoursAtLeast(hours) => *hours <= Number::from(0),
        Condition::LaunchesAtLeast(launches) => *launches == 0,
        Condition::Any(rows) => {
            rows.iter().any(always_holds)
                || rows.iter().any(|row| match row {
                    Condition::Equipment(id) => rows.contains(&Condition::WithoutEquipment(id.clone())),
                    Condition::BuildStandard(id) => {
                        rows.contains(&Condition::WithoutBuildStandard(id.clone()))
                    }
                    _ => false,
                })
        }
        _ => false,
    }
}
