//! The version makes at least the step that the changes against the edition before it demand.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::diagnostic::{Diagnostic, Weight};
use crate::edition::{VersionStep, compare_editions};

pub const RULE: Rule = Rule {
    code: "version-step-small",
    weight: Weight::Error,
    doc: mark!(
        "The version makes at least the step that the changes against the edition before it demand: major where \
          something is no longer made sure of, minor where more is asked for, patch for words. It is told \
          when the file has no other error."
    ),
    why: mark!(
        "People tell by the version whether they must read an edition anew, and ranges in requires rest on it."
    ),
    bad: r#"# file: example-module/1.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw", "tail-noise"]

# file: example-module/1.0.1.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.1"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    good: r#"# file: example-module/1.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw", "tail-noise"]

# file: example-module/2.0.0.toml
format = 1
kind = "module"
id = "example-module"
version = "2.0.0"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let own = subject.checklist;
    // What cannot be read cannot be compared.
    if own.version.span.is_empty() || !subject.reading.faults.is_empty() {
        return;
    }
    let is_earlier = |edition: &&crate::bench::world::Edition<'_>| {
        *edition.version() < own.version.value && edition.reading.faults.is_empty()
    };
    let Some(previous) = subject.world.editions_of(&own.id.value).rfind(is_earlier) else { return };
    let Some(demanded) = compare_editions(previous.checklist, own).demands() else { return };
    let Some(made) = VersionStep::between(previous.version(), &own.version.value) else { return };
    if made < demanded {
        let (from, to) = (previous.version(), &own.version.value);
        let message = say!(
            "{from} to {to} is a {made} step, and what was changed demands a {demanded} one",
            from = from,
            to = to,
            made = made,
            demanded = demanded
        );
        let hint =
            say!("give it {} or later; spanwise edition compare tells the changes", demanded.after(from));
        found.push(subject.fault(RULE.code, own.version.span.clone(), message).hint(hint));
    }
}
