//! The lower bound by which a zone is held to be strong.

use crate::analysis::containment::{CONFIDENCE, READ_TO_N};
use crate::analysis::statistics::{ToleranceBound, lower_tolerance_bound_of_groups};

/// The share of readings that lies above the lower bound (common practice, no source).
pub(super) const COVERAGE: f64 = 0.9;

/// The value in newtons above which nine of ten readings lie, its `bound`, at [`CONFIDENCE`]: the
/// one-sided lower tolerance bound of readings load by load. `None` below two readings.
pub(super) fn lower(loads_n: &[Vec<f64>]) -> Option<ToleranceBound> {
    lower_tolerance_bound_of_groups(loads_n, COVERAGE, CONFIDENCE, READ_TO_N).ok()
}
