//! What stands below the picture: every mark in words, and what the signs mean.

use super::place::{At, Placed};
use super::shape::AirframeShape;
use super::views::View;
use crate::plot::Role;
use crate::words::figure;

/// One line for each mark, then the signs. `shared` are signs of marks that fell upon each other.
pub(super) fn legend(
    shape: &AirframeShape,
    placed: &[Placed],
    shared: &[Vec<String>],
    views: &[View],
    is_wing_short: bool,
    ascii: bool,
) -> Vec<String> {
    let mut lines: Vec<String> = placed.iter().map(mark_line).collect();
    lines.extend(shared.iter().map(|ids| say!("+ at one place: {ids}", ids = ids.join(", "))));
    if placed.iter().any(|mark| mark.at == At::Whole) {
        let (unicode, plain) = Role::Masked.signs();
        lines.push(say!("{sign} somewhere on this component", sign = if ascii { plain } else { unicode }));
    }
    if views.contains(&View::Side) && placed.iter().any(|mark| mark.sides.letter().is_some()) {
        lines.push(say!("L, R, B beside a mark: left, right, both sides").to_string());
    }
    if !shape.is_to_scale {
        lines.push(
            say!("not to scale: the type file has no outline; marked by component, not by station")
                .to_string(),
        );
    } else if is_wing_short && views.contains(&View::Top) {
        lines
            .push(say!("wings drawn shorter than they are: half span {mm} mm", mm = figure(shape.semi_span)));
    }
    lines
}

fn mark_line(mark: &Placed) -> String {
    let notes: String = mark.notes.iter().map(|note| format!("; {note}")).collect();
    format!("{} {}: {}{notes}", mark.sign, mark.id, mark.words)
}
