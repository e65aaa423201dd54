//! A measured value, how far it may be off, and the records it comes from.

use crate::analysis::containment::CONFIDENCE;
use crate::analysis::statistics::{mean_interval, summarise};
use crate::survey::RecordRef;

/// A mean with its limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// The mean.
    pub mean: f64,
    /// How far it may be off, either way.
    pub half_width: f64,
    /// How many values.
    pub n: usize,
    /// The records.
    pub records: Vec<RecordRef>,
}

impl Measured {
    /// Whether all of the range lies under a value.
    #[must_use]
    pub fn is_under(&self, value: f64) -> bool {
        self.mean + self.half_width < value
    }
}

/// The mean of values with the larger of their Student-t half width at [`CONFIDENCE`] and what
/// reading the instrument leaves open, `read_to` for one value and `read_to`/√n for the mean of n.
/// `None` without values, or when they are not finite.
pub(super) fn around(
    values: &[f64],
    read_to: f64,
    records: impl Iterator<Item = RecordRef>,
) -> Option<Measured> {
    let summary = summarise(values).ok()?;
    let scatter = mean_interval(&summary, CONFIDENCE).map_or(0.0, |interval| interval.half_width());
    let n = f64::from(u32::try_from(summary.n).ok()?);
    let half_width = scatter.max(read_to / n.sqrt());
    (half_width.is_finite() && read_to >= 0.0).then(|| Measured {
        mean: summary.mean,
        half_width,
        n: summary.n,
        records: records.collect(),
    })
}
