//! A measured number has room between its limits.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::MeasureKind;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "limit-point",
    weight: Weight::Advice,
    doc: mark!("A measured number has room between its limits."),
    why: mark!(
        "Where the instrument's uncertainty is taken into account, a single allowed value can never be shown to \
          be met."
    ),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
nominal = "2.5"
tolerance = "0"
limit_source = "type manual (invented)"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
nominal = "2.5"
tolerance = "0.2"
limit_source = "type manual (invented)"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for step in subject.steps() {
        for measure in &step.value.measures {
            let (MeasureKind::Number { limit: Some(limit), .. }
            | MeasureKind::Pair { limit: Some(limit), .. }) = &measure.kind
            else {
                continue;
            };
            if limit.min().is_some() && limit.min() == limit.max() {
                let given = subject.of_measure(step, measure, "tolerance");
                let is_tolerance = given != subject.of_measure(step, measure, "id");
                let key = if is_tolerance { "tolerance" } else { "max" };
                let message = say!("only one value of \"{}\" would be within the limit", measure.id);
                found.push(
                    subject.fault(RULE.code, subject.of_measure(step, measure, key), message).advice().hint(
                        say!(
                            "give a tolerance; where exactly one value is right, demand a count or a choice"
                        ),
                    ),
                );
            }
        }
    }
}
