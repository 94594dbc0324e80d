//! Cutting at the edge of the field: nothing of a plot may lie outside of it.

use super::Point;

/// Left, top, right, bottom.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field(pub f32, pub f32, pub f32, pub f32);

impl Field {
    pub(super) fn holds(&self, (x, y): Point) -> bool {
        x >= self.0 - 0.01 && x <= self.2 + 0.01 && y >= self.1 - 0.01 && y <= self.3 + 0.01
    }

    /// The part of a line that lies inside (Liang–Barsky).
    pub(super) fn line(&self, from: Point, to: Point) -> Option<(Point, Point)> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        if !(dx.is_finite() && dy.is_finite()) {
            return None;
        }
        let (mut start, mut end) = (0.0_f32, 1.0_f32);
        for (p, q) in
            [(-dx, from.0 - self.0), (dx, self.2 - from.0), (-dy, from.1 - self.1), (dy, self.3 - from.1)]
        {
            if p == 0.0 {
                if q < 0.0 {
                    return None;
                }
            } else if p < 0.0 {
                start = start.max(q / p);
            } else {
                end = end.min(q / p);
            }
        }
        let at = |share: f32| (from.0 + share * dx, from.1 + share * dy);
        (start <= end).then(|| (at(start), at(end)))
    }

    /// The part of an area that lies inside (Sutherland–Hodgman).
    pub(super) fn area(&self, corners: &[Point]) -> Vec<Point> {
        if corners.iter().any(|(x, y)| !(x.is_finite() && y.is_finite())) {
            return Vec::new();
        }
        let edges: [(bool, f32, f32); 4] =
            [(true, self.0, 1.0), (true, self.2, -1.0), (false, self.1, 1.0), (false, self.3, -1.0)];
        let mut kept = corners.to_vec();
        for (is_x, edge, sign) in edges {
            let depth = |point: &Point| sign * (if is_x { point.0 } else { point.1 } - edge);
            let mut next = Vec::with_capacity(kept.len() + 4);
            for (index, point) in kept.iter().enumerate() {
                let before = &kept[(index + kept.len() - 1) % kept.len()];
                let (here, there) = (depth(point), depth(before));
                if (here >= 0.0) != (there >= 0.0) {
                    let share = there / (there - here);
                    next.push((
                        before.0 + share * (point.0 - before.0),
                        before.1 + share * (point.1 - before.1),
                    ));
                }
                if here >= 0.0 {
                    next.push(*point);
                }
            }
            kept = next;
        }
        kept
    }
}
