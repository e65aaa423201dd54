//! What a plan takes for granted, and what it had to leave out.

use std::fmt;

use super::run::{RunError, RunsAs};
use crate::analysis::containment::ZoneName;
use crate::analysis::pattern::{self, PatternError, PlaceError};
use crate::language::Language;
use crate::survey::{Id, Load, Reading};
use crate::{say, say_count, word};

/// Something a plan rests on that was not measured, or that the measurements speak against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Assumption {
    /// Of the wrap pattern.
    Pattern(pattern::Assumption),
    /// All readings come from one load.
    OneLoad,
    /// The readings do not grow in proportion to the layers.
    NotInProportion,
    /// The film was not weighed, and its thickness is the label's.
    FilmFromLabel,
    /// The film was not weighed, and its thickness was measured.
    FilmFromMeasures,
    /// The roll has no density written.
    UsualDensity,
    /// The best of several films is taken.
    BestOfFilms,
    /// The targets are for faces of another length.
    TargetForOtherFaces,
    /// What the wrapper can be set to is not noted: turns.
    UsualTurns,
    /// What the wrapper can be set to is not noted: pitch.
    UsualPitch,
}

impl Assumption {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::Pattern(assumption) => return assumption.said(language),
            Self::OneLoad => {
                word!(
                    "All readings come from one load: how much loads differ is not in the bounds. \
                 Measure a second load."
                )
            }
            Self::NotInProportion => {
                word!(
                    "The readings do not grow in step with the layers of film, as the plan takes them \
                 to: what it says of more or fewer layers than were measured is doubtful. Change \
                 one step at a time and measure each."
                )
            }
            Self::FilmFromLabel => {
                word!(
                    "The film was not weighed: its mass is worked out from the roll's label and the \
                 stretch. Weigh the film of one load."
                )
            }
            Self::FilmFromMeasures => {
                word!(
                    "The film was not weighed: its mass is worked out from the thickness measured on \
                 the roll, its width and the stretch. Weigh the film of one load."
                )
            }
            Self::UsualDensity => {
                word!(
                    "No density is written on the roll: 0.918 g/cm³ is taken, good to 0.005 g/cm³, as \
                 is usual for stretch film."
                )
            }
            Self::BestOfFilms => {
                word!(
                    "The best of several films is proposed. Choosing the best of several slightly \
                 favours the one whose readings came out luckiest: its own trial decides."
                )
            }
            Self::TargetForOtherFaces => {
                word!(
                    "A target of the line is for faces of another length than those read here, on \
                 which the pull plate reads unlike: it is not planned by. Write one for faces of \
                 this length, or read faces of that."
                )
            }
            Self::UsualTurns => {
                word!(
                    "What turns the panel allows is not written: whole turns from 1 to 6, or to as \
                 many as there are now, are looked at. Write them on Plan, under “What the panel \
                     allows”."
                )
            }
            Self::UsualPitch => {
                word!(
                    "What pitch the panel allows is not written: steps of 1 in (or 25 mm) from \
                 the pitch as found are looked at. Write them on Plan, under “What the panel \
                     allows”."
                )
            }
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// A film of the line that a plan does not look at.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmLeftOut {
    /// The film and how it is run.
    pub runs_as: RunsAs,
    /// Why.
    pub why: WhyNot,
}

/// Why a film of the line is not looked at, and what to do about it. Each prints as a part of a
/// sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum WhyNot {
    /// What a layer of it holds is not known.
    Run(RunError),
    /// Its mass is not known.
    NoMass,
    /// One reading shows no scatter.
    TooFewReadings,
    /// A zone with a target was not read on it.
    ZoneNotRead(ZoneName),
    /// It was read on faces of another length, for which other targets hold.
    OtherFaces,
}

impl WhyNot {
    /// It, in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Run(error) => error.said(language),
            Self::NoMass => say!(
                language,
                "its mass is not known: weigh the film of one load wrapped with it, or write width \
                 and thickness of the roll and how far it is stretched"
            ),
            Self::TooFewReadings => say!(
                language,
                "one reading says nothing of its scatter: take at least two in a zone, better a \
                 full set at top, middle and bottom"
            ),
            Self::ZoneNotRead(zone) => say!(
                language,
                "{zone} has a target and was not read on it often enough: take readings there",
                zone = zone.the().said(language)
            ),
            Self::OtherFaces => say!(
                language,
                "it was read on faces of another length, for which other targets hold: read it on \
                 faces as long as those of this setup"
            ),
        }
    }
}

impl fmt::Display for WhyNot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
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
    /// So many pull-plate readings pulled further or less far, or at another place on the face.
    OtherPulls(usize),
}

impl LeftOut {
    /// It, in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Load(_, error) => say!(
                language,
                "The readings of a load are left out: {why}.",
                why = error.said(language)
            ),
            Self::Place(_, error) => say!(
                language,
                "A reading is left out: {why}.",
                why = error.said(language)
            ),
            Self::AtAHeight(_) => say!(
                language,
                "A reading at a height of its own is left out: it belongs to no zone."
            ),
            Self::OtherFaces(readings) => say_count!(
                language,
                *readings,
                "One pull-plate reading on faces of another length is left out: the plate reads more \
                 on a shorter face at the same film tension.",
                "{n} pull-plate readings on faces of another length are left out: the plate reads \
                 more on a shorter face at the same film tension."
            ),
            Self::OtherPulls(readings) => say_count!(
                language,
                *readings,
                "One pull-plate reading with another pull or at another place on the face is left \
                 out: the plate reads more the further it is pulled and the nearer it is to a \
                 corner.",
                "{n} pull-plate readings with another pull or at another place on the face are left \
                 out: the plate reads more the further it is pulled and the nearer it is to a \
                 corner."
            ),
        }
    }
}

impl fmt::Display for LeftOut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_reading_is_one() {
        let one = LeftOut::OtherPulls(1).to_string();
        assert!(
            one.starts_with("One pull-plate reading with another pull"),
            "{one}"
        );
        let two = LeftOut::OtherFaces(2).to_string();
        assert!(two.starts_with("2 pull-plate readings on faces"), "{two}");
    }
}
