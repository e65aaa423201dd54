//! Count, mean, standard deviation, range, and the confidence interval of the mean.

use super::{StatisticsError, student_t};

/// Count, mean, standard deviation and range of a set of readings, in the unit of the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Number of readings, at least 1.
    pub n: usize,
    /// Arithmetic mean.
    pub mean: f64,
    /// Sample standard deviation (divisor n − 1); `None` for a single reading, whose spread is
    /// unknown, not zero.
    pub sd: Option<f64>,
    /// Smallest reading.
    pub min: f64,
    /// Largest reading.
    pub max: f64,
}

impl Summary {
    /// Standard error of the mean, s / √n, in the unit of the readings; `None` for one reading.
    #[must_use]
    pub fn standard_error(&self) -> Option<f64> {
        self.sd.map(|sd| sd / count(self.n).sqrt())
    }
}

/// Limits between which the true mean lies with the stated confidence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower limit, in the unit of the readings.
    pub low: f64,
    /// Upper limit, in the unit of the readings.
    pub high: f64,
    /// Confidence, between 0 and 1: 0.95 means that 95 of 100 such intervals hold the true mean.
    pub confidence: f64,
    /// True where the readings differ by less than the instrument can show, so that the width
    /// says something about the instrument (or nothing, if its resolution was not given) and not
    /// about the load.
    pub resolution_limited: bool,
}

impl Interval {
    /// Half the width of the interval: the E in "mean ± E".
    #[must_use]
    pub fn half_width(&self) -> f64 {
        0.5 * (self.high - self.low)
    }
}

/// Summarises a set of readings.
///
/// ```text
/// x̄ = Σxᵢ / n        s = √( (Σ(xᵢ − x̄)² − (Σ(xᵢ − x̄))² / n) / (n − 1) )
/// ```
///
/// with n the number of readings xᵢ, x̄ their mean and s their sample standard deviation.
///
/// Sums are compensated, and the spread is taken in a second pass about the mean with the mean's
/// rounding error corrected, so that a small spread on a large value keeps its digits. Nothing is
/// assumed about how the readings are distributed.
///
/// Source: T. F. Chan, G. H. Golub, R. J. `LeVeque`, "Algorithms for computing the sample
/// variance", The American Statistician 37 (1983), equation 1.7 (corrected two-pass);
/// A. Neumaier, Z. angew. Math. Mech. 54 (1974), for the compensated sum.
///
/// # Errors
///
/// [`StatisticsError::Empty`] without readings, [`StatisticsError::NotFinite`] if one is not a
/// finite number, [`StatisticsError::TooLarge`] if sum or spread would overflow.
pub fn summarise(readings: &[f64]) -> Result<Summary, StatisticsError> {
    let &first = readings.first().ok_or(StatisticsError::Empty)?;
    if let Some(index) = readings.iter().position(|x| !x.is_finite()) {
        return Err(StatisticsError::NotFinite { index });
    }
    let (min, max) = range(readings, first);
    let n = readings.len();

    let sum = compensated_sum(readings.iter().copied());
    if !(sum.is_finite() && (max - min).is_finite()) {
        return Err(StatisticsError::TooLarge);
    }
    // Rounding must not put the mean of equal readings beside them.
    let mean = (sum / count(n)).clamp(min, max);
    let sd = (n > 1).then(|| spread(readings, mean, (max - mean).max(mean - min)));
    Ok(Summary {
        n,
        mean,
        sd,
        min,
        max,
    })
}

/// Two-sided Student t interval of the mean.
///
/// ```text
/// x̄ ± t(1 − (1 − C)/2; n − 1) · s / √n
/// ```
///
/// with x̄ the mean, s the standard deviation, n the number of readings and C the confidence
/// (0 < C < 1). Assumes independent readings from one roughly normal population.
///
/// `None` for a single reading, and for a confidence outside 0 to 1. If all readings are equal
/// the interval has no width and is marked [`Interval::resolution_limited`]: use
/// [`mean_interval_with_resolution`] for limits that mean something.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.2.
#[must_use]
pub fn mean_interval(summary: &Summary, confidence: f64) -> Option<Interval> {
    mean_interval_with_resolution(summary, confidence, 0.0)
}

/// [`mean_interval`] that never claims to know the mean better than the instrument can show.
///
/// The standard deviation used is the larger of that of the readings and u = d / √12, with d the
/// resolution (smallest step) of the instrument, in the unit of the readings. u is the standard
/// deviation of a value that may lie anywhere within one step. Where the floor is used, or all
/// readings are equal, the interval is marked [`Interval::resolution_limited`].
///
/// `None` as for [`mean_interval`], and for a resolution that is negative or not finite.
///
/// Source: JCGM 100:2008 (GUM), F.2.2.1, for d / √12.
#[must_use]
pub fn mean_interval_with_resolution(
    summary: &Summary,
    confidence: f64,
    resolution: f64,
) -> Option<Interval> {
    if !(resolution.is_finite() && resolution >= 0.0 && confidence > 0.0 && confidence < 1.0) {
        return None;
    }
    let sd = summary.sd?;
    let floor = resolution / 12.0_f64.sqrt();
    let n = count(summary.n);
    // The upper quantile by symmetry: a small tail keeps more digits than 1 minus it.
    let t = -student_t::quantile(0.5 * (1.0 - confidence), n - 1.0).ok()?;
    let half_width = t * sd.max(floor) / n.sqrt();
    Some(Interval {
        low: summary.mean - half_width,
        high: summary.mean + half_width,
        confidence,
        resolution_limited: sd <= floor,
    })
}

/// A count as a floating-point number (exact below 2⁵³).
#[allow(clippy::cast_precision_loss)]
pub(super) fn count(n: usize) -> f64 {
    n as f64
}

/// Smallest and largest reading.
fn range(readings: &[f64], first: f64) -> (f64, f64) {
    readings
        .iter()
        .fold((first, first), |(low, high), &x| (low.min(x), high.max(x)))
}

/// Sample standard deviation about `mean`; `reach` is the largest distance from it.
fn spread(readings: &[f64], mean: f64, reach: f64) -> f64 {
    if reach <= 0.0 {
        return 0.0;
    }
    // Squares of very small or very large distances would leave the range of an f64.
    let unit = if (1e-140..=1e140).contains(&reach) {
        1.0
    } else {
        reach
    };
    let distances = || readings.iter().map(|x| (x - mean) / unit);
    let n = count(readings.len());
    let rest = compensated_sum(distances());
    let squares = compensated_sum(distances().map(|d| d * d));
    unit * ((squares - rest * rest / n).max(0.0) / (n - 1.0)).sqrt()
}

/// Neumaier's compensated sum: the rounding error of each addition is kept and added last.
pub(super) fn compensated_sum(values: impl Iterator<Item = f64>) -> f64 {
    let mut sum = 0.0_f64;
    let mut lost = 0.0_f64;
    for value in values {
        let next = sum + value;
        lost += if sum.abs() >= value.abs() {
            (sum - next) + value
        } else {
            (value - next) + sum
        };
        sum = next;
    }
    sum + lost
}
