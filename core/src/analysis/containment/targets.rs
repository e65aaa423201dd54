//! The targets that readings are judged by: for each zone, and where it matters each length of
//! face.

use crate::survey::{Id, Line, Record, Stability, Target};
use crate::units::{Containment, Method, MethodId};

use super::ZoneName;
use super::faces::{ALIKE, faces_alike};

/// The least force of one zone by method `M`.
///
/// A target of the pull plate may be for faces of one length: it judges readings on faces of that
/// length only, since the plate reads more on a shorter face. One without a length judges them all.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneTargets<M: Method> {
    any_face: Option<Containment<M>>,
    /// By length of face in metres; of two alike the first counts.
    by_face: Vec<(f64, Containment<M>)>,
}

impl<M: Method> Default for ZoneTargets<M> {
    fn default() -> Self {
        Self {
            any_face: None,
            by_face: Vec::new(),
        }
    }
}

/// A target for faces of any length.
impl<M: Method> From<Option<Containment<M>>> for ZoneTargets<M> {
    fn from(any_face: Option<Containment<M>>) -> Self {
        Self {
            any_face,
            by_face: Vec::new(),
        }
    }
}

impl<M: Method> ZoneTargets<M> {
    /// Targets of the three zones (top, middle, bottom) for faces of any length.
    #[must_use]
    pub fn on_every_face(targets: [Option<Containment<M>>; 3]) -> [Self; 3] {
        targets.map(Self::from)
    }

    /// The target of a reading on a face so long, in metres; `None` for a length that is not known.
    #[must_use]
    pub fn for_face(&self, length_m: Option<f64>) -> Option<Containment<M>> {
        let own = length_m.and_then(|m| self.by_face.iter().find(|(of, _)| faces_alike(*of, m)));
        own.map(|(_, minimum)| *minimum).or(self.any_face)
    }

    /// Whether there is no target at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.any_face.is_none() && self.by_face.is_empty()
    }

    /// Whether there are targets, and none for a face so long.
    #[must_use]
    pub fn for_other_faces_only(&self, length_m: Option<f64>) -> bool {
        !self.is_empty() && self.for_face(length_m).is_none()
    }

    /// The lengths of face that have a target of their own, in metres, from the shortest.
    #[must_use]
    pub fn faces_m(&self) -> Vec<f64> {
        let mut lengths: Vec<f64> = self.by_face.iter().map(|(of, _)| *of).collect();
        lengths.sort_by(f64::total_cmp);
        lengths.dedup_by(|a, b| a.total_cmp(b).is_eq());
        lengths
    }

    /// The one to show where nothing was read: for any face, or else the highest of those for one.
    #[must_use]
    pub fn to_show(&self) -> Option<Containment<M>> {
        let own = self.by_face.iter().map(|(_, minimum)| *minimum);
        self.any_face.or_else(|| own.max_by(Containment::total_cmp))
    }

    /// The higher of both for every length of face.
    #[must_use]
    pub fn highest(&self, other: &Self) -> Self {
        let higher = |a: Option<Containment<M>>, b: Option<Containment<M>>| match (a, b) {
            (Some(a), Some(b)) => Some(if a.total_cmp(&b).is_ge() { a } else { b }),
            (a, b) => a.or(b),
        };
        let mut lengths = [self.faces_m(), other.faces_m()].concat();
        lengths.sort_by(f64::total_cmp);
        lengths.dedup_by(|a, b| a.total_cmp(b).is_eq());
        let mut by_face: Vec<(f64, Containment<M>)> = lengths
            .into_iter()
            .filter_map(|m| Some((m, higher(self.for_face(Some(m)), other.for_face(Some(m)))?)))
            .collect();
        by_face.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        Self {
            any_face: higher(self.any_face, other.any_face),
            by_face,
        }
    }
}

/// The targets of each zone (top, middle, bottom) for a load of that stability on that line: see
/// [`target_for`] for which counts.
#[must_use]
pub fn targets_for<M: Method>(
    targets: &[Record<Target>],
    line: Id<Line>,
    stability: Option<Stability>,
) -> [ZoneTargets<M>; 3] {
    ZoneName::ALL.map(|zone| {
        let mut all: Vec<_> = of_zone::<M>(targets, line, stability, zone).collect();
        all.sort_by_key(|(target, _)| std::cmp::Reverse(narrowness(target)));
        let mut found = ZoneTargets::default();
        for (target, minimum) in all {
            match face_of(target) {
                Some(m) => found.by_face.push((m, minimum)),
                // What comes after one for every face is never asked.
                None => {
                    found.any_face = Some(minimum);
                    break;
                }
            }
        }
        found
    })
}

/// The target that a reading in a zone, on a face so long in metres, is judged by, with the record
/// it stands in: the one for the narrowest class that takes in the load (line and stability, then
/// line, then stability, then the whole visit), in that one for this length of face before one for
/// any, the later-made of two alike. A target for faces of another length, or for faces of one
/// length where that of the reading is not known, judges nothing.
#[must_use]
pub fn target_for<M: Method>(
    targets: &[Record<Target>],
    line: Id<Line>,
    stability: Option<Stability>,
    zone: ZoneName,
    face_m: Option<f64>,
) -> Option<(&Record<Target>, Containment<M>)> {
    let on_this_face = |target: &Target| {
        face_of(target).is_none_or(|of| face_m.is_some_and(|m| faces_alike(of, m)))
    };
    of_zone::<M>(targets, line, stability, zone)
        .filter(|(target, _)| on_this_face(target))
        .max_by_key(|(target, _)| narrowness(target))
}

/// The targets in use that take in a load of that stability on that line.
fn of_zone<M: Method>(
    targets: &[Record<Target>],
    line: Id<Line>,
    stability: Option<Stability>,
    zone: ZoneName,
) -> impl Iterator<Item = (&Record<Target>, Containment<M>)> {
    targets
        .iter()
        .filter(|target| target.set_aside.is_none())
        .filter(move |target| ZoneName::of(&target.zone) == Some(zone))
        .filter(move |target| target.line.is_none_or(|of| of == line))
        .filter(move |target| target.stability.is_none_or(|of| Some(of) == stability))
        .filter_map(|target| Some((target, target.minimum.minimum::<M>()?)))
}

/// How narrow the class of a target is; of two the greater counts.
fn narrowness(target: &Record<Target>) -> (bool, bool, bool, Id<Target>) {
    (
        target.line.is_some(),
        target.stability.is_some(),
        face_of(target).is_some(),
        target.id,
    )
}

/// The length of face a target is for, in metres; the torsion tool does not ask.
fn face_of(target: &Target) -> Option<f64> {
    target
        .face_length
        .as_ref()
        .filter(|_| target.minimum.method == MethodId::PullPlate)
        .map(|length| length.value.m())
        .filter(|m| *m > 0.0 && *m * ALIKE < f64::INFINITY)
}
