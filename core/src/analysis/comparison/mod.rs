//! Two setups compared: containment by zone, and film.
//!
//! **The rule.** A new setup with less film is accepted when, in every zone measured and
//! in every zone with a target,
//!
//! 1. the lower one-sided bound of (new − old) is −margin or more, the margin having been chosen
//!    beforehand (non-inferiority), and
//! 2. the lower tolerance bound of the new setup reaches the target (see
//!    [`lower_tolerance_bound`](super::statistics::lower_tolerance_bound)).
//!
//! "No difference shown" is never enough: with few readings nothing is shown of anything.
//!
//! **Several zones.** All of them must pass, each at the full confidence. Such an
//! intersection-union test needs no correction for their number: the whole is wrongly accepted no
//! more often than the one zone that should have failed. Source: R. L. Berger, "Multiparameter
//! hypothesis testing and acceptance sampling", Technometrics 24 (1982).
//!
//! **What counts as one.** Readings on one load are not independent of each other. Where both
//! setups have two loads or more with readings in a zone, the difference is taken between loads:
//! Welch's comparison of the means of loads. Otherwise it is taken between readings, and the
//! result says that how much loads differ is not in it. Both are worked out where they can be. The
//! tolerance bound is for any place on any load, with what loads differ among themselves in it
//! (see
//! [`lower_tolerance_bound_of_groups`](super::statistics::lower_tolerance_bound_of_groups)); from one load that is not known, and said.
//!
//! **Faces.** The pull plate reads more on a shorter face at the same film tension. Where its
//! readings in a zone come from faces whose lengths differ by more than a hundredth, each length
//! is compared by itself, and each must pass. The two tools cannot meet: [`Method`] is a type.

mod film;
mod judge;
mod readings;
mod says;

pub use film::{FilmComparison, FilmError, FilmMean, compare_film, film_mean};
pub use readings::{LoadReadings, compare_films, compare_setups, load_readings};
pub use says::{Assumption, Reason, Side, said_together};

use crate::units::{Containment, Force, Method};

use super::containment::{CONFIDENCE, ZoneName, ZoneTargets};
use super::statistics::{Interval, Summary, ToleranceBound, Welch};
use judge::Judge;
use readings::face_groups;

/// What a trial is judged by, chosen before it is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Criteria {
    /// How much less the new setup may hold and still be accepted, in each zone. Zero: not less.
    pub margin: Force,
    /// Part of all places that has to reach the target, as a fraction.
    pub coverage: f64,
    /// Confidence of each one-sided bound and of the intervals shown, as a fraction.
    pub confidence: f64,
}

impl Criteria {
    /// With a margin, at 90 % coverage and 95 % confidence (common practice, no source).
    #[must_use]
    pub const fn new(margin: Force) -> Self {
        Self {
            margin,
            coverage: 0.90,
            confidence: CONFIDENCE,
        }
    }
}

/// What the difference is taken between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Means of loads.
    Load,
    /// Single readings.
    Reading,
}

/// A difference of containment, new less old, in newtons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    /// What it is taken between.
    pub unit: Unit,
    /// The comparison itself.
    pub welch: Welch,
    /// Two-sided interval.
    pub interval: Interval,
    /// One-sided lower bound: at worst the new setup holds this much more (less, if negative).
    pub lower: f64,
}

/// The readings of one setup in a zone (and on faces of one length).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideResult {
    /// Loads with readings here.
    pub loads: usize,
    /// Over all readings, in newtons.
    pub summary: Summary,
}

/// A zone on faces of one length, or on all faces where that does not matter.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceResult<M: Method> {
    /// Length of the faces in metres; `None` where it does not matter or is not known.
    pub face_length_m: Option<f64>,
    /// The least force it has to reach; `None` where there is none for faces so long.
    pub target: Option<Containment<M>>,
    /// The new setup; `None` without readings here.
    pub new: Option<SideResult>,
    /// The old setup; `None` without readings here.
    pub old: Option<SideResult>,
    /// The difference that counts: by load where that can be, else by reading.
    pub difference: Option<Difference>,
    /// The difference between single readings, for comparison.
    pub by_reading: Option<Difference>,
    /// Lower tolerance bound of the new setup in newtons.
    pub bound: Option<ToleranceBound>,
    /// That bound less the target; negative when below.
    pub over_target_n: Option<f64>,
}

/// One zone compared.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneComparison<M: Method> {
    /// Which.
    pub zone: ZoneName,
    /// One entry, or one a face length where the pull plate was used on unlike faces.
    pub faces: Vec<FaceResult<M>>,
}

impl<M: Method> ZoneComparison<M> {
    /// Whether it is compared only face by face.
    #[must_use]
    pub fn face_by_face(&self) -> bool {
        self.faces.len() > 1
    }
}

/// What may be said of the new setup.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// It holds no less than the old one, within the margin, and reaches the target in every zone
    /// measured.
    Passes,
    /// It holds no less than the old one, within the margin, in every zone measured; but these
    /// zones have no target, so that nothing is said of whether that is enough.
    NotLess {
        /// The zones without a target.
        without_target: Vec<ZoneName>,
    },
    /// That was not shown.
    NotShown {
        /// Why not, one sentence each.
        reasons: Vec<Reason>,
    },
}

/// Two setups compared by method `M`.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison<M: Method> {
    /// The zones measured on either setup, from the top down.
    pub zones: Vec<ZoneComparison<M>>,
    /// The zone nearest to its target (or furthest below); where no zone has a target, the one
    /// with the lowest tolerance bound.
    pub weakest: Option<ZoneName>,
    /// What may be said.
    pub verdict: Verdict,
    /// What goes with it, one sentence each.
    pub assumptions: Vec<Assumption>,
    /// As asked.
    pub criteria: Criteria,
}

/// Compares the containment of two setups by the rule at the head of this module.
///
/// `new` and `old` are the readings of each, by load; `targets` those of the new setup's loads
/// (top, middle, bottom). Differences are Welch's (B. L. Welch, Biometrika 34 (1947)), in newtons;
/// spreads are taken to be no less than that of a scale read to one ounce-force (common practice,
/// no source). Assumes roughly normal readings. A confidence or coverage outside 0 to 1 is a
/// reason not to accept, like everything else that cannot be worked out.
#[must_use]
pub fn compare<M: Method>(
    new: &[LoadReadings<M>],
    old: &[LoadReadings<M>],
    targets: &[ZoneTargets<M>; 3],
    criteria: Criteria,
) -> Comparison<M> {
    let mut judge = Judge {
        criteria,
        reasons: Vec::new(),
        assumptions: Vec::new(),
    };
    let mut zones = Vec::new();
    for (zone, target) in ZoneName::ALL.into_iter().zip(targets) {
        let groups = face_groups(zone, new, old);
        if groups.is_empty() {
            judge.note(Assumption::ZoneNotMeasured(zone));
            if !target.is_empty() {
                judge.reasons.push(Reason::NotRead { zone });
            }
            continue;
        }
        if groups.len() > 1 {
            judge.note(Assumption::FaceByFace(zone));
        } else if groups.iter().any(|group| group.unknown_face) {
            judge.note(Assumption::FaceNotKnown(zone));
        }
        let faces: Vec<FaceResult<M>> = groups
            .iter()
            .map(|group| judge.face(zone, target, group))
            .collect();
        if !target.is_empty() && faces.iter().any(|face| face.target.is_none()) {
            judge.note(Assumption::TargetForOtherFaces(zone));
        }
        zones.push(ZoneComparison { zone, faces });
    }
    if zones.is_empty() {
        judge.reasons = vec![Reason::NothingMeasured];
    } else {
        judge.note(Assumption::EveryZoneByItself);
    }
    let without_target: Vec<ZoneName> = zones
        .iter()
        .filter(|zone| zone.faces.iter().any(|face| face.target.is_none()))
        .map(|zone| zone.zone)
        .collect();
    let verdict = if !judge.reasons.is_empty() {
        Verdict::NotShown {
            reasons: judge.reasons,
        }
    } else if without_target.is_empty() {
        Verdict::Passes
    } else {
        Verdict::NotLess { without_target }
    };
    Comparison {
        weakest: weakest(&zones),
        zones,
        verdict,
        assumptions: judge.assumptions,
        criteria,
    }
}

fn weakest<M: Method>(zones: &[ZoneComparison<M>]) -> Option<ZoneName> {
    let faces = || {
        zones
            .iter()
            .flat_map(|zone| zone.faces.iter().map(|face| (zone.zone, face)))
    };
    let lowest = |a: &(ZoneName, f64), b: &(ZoneName, f64)| a.1.total_cmp(&b.1);
    faces()
        .filter_map(|(zone, face)| Some((zone, face.over_target_n?)))
        .min_by(lowest)
        .or_else(|| {
            faces()
                .filter_map(|(zone, face)| Some((zone, face.bound?.bound)))
                .min_by(lowest)
        })
        .map(|(zone, _)| zone)
}
