//! Dependencies between steps: every one exists, and none of them runs in a circle.

use std::collections::BTreeMap;

use super::compose::Draft;
use crate::diagnostic::{Diagnostic, suggest};

/// Faults of `after` and `follow`: steps that nobody wrote, and circles.
///
/// A dependency on a step that was withdrawn, or that its condition left out, is dropped by the caller and
/// is no fault: the checklist knew it.
pub(super) fn check(drafts: &[Draft], known: &[String]) -> Vec<Diagnostic> {
    let mut faults = Vec::new();
    let exists = |id: &str| known.iter().any(|known| known == id);
    for draft in drafts {
        let follow = draft.step.on_failure.iter().flat_map(|failure| &failure.follow);
        for reference in draft.step.after.iter().chain(follow).filter(|reference| !exists(&reference.value)) {
            faults.push(
                Diagnostic::new(
                    "unknown-step",
                    draft.place_of(reference.span.clone()),
                    say!(
                        "\"{}\" names the step \"{}\", which does not exist",
                        draft.step.id,
                        reference.value
                    ),
                )
                .maybe_hint(suggest(&reference.value, known.iter().map(String::as_str))),
            );
        }
    }
    faults.extend(before_the_last(drafts));
    faults.extend(circle(drafts));
    faults
}

/// Steps that wait for one that comes after every other step.
fn before_the_last(drafts: &[Draft]) -> Vec<Diagnostic> {
    let is_last = |id: &str| drafts.iter().any(|draft| draft.step.last && draft.step.id == id);
    let mut faults = Vec::new();
    for draft in drafts.iter().filter(|draft| !draft.step.last) {
        for reference in draft.step.after.iter().filter(|reference| is_last(&reference.value)) {
            faults.push(
                Diagnostic::new(
                    "after-the-last",
                    draft.place_of(reference.span.clone()),
                    say!(
                        "\"{}\" waits for \"{}\", which comes after every other step (last = true)",
                        draft.step.id,
                        reference.value
                    ),
                )
                .hint(say!("give this step last = true, too, or take the other out of \"after\"")),
            );
        }
    }
    faults
}

/// The first circle found, told step by step.
fn circle(drafts: &[Draft]) -> Option<Diagnostic> {
    let index: BTreeMap<&str, usize> =
        drafts.iter().enumerate().map(|(index, draft)| (draft.step.id.as_str(), index)).collect();
    let mut done = vec![false; drafts.len()];
    for start in 0..drafts.len() {
        let mut path: Vec<(usize, usize)> = Vec::new();
        if !done[start] {
            path.push((start, 0));
        }
        while let Some((node, next)) = path.last().copied() {
            let Some(reference) = drafts[node].step.after.get(next) else {
                done[node] = true;
                path.pop();
                continue;
            };
            if let Some(last) = path.last_mut() {
                last.1 += 1;
            }
            let Some(&target) = index.get(reference.value.as_str()) else { continue };
            if let Some(from) = path.iter().position(|(visited, _)| *visited == target) {
                return Some(tell(drafts, &path[from..], node, next));
            }
            if !done[target] {
                path.push((target, 0));
            }
        }
    }
    None
}

fn tell(drafts: &[Draft], path: &[(usize, usize)], closing: usize, reference: usize) -> Diagnostic {
    let mut names: Vec<&str> = path.iter().map(|(node, _)| drafts[*node].step.id.as_str()).collect();
    names.push(names[0]);
    let draft = &drafts[closing];
    let mut diagnostic = Diagnostic::new(
        "circular-dependency",
        draft.place_of(draft.step.after[reference].span.clone()),
        say!("these steps wait for each other in a circle: {}", names.join(say!(" after "))),
    )
    .label(say!("closes the circle"))
    .hint(say!("take one of these out of \"after\""));
    for (node, next) in path.iter().filter(|(node, _)| *node != closing) {
        let draft = &drafts[*node];
        if let Some(reference) = next.checked_sub(1).and_then(|taken| draft.step.after.get(taken)) {
            let label = say!("{} waits for {}", draft.step.id, reference.value);
            diagnostic = diagnostic.related(draft.place_of(reference.span.clone()), label);
        }
    }
    diagnostic
}
