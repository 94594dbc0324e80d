//! A supplement or module requires a programme.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Kind;
use crate::diagnostic::{Diagnostic, Weight};

pub const RULE: Rule = Rule {
    code: "programme-not-required",
    weight: Weight::Error,
    doc: mark!("A supplement or module requires a programme."),
    why: mark!(
        "It builds on the programme's steps and sections; a later programme could move them away unnoticed."
    ),
    bad: r#"[requires]
fin-root = "^1.0"
"#,
    good: r#"[requires]
composite-sailplane = "^1.0"
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let own = subject.checklist;
    if matches!(own.kind, Kind::Programme) || subject.reading.has_broken_syntax() {
        return;
    }
    let is_programme = |id: &str| {
        let mut editions = subject.world.editions_of(id);
        // One that is not at hand may be a programme; that it is missing is told as such.
        editions.next().is_none_or(|edition| edition.is_programme())
    };
    if own.requires.iter().any(|requirement| is_programme(&requirement.id.value)) {
        return;
    }
    if own.requires.is_empty() && subject.reading.faults.iter().any(|fault| fault.code == "version-form") {
        return;
    }
    let message = say!("\"{}\" does not say which programme it builds on", own.id.value);
    found.push(
        subject
            .fault(RULE.code, subject.of_head("requires"), message)
            .hint(say!("add to [requires]: composite-sailplane = \"^1.0\"")),
    );
}
