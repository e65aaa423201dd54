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
//! Plain geometry; `core/tests/loading.rs` derives the same from vectors.

use std::fmt;

use thiserror::Error;

use crate::survey::{ClingSide, Rotation, Threading, Wrapper, WrapperKind};

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
pub enum LoadingQuestion {
    /// Cling side not known.
    #[error(
        "which side of the film clings is not known: with the wrapper stopped, touch the film on \
         the roll and just under its loose end, and write which side is sticky"
    )]
    Cling,
    /// Rotation not known.
    #[error(
        "which way the wrapper turns is not known: watch it wrap from outside the guards, and \
         write it as seen from above"
    )]
    Rotation,
    /// Which of the two turns is not known.
    #[error(
        "this kind of wrapper does not say whether the load turns or the film goes round it: \
         write the wrapper as a turntable, a rotating arm or a ring, whichever it works like"
    )]
    WhichTurns,
    /// The path contradicts itself.
    #[error(
        "the path of the film contradicts itself: with that many changes of bend the roll would \
         turn the other way; look at the path again, from outside the guards"
    )]
    Path,
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
    /// With this path the clinging side faces away from the load.
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
pub const TACK_TEST: &str = "Check it by a finger tack test: with the wrapper stopped, touch the \
    side of the film that will lie on the load; it must be the sticky one.";

fn way(rotation: Rotation) -> &'static str {
    match rotation {
        Rotation::Clockwise => "clockwise",
        Rotation::Anticlockwise => "anticlockwise",
    }
}

impl fmt::Display for RollLoading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.way_up {
            WayUp::Either => f.write_str(
                "Both sides of this film cling: either way up works. Thread it as the machine's \
                 diagram shows.",
            )?,
            WayUp::Unwinds(rotation) => write!(
                f,
                "Set the roll so that, looking down on it, its loose end points {0} and the roll \
                 turns {0} as film comes off.",
                way(rotation)
            )?,
        }
        if self.path == PathVerdict::FacesAway {
            f.write_str(
                " With the path as threaded the roll turns the other way, and the sticky side \
                 faces away from the load: turn the roll over and thread it by the machine's \
                 diagram, with the machine stopped under the site's procedure, or use film that \
                 clings on its other side.",
            )?;
        }
        if self.film_goes_round {
            f.write_str(
                " The film goes round the load here: look at the roll as if you rode along with \
                 it.",
            )?;
        }
        write!(f, " {TACK_TEST}")
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
