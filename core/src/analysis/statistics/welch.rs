//! Two sets of readings compared, without taking their spreads to be alike.

use super::summary::count;
use super::tolerance::spread;
use super::{Interval, StatisticsError, Summary, student_t};

/// The difference of two means, new less old.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Welch {
    /// New mean less old mean, in the unit of the readings.
    pub difference: f64,
    /// Standard error of the difference, in the unit of the readings.
    pub standard_error: f64,
    /// Degrees of freedom after Welch and Satterthwaite, mostly not whole.
    pub df: f64,
    /// Difference over its standard error; `None` without any spread.
    pub t: Option<f64>,
    /// How probable a difference at least this large either way is by chance alone, when there is
    /// none; `None` without any spread.
    pub p: Option<f64>,
    /// True where the spread of both sets is that of the instrument (or nothing, if its
    /// resolution was not given).
    pub resolution_limited: bool,
}

impl Welch {
    /// From a difference, its standard error and its degrees of freedom.
    fn new(
        difference: f64,
        standard_error: f64,
        df: f64,
        resolution_limited: bool,
    ) -> Result<Self, StatisticsError> {
        if !(difference.is_finite() && standard_error.is_finite()) {
            return Err(StatisticsError::TooLarge);
        }
        let t = (standard_error > 0.0)
            .then(|| (difference / standard_error).clamp(-f64::MAX, f64::MAX));
        let p = t
            .map(|t| student_t::cdf(-t.abs(), df).map(|tail| (2.0 * tail).min(1.0)))
            .transpose()?;
        Ok(Self {
            difference,
            standard_error,
            df,
            t,
            p,
            resolution_limited,
        })
    }

    /// Two-sided interval of the difference: difference ± t(1 − (1 − C)/2; df) · SE.
    ///
    /// `None` for a confidence outside 0 to 1 or an interval beyond what a number holds.
    #[must_use]
    pub fn interval(&self, confidence: f64) -> Option<Interval> {
        let half_width = self.reach(0.5 * (1.0 - confidence))?;
        let (low, high) = (self.difference - half_width, self.difference + half_width);
        (confidence > 0.0 && low.is_finite() && high.is_finite()).then_some(Interval {
            low,
            high,
            confidence,
            resolution_limited: self.resolution_limited,
        })
    }

    /// One-sided lower bound of the difference: difference − t(C; df) · SE. The true difference
    /// is more than this, said with that confidence.
    ///
    /// `None` for a confidence outside 0 to 1 or a bound beyond what a number holds.
    #[must_use]
    pub fn lower_bound(&self, confidence: f64) -> Option<f64> {
        let bound = self.difference - self.reach(1.0 - confidence)?;
        bound.is_finite().then_some(bound)
    }

    /// The distance that a tail of that size lies off the difference.
    fn reach(&self, tail: f64) -> Option<f64> {
        Some(-student_t::quantile(tail, self.df).ok()? * self.standard_error)
    }
}

/// Compares the means of two sets of readings whose spreads may differ.
///
/// ```text
/// SE² = s₁²/n₁ + s₂²/n₂      t = (x̄₁ − x̄₂)/SE      df = SE⁴ / ((s₁²/n₁)²/(n₁−1) + (s₂²/n₂)²/(n₂−1))
/// ```
///
/// with 1 for `new`, 2 for `old`, n the numbers of readings, x̄ the means and s the standard
/// deviations. Assumes independent readings, each set from a roughly normal population.
///
/// If each set is of equal readings there is no spread: SE is 0, df is n₁ + n₂ − 2, t and p are
/// `None`, and the result is marked [`Welch::resolution_limited`]; use [`welch_with_resolution`].
///
/// Source: B. L. Welch, Biometrika 34 (1947); NIST/SEMATECH e-Handbook of Statistical Methods,
/// 1.3.5.3 (unequal variances).
///
/// # Errors
///
/// [`StatisticsError::TooFew`] when a set has fewer than two readings, and
/// [`StatisticsError::TooLarge`] if a result would overflow.
pub fn welch(new: &Summary, old: &Summary) -> Result<Welch, StatisticsError> {
    welch_with_resolution(new, old, 0.0)
}

/// [`welch`] with the spread of each set no less than the instrument can show: d/√12, with d the
/// `resolution` (smallest step) of the instrument in the unit of the readings (JCGM 100:2008
/// (GUM), F.2.2.1).
///
/// # Errors
///
/// As for [`welch`], and [`StatisticsError::Resolution`] if the resolution is negative or not
/// finite.
pub fn welch_with_resolution(
    new: &Summary,
    old: &Summary,
    resolution: f64,
) -> Result<Welch, StatisticsError> {
    let (new_sd, new_limited) = spread(new, resolution)?;
    let (old_sd, old_limited) = spread(old, resolution)?;
    let (new_n, old_n) = (count(new.n), count(old.n));
    welch_of(
        (new.mean, new_sd / new_n.sqrt(), new_n - 1.0),
        (old.mean, old_sd / old_n.sqrt(), old_n - 1.0),
        new_limited && old_limited,
    )
}

/// The same from two estimates of any kind, each a value, its standard error and its degrees of
/// freedom (more than 0): the first less the second.
///
/// # Errors
///
/// [`StatisticsError::TooLarge`] if a result would overflow, and
/// [`StatisticsError::DegreesOfFreedom`] if those are not above 0.
pub fn welch_of(
    (new, a, new_df): (f64, f64, f64),
    (old, b, old_df): (f64, f64, f64),
    resolution_limited: bool,
) -> Result<Welch, StatisticsError> {
    let larger = a.max(b);
    if !a.hypot(b).is_finite() {
        return Err(StatisticsError::TooLarge);
    }
    let df = if larger > 0.0 {
        // Over the larger one, so that no square leaves the range of an f64.
        let (u, v) = ((a / larger).powi(2), (b / larger).powi(2));
        (u + v).powi(2) / (u * u / new_df + v * v / old_df)
    } else {
        new_df + old_df
    };
    if !(df.is_finite() && df > 0.0) {
        return Err(StatisticsError::DegreesOfFreedom(df));
    }
    Welch::new(new - old, a.hypot(b), df, resolution_limited)
}
