//! The statistics a representative needs to say how sure a measurement is.
//!
//! * [`summarise`] gives count, mean, standard deviation and range of a set of readings.
//! * [`mean_interval`] says between which limits the true mean lies, with a stated confidence.
//! * [`grubbs`] flags the one reading that lies too far from the rest to be chance.
//! * [`student_t`] holds the distribution both rest on, [`f`](mod@f) the one that compares spreads.
//! * [`anova`] and [`gauge_study`] tell the spread between people and tools from that of repeats.
//! * [`regression`] fits lines through the origin, with prediction bounds.
//!
//! Every function works on plain `f64` and returns results in the unit of the readings given to
//! it. Readings of different units, tools or faces must never be put in one set.

pub mod anova;
pub mod f;
pub mod gauge_study;
mod grubbs;
pub mod regression;
pub mod student_t;
mod summary;

pub use grubbs::{GrubbsTest, Sides, grubbs, grubbs_critical};
pub use summary::{Interval, Summary, mean_interval, mean_interval_with_resolution, summarise};

/// Why a statistic could not be worked out.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum StatisticsError {
    /// There are no readings.
    #[error("there are no readings yet: enter at least one")]
    Empty,
    /// A reading is not a number, or is infinite. Positions count from 0.
    #[error("reading {} is not a number: enter it again or leave it out", .index + 1)]
    NotFinite {
        /// Position of the reading in the set, counted from 0.
        index: usize,
    },
    /// The readings are so large that their sum or spread cannot be held in an `f64`.
    #[error("these readings are too large to work with: check the unit they were entered in")]
    TooLarge,
    /// Degrees of freedom must be a finite number of at least 0.01.
    #[error("degrees of freedom must be a number of at least 0.01, not {0}")]
    DegreesOfFreedom(f64),
    /// A probability must lie strictly between 0 and 1.
    #[error("a probability must lie between 0 and 1, without 0 and 1 themselves, not {0}")]
    Probability(f64),
    /// A value of t or F must be a number, and F a finite one of zero or more.
    #[error("t must be a number, and F a number of zero or more")]
    NotANumber,
}
