//! Which way up a roll goes on the wrapper so that its clinging side faces the load.
//!
//! Everything is seen from above, with the roll upright. A film that runs round something bends
//! about it; that thing, be it the roll, a roller or the load, turns with the film. So:
//!
//! * What turns clockwise has the film's right side towards it, seen along the film's travel;
//!   what turns anticlockwise has the left side. Sides do not change along the way, however often
//!   the film bends.
//! * On the roll the film's inside is the side towards the roll.
//! * So the inside lies on the load when roll and load turn the same way, the outside when they
//!   turn opposite ways; and they turn the same way when the film reverses its bend an even
//!   number of times between them.
//!
//! Plain geometry; `core/tests/it/loading.rs` derives the same from vectors.

use std::fmt;

use thiserror::Error;

use crate::language::{Language, Word};
use crate::survey::{ClingSide, Rotation, Threading, Wrapper, WrapperKind};
use crate::{say, word};

/// A side of the film, named as it lies on the roll.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FilmSide {
    /// Towards the core.
    Inside,
    /// Away from the core.
    Outside,
}

/// The other way of turning.
#[must_use]
pub const fn opposite(rotation: Rotation) -> Rotation {
    match rotation {
        Rotation::Clockwise => Rotation::Anticlockwise,
        Rotation::Anticlockwise => Rotation::Clockwise,
    }
}

/// Which way the load turns about the place the film comes from, seen from above.
///
/// On a turntable it is the load that turns. Where an arm or a ring carries the film round a
/// standing load, the load turns the other way as seen from the arm. `None` for other machines
/// and by hand, where the record does not say which of the two turns. Plain geometry.
#[must_use]
pub const fn load_turns(kind: WrapperKind, rotation: Rotation) -> Option<Rotation> {
    match kind {
        WrapperKind::Turntable => Some(rotation),
        WrapperKind::RotatingArm | WrapperKind::Ring => Some(opposite(rotation)),
        WrapperKind::Other => None,
    }
}

/// Which side of the film lies on the load: the inside when roll and load turn the same way.
/// Plain geometry, see the module.
#[must_use]
pub fn side_on_load(load: Rotation, roll: Rotation) -> FilmSide {
    if load == roll {
        FilmSide::Inside
    } else {
        FilmSide::Outside
    }
}

/// Which way the roll turns when the film reverses its bend so often on its way to the load.
/// Plain geometry, see the module.
#[must_use]
pub const fn roll_turns(load: Rotation, reversals: u8) -> Rotation {
    if reversals.is_multiple_of(2) {
        load
    } else {
        opposite(load)
    }
}

/// What has to be asked before anything can be said. Nothing is taken for granted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum LoadingQuestion {
    /// Cling side not known.
    Cling,
    /// Rotation not known.
    Rotation,
    /// Which of the two turns is not known.
    WhichTurns,
    /// The path contradicts itself.
    Path,
}

impl LoadingQuestion {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::Cling => say!(
                language,
                "which side of the film clings is not known: with the wrapper stopped, touch the film on \
         the roll and just under its loose end, and write which side sticks"
            ),
            Self::Rotation => say!(
                language,
                "which way the wrapper turns is not known: watch it wrap from outside the guards, and \
         write it as seen from above"
            ),
            Self::WhichTurns => say!(
                language,
                "this kind of wrapper does not say whether the load turns or the film goes round it: \
         write the wrapper as a turntable, a rotating arm or a ring, whichever it works like"
            ),
            Self::Path => say!(
                language,
                "the path of the film contradicts itself: with that many changes of bend the roll would \
         turn the other way; look at the path again, from outside the guards"
            ),
        }
    }
}

/// Which way up the roll goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayUp {
    /// Either: both sides cling, and the path was not looked at.
    Either,
    /// Looking down on the roll, its film comes off this way: the loose end points this way
    /// round, and the roll turns this way as it gives off film.
    Unwinds(Rotation),
}

/// How the path of the film, as threaded, stands to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PathVerdict {
    /// The path was not looked at.
    NotLookedAt,
    /// With this path the clinging side lies on the load.
    ClingsToLoad,
    /// With this path the cling side faces away from the load.
    FacesAway,
}

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RollLoading {
    /// Which way up the roll has to go so that cling faces the load.
    pub way_up: WayUp,
    /// How the path as threaded stands to that.
    pub path: PathVerdict,
    /// Whether the film goes round a standing load.
    pub film_goes_round: bool,
}

/// What is said with every answer.
pub const TACK_TEST: Word = word!(
    "Check it by a finger tack test: with the wrapper stopped, touch the side of the film that will \
     lie on the load; it must be the one that sticks."
);

/// A turn, in words.
#[must_use]
pub const fn way_round(rotation: Rotation) -> Word {
    match rotation {
        Rotation::Clockwise => word!("clockwise"),
        Rotation::Anticlockwise => word!("anticlockwise"),
    }
}

impl RollLoading {
    /// Which way up the roll goes, in words.
    #[must_use]
    pub fn way_up_said(self, language: Language) -> String {
        match self.way_up {
            WayUp::Either => say!(
                language,
                "Both sides of this film cling: either way up works. Thread it as the machine's \
                 diagram shows."
            ),
            WayUp::Unwinds(rotation) => say!(
                language,
                "Set the roll so that, looking down on it, its loose end points {way} and the roll \
                 turns {way} as film comes off.",
                way = way_round(rotation).said(language)
            ),
        }
    }

    /// What is wrong with the path as threaded; blank where nothing is.
    #[must_use]
    pub fn wrong_said(self, language: Language) -> String {
        match self.path {
            PathVerdict::FacesAway => say!(
                language,
                "With the path as threaded the roll turns the other way, and the cling side faces \
                 away from the load: turn the roll over and thread it by the machine's diagram, \
                 with the machine stopped under the site's procedure, or use film that clings on \
                 its other side."
            ),
            PathVerdict::NotLookedAt | PathVerdict::ClingsToLoad => String::new(),
        }
    }

    /// From where to look at the roll, where the film goes round the load; blank where the load
    /// turns.
    #[must_use]
    pub fn seen_from_said(self, language: Language) -> String {
        if self.film_goes_round {
            say!(
                language,
                "The film goes round the load here: look at the roll as if you rode along with it."
            )
        } else {
            String::new()
        }
    }
}

impl fmt::Display for RollLoading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let l = Language::English;
        let said = [
            self.way_up_said(l),
            self.wrong_said(l),
            self.seen_from_said(l),
        ];
        for sentence in said.iter().filter(|sentence| !sentence.is_empty()) {
            write!(f, "{sentence} ")?;
        }
        f.write_str(TACK_TEST.said(l))
    }
}

/// Which way the roll turns by the path as threaded.
fn threaded(threading: Threading, load: Rotation) -> Result<Option<Rotation>, LoadingQuestion> {
    let counted = threading.reversals.map(|count| roll_turns(load, count));
    match (threading.roll_turns, counted) {
        (Some(seen), Some(counted)) if seen != counted => Err(LoadingQuestion::Path),
        (seen, counted) => Ok(seen.or(counted)),
    }
}

/// Which way up the roll goes so that its clinging side faces the load, and whether the film as
/// threaded does so. Plain geometry, see the module.
///
/// With cling inside the roll has to turn as the load does, with cling outside the opposite way.
/// With cling on both sides either way works; a path that was looked at then tells which way the
/// roll has to come off to fit it.
///
/// # Errors
/// What has to be asked first. Nothing is guessed.
pub fn loading(
    wrapper: &Wrapper,
    cling: Option<ClingSide>,
) -> Result<RollLoading, LoadingQuestion> {
    let cling = cling.ok_or(LoadingQuestion::Cling)?;
    let film_goes_round = matches!(wrapper.kind, WrapperKind::RotatingArm | WrapperKind::Ring);
    let answer = |way_up, path| RollLoading {
        way_up,
        path,
        film_goes_round,
    };
    let load = wrapper
        .rotation
        .ok_or(LoadingQuestion::Rotation)
        .and_then(|turn| load_turns(wrapper.kind, turn).ok_or(LoadingQuestion::WhichTurns));
    let threading = wrapper.threading.unwrap_or_default();
    let needed = match (cling, load) {
        // With cling all over it does not matter which way the load turns.
        (ClingSide::Both, Err(_)) => {
            return Ok(threading.roll_turns.map_or_else(
                || answer(WayUp::Either, PathVerdict::NotLookedAt),
                |roll| answer(WayUp::Unwinds(roll), PathVerdict::ClingsToLoad),
            ));
        }
        (ClingSide::Both, Ok(load)) => {
            return Ok(threaded(threading, load)?.map_or_else(
                || answer(WayUp::Either, PathVerdict::NotLookedAt),
                |roll| answer(WayUp::Unwinds(roll), PathVerdict::ClingsToLoad),
            ));
        }
        (_, Err(question)) => return Err(question),
        (ClingSide::Inside, Ok(load)) => (load, load),
        (ClingSide::Outside, Ok(load)) => (opposite(load), load),
    };
    let (roll, load) = needed;
    let path = match threaded(threading, load)? {
        None => PathVerdict::NotLookedAt,
        Some(turns) if turns == roll => PathVerdict::ClingsToLoad,
        Some(_) => PathVerdict::FacesAway,
    };
    Ok(answer(WayUp::Unwinds(roll), path))
}
