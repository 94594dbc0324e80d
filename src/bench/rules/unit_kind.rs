//! A load has a unit of force, a deflection a unit of length.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::MeasureKind;
use crate::diagnostic::{Diagnostic, Weight};
use crate::quantity::Dimension;
use crate::words::said;

pub const RULE: Rule = Rule {
    code: "unit-kind",
    weight: Weight::Error,
    doc: mark!("A load has a unit of force, a deflection a unit of length."),
    why: mark!("A stiffness could not be computed."),
    bad: r#"[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "mm"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "10"
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
    for step in subject.steps() {
        for measure in &step.value.measures {
            let MeasureKind::LoadDeflection(series) = &measure.kind else { continue };
            for (key, unit, wanted, hint) in [
                ("load_unit", series.load_unit, Dimension::Force, mark!("use N, daN, kgf or lbf")),
                ("deflection_unit", series.deflection_unit, Dimension::Length, mark!("use mm or in")),
            ] {
                if unit.dimension() != wanted {
                    let message = say!("{key} cannot be {}", unit.symbol(), key = key);
                    found.push(
                        subject
                            .fault(RULE.code, subject.of_measure(step, measure, key), message)
                            .hint(said(hint)),
                    );
                }
            }
        }
    }
}
