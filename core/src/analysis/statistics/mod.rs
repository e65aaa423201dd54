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

use crate::language::Language;
use crate::{say, say_count};

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
#[error("{}", self.said(Language::English))]
pub enum StatisticsError {
    /// There are no readings.
    Empty,
    /// A reading is not a number, or is infinite. Positions count from 0.
    NotFinite {
        /// Position of the reading in the set, counted from 0.
        index: usize,
    },
    /// The readings are so large that their sum or spread cannot be held in an `f64`.
    TooLarge,
    /// Degrees of freedom must be a finite number of at least 0.01.
    DegreesOfFreedom(f64),
    /// A probability must lie strictly between 0 and 1.
    Probability(f64),
    /// A probability too near 0 or 1 to be worked with.
    Extreme(f64),
    /// A noncentrality must be a number of no more than a million, either way.
    Noncentrality(f64),
    /// There are too few readings for a spread.
    TooFew {
        /// How many there are.
        have: usize,
        /// How many it takes.
        needed: usize,
    },
    /// All readings are equal, and the resolution of the instrument is not known.
    NoSpread,
    /// More than this is worked with here.
    TooMany {
        /// The largest number.
        most: usize,
    },
    /// The half width E of "mean ± E" must be more than zero.
    HalfWidth(f64),
    /// A standard deviation must be zero or more.
    Spread(f64),
    /// What events are counted over must be more than zero.
    Exposure(f64),
    /// The resolution of an instrument must be zero or more.
    Resolution(f64),
    /// A value of t or F must be a number, and F a finite one of zero or more.
    NotANumber,
}

impl StatisticsError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let l = language;
        match self {
            Self::Empty => say!(l, "there are no readings yet: enter at least one"),
            Self::NotFinite { index } => say!(
                l,
                "reading {number} is not a number: enter it again or leave it out",
                number = index + 1
            ),
            Self::TooLarge => say!(
                l,
                "these readings are too large to work with: check the unit they were entered in"
            ),
            Self::DegreesOfFreedom(value) => say!(
                l,
                "degrees of freedom must be a number of at least 0.01, not {value}",
                value = value
            ),
            Self::Probability(value) => say!(
                l,
                "a probability must lie between 0 and 1, without 0 and 1 themselves, not {value}",
                value = value
            ),
            Self::Extreme(value) => say!(
                l,
                "{value} is too near to 0 or 1 to be worked with: choose a confidence nearer to the \
                 middle",
                value = value
            ),
            Self::Noncentrality(value) => say!(
                l,
                "this is beyond what can be worked out: use fewer readings or a lower coverage \
                 ({value})",
                value = value
            ),
            Self::TooFew { have, needed } => say_count!(
                l,
                have,
                "{n} reading is not enough to know the spread: take at least {needed}",
                "{n} readings are not enough to know the spread: take at least {needed}",
                needed = needed
            ),
            Self::NoSpread => say!(
                l,
                "all readings are equal: give the smallest step of the instrument, or take more"
            ),
            Self::TooMany { most } => say!(
                l,
                "this is more than {most}, which is as far as can be worked out: check what was \
                 entered",
                most = most
            ),
            Self::HalfWidth(value) => say!(
                l,
                "say to within how much it has to be known: more than zero, not {value}",
                value = value
            ),
            Self::Spread(value) => say!(
                l,
                "a standard deviation must be zero or more, not {value}",
                value = value
            ),
            Self::Exposure(value) => say!(
                l,
                "events are counted over at least one load or roll, not over {value}",
                value = value
            ),
            Self::Resolution(value) => say!(
                l,
                "the smallest step of an instrument must be zero or more, not {value}",
                value = value
            ),
            Self::NotANumber => say!(l, "t must be a number, and F a number of zero or more"),
        }
    }
}
