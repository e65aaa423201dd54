//! The statistics a representative needs to say how sure a measurement is.
//!
//! * [`summarise`] gives count, mean, standard deviation and range of a set of readings.
//! * [`mean_interval`] says between which limits the true mean lies, with a stated confidence.
//! * [`grubbs`] flags the one reading that lies too far from the rest to be chance.
//! * [`lower_tolerance_bound`] says above which limit most of what was not measured lies too.
//! * [`welch`] compares two sets of readings.
//! * [`readings_needed`] and [`how_many_more`] say how many readings a wished certainty takes.
//! * [`poisson_rate`] and [`compare_rates`] do for counted events what the above do for readings.
//! * [`student_t`], [`noncentral_t`] and [`f`](mod@f) hold the distributions these rest on.
//! * [`anova`] and [`gauge_study`] tell the spread between people and tools from that of repeats.
//! * [`regression`] fits lines through the origin, with prediction bounds.
//!
//! Every function works on plain `f64` and returns results in the unit of the readings given to
//! it. Readings of different units, tools or faces must never be put in one set.

pub mod anova;
pub mod f;
pub mod gauge_study;
mod grubbs;
pub mod noncentral_t;
mod normal;
mod poisson;
pub mod regression;
mod sample_size;
pub mod student_t;
mod summary;
mod tolerance;
mod tolerance_of_loads;
mod welch;

pub use grubbs::{GrubbsTest, Sides, grubbs, grubbs_critical};
pub use poisson::{PoissonRate, RateRatio, compare_rates, poisson_rate, poisson_upper_bound};
pub use sample_size::{how_many_more, readings_needed};
pub use summary::{Interval, Summary, mean_interval, mean_interval_with_resolution, summarise};
pub use tolerance::{
    ToleranceBound, coverage_shown, lower_tolerance_bound, lower_tolerance_bound_with_resolution,
    tolerance_factor,
};
pub use tolerance_of_loads::lower_tolerance_bound_of_groups;
pub use welch::{Welch, welch, welch_of, welch_with_resolution};

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
    /// A probability too near 0 or 1 to be worked with.
    #[error(
        "{0} is too near to 0 or 1 to be worked with: choose a confidence nearer to the middle"
    )]
    Extreme(f64),
    /// A noncentrality must be a number of no more than a million, either way.
    #[error("this is beyond what can be worked out: use fewer readings or a lower coverage ({0})")]
    Noncentrality(f64),
    /// There are too few readings for a spread.
    #[error(
        "{have} {} not enough to know the spread: take at least {needed}",
        if *.have == 1 { "reading is" } else { "readings are" }
    )]
    TooFew {
        /// How many there are.
        have: usize,
        /// How many it takes.
        needed: usize,
    },
    /// All readings are equal, and the resolution of the instrument is not known.
    #[error("all readings are equal: give the smallest step of the instrument, or take more")]
    NoSpread,
    /// More than this is worked with here.
    #[error(
        "this is more than {most}, which is as far as can be worked out: check what was entered"
    )]
    TooMany {
        /// The largest number.
        most: usize,
    },
    /// The half width E of "mean ± E" must be more than zero.
    #[error("say to within how much it has to be known: more than zero, not {0}")]
    HalfWidth(f64),
    /// A standard deviation must be zero or more.
    #[error("a standard deviation must be zero or more, not {0}")]
    Spread(f64),
    /// What events are counted over must be more than zero.
    #[error("events are counted over at least one load or roll, not over {0}")]
    Exposure(f64),
    /// The resolution of an instrument must be zero or more.
    #[error("the smallest step of an instrument must be zero or more, not {0}")]
    Resolution(f64),
    /// A value of t or F must be a number, and F a finite one of zero or more.
    #[error("t must be a number, and F a number of zero or more")]
    NotANumber,
}
