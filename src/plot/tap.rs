//! A tap map as a grid: each point told by sign and word.

/// What one point of the grid sounds like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TapCell {
    /// Like its surroundings.
    Even,
    /// Lower than its surroundings by more than the limit: dull.
    Lower,
    Higher,
    /// No clear tone, or too few taps.
    Empty,
}

impl TapCell {
    pub fn sign(self, ascii: bool) -> char {
        match (self, ascii) {
            (TapCell::Even, false) => '·',
            (TapCell::Even, true) => '.',
            (TapCell::Lower, false) => '▼',
            (TapCell::Lower, true) => 'v',
            (TapCell::Higher, false) => '▲',
            (TapCell::Higher, true) => '^',
            (TapCell::Empty, _) => ' ',
        }
    }

    pub fn word(self) -> &'static str {
        match self {
            TapCell::Even => say!("even"),
            TapCell::Lower => say!("dull"),
            TapCell::Higher => say!("higher"),
            TapCell::Empty => say!("no clear tone"),
        }
    }
}

/// Rows of the map from the robust z of each point, in reading order. `limit` is the |z| that flags a point.
pub fn tap_grid(z: &[Option<f64>], columns: usize, limit: f64) -> Vec<Vec<TapCell>> {
    z.chunks(columns.max(1))
        .map(|row| {
            row.iter()
                .map(|z| match z {
                    None => TapCell::Empty,
                    Some(z) if *z < -limit => TapCell::Lower,
                    Some(z) if *z > limit => TapCell::Higher,
                    Some(_) => TapCell::Even,
                })
                .collect()
        })
        .collect()
}
