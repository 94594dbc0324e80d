//! The ids of a module's steps begin with the module's id.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Kind;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "module-step-prefix",
    weight: Weight::Advice,
    doc: mark!("The ids of a module's steps begin with the module's id."),
    why: mark!(
        "Many modules can be selected for one annual; the prefix keeps their steps apart and tells where a step \
          comes from."
    ),
    bad: r#"id = "another.skin"
"#,
    good: r#"id = "example-module.skin"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let own = subject.checklist;
    if !matches!(own.kind, Kind::Module(_)) || own.id.value.is_empty() {
        return;
    }
    for step in subject.steps() {
        let rest = step.value.id.strip_prefix(own.id.value.as_str());
        if step.value.id.is_empty() || rest.is_some_and(|rest| rest.starts_with('.')) {
            continue;
        }
        let message = say!("\"{}\" does not begin with \"{}.\"", step.value.id, own.id.value);
        found.push(subject.fault(RULE.code, step.span.clone(), message).advice().hint(say!(
            "call it {}.{}",
            own.id.value,
            step.value.id.rsplit('.').next().unwrap_or_default()
        )));
    }
}
