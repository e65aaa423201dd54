//! What a comparison has to say beside its figures.

use std::fmt;

use crate::analysis::containment::ZoneName;
use crate::analysis::statistics::StatisticsError;

/// Which of the two setups.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// The new one.
    New,
    /// The one it is compared with.
    Old,
}

impl Side {
    /// `new` or `old`.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Old => "old",
        }
    }
}

/// Why a new setup was not shown to be good enough. Each prints as one sentence with forces in
/// newtons; a screen with other units has the numbers at hand.
#[derive(Debug, Clone, PartialEq)]
pub enum Reason {
    /// Nothing was read on either setup.
    NothingMeasured,
    /// A zone, or a zone on faces of one length, was read on one setup only.
    Missing {
        /// The zone.
        zone: ZoneName,
        /// Length of the faces in metres, where the zone is compared face by face.
        face_m: Option<f64>,
        /// The setup without readings.
        side: Side,
    },
    /// A single reading shows no spread.
    OneReading {
        /// The zone.
        zone: ZoneName,
        /// Length of the faces in metres, where known.
        face_m: Option<f64>,
        /// The setup with the single reading.
        side: Side,
    },
    /// The new setup may hold less than was allowed.
    MayHoldLess {
        /// The zone.
        zone: ZoneName,
        /// Length of the faces in metres, where known.
        face_m: Option<f64>,
        /// How much less it may hold, in newtons.
        less_n: f64,
        /// How much less was allowed, in newtons.
        margin_n: f64,
    },
    /// A zone with a target was read on neither setup.
    NotRead {
        /// The zone.
        zone: ZoneName,
    },
    /// The lower tolerance bound of the new setup is below the target.
    BelowTarget {
        /// The zone.
        zone: ZoneName,
        /// Length of the faces in metres, where known.
        face_m: Option<f64>,
        /// The bound in newtons.
        bound_n: f64,
        /// The target in newtons.
        target_n: f64,
    },
    /// The numbers cannot be worked with.
    CannotBeWorked {
        /// The zone.
        zone: ZoneName,
        /// Why.
        why: StatisticsError,
    },
}

/// "The bottom", or "The bottom on faces of 1.02 m".
struct Place(ZoneName, Option<f64>);

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "The {}", self.0.as_str())?;
        match self.1 {
            Some(m) => write!(f, " on faces of {m:.2} m"),
            None => Ok(()),
        }
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NothingMeasured => {
                f.write_str("Nothing was read by this tool on either setup: take readings on both.")
            }
            Self::Missing { zone, face_m, side } => write!(
                f,
                "{} was not read on the {} setup: take at least two readings there.",
                Place(zone, face_m),
                side.as_str()
            ),
            Self::NotRead { zone } => write!(
                f,
                "{} has a target and was read on neither setup: take at least two readings there \
                 on each.",
                Place(zone, None)
            ),
            Self::OneReading { zone, face_m, side } => write!(
                f,
                "{} has one reading on the {} setup, which shows no spread: take at least one \
                 more.",
                Place(zone, face_m),
                side.as_str()
            ),
            Self::MayHoldLess {
                zone,
                face_m,
                less_n,
                margin_n,
            } => write!(
                f,
                "{} may hold as much as {less_n:.1} N less on the new setup, and {margin_n:.1} N \
                 less was allowed: more readings make this surer, more film makes it hold more.",
                Place(zone, face_m)
            ),
            Self::BelowTarget {
                zone,
                face_m,
                bound_n,
                target_n,
            } => write!(
                f,
                "{} of the new setup is only sure to hold {bound_n:.1} N, which is below the \
                 target of {target_n:.1} N: more readings make this surer, more film makes it \
                 hold more.",
                Place(zone, face_m)
            ),
            Self::CannotBeWorked { zone, why } => {
                write!(f, "{} cannot be compared: {why}.", Place(zone, None))
            }
        }
    }
}

/// What a comparison rests on, or what to bear in mind with it. Each prints as one sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Assumption {
    /// Differences are taken between loads.
    ByLoad(ZoneName),
    /// Differences are taken between readings, since one setup has one load.
    OneLoadOnly(ZoneName),
    /// What loads differ is in the tolerance bound.
    BoundOverLoads,
    /// The tolerance bound rests on one load.
    BoundOnOneLoad(ZoneName),
    /// Every zone has to pass by itself.
    EveryZoneByItself,
    /// The interval of the difference holds zero.
    NoDifferenceShown(ZoneName),
    /// A zone was read on neither setup.
    ZoneNotMeasured(ZoneName),
    /// A zone is compared face by face.
    FaceByFace(ZoneName),
    /// The length of a face is not known.
    FaceNotKnown(ZoneName),
    /// The readings differ by less than the scale shows.
    AllAlike(ZoneName),
    /// The targets of a zone are for faces of another length.
    TargetForOtherFaces(ZoneName),
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::ByLoad(zone) => write!(
                f,
                "The {} is compared between loads, since readings on one load are alike.",
                zone.as_str()
            ),
            Self::OneLoadOnly(zone) => write!(
                f,
                "The {} was read on one load only of one of the setups: how much loads differ is \
                 not in this. Measure a second load of each.",
                zone.as_str()
            ),
            Self::BoundOverLoads => f.write_str(
                "The tolerance bound takes readings to spread normally, within a load and from \
                 load to load.",
            ),
            Self::BoundOnOneLoad(zone) => write!(
                f,
                "The tolerance bound at the {} rests on one load: how much loads differ is not in \
                 it. Measure a second load.",
                zone.as_str()
            ),
            Self::EveryZoneByItself => f.write_str(
                "Every zone has to pass by itself at the full confidence, so that their number \
                 needs no correction.",
            ),
            Self::NoDifferenceShown(zone) => write!(
                f,
                "No difference is shown at the {}, which is not to say that the setups are the \
                 same there.",
                zone.as_str()
            ),
            Self::ZoneNotMeasured(zone) => write!(
                f,
                "The {} was read on neither setup: nothing is said of it.",
                zone.as_str()
            ),
            Self::FaceByFace(zone) => write!(
                f,
                "The {} was read on faces of unlike length, on which the pull plate reads unlike: \
                 each length is compared by itself.",
                zone.as_str()
            ),
            Self::FaceNotKnown(zone) => write!(
                f,
                "The length of a face read at the {} is not known; the pull plate reads more on a \
                 shorter face. Write down the load's length and width.",
                zone.as_str()
            ),
            Self::TargetForOtherFaces(zone) => write!(
                f,
                "The target at the {} is for faces of another length than some that were read, on \
                 which the pull plate reads unlike: those are judged by none.",
                zone.as_str()
            ),
            Self::AllAlike(zone) => write!(
                f,
                "The readings at the {} are all but alike: the spread is taken to be that of a \
                 scale read to one ounce-force.",
                zone.as_str()
            ),
        }
    }
}
