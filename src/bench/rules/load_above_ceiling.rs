//! No load-deflection series of a supplement asks for more than its type allows on the fin top, neither in a step
//! of its own nor in a tightening.

use std::cmp::Ordering;

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::{Kind, MeasureKind};
use crate::diagnostic::{Diagnostic, Weight};
use crate::quantity::Quantity;
use crate::words::figure;

pub const RULE: Rule = Rule {
    code: "load-above-ceiling",
    weight: Weight::Error,
    doc: mark!(
        "No load-deflection series of a supplement asks for more than its type allows on the fin top, neither \
          in a step of its own nor in a tightening."
    ),
    why: mark!(
        "The program refuses a load above the type's ceiling; a push test beyond it can damage a sound \
          structure."
    ),
    bad: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
fin_side_load_ceiling = "120 N"

[[section]]
id = "example"
title = "Example"

[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "15"
"#,
    good: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
fin_side_load_ceiling = "120 N"

[[section]]
id = "example"
title = "Example"

[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "12"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let Kind::Supplement(own) = &subject.checklist.kind else { return };
    let Some(ceiling) = own.of_type.fin_side_load_ceiling else { return };
    let is_above = |load: &Quantity| load.compare(&ceiling) == Ok(Ordering::Greater);
    let tell = |load: &Quantity, span| {
        subject
            .fault(
                RULE.code,
                span,
                say!(
                    "{load} is above the type's ceiling of {ceiling}",
                    load = figure(load),
                    ceiling = figure(ceiling)
                ),
            )
            .hint(say!("lower it; the type's manual governs"))
    };
    for step in subject.steps() {
        for measure in &step.value.measures {
            let MeasureKind::LoadDeflection(series) = &measure.kind else { continue };
            let load = Quantity::new(series.max_load, series.load_unit);
            if is_above(&load) {
                found.push(tell(&load, subject.of_measure(step, measure, "max_load")));
            }
        }
    }
    for tightening in &own.tighten {
        let (Some(load), Some(id)) = (tightening.value.max_load, &tightening.value.measure) else { continue };
        let measure = subject.world.holders(&tightening.value.step.value).find_map(|edition| {
            edition.step(&tightening.value.step.value).and_then(|step| step.value.measure(&id.value))
        });
        let Some(MeasureKind::LoadDeflection(series)) = measure.map(|measure| &measure.kind) else {
            continue;
        };
        let load = Quantity::new(load, series.load_unit);
        if is_above(&load) {
            found.push(tell(&load, subject.of_tightening(tightening, "max_load")));
        }
    }
}
