//! Every checklist that is required is at hand in a fitting edition.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight, suggest};

pub const RULE: Rule = Rule {
    code: "version-not-satisfied",
    weight: Weight::Error,
    doc: mark!("Every checklist that is required is at hand in a fitting edition."),
    why: mark!("No plan could be composed with it."),
    bad: r#"[requires]
composite-sailplane = "^9.0"
"#,
    good: r#"[requires]
composite-sailplane = "^1.0"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    for requirement in &subject.checklist.requires {
        let id = &requirement.id.value;
        let versions: Vec<String> =
            subject.world.editions_of(id).map(|edition| edition.version().to_string()).collect();
        let fits = |edition: &crate::bench::world::Edition<'_>| requirement.range.matches(edition.version());
        if subject.world.editions_of(id).any(fits) {
            continue;
        }
        let message = say!(
            "\"{}\" requires {id} {}, which is not in the library",
            subject.checklist.id.value,
            requirement.range,
            id = id
        );
        let fault = subject.fault(RULE.code, requirement.id.span.clone(), message);
        found.push(match versions.is_empty() {
            true => fault.maybe_hint(suggest(id, subject.world.ids())),
            false => fault
                .hint(say!("at hand: {}; install a fitting edition or widen the range", versions.join(", "))),
        });
    }
}
