//! The steps can be worked in some order: none waits for itself, directly or round a circle.

use std::collections::HashMap;

use crate::bench::rule::{FoundBy, Rule};
use crate::bench::subject::Subject;
use crate::checklist::Step;
use crate::diagnostic::{Diagnostic, Weight};
use crate::source::Located;

pub const RULE: Rule = Rule {
    code: "circular-dependency",
    weight: Weight::Error,
    doc: mark!("The steps can be worked in some order: none waits for itself, directly or round a circle."),
    why: mark!("Every one of them would wait for another for ever."),
    bad: r#"id = "example-module.one"
after = ["example-module.two"]

[[step]]
id = "example-module.two"
after = ["example-module.one"]
"#,
    good: r#"id = "example-module.one"

[[step]]
id = "example-module.two"
after = ["example-module.one"]
"#,
    found_by: FoundBy::Bench(find),
};

/// Every circle once, told where it closes. A circle of one is told by the reader.
fn find(subject: &Subject<'_>, found: &mut Vec<Diagnostic>) {
    let steps = &subject.checklist.steps;
    if steps.iter().all(|step| step.value.after.is_empty()) {
        return;
    }
    let index: HashMap<&str, usize> =
        steps.iter().enumerate().map(|(index, step)| (step.value.id.as_str(), index)).collect();
    let mut is_done = vec![false; steps.len()];
    for start in 0..steps.len() {
        let mut path: Vec<(usize, usize)> = if is_done[start] { Vec::new() } else { vec![(start, 0)] };
        let mut place_in_path: HashMap<usize, usize> = path.iter().map(|(node, _)| (*node, 0)).collect();
        while let Some((node, next)) = path.last().copied() {
            let Some(reference) = steps[node].value.after.get(next) else {
                is_done[node] = true;
                place_in_path.remove(&node);
                path.pop();
                continue;
            };
            if let Some(last) = path.last_mut() {
                last.1 += 1;
            }
            let Some(&target) = index.get(reference.value.as_str()) else { continue };
            match place_in_path.get(&target) {
                Some(&from) if target != node => found.push(tell(subject, steps, &path[from..], reference)),
                Some(_) => {}
                None if !is_done[target] => {
                    place_in_path.insert(target, path.len());
                    path.push((target, 0));
                }
                None => {}
            }
        }
    }
}

fn tell(
    subject: &Subject<'_>,
    steps: &[Located<Step>],
    circle: &[(usize, usize)],
    closing: &Located<String>,
) -> Diagnostic {
    let mut names: Vec<&str> = circle.iter().map(|(node, _)| steps[*node].value.id.as_str()).collect();
    names.push(names[0]);
    let message = say!(
        "these steps wait for each other in a circle: {}",
        names.join(say!("in a circle of steps" => " after "))
    );
    let mut fault = subject
        .fault(RULE.code, closing.span.clone(), message)
        .label(say!("closes the circle"))
        .hint(say!("take one of these out of \"after\""));
    for (node, next) in &circle[..circle.len() - 1] {
        let step = &steps[*node].value;
        if let Some(reference) = next.checked_sub(1).and_then(|taken| step.after.get(taken)) {
            let label = say!("{} waits for {}", step.id, reference.value);
            fault = fault.related(subject.place(reference.span.clone()), label);
        }
    }
    fault
}
