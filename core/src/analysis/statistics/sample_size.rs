//! How many readings it takes to know a mean to a stated distance.

use super::tolerance::spread;
use super::{StatisticsError, Summary, student_t};

/// More readings than anyone takes.
const MOST: usize = 1_000_000;

/// Smallest number of readings n whose mean is known to ± `half_width`:
///
/// ```text
/// t(1 − (1 − C)/2; n − 1) · s / √n ≤ E
/// ```
///
/// with s the standard deviation `sd`, E the `half_width` in the same unit and C the confidence.
/// The t of the n sought is used, not the normal distribution, which gives too few. At least 2,
/// since one reading shows no spread. Assumes that the readings to come spread as the ones so far;
/// from few readings s itself is uncertain, and so is n.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.2.2 (sample sizes required), here
/// carried to the exact n.
///
/// # Errors
///
/// [`StatisticsError::HalfWidth`] unless E is more than zero and finite,
/// [`StatisticsError::Spread`] unless s is zero or more and finite,
/// [`StatisticsError::Probability`] unless C lies between 0 and 1, and
/// [`StatisticsError::TooMany`] if it takes more than a million.
pub fn readings_needed(
    sd: f64,
    half_width: f64,
    confidence: f64,
) -> Result<usize, StatisticsError> {
    if !(half_width > 0.0 && half_width.is_finite()) {
        return Err(StatisticsError::HalfWidth(half_width));
    }
    if !(sd >= 0.0 && sd.is_finite()) {
        return Err(StatisticsError::Spread(sd));
    }
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(StatisticsError::Probability(confidence));
    }
    let ratio = sd / half_width;
    let reaches = |n: u32| -> Result<bool, StatisticsError> {
        let n = f64::from(n);
        let t = -student_t::quantile(0.5 * (1.0 - confidence), n - 1.0)?;
        Ok(t * ratio <= n.sqrt())
    };
    // t/√n falls as n rises: double until it is enough, then halve in between.
    let (mut short, mut enough) = (1_u32, 2_u32);
    while !reaches(enough)? {
        (short, enough) = (enough, enough * 2);
        if usize::try_from(short).is_ok_and(|short| short > MOST) {
            return Err(StatisticsError::TooMany { most: MOST });
        }
    }
    while enough - short > 1 {
        let middle = u32::midpoint(short, enough);
        if reaches(middle)? {
            enough = middle;
        } else {
            short = middle;
        }
    }
    match usize::try_from(enough) {
        Ok(n) if n <= MOST => Ok(n),
        _ => Err(StatisticsError::TooMany { most: MOST }),
    }
}

/// How many more readings of the same kind it takes to know the mean to ± `half_width`; 0 when
/// it is known that well already. The spread used is no less than that of the `resolution`
/// (smallest step) of the instrument, 0 if that is not known.
///
/// Formula, assumptions and source as for [`readings_needed`].
///
/// # Errors
///
/// Those of [`readings_needed`]; [`StatisticsError::TooFew`] below two readings, which show no
/// spread; [`StatisticsError::Resolution`] if the resolution is negative or not finite.
pub fn how_many_more(
    summary: &Summary,
    half_width: f64,
    confidence: f64,
    resolution: f64,
) -> Result<usize, StatisticsError> {
    let (sd, _) = spread(summary, resolution)?;
    Ok(readings_needed(sd, half_width, confidence)?.saturating_sub(summary.n))
}
