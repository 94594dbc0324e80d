//! A demanded measurement can be within its limits: differences, percentages and stiffnesses are not negative,
//! loads are above 0, play is taken up below the ceiling, not every choice is outside.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Measure, MeasureKind};
use crate::diagnostic::{Diagnostic, Weight};
use crate::quantity::Number;
use crate::words::figure;

pub const RULE: Rule = Rule {
    code: "limit-impossible",
    weight: Weight::Error,
    doc: mark!(
        "A demanded measurement can be within its limits: differences, percentages and stiffnesses are not \
          negative, loads are above 0, play is taken up below the ceiling, not every choice is outside."
    ),
    why: mark!(
        "A mandatory step with a limit that nothing can meet can never be passed, and a defect would be written \
          against a sound airframe."
    ),
    bad: r#"[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "10"
take_up = "12"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "10"
take_up = "1.5"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for measure in &step.value.measures {
            for (key, message, hint) in impossible(measure) {
                found.push(
                    subject.fault(RULE.code, subject.of_measure(step, measure, key), message).hint(hint),
                );
            }
        }
    }
}

type Told = (&'static str, String, &'static str);

fn impossible(measure: &Measure) -> Vec<Told> {
    let zero = Number::from(0);
    let negative = |key: &'static str, number: &Option<Number>| {
        let number = number.as_ref().filter(|number| **number < zero)?;
        Some((
            key,
            say!("{key} is negative: {number}", key = key, number = figure(number)),
            say!("give it without the sign"),
        ))
    };
    match &measure.kind {
        MeasureKind::Pair { max_difference, .. } => {
            negative("max_difference", max_difference).into_iter().collect()
        }
        MeasureKind::LoadDeflection(series) => {
            let mut told: Vec<Told> = Vec::new();
            told.extend(negative("min_stiffness", &series.min_stiffness));
            told.extend(negative("max_side_difference_percent", &series.max_side_difference_percent));
            told.extend(negative("take_up", &series.take_up));
            if series.max_load <= zero {
                let message = say!("a ceiling of {} allows no load at all", figure(series.max_load));
                told.push(("max_load", message, say!("give the highest load that may be put on")));
            } else if series.take_up.as_ref().is_some_and(|take_up| *take_up >= series.max_load) {
                let message = say!(
                    "no point would be fitted: play is taken up only at the ceiling of {}",
                    figure(series.max_load)
                );
                told.push(("take_up", message, say!("give a load well below max_load")));
            }
            told
        }
        _ => Vec::new(),
    }
}
