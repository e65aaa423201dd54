//! Containment force by zone, for one method at a time.
//!
//! Everything here is generic over the method, so that readings of the two methods cannot meet:
//! a function for the torsion tool sees the torsion tool's readings and targets only.
//!
//! * [`containment`] sums up the readings of each zone and judges them.
//! * [`flags`] says which readings to trust less, and why.
//! * [`people`] tells the spread between people or tools from that of one.
//! * [`relaxation`] follows a load that is read again days later.
//! * [`breaks`] gives the rate of film breaks.
//! * [`target`] derives a target from loads known to have shipped undamaged.

use crate::language::Word;
use crate::word;
use serde::{Deserialize, Serialize};

use crate::survey::{Id, Load, Reading, Record, Zone};
use crate::units::{Containment, Length, Method};

use super::statistics::{GrubbsTest, Interval, Summary};

pub mod breaks;
mod doubt;
mod faces;
pub mod flags;
pub mod people;
pub mod relaxation;
pub mod target;
mod targets;
mod tolerance;
mod zone;

pub use doubt::{Doubt, FAR, FAR_BETWEEN_UNITS, doubt};
pub use faces::{FaceResult, faces_alike};
pub use targets::{ZoneTargets, target_for, targets_for};
pub use tolerance::{MoreReadingsError, ToleranceResult, ToleranceRule};
use zone::zone_result;

/// The confidence of the intervals shown, as a fraction.
pub const CONFIDENCE: f64 = 0.95;

/// The significance at which Grubbs' test marks a reading.
pub const OUTLIER_SIGNIFICANCE: f64 = 0.05;

/// The step to which a hand scale is read, in newtons: one ounce-force (common practice, no
/// source). Readings that are all alike are not without spread, but finer than this.
pub const READ_TO_N: f64 = 0.278_013_850_953_781_2;

/// The three heights at which every load is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ZoneName {
    /// Near the top.
    Top,
    /// Half way up.
    Middle,
    /// Near the bottom.
    Bottom,
}

impl ZoneName {
    /// All three, from the top down.
    pub const ALL: [Self; 3] = [Self::Top, Self::Middle, Self::Bottom];

    /// The zone of a reading or target; `None` when it was given as a height.
    #[must_use]
    pub const fn of(zone: &Zone) -> Option<Self> {
        match zone {
            Zone::Top => Some(Self::Top),
            Zone::Middle => Some(Self::Middle),
            Zone::Bottom => Some(Self::Bottom),
            Zone::Height(_) => None,
        }
    }

    /// The zone as the record writes it.
    #[must_use]
    pub const fn zone(self) -> Zone {
        match self {
            Self::Top => Zone::Top,
            Self::Middle => Zone::Middle,
            Self::Bottom => Zone::Bottom,
        }
    }

    /// Its stable name.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Top => "top",
            Self::Middle => "middle",
            Self::Bottom => "bottom",
        }
    }

    /// Its name at the head of a row.
    #[must_use]
    pub const fn word(self) -> Word {
        match self {
            Self::Top => word!(ctx: "zone", "Top"),
            Self::Middle => word!(ctx: "zone", "Middle"),
            Self::Bottom => word!(ctx: "zone", "Bottom"),
        }
    }

    /// Its name with its article, within a sentence.
    #[must_use]
    pub const fn the(self) -> Word {
        match self {
            Self::Top => word!(ctx: "zone with article", "the top"),
            Self::Middle => word!(ctx: "zone with article", "the middle"),
            Self::Bottom => word!(ctx: "zone with article", "the bottom"),
        }
    }

    /// Its name with its article, at the head of a sentence.
    #[must_use]
    pub const fn the_at_head(self) -> Word {
        match self {
            Self::Top => word!(ctx: "zone with article", "The top"),
            Self::Middle => word!(ctx: "zone with article", "The middle"),
            Self::Bottom => word!(ctx: "zone with article", "The bottom"),
        }
    }

    /// Its bare name, in a list.
    #[must_use]
    pub const fn in_list(self) -> Word {
        match self {
            Self::Top => word!(ctx: "zone in a list", "top"),
            Self::Middle => word!(ctx: "zone in a list", "middle"),
            Self::Bottom => word!(ctx: "zone in a list", "bottom"),
        }
    }
}

/// How a zone stands against its target.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ZoneVerdict {
    /// No reading: nothing is said, which is not a pass.
    NotMeasured,
    /// There are readings and nothing to judge them against, or nothing for some of them while the
    /// others reach theirs.
    NoTarget,
    /// The lowest reading is the target or more.
    Reaches,
    /// The lowest reading is less than the target.
    Below,
}

/// How a load or setup stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing was measured by this method.
    NotMeasured,
    /// No zone that was measured has a target.
    NoTarget,
    /// No zone is below its target, but one has no reading or no target.
    Incomplete,
    /// The lowest reading of every zone reaches that zone's target.
    Reaches,
    /// A zone is below its target: a load is as strong as its weakest zone.
    Below,
}

/// One zone by one method.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneResult<M: Method> {
    /// Which.
    pub zone: ZoneName,
    /// Number of readings.
    pub count: usize,
    /// Count, mean and standard deviation in newtons; `None` without readings, and for the pull
    /// plate on faces of unlike length, which are never averaged: see [`ZoneResult::faces`].
    pub summary: Option<Summary>,
    /// Student-t interval of the mean in newtons at [`CONFIDENCE`]; `None` below two readings.
    /// Readings that are all but alike are given the spread of a scale read to one ounce-force.
    pub interval: Option<Interval>,
    /// The lowest reading.
    pub lowest: Option<Containment<M>>,
    /// The reading that lies too far from the others to be chance, by Grubbs' two-sided test at
    /// [`OUTLIER_SIGNIFICANCE`]. Shown, never dropped. Its index counts the readings of the zone.
    pub outlier: Option<GrubbsTest>,
    /// The limit that most readings of such loads lie above; `None` below two readings and where
    /// there is no [`ZoneResult::summary`].
    pub tolerance: Option<ToleranceResult>,
    /// The least force this zone has to reach. Where faces of unlike length have targets of their
    /// own, the one that is reached least.
    pub target: Option<Containment<M>>,
    /// Lowest reading less target, in newtons; negative when below. Where readings have unlike
    /// targets, the least of all.
    pub margin_n: Option<f64>,
    /// How it stands.
    pub verdict: ZoneVerdict,
    /// Readings that no target here is for, since those that are here are for faces of another
    /// length.
    pub on_other_faces: usize,
    /// Readings come from faces of unlike length. The pull plate reads more on a shorter face
    /// at the same film tension, so those readings are not alike.
    pub unlike_faces: bool,
    /// Readings whose face length is not known. As long as all known lengths are alike they are
    /// taken along with them.
    pub faces_unknown: usize,
    /// The readings by length of face, from the shortest, unknown lengths last. Empty for the
    /// torsion tool, whose readings are not split, and where all readings are taken together.
    pub faces: Vec<FaceResult<M>>,
}

/// All zones by one method.
#[derive(Debug, Clone, PartialEq)]
pub struct ContainmentResult<M: Method> {
    /// Top, middle, bottom.
    pub zones: [ZoneResult<M>; 3],
    /// The zone with the lowest margin to its target, or with the lowest reading where no zone
    /// has a target.
    pub weakest: Option<ZoneName>,
    /// How the whole stands.
    pub verdict: Verdict,
    /// What the tolerance bounds cover and how sure they are.
    pub rule: ToleranceRule,
}

/// A reading that takes part: its value by method `M` and where it was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taken<M: Method> {
    /// The load: readings on one are more alike than readings on two.
    pub load: Id<Load>,
    /// The zone.
    pub zone: ZoneName,
    /// The value.
    pub value: Containment<M>,
    /// Length of the face in metres, where known.
    pub face_length_m: Option<f64>,
}

/// The readings of one load that were taken by method `M` in a zone and are in use.
#[must_use]
pub fn taken<M: Method>(load: &Load, readings: &[Record<Reading>]) -> Vec<Taken<M>> {
    readings
        .iter()
        .filter(|reading| reading.set_aside.is_none())
        .filter_map(|reading| {
            Some(Taken {
                load: reading.load,
                zone: ZoneName::of(&reading.zone)?,
                value: reading.measure.containment::<M>()?,
                face_length_m: reading.face_length(load).map(Length::m),
            })
        })
        .collect()
}

/// Sums up readings by zone and judges each against its target (top, middle, bottom).
///
/// The rule: a zone reaches its target when its lowest reading does, and a load or setup when
/// every zone does (a load is as strong as its weakest zone). With no target nothing is judged. A
/// target for faces of one length judges readings on such faces only: as long as a zone has others,
/// which it says nothing of, that zone does not reach it.
///
/// Tolerance bounds follow the usual [`ToleranceRule`].
#[must_use]
pub fn containment<M: Method>(
    readings: &[Taken<M>],
    targets: &[ZoneTargets<M>; 3],
) -> ContainmentResult<M> {
    containment_with(readings, targets, ToleranceRule::default())
}

/// [`containment`] with the coverage and confidence of the tolerance bounds chosen by the rep. A
/// rule that cannot be worked with gives no bounds.
#[must_use]
pub fn containment_with<M: Method>(
    readings: &[Taken<M>],
    targets: &[ZoneTargets<M>; 3],
    rule: ToleranceRule,
) -> ContainmentResult<M> {
    let [top, middle, bottom] = targets;
    let zones = [
        zone_result(ZoneName::Top, readings, top, rule),
        zone_result(ZoneName::Middle, readings, middle, rule),
        zone_result(ZoneName::Bottom, readings, bottom, rule),
    ];
    ContainmentResult {
        weakest: weakest(&zones),
        verdict: verdict(&zones),
        zones,
        rule,
    }
}

fn weakest<M: Method>(zones: &[ZoneResult<M>; 3]) -> Option<ZoneName> {
    let judged = zones
        .iter()
        .filter_map(|zone| Some((zone.zone, zone.margin_n?)));
    let read = zones
        .iter()
        .filter_map(|zone| Some((zone.zone, zone.lowest?.force().n())));
    let lowest = |a: &(ZoneName, f64), b: &(ZoneName, f64)| a.1.total_cmp(&b.1);
    judged
        .min_by(lowest)
        .or_else(|| read.min_by(lowest))
        .map(|(zone, _)| zone)
}

fn verdict<M: Method>(zones: &[ZoneResult<M>; 3]) -> Verdict {
    let has = |verdict| zones.iter().any(|zone| zone.verdict == verdict);
    if has(ZoneVerdict::Below) {
        Verdict::Below
    } else if zones
        .iter()
        .all(|zone| zone.verdict == ZoneVerdict::NotMeasured)
    {
        Verdict::NotMeasured
    } else if zones
        .iter()
        .all(|zone| zone.verdict == ZoneVerdict::Reaches)
    {
        Verdict::Reaches
    } else if has(ZoneVerdict::Reaches) {
        Verdict::Incomplete
    } else {
        Verdict::NoTarget
    }
}
