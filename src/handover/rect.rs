//! Rectangles in the side view of a component: stations along, heights up. Exact decimals.

use serde::Serialize;

use crate::quantity::{LengthRange, Number};

/// Station and height ranges, mm from the type's datums. The edges belong to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Rect {
    pub station: LengthRange,
    pub height: LengthRange,
}

impl Rect {
    /// Room between two rectangles along the axis that parts them best, mm: 0 where they touch; where they overlap
    /// negative by the least shift along one axis that would part them.
    ///
    /// Over a corner this is less than the straight distance: who keeps a margin by it is on the safe side.
    pub fn gap_mm(&self, other: &Rect) -> Number {
        self.station.gap_mm(&other.station).max(self.height.gap_mm(&other.height))
    }

    /// Larger by `by_mm` on all four sides; `by_mm` is not negative.
    pub fn grown(&self, by_mm: Number) -> Rect {
        Rect { station: self.station.grown(by_mm), height: self.height.grown(by_mm) }
    }

    /// What of it lies outside of all `others`, in rectangles that do not overlap; empty where they cover it.
    pub fn outside(&self, others: &[Rect]) -> Vec<Rect> {
        others
            .iter()
            .fold(vec![*self], |rest, other| rest.iter().flat_map(|piece| piece.without(other)).collect())
    }

    /// At most four pieces: before and behind the other over the whole height, below and above it between.
    fn without(&self, other: &Rect) -> Vec<Rect> {
        if self.gap_mm(other) >= Number::from(0) {
            return vec![*self];
        }
        let (station, inner) = (self.station, overlap(&self.station, &other.station));
        let piece =
            |from, to, height| LengthRange::new(from, to).ok().map(|station| Rect { station, height });
        let mut pieces = vec![
            piece(station.from_mm(), inner.0, self.height),
            piece(inner.1, station.to_mm(), self.height),
        ];
        let height = overlap(&self.height, &other.height);
        for (from, to) in [(self.height.from_mm(), height.0), (height.1, self.height.to_mm())] {
            if let Ok(height) = LengthRange::new(from, to) {
                pieces.push(piece(inner.0, inner.1, height));
            }
        }
        pieces.into_iter().flatten().collect()
    }
}

/// Ends of what two overlapping ranges share, mm.
fn overlap(one: &LengthRange, other: &LengthRange) -> (Number, Number) {
    (one.from_mm().max(other.from_mm()), one.to_mm().min(other.to_mm()))
}
