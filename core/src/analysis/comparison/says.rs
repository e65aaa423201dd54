//! What a comparison has to say beside its figures.

use std::fmt;

use crate::analysis::containment::ZoneName;
use crate::analysis::statistics::StatisticsError;
use crate::language::Language;
use crate::{say, word};

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

/// Why a new setup was not shown to be good enough. Each prints as one sentence.
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

impl Reason {
    /// It, in a language, with forces (in newtons) and lengths of faces (in metres) written as the
    /// reader's units want it.
    pub fn said(
        &self,
        language: Language,
        force: impl Fn(f64) -> String,
        length: impl Fn(f64) -> String,
    ) -> String {
        let l = language;
        let place = |zone: ZoneName, face_m: Option<f64>| match face_m {
            None => zone.the_at_head().said(l).to_owned(),
            Some(m) => say!(
                l,
                "{zone} on faces of {length}",
                zone = zone.the_at_head().said(l),
                length = length(m)
            ),
        };
        match *self {
            Self::NothingMeasured => say!(
                l,
                "Nothing was read by this tool on either setup: take readings on both."
            ),
            Self::Missing { zone, face_m, side } => {
                let place = place(zone, face_m);
                match side {
                    Side::New => say!(
                        l,
                        "{place} was not read on the new setup: take at least two readings there.",
                        place = place
                    ),
                    Side::Old => say!(
                        l,
                        "{place} was not read on the old setup: take at least two readings there.",
                        place = place
                    ),
                }
            }
            Self::NotRead { zone } => say!(
                l,
                "{place} has a target and was read on neither setup: take at least two readings \
                 there on each.",
                place = place(zone, None)
            ),
            Self::OneReading { zone, face_m, side } => {
                let place = place(zone, face_m);
                match side {
                    Side::New => say!(
                        l,
                        "{place} has one reading on the new setup, which shows no spread: take at \
                         least one more.",
                        place = place
                    ),
                    Side::Old => say!(
                        l,
                        "{place} has one reading on the old setup, which shows no spread: take at \
                         least one more.",
                        place = place
                    ),
                }
            }
            Self::MayHoldLess {
                zone,
                face_m,
                less_n,
                margin_n,
            } => say!(
                l,
                "{place} may hold as much as {less} less on the new setup, and {allowed} less was \
                 allowed: more readings make this surer, more film makes it hold more.",
                place = place(zone, face_m),
                less = force(less_n),
                allowed = force(margin_n)
            ),
            Self::BelowTarget {
                zone,
                face_m,
                bound_n,
                target_n,
            } => say!(
                l,
                "{place} of the new setup is only sure to hold {bound}, which is below the target of \
                 {target}: more readings make this surer, more film makes it hold more.",
                place = place(zone, face_m),
                bound = force(bound_n),
                target = force(target_n)
            ),
            Self::CannotBeWorked { zone, why } => say!(
                l,
                "{place} cannot be compared: {why}.",
                place = place(zone, None),
                why = why.said(l)
            ),
        }
    }
}

impl fmt::Display for Reason {
    /// In English, with forces in newtons and lengths in metres.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let force = |n| format!("{n:.1} N");
        let length = |m| format!("{m:.2} m");
        f.write_str(&self.said(Language::English, force, length))
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

impl Assumption {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let the = |zone: ZoneName| zone.the().said(language);
        let the_at_head = |zone: ZoneName| zone.the_at_head().said(language);
        match self {
            Self::ByLoad(zone) => say!(
                language,
                "{zone} is compared between loads, since readings on one load are alike.",
                zone = the_at_head(zone)
            ),
            Self::OneLoadOnly(zone) => say!(
                language,
                "{zone} was read on one load only of one of the setups: how much loads differ is \
                 not in this. Measure a second load of each.",
                zone = the_at_head(zone)
            ),
            Self::BoundOverLoads => say!(
                language,
                "The lower bound takes readings to spread normally, within a load and from \
                 load to load."
            ),
            Self::BoundOnOneLoad(zone) => say!(
                language,
                "The lower bound at {zone} rests on one load: how much loads differ is not in \
                 it. Measure a second load.",
                zone = the(zone)
            ),
            Self::EveryZoneByItself => say!(
                language,
                "Every zone has to pass by itself at the full confidence, so that their number \
                 needs no correction."
            ),
            Self::NoDifferenceShown(zone) => say!(
                language,
                "No difference is shown at {zone}, which is not to say that the setups are the \
                 same there.",
                zone = the(zone)
            ),
            Self::ZoneNotMeasured(zone) => say!(
                language,
                "{zone} was read on neither setup: nothing is said of it.",
                zone = the_at_head(zone)
            ),
            Self::FaceByFace(zone) => say!(
                language,
                "{zone} was read on faces of unlike length, on which the pull plate reads unlike: \
                 each length is compared by itself.",
                zone = the_at_head(zone)
            ),
            Self::FaceNotKnown(zone) => say!(
                language,
                "The length of a face read at {zone} is not known; the pull plate reads more on a \
                 shorter face. Write down the load's length and width.",
                zone = the(zone)
            ),
            Self::TargetForOtherFaces(zone) => say!(
                language,
                "The target at {zone} is for faces of another length than some that were read, on \
                 which the pull plate reads unlike: those are judged by none.",
                zone = the(zone)
            ),
            Self::AllAlike(zone) => say!(
                language,
                "The readings at {zone} are all but alike: the spread is taken to be that of a \
                 scale read to one ounce-force.",
                zone = the(zone)
            ),
        }
    }
}

impl Assumption {
    /// Whether it is how every comparison is worked out, and so nothing to act on.
    #[must_use]
    pub const fn is_usual(self) -> bool {
        match self {
            Self::ByLoad(_)
            | Self::BoundOverLoads
            | Self::EveryZoneByItself
            | Self::NoDifferenceShown(_)
            | Self::FaceByFace(_) => true,
            Self::OneLoadOnly(_)
            | Self::BoundOnOneLoad(_)
            | Self::ZoneNotMeasured(_)
            | Self::FaceNotKnown(_)
            | Self::AllAlike(_)
            | Self::TargetForOtherFaces(_) => false,
        }
    }
}

/// Assumptions in a language, a sentence each: what is so of all three zones is said once.
#[must_use]
pub fn said_together(assumptions: &[Assumption], language: Language) -> Vec<String> {
    let of_all = |of: fn(ZoneName) -> Assumption| {
        let mut zones = ZoneName::ALL.into_iter();
        zones.all(|zone| assumptions.contains(&of(zone)))
    };
    let mut said = Vec::new();
    for assumption in assumptions {
        let (of, all): (fn(ZoneName) -> Assumption, _) = match assumption {
            Assumption::ByLoad(_) => (
                Assumption::ByLoad,
                word!(
                    "The zones are compared between loads, since readings on one load are alike."
                ),
            ),
            Assumption::OneLoadOnly(_) => (
                Assumption::OneLoadOnly,
                word!(
                    "In each zone one of the setups was read on one load only: how much loads \
                     differ is not in this. Measure a second load of each."
                ),
            ),
            Assumption::BoundOnOneLoad(_) => (
                Assumption::BoundOnOneLoad,
                word!(
                    "The lower bounds rest on one load: how much loads differ is not in them. \
                     Measure a second load."
                ),
            ),
            other => {
                said.push(other.said(language));
                continue;
            }
        };
        if !of_all(of) {
            said.push(assumption.said(language));
        } else if *assumption == of(ZoneName::Top) {
            said.push(all.said(language).to_owned());
        }
    }
    said
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}
