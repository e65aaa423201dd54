//! What a pattern takes for granted, and why one cannot be worked out.

use crate::language::Language;
use crate::{say, word};
use std::fmt;

/// Something taken for granted because nobody wrote it down. Each shows as one plain sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Assumption {
    /// No start height is written.
    StartsAtFloor,
    /// No film over the top is written.
    LevelWithTop,
    /// A pitch going up is written and none going down.
    NoPassDown,
    /// A pitch going down is written and none going up.
    NoPassUp,
    /// No width was measured on the load: the roll's was used.
    NoNeckIn,
    /// The goods do not stand flush on the pallet.
    GoodsOutline,
    /// Film reaches over the whole way it could travel.
    FilmTooWideToTravel,
    /// The film starts at or above the top of the load.
    StartsAboveLoad,
    /// The film goes further over the top than it is wide.
    OverTopBeyondFilm,
    /// A top reading without its distance from the top.
    UsualTopPlace,
    /// The height of a bottom reading.
    BottomMirrorsTop,
}

impl Assumption {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::StartsAtFloor => {
                word!(
                    "No start height is written: the film's lower edge is taken to start at the floor."
                )
            }
            Self::LevelWithTop => {
                word!(
                    "No film over the top is written: the film's upper edge is taken to stop level \
                 with the top of the load."
                )
            }
            Self::NoPassDown => {
                word!("No pitch going down is written: the film is taken to end at the top.")
            }
            Self::NoPassUp => {
                word!(
                    "No pitch going up is written: the film is taken to start at the top and end at \
                 the bottom."
                )
            }
            Self::NoNeckIn => {
                word!(
                    "No film width was measured on the load: the width on the roll is taken, as if \
                 the film did not get narrower when stretched."
                )
            }
            Self::GoodsOutline => {
                word!(
                    "The goods and the pallet differ in outline: the film is taken to follow the \
                 goods all the way down."
                )
            }
            Self::FilmTooWideToTravel => {
                word!(
                    "The film reaches from its start to the top and further, so it goes round at its \
                 start height and the passes up and down make no turns."
                )
            }
            Self::StartsAboveLoad => {
                word!(
                    "The film starts at or above the top of the load, so none of it lies on the load: \
                 check the start height and the load's height."
                )
            }
            Self::OverTopBeyondFilm => {
                word!(
                    "The film goes further over the top than it is wide, so the turns at the top lie \
                 above the load and hold nothing: check how far it goes over the top."
                )
            }
            Self::UsualTopPlace => {
                word!(
                    "The top reading is taken to lie 10 in (254 mm) below the top, the usual place."
                )
            }
            Self::BottomMirrorsTop => {
                word!(
                    "The bottom reading is taken to lie as far above the floor as the top reading lies \
                 below the top."
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

/// Why a pattern cannot be worked out, and what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum PatternError {
    /// The setup has no turns at the bottom.
    NoBottomTurns,
    /// The setup has no turns at the top.
    NoTopTurns,
    /// The setup has neither a pitch up nor one down.
    NoPitch,
    /// There are bands below and above and no pass between them.
    NoWayUp,
    /// The overlap is as much as the film's width, or more.
    OverlapTooWide,
    /// A pitch is zero, not a number, or beyond reason.
    PitchNotMoreThanZero,
    /// A number of turns is negative or not a number.
    TurnsNotANumber,
    /// No film at all.
    NoTurns,
    /// More than [`super::MOST_TURNS`].
    TooManyTurns,
    /// The load lacks a length or width.
    NoFootprint,
    /// The load lacks a height.
    NoHeight,
    /// A side of the load is zero or beyond reason.
    LoadOutOfReach,
    /// Neither a measured width nor one on the roll.
    NoFilmWidth,
    /// The film's width is zero or beyond reason.
    FilmWidthOutOfReach,
    /// The start height or the film over the top is beyond reason.
    EdgeOutOfReach,
}

impl PatternError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::NoBottomTurns => say!(
                language,
                "the setup does not say how many turns go on at the bottom: write them on the setup, 0 if \
         there are none"
            ),
            Self::NoTopTurns => say!(
                language,
                "the setup does not say how many turns go on at the top: write them on the setup, 0 if \
         there are none"
            ),
            Self::NoPitch => say!(
                language,
                "the setup does not say how far the film climbs in a turn: write the pitch or the overlap \
         on the setup"
            ),
            Self::NoWayUp => say!(
                language,
                "there are turns at the bottom and at the top and no pass between them: write the pitch \
         going up or down"
            ),
            Self::OverlapTooWide => say!(
                language,
                "the overlap is as wide as the film on the load, so the film would never climb: check the \
         overlap and the film's width on the load"
            ),
            Self::PitchNotMoreThanZero => say!(
                language,
                "a pitch has to be more than 0 and less than 100 m: check the pitch, or leave it blank if \
         there is no such pass"
            ),
            Self::TurnsNotANumber => say!(
                language,
                "turns are zero or more: check the turns at the bottom and at the top"
            ),
            Self::NoTurns => say!(
                language,
                "this programme makes no turn at all: check the turns and the pitch"
            ),
            Self::TooManyTurns => say!(
                language,
                "this programme makes more than 10 000 turns: check the pitch and its unit"
            ),
            Self::NoFootprint => say!(
                language,
                "the load's length or width is not written: measure both and write them on the load"
            ),
            Self::NoHeight => say!(
                language,
                "the load's height is not written: measure it from the floor, pallet included"
            ),
            Self::LoadOutOfReach => say!(
                language,
                "the load's sides have to be more than 0 and less than 100 m: check them and their unit"
            ),
            Self::NoFilmWidth => say!(
                language,
                "the film's width is not known: measure it on a wrapped load, or write the roll's width"
            ),
            Self::FilmWidthOutOfReach => say!(
                language,
                "the film's width on the load has to be more than 0 and less than 100 m: check it and its \
         unit"
            ),
            Self::EdgeOutOfReach => say!(
                language,
                "the film's start height and what goes over the top have to be less than 100 m: check \
         them and their unit"
            ),
        }
    }
}
