//! A load-deflection series of a module or programme stays below the ceiling of every type of the library, or that
//! type's supplement lowers it.

use std::cmp::Ordering;

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Kind, MeasureKind};
use crate::diagnostic::{Diagnostic, Weight};
use crate::quantity::Quantity;
use crate::words::figure;

pub const RULE: Rule = Rule {
    code: "load-above-some-type",
    weight: Weight::Advice,
    doc: mark!(
        "A load-deflection series of a module or programme stays below the ceiling of every type of the \
          library, or that type's supplement lowers it."
    ),
    why: mark!(
        "The program refuses the higher loads for that type, so the series cannot be worked as the step says. \
          The inspector should read it, not find it out."
    ),
    bad: r#"[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "40"
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
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    if matches!(subject.checklist.kind, Kind::Supplement(_)) {
        return;
    }
    for step in subject.steps() {
        for measure in &step.value.measures {
            let MeasureKind::LoadDeflection(series) = &measure.kind else { continue };
            let mut above: Vec<String> = Vec::new();
            for (_, of) in subject.world.supplements() {
                let lowered = of.tighten.iter().map(|tightening| &tightening.value).find_map(|change| {
                    let is_this = change.step.value == step.value.id
                        && change.measure.as_ref().is_some_and(|id| id.value == measure.id);
                    change.max_load.filter(|_| is_this)
                });
                let load = Quantity::new(lowered.unwrap_or(series.max_load), series.load_unit);
                let Some(ceiling) = of.of_type.fin_side_load_ceiling else { continue };
                if load.compare(&ceiling) == Ok(Ordering::Greater) {
                    above.push(format!("{} ({})", of.of_type.id, figure(ceiling)));
                }
            }
            above.sort();
            above.dedup();
            if !above.is_empty() {
                let load = Quantity::new(series.max_load, series.load_unit);
                let message = say!(
                    "{load} is above what is allowed on the fin top of {}",
                    above.join(", "),
                    load = figure(load)
                );
                found.push(
                    subject
                        .fault(RULE.code, subject.of_measure(step, measure, "max_load"), message)
                        .advice()
                        .hint(say!("the type's own ceiling goes first: a higher reading is refused; lower it here where the step's words name the figure")),
                );
            }
        }
    }
}
