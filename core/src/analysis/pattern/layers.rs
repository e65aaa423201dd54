//! Layers by height, averaged over the turn.

use super::Segment;

/// A stretch of height over which the layers change evenly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Where it starts, in metres above the floor; this height belongs to it.
    pub from_m: f64,
    /// Where it ends; this height belongs to the next.
    pub to_m: f64,
    /// Layers at `from_m`.
    pub at_from: f64,
    /// Layers just below `to_m`.
    pub at_to: f64,
}

impl Piece {
    fn at(&self, z: f64) -> f64 {
        let along = ((z - self.from_m) / (self.to_m - self.from_m)).clamp(0.0, 1.0);
        (self.at_to - self.at_from).mul_add(along, self.at_from)
    }

    /// Area under it between two heights within it, in layers x metres: a trapezium.
    fn area(&self, low: f64, high: f64) -> f64 {
        0.5 * (self.at(low) + self.at(high)) * (high - low)
    }
}

/// Layers of film at each height, averaged over the turn: exact, piecewise linear.
///
/// At height z it is the measure, in turns, of {n : y(n) <= z < y(n) + w}, with y(n) the height of
/// the film's lower edge at turn n and w the film's width. A band gives its turns on [y, y + w); a
/// helix of pitch p from y0 to y1 gives |[y0, y1] ∩ (z - w, z]| / p. Plain geometry.
#[derive(Debug, Clone, PartialEq)]
pub struct Layers {
    pieces: Vec<Piece>,
}

impl Layers {
    /// Of segments already checked.
    pub(super) fn of(segments: &[Segment], width_m: f64) -> Self {
        let mut cuts: Vec<f64> = segments
            .iter()
            .flat_map(|segment| {
                let (low, high) = segment.edge_range_m();
                [low, high, low + width_m, high + width_m]
            })
            .collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| a.total_cmp(b).is_eq());
        let pieces = cuts
            .windows(2)
            .filter_map(|ends| {
                let &[from_m, to_m] = ends else { return None };
                let (mut at_from, mut at_to) = (0.0, 0.0);
                for segment in segments {
                    let (from, to) = within(segment, width_m, from_m, to_m);
                    at_from += from;
                    at_to += to;
                }
                Some(Piece {
                    from_m,
                    to_m,
                    at_from,
                    at_to,
                })
            })
            .collect();
        Self { pieces }
    }

    /// The pieces from the bottom up, each starting where the one before ends. Below and above
    /// them there is no film.
    #[must_use]
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Layers at a height in metres above the floor; 0 where there is no film.
    #[must_use]
    pub fn at(&self, z: f64) -> f64 {
        let above = self.pieces.partition_point(|piece| piece.to_m <= z);
        match self.pieces.get(above) {
            Some(piece) if piece.from_m <= z => piece.at(z),
            Some(_) | None => 0.0,
        }
    }

    /// Area under the layers between two heights, in layers x metres; exact. 0 when the heights
    /// are the wrong way round.
    #[must_use]
    pub fn area(&self, from_m: f64, to_m: f64) -> f64 {
        let first = self.pieces.partition_point(|piece| piece.to_m <= from_m);
        self.pieces
            .iter()
            .skip(first)
            .take_while(|piece| piece.from_m < to_m)
            .map(|piece| {
                let (low, high) = (piece.from_m.max(from_m), piece.to_m.min(to_m));
                if high > low {
                    piece.area(low, high)
                } else {
                    0.0
                }
            })
            .sum()
    }

    /// Mean layers between two heights; exact. The layers at the height itself where the two are
    /// the same, and 0 where they are the wrong way round or not numbers.
    #[must_use]
    pub fn mean(&self, from_m: f64, to_m: f64) -> f64 {
        let span = to_m - from_m;
        if span > 0.0 && span.is_finite() {
            self.area(from_m, to_m) / span
        } else if from_m.total_cmp(&to_m).is_eq() {
            self.at(from_m)
        } else {
            0.0
        }
    }

    /// The most layers anywhere.
    #[must_use]
    pub fn most(&self) -> f64 {
        self.pieces
            .iter()
            .fold(0.0, |most, piece| most.max(piece.at_from).max(piece.at_to))
    }
}

/// What one segment gives at the start and just below the end of a piece none of whose inner
/// heights is one of the segment's own cuts.
fn within(segment: &Segment, width_m: f64, from_m: f64, to_m: f64) -> (f64, f64) {
    match *segment {
        Segment::Band { at_m, turns } => {
            if at_m <= from_m && from_m < at_m + width_m {
                (turns, turns)
            } else {
                (0.0, 0.0)
            }
        }
        Segment::Helix { pitch_m, .. } => {
            let (low, high) = segment.edge_range_m();
            let at = |z: f64| (high.min(z) - low.max(z - width_m)).max(0.0) / pitch_m;
            (at(from_m), at(to_m))
        }
    }
}
