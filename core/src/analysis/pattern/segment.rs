//! One stretch of the wrapping.

use super::{LONGEST_M, PatternError};

/// A stretch of the wrapping.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// Turns laid one on the other.
    Band {
        /// Height of the film's lower edge, in metres above the floor.
        at_m: f64,
        /// How many turns; need not be whole.
        turns: f64,
    },
    /// Turns that climb, or sink where `to_m` is below `from_m`.
    Helix {
        /// Height of the film's lower edge at the start, in metres above the floor.
        from_m: f64,
        /// Height of the film's lower edge at the end, in metres above the floor.
        to_m: f64,
        /// Travel in one turn, in metres, more than zero either way.
        pitch_m: f64,
    },
}

impl Segment {
    /// Turns it takes: as given for a band, |to - from| / pitch for a helix.
    #[must_use]
    pub fn turns(&self) -> f64 {
        match *self {
            Self::Band { turns, .. } => turns,
            Self::Helix {
                from_m,
                to_m,
                pitch_m,
            } => (to_m - from_m).abs() / pitch_m,
        }
    }

    /// Path of the film in metres round a perimeter of P = `perimeter_m`: turns x P for a band,
    /// turns x sqrt(P^2 + pitch^2) for a helix, which unrolled is the diagonal of a strip.
    pub(super) fn path_m(&self, perimeter_m: f64) -> f64 {
        let a_turn = match *self {
            Self::Band { .. } => perimeter_m,
            Self::Helix { pitch_m, .. } => perimeter_m.hypot(pitch_m),
        };
        self.turns() * a_turn
    }

    /// Lowest and highest the film's lower edge stands, in metres.
    pub(super) fn edge_range_m(&self) -> (f64, f64) {
        match *self {
            Self::Band { at_m, .. } => (at_m, at_m),
            Self::Helix { from_m, to_m, .. } => (from_m.min(to_m), from_m.max(to_m)),
        }
    }

    /// Which of the lower edge's heights put film at height z: those in (z - w, z], cut to the
    /// segment. `None` when there are none.
    pub(super) fn edges_covering(&self, z: f64, width_m: f64) -> Option<(f64, f64)> {
        let (low, high) = self.edge_range_m();
        match self {
            Self::Band { .. } => (low <= z && z < low + width_m).then_some((low, low)),
            Self::Helix { .. } => {
                let covering = (low.max(z - width_m), high.min(z));
                (covering.1 > covering.0).then_some(covering)
            }
        }
    }

    pub(super) fn check(&self) -> Result<(), PatternError> {
        let within = |m: f64| (0.0..=LONGEST_M).contains(&m);
        let (low, high) = self.edge_range_m();
        match *self {
            Self::Band { turns, .. } if !(turns.is_finite() && turns >= 0.0) => {
                Err(PatternError::TurnsNotANumber)
            }
            Self::Helix { pitch_m, .. } if !(pitch_m > 0.0 && pitch_m <= LONGEST_M) => {
                Err(PatternError::PitchNotMoreThanZero)
            }
            Self::Helix { from_m, to_m, .. } if !(within(from_m) && within(to_m)) => {
                Err(PatternError::EdgeOutOfReach)
            }
            _ if within(low) && within(high) => Ok(()),
            _ => Err(PatternError::EdgeOutOfReach),
        }
    }
}
