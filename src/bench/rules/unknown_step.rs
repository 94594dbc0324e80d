//! A step that is named (after, follow, tighten, withdraw) exists among what takes part in the same plan: the
//! checklist itself, its programme, for a supplement the others of its type.

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Kind;
use crate::diagnostic::{Diagnostic, Weight, nearest};
use crate::source::Located;

pub const RULE: Rule = Rule {
    code: "unknown-step",
    weight: Weight::Error,
    doc: mark!(
        "A step that is named (after, follow, tighten, withdraw) exists among what takes part in the same plan: \
          the checklist itself, its programme, for a supplement the others of its type."
    ),
    why: mark!(
        "No plan could be composed. A module may be selected alone, so it cannot rely on the steps of another \
          module."
    ),
    bad: r#"after = ["wing.pins-pley"]
"#,
    good: r#"after = ["wing.pins-play"]
"#,
    found_by: FoundBy::Bench(find),
};

fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let own = subject.checklist;
    for step in subject.steps() {
        let follow = step.value.on_failure.iter().flat_map(|failure| &failure.follow);
        for reference in step.value.after.iter().chain(follow) {
            dangling(subject, reference, Some(&step.value.id), found);
        }
    }
    if let Kind::Supplement(content) = &own.kind {
        for tightening in &content.tighten {
            dangling(subject, &tightening.value.step, None, found);
        }
        for withdrawal in &content.withdraw {
            dangling(subject, &withdrawal.value.step, None, found);
        }
    }
}

fn dangling(
    subject: &Subject<'_>,
    reference: &Located<String>,
    who: Option<&str>,
    found: &mut Vec<Diagnostic>,
) {
    let id = &reference.value;
    if id.is_empty() || subject.reach(id).is_some() || subject.is_written("step", id) {
        return;
    }
    let near = nearest(id, subject.reachable_ids());
    if near.is_none() && subject.has_nameless("step") {
        return;
    }
    let message = match who {
        Some(who) => say!("\"{who}\" names the step \"{id}\", which does not exist", who = who, id = id),
        None => say!("this names the step \"{id}\", which does not exist", id = id),
    };
    let elsewhere = subject
        .world
        .holders(id)
        .next()
        .map(|edition| say!("\"{}\" has it, which need not take part in the same plan", edition.id()));
    let hint = near.map(|near| say!("did you mean \"{near}\"?", near = near)).or(elsewhere);
    found.push(
        subject
            .fault(RULE.code, reference.span.clone(), message)
            .hint(hint.unwrap_or_else(|| say!("write the step, or take the name out").to_string())),
    );
}
