//! What a pattern takes for granted, and why one cannot be worked out.

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

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::StartsAtFloor => {
                "No start height is written: the film's lower edge is taken to start at the floor."
            }
            Self::LevelWithTop => {
                "No film over the top is written: the film's upper edge is taken to stop level \
                 with the top of the load."
            }
            Self::NoPassDown => {
                "No pitch going down is written: the film is taken to end at the top."
            }
            Self::NoPassUp => {
                "No pitch going up is written: the film is taken to start at the top and end at \
                 the bottom."
            }
            Self::NoNeckIn => {
                "No film width was measured on the load: the width on the roll is taken, as if \
                 the film did not get narrower when stretched."
            }
            Self::GoodsOutline => {
                "The goods and the pallet differ in outline: the film is taken to follow the \
                 goods all the way down."
            }
            Self::FilmTooWideToTravel => {
                "The film reaches from its start to the top and further, so it goes round at its \
                 start height and the passes up and down make no turns."
            }
            Self::StartsAboveLoad => {
                "The film starts at or above the top of the load, so none of it lies on the load: \
                 check the start height and the load's height."
            }
            Self::OverTopBeyondFilm => {
                "The film goes further over the top than it is wide, so the turns at the top lie \
                 above the load and hold nothing: check how far it goes over the top."
            }
            Self::UsualTopPlace => {
                "The top reading is taken to lie 10 in (254 mm) below the top, the usual place."
            }
            Self::BottomMirrorsTop => {
                "The bottom reading is taken to lie as far above the floor as the top reading lies \
                 below the top."
            }
        })
    }
}

/// Why a pattern cannot be worked out, and what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PatternError {
    /// The setup has no turns at the bottom.
    #[error(
        "the setup does not say how many turns go on at the bottom: write them on the setup, 0 if \
         there are none"
    )]
    NoBottomTurns,
    /// The setup has no turns at the top.
    #[error(
        "the setup does not say how many turns go on at the top: write them on the setup, 0 if \
         there are none"
    )]
    NoTopTurns,
    /// The setup has neither a pitch up nor one down.
    #[error(
        "the setup does not say how far the film climbs in a turn: write the pitch or the overlap \
         on the setup"
    )]
    NoPitch,
    /// There are bands below and above and no pass between them.
    #[error(
        "there are turns at the bottom and at the top and no pass between them: write the pitch \
         going up or down"
    )]
    NoWayUp,
    /// The overlap is as much as the film's width, or more.
    #[error(
        "the overlap is as wide as the film on the load, so the film would never climb: check the \
         overlap and the film's width on the load"
    )]
    OverlapTooWide,
    /// A pitch is zero, not a number, or beyond reason.
    #[error(
        "a pitch has to be more than 0 and less than 100 m: check the pitch, or leave it blank if \
         there is no such pass"
    )]
    PitchNotMoreThanZero,
    /// A number of turns is negative or not a number.
    #[error("turns are zero or more: check the turns at the bottom and at the top")]
    TurnsNotANumber,
    /// No film at all.
    #[error("this programme makes no turn at all: check the turns and the pitch")]
    NoTurns,
    /// More than [`super::MOST_TURNS`].
    #[error("this programme makes more than 10 000 turns: check the pitch and its unit")]
    TooManyTurns,
    /// The load lacks a length or width.
    #[error("the load's length or width is not written: measure both and write them on the load")]
    NoFootprint,
    /// The load lacks a height.
    #[error("the load's height is not written: measure it from the floor, pallet included")]
    NoHeight,
    /// A side of the load is zero or beyond reason.
    #[error(
        "the load's sides have to be more than 0 and less than 100 m: check them and their unit"
    )]
    LoadOutOfReach,
    /// Neither a measured width nor one on the roll.
    #[error(
        "the film's width is not known: measure it on a wrapped load, or write the roll's width"
    )]
    NoFilmWidth,
    /// The film's width is zero or beyond reason.
    #[error(
        "the film's width on the load has to be more than 0 and less than 100 m: check it and its \
         unit"
    )]
    FilmWidthOutOfReach,
    /// The start height or the film over the top is beyond reason.
    #[error(
        "the film's start height and what goes over the top have to be less than 100 m: check \
         them and their unit"
    )]
    EdgeOutOfReach,
}
