//! What a plan takes for granted, and what it had to leave out.

use std::fmt;

use crate::analysis::pattern::{self, PatternError, PlaceError};
use crate::survey::{Id, Load, Reading};

/// Something a plan rests on that was not measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Assumption {
    /// Of the wrap pattern.
    Pattern(pattern::Assumption),
    /// All readings come from one load.
    OneLoad,
    /// The film was not weighed.
    FilmFromLabel,
    /// What the wrapper can be set to is not noted: turns.
    UsualTurns,
    /// What the wrapper can be set to is not noted: pitch.
    UsualPitch,
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Pattern(assumption) => return assumption.fmt(f),
            Self::OneLoad => {
                "All readings come from one load: how much loads differ is not in the bounds. \
                 Measure a second load."
            }
            Self::FilmFromLabel => {
                "The film was not weighed: its mass is worked out from the roll's label and the \
                 stretch. Weigh the film of one load."
            }
            Self::UsualTurns => {
                "What turns the panel allows is not written: whole turns from 1 to 6 are looked \
                 at. Write the wrapper's limits on the line."
            }
            Self::UsualPitch => {
                "What pitch the panel allows is not written: steps of 1 in (25.4 mm) from the \
                 pitch as found are looked at. Write the wrapper's limits on the line."
            }
        })
    }
}

/// Something measured that a plan could not use.
#[derive(Debug, Clone, PartialEq)]
pub enum LeftOut {
    /// A load whose layers are not known.
    Load(Id<Load>, PatternError),
    /// A reading whose place is not known.
    Place(Id<Reading>, PlaceError),
    /// A reading at a height of its own, of no zone.
    AtAHeight(Id<Reading>),
    /// So many pull-plate readings on faces of another length.
    OtherFaces(usize),
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Load(_, error) => write!(f, "The readings of a load are left out: {error}."),
            Self::Place(_, error) => write!(f, "A reading is left out: {error}."),
            Self::AtAHeight(_) => {
                f.write_str("A reading at a height of its own is left out: it belongs to no zone.")
            }
            Self::OtherFaces(readings) => write!(
                f,
                "{readings} pull-plate readings on faces of another length are left out: the \
                 plate reads more on a shorter face at the same film tension."
            ),
        }
    }
}
