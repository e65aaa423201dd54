//! Grubbs' test: is the reading farthest from the mean too far away to be chance?

use super::summary::count;
use super::{student_t, summarise};

/// On which side of the mean an outlier is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Sides {
    /// One side, chosen before the readings were seen ("only a reading that is too low matters").
    /// Choosing the side after looking doubles the stated significance: use [`Sides::Two`].
    One,
    /// Either side.
    Two,
}

/// Result of Grubbs' test on a set of readings. It flags; it never removes a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrubbsTest {
    /// Position, counted from 0, of the reading farthest from the mean (the first of equals).
    pub index: usize,
    /// G, the distance of that reading from the mean in standard deviations; no unit.
    pub statistic: f64,
    /// Value that G exceeds by chance with no more than the stated significance.
    pub critical: f64,
    /// True if G exceeds the critical value: look at how this reading was taken.
    pub is_outlier: bool,
    /// True for more than 6 readings. With 6 or fewer the test flags good readings too readily
    /// to be relied on.
    pub reliable: bool,
}

/// Grubbs' test for one outlier.
///
/// ```text
/// G = max |xᵢ − x̄| / s
/// ```
///
/// with x̄ the mean and s the standard deviation of all readings xᵢ, compared with
/// [`grubbs_critical`]. Assumes that the readings apart from the suspect are roughly normal, and
/// tests one suspect only: two outliers can hide each other.
///
/// `None` with fewer than 3 readings, with readings that are all equal or not finite, and with a
/// significance outside 0 to 1.
///
/// Source: F. E. Grubbs, Technometrics 11 (1969); NIST/SEMATECH e-Handbook of Statistical
/// Methods, 1.3.5.17.1, also for the limit of 6 readings.
#[must_use]
pub fn grubbs(readings: &[f64], sides: Sides, significance: f64) -> Option<GrubbsTest> {
    let critical = grubbs_critical(readings.len(), sides, significance)?;
    let summary = summarise(readings).ok()?;
    let sd = summary.sd.filter(|sd| *sd > 0.0)?;
    let (index, distance) = readings
        .iter()
        .map(|x| (x - summary.mean).abs())
        .enumerate()
        .fold((0, 0.0_f64), |farthest, (index, distance)| {
            if distance > farthest.1 {
                (index, distance)
            } else {
                farthest
            }
        });
    let statistic = distance / sd;
    Some(GrubbsTest {
        index,
        statistic,
        critical,
        is_outlier: statistic > critical,
        reliable: readings.len() > 6,
    })
}

/// Critical value of Grubbs' statistic for `n` readings.
///
/// ```text
/// G = (n − 1)/√n · √( t² / (n − 2 + t²) )
/// ```
///
/// with t the upper α/n (one side) or α/(2n) (two sides) point of Student's t with n − 2 degrees
/// of freedom, and α the significance (0 < α < 1).
///
/// `None` for n < 3 and for a significance outside 0 to 1.
///
/// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1; the values are those
/// tabulated in ASTM E178.
#[must_use]
pub fn grubbs_critical(n: usize, sides: Sides, significance: f64) -> Option<f64> {
    if n < 3 || !(significance > 0.0 && significance < 1.0) {
        return None;
    }
    let n = count(n);
    let tail = match sides {
        Sides::One => significance / n,
        Sides::Two => significance / (2.0 * n),
    };
    let t = student_t::quantile(tail, n - 2.0).ok()?;
    Some((n - 1.0) / n.sqrt() * (t * t / (n - 2.0 + t * t)).sqrt())
}
