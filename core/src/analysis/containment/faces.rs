//! Readings by the length of the face they were taken on.
//!
//! At the same film tension the pull plate reads more on a shorter face, so that readings on faces
//! of unlike length are never averaged. The torsion tool's reading does not depend on it.

use crate::units::{Containment, Method};

use super::super::statistics::{GrubbsTest, Interval, Summary};
use super::zone::{Alike, common_target, least_margin, lowest};
use super::{Taken, ToleranceResult, ToleranceRule, ZoneTargets};

/// Lengths within one hundredth of each other are alike: a hundredth in the length is about a
/// hundredth in the reading, less than a hand scale shows.
pub(super) const ALIKE: f64 = 1.01;

/// One zone on faces of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceResult<M: Method> {
    /// Length of the shortest of these faces in metres, all others being within one hundredth;
    /// `None` where it is not known.
    pub length_m: Option<f64>,
    /// Count, mean and standard deviation in newtons.
    pub summary: Option<Summary>,
    /// Student-t interval of the mean in newtons; `None` below two readings.
    pub interval: Option<Interval>,
    /// The lowest reading.
    pub lowest: Option<Containment<M>>,
    /// A reading too far from the others to be chance. Its index counts the readings of this
    /// length of face.
    pub outlier: Option<GrubbsTest>,
    /// The limit that most readings of such loads lie above; `None` below two readings.
    pub tolerance: Option<ToleranceResult>,
    /// The least force on faces so long; `None` where there is none for them.
    pub target: Option<Containment<M>>,
    /// Lowest reading less that target, in newtons.
    pub margin_n: Option<f64>,
}

impl<M: Method> FaceResult<M> {
    pub(super) fn of(
        length_m: Option<f64>,
        readings: &[Taken<M>],
        targets: &ZoneTargets<M>,
        rule: ToleranceRule,
    ) -> Self {
        let least = least_margin(readings, targets);
        let Alike {
            summary,
            interval,
            outlier,
            tolerance,
        } = Alike::of(readings, common_target(readings, targets), rule);
        Self {
            length_m,
            summary,
            interval,
            lowest: lowest(readings),
            outlier,
            tolerance,
            target: least.map(|(_, target)| target),
            margin_n: least.map(|(margin, _)| margin),
        }
    }
}

/// Whether two lengths, more than zero, lie within a hundredth of each other.
#[must_use]
pub fn faces_alike(a: f64, b: f64) -> bool {
    a.max(b) <= a.min(b) * ALIKE
}

/// Whether two known lengths differ by more than a hundredth.
pub(super) fn unlike(lengths: impl Iterator<Item = Option<f64>>) -> bool {
    let (low, high) = lengths
        .flatten()
        .fold((f64::INFINITY, 0.0_f64), |(low, high), m| {
            (low.min(m), high.max(m))
        });
    high > low * ALIKE
}

/// The readings by length of face, from the shortest, those of unknown length last. Each class
/// begins with its shortest face and takes in what is at most a hundredth longer.
pub(super) fn by_length<M: Method>(readings: &[Taken<M>]) -> Vec<(Option<f64>, Vec<Taken<M>>)> {
    let mut sorted = readings.to_vec();
    sorted.sort_by(|a, b| match (a.face_length_m, b.face_length_m) {
        (Some(a), Some(b)) => a.total_cmp(&b),
        (a, b) => b.is_some().cmp(&a.is_some()),
    });
    let mut classes: Vec<(Option<f64>, Vec<Taken<M>>)> = Vec::new();
    for reading in sorted {
        let fits = |class: Option<f64>| match (class, reading.face_length_m) {
            (Some(shortest), Some(m)) => m <= shortest * ALIKE,
            (class, length) => class.is_none() && length.is_none(),
        };
        match classes.last_mut() {
            Some((class, here)) if fits(*class) => here.push(reading),
            _ => classes.push((reading.face_length_m, vec![reading])),
        }
    }
    classes
}
