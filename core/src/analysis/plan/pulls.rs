//! Keeps pull-plate readings that can be laid beside each other.

use crate::analysis::containment::faces_alike;
use crate::analysis::pull_plate::PullGeometry;
use crate::survey::{Load, Measure, Reading};
use crate::units::{Length, Method, MethodId};

use super::run::Read;
use super::says::LeftOut;

/// Pulls whose factors k differ by less than this share are one: an eighth of an inch of pull, as
/// near as it is pulled by hand (common practice, no source).
const PULLS_ALIKE: f64 = 0.03;

/// Where a pull-plate reading was taken, as far as it decides what the plate shows; the torsion
/// tool does not ask.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pull {
    /// Length of the face, in metres.
    face_m: Option<f64>,
    /// k in F = k T, by pull, place and face; `None` where the place cannot be.
    factor: Option<f64>,
}

impl Pull {
    pub(super) fn of(load: &Load, reading: &Reading) -> Self {
        let Measure::PullPlate(pull) = &reading.measure else {
            return Self {
                face_m: None,
                factor: None,
            };
        };
        let face = reading.face_length(load);
        let geometry = PullGeometry::of_reading(pull, face).ok();
        Self {
            face_m: face.map(Length::m),
            factor: geometry.map(|geometry| geometry.factor()),
        }
    }

    /// Whether the face read is so long, or its length is not known.
    pub(super) fn may_be_on(&self, face: Length) -> bool {
        self.face_m.is_none_or(|m| faces_alike(m, face.m()))
    }
}

/// Whether two factors, more than 0, are one.
fn pulls_alike(a: f64, b: f64) -> bool {
    (a - b).abs() <= PULLS_ALIKE * a.max(b)
}

/// The value that most have; of two that as many have, the greater.
fn usual(values: &[f64], alike: fn(f64, f64) -> bool) -> Option<f64> {
    let count = |value: f64| values.iter().filter(|&&other| alike(value, other)).count();
    values
        .iter()
        .copied()
        .max_by(|&a, &b| count(a).cmp(&count(b)).then(a.total_cmp(&b)))
}

/// Keeps the readings of one face length and of one pull, those of most readings: at the same film
/// tension the pull plate reads more on a shorter face and the further it is pulled. Of two face
/// lengths with as many, the longer: it reads less.
pub(super) fn one_face<M: Method>(
    read: &mut Vec<Read>,
    left_out: &mut Vec<LeftOut>,
) -> Option<Length> {
    if M::ID != MethodId::PullPlate {
        return None;
    }
    let mut keep =
        |of: fn(&Pull) -> Option<f64>, alike: fn(f64, f64) -> bool, why: fn(usize) -> LeftOut| {
            let values: Vec<f64> = read
                .iter()
                .filter_map(|reading| of(&reading.pull))
                .collect();
            let kept = usual(&values, alike)?;
            let before = read.len();
            read.retain(|reading| of(&reading.pull).is_none_or(|value| alike(value, kept)));
            let dropped = before - read.len();
            if dropped > 0 {
                left_out.push(why(dropped));
            }
            Some(kept)
        };
    let face = keep(|pull| pull.face_m, faces_alike, LeftOut::OtherFaces);
    keep(|pull| pull.factor, pulls_alike, LeftOut::OtherPulls);
    Length::from_m(face?).ok()
}
