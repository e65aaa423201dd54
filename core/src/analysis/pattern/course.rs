//! One load and film for many programmes.
//!
//! With the load, the film's width and its lowest and highest position fixed, mean layers between
//! two heights are a sum of turns at the bottom, turns at the top and 1 / pitch of each pass, each
//! times a number that depends on the heights alone. Those numbers are worked out once.

use super::wrapped::film_width_m;
use super::{LONGEST_M, Layers, PatternError, Programme, Segment, Wrapped};
use crate::units::Length;

/// Where the film may run on one load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    low_m: f64,
    travel_m: f64,
    width_m: f64,
    perimeter_m: f64,
}

/// What one turn at the bottom, one at the top and a pass give between two heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// Mean layers for each turn at the bottom.
    pub bottom: f64,
    /// Mean layers for each turn at the top.
    pub top: f64,
    /// Mean layers times pitch for each pass, in metres.
    pub pass_m: f64,
}

impl Shares {
    /// Mean layers of a programme: bottom x b + top x t + pass / pitch for each pass. Pitches in
    /// metres, `None` where there is no such pass.
    #[must_use]
    pub fn layers(&self, bottom_turns: f64, top_turns: f64, pitches_m: [Option<f64>; 2]) -> f64 {
        let passes: f64 = pitches_m
            .into_iter()
            .flatten()
            .map(|pitch| self.pass_m / pitch)
            .sum();
        self.bottom * bottom_turns + self.top * top_turns + passes
    }
}

impl Course {
    /// Of a load, film `film_on_load` wide, and the start and over-the-top of `programme`, whose
    /// turns and pitches play no part.
    ///
    /// # Errors
    /// As for [`super::Pattern::new`].
    pub fn new(
        programme: &Programme,
        load: &Wrapped,
        film_on_load: Length,
    ) -> Result<Self, PatternError> {
        load.check()?;
        let width_m = film_width_m(film_on_load)?;
        if programme.start.m() > LONGEST_M || programme.over_top.m() > LONGEST_M {
            return Err(PatternError::EdgeOutOfReach);
        }
        Ok(Self {
            low_m: programme.start.m(),
            travel_m: programme.travel_m(load, film_on_load),
            width_m,
            perimeter_m: load.perimeter().m(),
        })
    }

    /// How far the film's lower edge travels, in metres.
    #[must_use]
    pub fn travel_m(&self) -> f64 {
        self.travel_m
    }

    /// What turns and passes give on average between two heights in metres; exact.
    #[must_use]
    pub fn shares(&self, from_m: f64, to_m: f64) -> Shares {
        let mean = |segment| Layers::of(&[segment], self.width_m).mean(from_m, to_m);
        let high = self.low_m + self.travel_m;
        let band = |at_m| mean(Segment::Band { at_m, turns: 1.0 });
        Shares {
            bottom: band(self.low_m),
            top: band(high),
            pass_m: mean(Segment::Helix {
                from_m: self.low_m,
                to_m: high,
                pitch_m: 1.0,
            }),
        }
    }

    /// Turns of a programme: b + t + travel / pitch for each pass. Pitches in metres.
    #[must_use]
    pub fn turns(&self, bottom_turns: f64, top_turns: f64, pitches_m: [Option<f64>; 2]) -> f64 {
        let passes: f64 = pitches_m
            .into_iter()
            .flatten()
            .map(|pitch| self.travel_m / pitch)
            .sum();
        bottom_turns + top_turns + passes
    }

    /// Path of the film in metres: (b + t) P + (travel / p) sqrt(P^2 + p^2) for each pass of pitch
    /// p, with P the load's perimeter. The same as [`super::Pattern::path`].
    #[must_use]
    pub fn path_m(&self, bottom_turns: f64, top_turns: f64, pitches_m: [Option<f64>; 2]) -> f64 {
        let passes: f64 = pitches_m
            .into_iter()
            .flatten()
            .map(|pitch| self.travel_m / pitch * self.perimeter_m.hypot(pitch))
            .sum();
        (bottom_turns + top_turns) * self.perimeter_m + passes
    }
}
