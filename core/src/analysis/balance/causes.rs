//! What may be behind a balance that does not close.

use std::fmt;

use super::Balance;
use crate::language::{Language, Word};
use crate::units::{Length, Ratio, Thickness};
use crate::word;

/// What may be behind it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CauseKind {
    /// More film than predicted: the film slips in the pre-stretch and is stretched less.
    StretchedLess,
    /// More film: more turns than are written.
    MoreTurns,
    /// More film: the film is thicker than taken.
    Thicker,
    /// More film: film that holds nothing, at start and end.
    Tails,
    /// More film on the scale than film of this load.
    NotOnlyFilm,
    /// Less film than predicted: stretched further between the rollers and the load.
    StretchedMore,
    /// Less film: the film is thinner than taken.
    Thinner,
    /// Less film on the scale than was on the load.
    PartNotWeighed,
    /// Less film: fewer turns than are written.
    FewerTurns,
    /// Less film: more was taken off for the bag than it weighs.
    TareTooMuch,
}

impl CauseKind {
    /// What to do to tell it from the others.
    #[must_use]
    pub const fn what_tells(self) -> Word {
        match self {
            Self::StretchedLess => {
                word!(
                    "Read ink marks between the last roller and the load, with the wrapper stopped the \
                 way the site requires, and have a technician look at the rollers for slip."
                )
            }
            Self::MoreTurns | Self::FewerTurns => {
                word!(
                    "Count the turns while one load is wrapped, from outside the guards, bands and \
                 passes apart."
                )
            }
            Self::Thicker | Self::Thinner => {
                word!(
                    "Measure the thickness on the roll at five places across the width, or weigh a cut \
                 piece."
                )
            }
            Self::Tails => word!("Measure the loose film at the start and at the end of the wrap."),
            Self::NotOnlyFilm => {
                word!(
                    "Look for labels, dirt and water on the film, and weigh it again clean and dry."
                )
            }
            Self::StretchedMore => {
                word!("Read ink marks on the load itself, and measure the film's width there.")
            }
            Self::PartNotWeighed => {
                word!(
                    "Cut the film off the next load in one piece, look on the pallet and the floor for \
                 more, and weigh it all."
                )
            }
            Self::TareTooMuch => word!("Weigh the empty bag or box again."),
        }
    }
}

impl CauseKind {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::StretchedLess => {
                word!("The film is stretched less than taken: it slips in the pre-stretch")
            }
            Self::MoreTurns => word!("The wrapper makes more turns than are written"),
            Self::Thicker => word!("The film is thicker than taken"),
            Self::Tails => word!("Film at the start and the end that goes round nothing"),
            Self::NotOnlyFilm => word!("Something besides this film lay on the scale"),
            Self::StretchedMore => {
                word!("The film is stretched more than taken, between the rollers and the load")
            }
            Self::Thinner => word!("The film is thinner than taken"),
            Self::PartNotWeighed => word!("Part of the film was not weighed"),
            Self::FewerTurns => word!("The wrapper makes fewer turns than are written"),
            Self::TareTooMuch => word!("More was taken off for the bag than it weighs"),
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for CauseKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// What would have to be true for this cause alone to account for the whole difference.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Needed {
    /// An overall stretch of so much.
    Stretch(Ratio),
    /// So many turns in all.
    Turns(f64),
    /// A thickness of so much.
    Thickness(Thickness),
    /// So much film off the roll, over or missing on each load.
    Film(Length),
}

/// One cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cause {
    /// Which.
    pub kind: CauseKind,
    /// What would have to be true if nothing else were behind it; `None` where no value that can
    /// be would do.
    pub needed: Option<Needed>,
    /// Whether what it questions was measured here, which makes it less likely.
    pub measured: bool,
}

/// The causes of a difference, those that question what was not measured first, and among them the
/// usual before the rare (common practice, no source).
pub(super) fn causes(balance: &Balance) -> Vec<Cause> {
    let more = balance.difference.value > 0.0;
    let kinds: &[CauseKind] = if more {
        &[
            CauseKind::StretchedLess,
            CauseKind::MoreTurns,
            CauseKind::Thicker,
            CauseKind::Tails,
            CauseKind::NotOnlyFilm,
        ]
    } else {
        &[
            CauseKind::StretchedMore,
            CauseKind::Thinner,
            CauseKind::PartNotWeighed,
            CauseKind::FewerTurns,
            CauseKind::TareTooMuch,
        ]
    };
    let mut causes: Vec<Cause> = kinds.iter().map(|kind| cause(*kind, balance)).collect();
    causes.sort_by_key(|cause| cause.measured);
    causes
}

fn cause(kind: CauseKind, balance: &Balance) -> Cause {
    let ratio = balance.ratio.value;
    let inputs = &balance.inputs;
    let film_m = (balance.weighed_length.value - balance.predicted_length.value).abs();
    let (needed, measured) = match kind {
        CauseKind::StretchedLess | CauseKind::StretchedMore => (
            Some(balance.effective_stretch.value)
                .filter(|stretch| *stretch >= 0.0)
                .and_then(|stretch| Ratio::from_fraction(stretch).ok())
                .map(Needed::Stretch),
            inputs.stretch_measured,
        ),
        CauseKind::MoreTurns | CauseKind::FewerTurns => {
            (Some(Needed::Turns(inputs.turns * ratio)), false)
        }
        CauseKind::Thicker | CauseKind::Thinner => (
            Thickness::from_m(inputs.thickness.value * ratio)
                .ok()
                .map(Needed::Thickness),
            inputs.thickness_measured,
        ),
        CauseKind::Tails | CauseKind::PartNotWeighed => {
            (Length::from_m(film_m).ok().map(Needed::Film), false)
        }
        CauseKind::NotOnlyFilm | CauseKind::TareTooMuch => (None, false),
    };
    Cause {
        kind,
        needed,
        measured,
    }
}
