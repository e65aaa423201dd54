//! The wrap pattern: where the film lies on the load, and how much of it there is.
//!
//! A wrapper makes turns. Counted in turns n from the start, the film's lower edge stands at a
//! height y(n) above the floor: it stays where a band is laid and climbs or sinks evenly in a
//! helical pass. Film of on-load width w covers the heights from y(n) up to, and not with,
//! y(n) + w. Everything here follows from that by plain geometry, exactly: nothing is sampled.
//!
//! * [`Programme`] is what is set on the wrapper, [`Wrapped`] the load.
//! * [`Pattern`] is the film on it: turns, path, [`Layers`] by height averaged over the turn, and
//!   the fewest and most whole layers found going once round ([`Pattern::range_at`]).
//! * [`Course`] is for trying many programmes on one load.
//! * [`reading_place`] says at which heights a reading takes hold of the film.
//!
//! Heights are in metres above the floor; turns and layers are bare numbers.

mod course;
mod layers;
mod phase;
mod place;
mod programme;
mod says;
mod segment;
mod wrapped;

pub use course::{Course, Shares};
pub use layers::{Layers, Piece};
pub use phase::{Bare, BareWhere};
pub use place::{Place, PlaceError, engaged_height, reading_place};
pub use programme::Programme;
pub use says::{Assumption, PatternError};
pub use segment::Segment;
pub use wrapped::{Wrapped, film_on_load};

use crate::survey::{FilmRoll, FilmWidth, Load, Record, Settings};
use crate::units::Length;
use phase::Laid;

/// Lengths beyond this, in metres, are typing mistakes.
pub const LONGEST_M: f64 = 100.0;

/// More turns than this are a typing mistake: a pitch in the wrong unit, say.
pub const MOST_TURNS: f64 = 10_000.0;

/// Film on a load.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    segments: Vec<Segment>,
    laid: Vec<Laid>,
    layers: Layers,
    load: Wrapped,
    width: Length,
    notes: Vec<Assumption>,
}

impl Pattern {
    /// The film that `programme` lays on `load`, `film_on_load` wide as it lies there.
    ///
    /// In the order of a turntable: bottom band, up, top band, down. With H the load's height, y0
    /// the start, o the film above the top and w the film's width, the film's lower edge travels
    /// z = H + o - w - y0. With a pass down alone the film starts at the top: top band, down,
    /// bottom band. Film too wide to travel (z <= 0) goes round at the start: both bands lie there
    /// and the passes make no turns; [`Self::assumptions`] says so. Plain geometry.
    ///
    /// # Errors
    /// When a length or number of turns is zero where it may not be, not a number or beyond
    /// reason, or when there is no turn at all; the text says which and what to do.
    pub fn new(
        programme: &Programme,
        load: &Wrapped,
        film_on_load: Length,
    ) -> Result<Self, PatternError> {
        load.check()?;
        programme.check()?;
        wrapped::film_width_m(film_on_load)?;
        let low = programme.start.m();
        let travel = programme.travel_m(load, film_on_load);
        let segments = programme.segments(low, low + travel)?;
        let mut pattern = Self::from_segments(segments, load, film_on_load)?;
        if programme.start >= load.height {
            pattern.notes.push(Assumption::StartsAboveLoad);
        } else if travel <= 0.0 {
            pattern.notes.push(Assumption::FilmTooWideToTravel);
        }
        if programme.over_top >= film_on_load {
            pattern.notes.push(Assumption::OverTopBeyondFilm);
        }
        Ok(pattern)
    }

    /// The film that a setup lays on a recorded load. Its width is the mean of `widths`, measured
    /// on loads on which the film runs as on this one, or else the roll's. All that is taken for
    /// granted is in [`Self::assumptions`].
    ///
    /// # Errors
    /// When something needed is not written, or cannot be; the text says which and what to do.
    pub fn of_records(
        settings: &Settings,
        load: &Load,
        widths: &[Record<FilmWidth>],
        roll: Option<&FilmRoll>,
    ) -> Result<Self, PatternError> {
        let (width, mut notes) = film_on_load(widths, roll)?;
        let (programme, of_programme) = Programme::of(settings, width)?;
        let (wrapped, of_load) = Wrapped::of(load)?;
        let mut pattern = Self::new(&programme, &wrapped, width)?;
        notes.extend(of_programme);
        notes.extend(of_load);
        notes.append(&mut pattern.notes);
        pattern.notes = notes;
        Ok(pattern)
    }

    /// The film of any run of segments in their order in time, each going on at the very angle at
    /// which the one before ended.
    ///
    /// # Errors
    /// As for [`Self::new`].
    pub fn from_segments(
        segments: Vec<Segment>,
        load: &Wrapped,
        film_on_load: Length,
    ) -> Result<Self, PatternError> {
        load.check()?;
        let width_m = wrapped::film_width_m(film_on_load)?;
        for segment in &segments {
            segment.check()?;
        }
        let turns: f64 = segments.iter().map(Segment::turns).sum();
        if turns > MOST_TURNS {
            return Err(PatternError::TooManyTurns);
        }
        if turns <= 0.0 {
            return Err(PatternError::NoTurns);
        }
        Ok(Self {
            layers: Layers::of(&segments, width_m),
            laid: Laid::in_order(&segments),
            segments,
            load: *load,
            width: film_on_load,
            notes: Vec::new(),
        })
    }

    /// The load.
    #[must_use]
    pub fn load(&self) -> &Wrapped {
        &self.load
    }

    /// The film's width as it lies on the load.
    #[must_use]
    pub fn film_width(&self) -> Length {
        self.width
    }

    /// The segments in their order in time.
    #[must_use]
    pub fn segments(&self) -> &[Segment] {
        &self.segments
    }

    /// Turns in all.
    #[must_use]
    pub fn turns(&self) -> f64 {
        self.segments.iter().map(Segment::turns).sum()
    }

    /// Path of the film round the load: for each segment turns x sqrt(P^2 + pitch^2), with
    /// P = 2 (length + width) of the load and a pitch of 0 in a band. Assumes that the film
    /// follows the straight sides of the load. Plain geometry.
    #[must_use]
    pub fn path(&self) -> Length {
        let perimeter_m = self.load.perimeter().m();
        let metres: f64 = self
            .segments
            .iter()
            .map(|segment| segment.path_m(perimeter_m))
            .sum();
        // Turns and sides are bounded, so this is a length.
        Length::from_m(metres).unwrap_or(Length::ZERO)
    }

    /// How far the film's lower edge travels between its lowest and its highest.
    #[must_use]
    pub fn travel(&self) -> Length {
        let (low, high) = self
            .segments
            .iter()
            .map(Segment::edge_range_m)
            .fold((f64::INFINITY, 0.0_f64), |(low, high), range| {
                (low.min(range.0), high.max(range.1))
            });
        Length::from_m(high - low).unwrap_or(Length::ZERO)
    }

    /// Layers by height, averaged over the turn.
    #[must_use]
    pub fn layers(&self) -> &Layers {
        &self.layers
    }

    /// Layers at a height in metres above the floor, averaged over the turn.
    #[must_use]
    pub fn layers_at(&self, z: f64) -> f64 {
        self.layers.at(z)
    }

    /// Mean layers between two heights in metres, averaged over the turn: what a tool that takes
    /// hold of that band of film meets. Exact.
    #[must_use]
    pub fn mean_layers(&self, from_m: f64, to_m: f64) -> f64 {
        self.layers.mean(from_m, to_m)
    }

    /// Fewest and most whole layers found going once round at a height in metres.
    ///
    /// At an angle a of the turn there are as many layers as there are whole numbers k with a + k
    /// among the turns whose film covers that height; the angle runs on from segment to segment.
    /// Exact; single angles, at which film just starts or ends, are not counted. Plain geometry.
    #[must_use]
    pub fn range_at(&self, z: f64) -> (u32, u32) {
        phase::range_at(&self.laid, self.width.m(), z)
    }

    /// Heights of the load, from the floor to its top, at which some side has no film. Exact.
    #[must_use]
    pub fn bare(&self) -> Vec<Bare> {
        phase::bare(
            &self.laid,
            &self.layers,
            self.width.m(),
            self.load.height.m(),
        )
    }

    /// Area under the layers, in turns x metres. As film is neither made nor lost on the way it is
    /// [`Self::turns`] x film width.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.layers.area(f64::NEG_INFINITY, f64::INFINITY)
    }

    /// The part of [`Self::area`] that stands above the load's top and folds over it.
    #[must_use]
    pub fn area_over_top(&self) -> f64 {
        self.layers.area(self.load.height.m(), f64::INFINITY)
    }

    /// What is taken for granted, each a plain sentence.
    #[must_use]
    pub fn assumptions(&self) -> &[Assumption] {
        &self.notes
    }
}
