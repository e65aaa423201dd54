//! The programme set on the wrapper.

use super::wrapped::{film_width_m, is_length};
use super::{Assumption, LONGEST_M, PatternError, Segment, Wrapped};
use crate::survey::{Settings, Spiral};
use crate::units::Length;

/// What is set on the wrapper, as far as it decides where the film lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Programme {
    /// Turns at the bottom; need not be whole.
    pub bottom_turns: f64,
    /// Turns at the top; need not be whole.
    pub top_turns: f64,
    /// Travel in one turn going up; `None` when there is no pass up.
    pub pitch_up: Option<Length>,
    /// Travel in one turn going down; `None` when there is no pass down.
    pub pitch_down: Option<Length>,
    /// The film's lower edge above the floor at its lowest.
    pub start: Length,
    /// The film's upper edge above the load's top at its highest.
    pub over_top: Length,
}

impl Programme {
    /// The programme of a setup for film `film_on_load` wide on the load, and what is taken for
    /// granted.
    ///
    /// An overlap o is a pitch of w - o, with w the film's width on the load. A pitch written one
    /// way only means that there is no pass the other way; a start height that is blank means the
    /// floor, film over the top that is blank means level with the top. All of that is said.
    ///
    /// # Errors
    /// When turns are blank, both pitches are blank, or a value cannot be; the text says which and
    /// what to do.
    pub fn of(
        settings: &Settings,
        film_on_load: Length,
    ) -> Result<(Self, Vec<Assumption>), PatternError> {
        film_width_m(film_on_load)?;
        let mut notes = Vec::new();
        let pitch = |spiral: &Option<Spiral>| match spiral {
            None => Ok(None),
            Some(Spiral::Pitch(pitch)) => Ok(Some(pitch.value)),
            Some(Spiral::Overlap(overlap)) => (film_on_load - overlap.value)
                .filter(|pitch| *pitch > Length::ZERO)
                .map(Some)
                .ok_or(PatternError::OverlapTooWide),
        };
        let (pitch_up, pitch_down) = (pitch(&settings.up)?, pitch(&settings.down)?);
        match (pitch_up, pitch_down) {
            (None, None) => return Err(PatternError::NoPitch),
            (Some(_), None) => notes.push(Assumption::NoPassDown),
            (None, Some(_)) => notes.push(Assumption::NoPassUp),
            (Some(_), Some(_)) => {}
        }
        let mut or_none = |length: Option<Length>, note| {
            length.unwrap_or_else(|| {
                notes.push(note);
                Length::ZERO
            })
        };
        let start = settings.start_height.as_ref().map(|at| at.value);
        let over_top = settings.over_top.as_ref().map(|over| over.value);
        let programme = Self {
            bottom_turns: settings.bottom_turns.ok_or(PatternError::NoBottomTurns)?,
            top_turns: settings.top_turns.ok_or(PatternError::NoTopTurns)?,
            pitch_up,
            pitch_down,
            start: or_none(start, Assumption::StartsAtFloor),
            over_top: or_none(over_top, Assumption::LevelWithTop),
        };
        programme.check()?;
        Ok((programme, notes))
    }

    /// How far the film's lower edge travels on a load, in metres: z = H + o - w - y0, with H the
    /// load's height, o the film above the top, w the film's width and y0 the start; 0 when the
    /// film is too wide to travel. Plain geometry.
    #[must_use]
    pub fn travel_m(&self, load: &Wrapped, film_on_load: Length) -> f64 {
        let travel = load.height.m() + self.over_top.m() - film_on_load.m() - self.start.m();
        travel.max(0.0)
    }

    pub(super) fn check(&self) -> Result<(), PatternError> {
        if ![self.bottom_turns, self.top_turns]
            .into_iter()
            .all(|turns| turns.is_finite() && turns >= 0.0)
        {
            return Err(PatternError::TurnsNotANumber);
        }
        let pitches = [self.pitch_up, self.pitch_down];
        if !pitches.into_iter().flatten().all(|p| is_length(p.m())) {
            return Err(PatternError::PitchNotMoreThanZero);
        }
        if self.start.m() > LONGEST_M || self.over_top.m() > LONGEST_M {
            return Err(PatternError::EdgeOutOfReach);
        }
        Ok(())
    }

    /// The segments in their order in time, between the heights `low` and `high` in metres.
    pub(super) fn segments(&self, low: f64, high: f64) -> Result<Vec<Segment>, PatternError> {
        let band = |at_m, turns| Segment::Band { at_m, turns };
        let bottom = band(low, self.bottom_turns);
        let top = band(high, self.top_turns);
        let pass = |from_m, to_m, pitch: Length| Segment::Helix {
            from_m,
            to_m,
            pitch_m: pitch.m(),
        };
        let all = match (self.pitch_up, self.pitch_down) {
            (Some(up), Some(down)) => {
                vec![bottom, pass(low, high, up), top, pass(high, low, down)]
            }
            (Some(up), None) => vec![bottom, pass(low, high, up), top],
            (None, Some(down)) => vec![top, pass(high, low, down), bottom],
            (None, None) if high > low && self.bottom_turns > 0.0 && self.top_turns > 0.0 => {
                return Err(PatternError::NoWayUp);
            }
            (None, None) => vec![bottom, top],
        };
        Ok(all
            .into_iter()
            .filter(|segment| segment.turns() > 0.0)
            .collect())
    }
}
