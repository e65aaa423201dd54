//! The exact search of a grid of programmes for the least film that still holds.
//!
//! Layers and film path of a programme are sums: turns at the bottom, turns at the top, the way
//! up and the way down each add their own, whatever the others are (layers are averaged over the
//! turn, so where one pass ends and the next begins does not matter). Each is worked out once;
//! a programme is then a few additions, and all of them are looked at. Nothing is skipped, so the
//! answer is the best there is on the grid, not a good one.

use crate::analysis::containment::ZoneName;
use crate::analysis::pattern::{Course, Pattern, PatternError, Programme, Shares, Wrapped};
use crate::analysis::statistics::regression::{Fit, Predictor};
use crate::language::Language;
use crate::say;
use crate::units::Length;

use super::grid::{Choice, Grid, GridError};
use super::leaves::{Bins, FilmTable, Leaf, Part, Pass, Tables};

/// The part of the load's height that a reading takes in, in metres above the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Engaged {
    /// Its lower end.
    pub from_m: f64,
    /// Its upper end.
    pub to_m: f64,
}

/// One film as it runs on the line: what it gives a layer, and what it weighs.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmChoice {
    /// Width on the load.
    pub width_on_load: Length,
    /// Mass of film for a metre of path round the load, in kilograms: density x width x thickness
    /// over one plus the stretch, or better, weighed film over the path of the programme it was
    /// weighed on.
    pub kg_per_m: f64,
    /// What a number of layers holds in each zone (top, middle, bottom); `None` where nothing
    /// was measured.
    pub holds: [Option<Holds>; 3],
}

/// What a number of layers holds in one zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holds {
    /// Force in newtons by layers.
    pub fit: Fit,
    /// Its bounds for new readings, at the confidence asked for.
    pub predictor: Predictor,
}

impl Holds {
    /// Whether so many layers were measured, or fewer and more of them.
    fn measured(&self, layers: f64) -> bool {
        /// Layers by which a programme may lie outside: rounding only.
        const ROUNDING: f64 = 1e-6;
        (self.fit.x_min - ROUNDING..=self.fit.x_max + ROUNDING).contains(&layers)
    }
}

/// What is searched.
#[derive(Debug, Clone)]
pub struct Search<'a> {
    /// The load.
    pub load: Wrapped,
    /// The film's lower edge at the start, above the floor.
    pub start: Length,
    /// The film's upper edge above the load's top, at its highest.
    pub over_top: Length,
    /// Where readings are taken (top, middle, bottom).
    pub engaged: [Engaged; 3],
    /// The films measured on this line.
    pub films: &'a [FilmChoice],
    /// The programmes.
    pub grid: Grid,
    /// The least force for each zone in newtons (top, middle, bottom).
    pub goal: [Option<f64>; 3],
    /// The greatest pitch, as a part of the film's width on the load: 1 lets turns just meet.
    pub most_pitch_of_width: f64,
    /// Look only at programmes whose layers lie within what was measured, in every zone that was
    /// read.
    pub within_measured: bool,
}

/// Why a search cannot be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum SearchError {
    /// The grid.
    Grid(#[from] GridError),
    /// The pattern.
    Pattern(#[from] PatternError),
    /// No film was measured on the line.
    NoFilm,
    /// Not a sensible share.
    PitchShare,
    /// Every pitch of the grid is too great for every film.
    PitchTooGreat,
    /// A film without mass, or with one that is not a number.
    NoMass,
}

impl SearchError {
    /// It, in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Grid(error) => error.said(language),
            Self::Pattern(error) => error.said(language),
            Self::NoFilm => say!(
                language,
                "no film was measured on this line yet: take readings on a load whose settings are noted"
            ),
            Self::PitchShare => say!(
                language,
                "the greatest pitch is a share of the film's width between 0 and 1"
            ),
            Self::PitchTooGreat => say!(
                language,
                "every pitch the wrapper is said to allow is too great for the film: its turns would \
         overlap too little or leave bare stripes; check the wrapper's limits, and measure the \
         film's width on the load"
            ),
            Self::NoMass => say!(
                language,
                "the film's mass is not known: weigh the film of one load"
            ),
        }
    }
}

/// A programme with what it is predicted to do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// Which of the films.
    pub film: usize,
    /// The programme.
    pub choice: Choice,
    /// Film a load, in kilograms.
    pub film_kg: f64,
    /// Layers in each zone, averaged over the turn and over the height a reading takes in.
    pub layers: [f64; 3],
    /// The force expected in each zone, in newtons.
    pub mean_n: [Option<f64>; 3],
    /// The force of which we are as sure as was asked, in newtons.
    pub lower_n: [Option<f64>; 3],
    /// Bound less goal, in newtons; `None` where either is missing.
    pub margin_n: [Option<f64>; 3],
    /// Whether the layers lie within what was measured (top, middle, bottom); `None` for a zone
    /// that was not read.
    pub measured: [Option<bool>; 3],
    /// The zone with the least margin, or with the least bound where there is no goal at all.
    pub weakest: ZoneName,
    /// That margin (or bound) in newtons.
    pub weakest_n: f64,
}

/// What a search found.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// How many programmes were looked at, over all films.
    pub looked_at: u64,
    /// How many of them reach every goal.
    pub passing: u64,
    /// The one of them with the least film; of two alike, the stronger.
    pub best: Option<Candidate>,
    /// From the least film up: each holds more than any other with as little film.
    pub curve: Vec<Candidate>,
}

/// How near zero a margin counts as none, in newtons: rounding only.
const ROUNDING_N: f64 = 1e-9;

/// What one zone is held to.
#[derive(Debug, Clone, Copy)]
enum Judge {
    /// Bound less goal.
    By(Predictor, f64),
    /// A goal where nothing was measured.
    Fails,
    /// No goal, while other zones have one.
    Silent,
}

impl Judge {
    fn value(&self, layers: f64) -> f64 {
        match self {
            Self::By(predictor, goal) => {
                predictor.reading_low(layers).unwrap_or(f64::NEG_INFINITY) - goal
            }
            Self::Fails => f64::NEG_INFINITY,
            Self::Silent => f64::INFINITY,
        }
    }
}

/// Where no zone has anything to say, nothing passes.
fn no_word(weakest_n: f64) -> f64 {
    if weakest_n < f64::INFINITY {
        weakest_n
    } else {
        f64::NEG_INFINITY
    }
}

fn measured(holds: &[Option<Holds>; 3], layers: &[f64; 3]) -> bool {
    let mut zones = holds.iter().zip(layers);
    zones.all(|(holds, &layers)| holds.is_none_or(|holds| holds.measured(layers)))
}

impl Search<'_> {
    /// Looks at every programme of the grid for every film.
    ///
    /// A programme passes when the bound of every zone that has a goal reaches it; a zone with a
    /// goal and nothing measured fails all of them. Without any goal nothing passes, and the
    /// curve shows film against the weakest bound.
    ///
    /// # Errors
    /// A grid that is none or too large, or all of whose pitches are too great; no film; a pattern
    /// that cannot be laid.
    pub fn run(&self) -> Result<Found, SearchError> {
        let tables = self.tables()?;
        let mut found = Found {
            looked_at: 0,
            passing: 0,
            best: None,
            curve: Vec::new(),
        };
        let has_goal = self.goal.iter().any(Option::is_some);
        let mut best = Leaf::NONE;
        let mut bins = Bins::over(&tables);
        self.each(&tables, |leaf| {
            found.looked_at += 1;
            bins.take(leaf);
            if has_goal && leaf.weakest_n >= -ROUNDING_N {
                found.passing += 1;
                if leaf.beats(&best) {
                    best = *leaf;
                }
            }
        });
        bins.close();
        let mut front = Vec::new();
        self.each(&tables, |leaf| {
            if bins.may_be_on_the_curve(leaf) {
                front.push(*leaf);
            }
        });
        front.sort_by(|a, b| {
            (a.film_kg.total_cmp(&b.film_kg)).then(b.weakest_n.total_cmp(&a.weakest_n))
        });
        let mut strongest = f64::NEG_INFINITY;
        for leaf in front {
            if leaf.weakest_n > strongest {
                strongest = leaf.weakest_n;
                found
                    .curve
                    .push(self.evaluate(leaf.film, &tables.choice(&leaf))?);
            }
        }
        if best.weakest_n > f64::NEG_INFINITY {
            found.best = Some(self.evaluate(best.film, &tables.choice(&best))?);
        }
        Ok(found)
    }

    /// One programme by itself, from its whole pattern.
    ///
    /// # Errors
    /// A film that is not there, a pattern that cannot be laid.
    pub fn evaluate(&self, film: usize, choice: &Choice) -> Result<Candidate, SearchError> {
        let by = self.films.get(film).ok_or(SearchError::NoFilm)?;
        let pattern = Pattern::new(&self.programme(choice)?, &self.load, by.width_on_load)?;
        let layers = self
            .engaged
            .map(|at| pattern.mean_layers(at.from_m, at.to_m));
        let film_kg = by.kg_per_m * pattern.path().m();
        let mean_n: [Option<f64>; 3] =
            std::array::from_fn(|zone| by.holds[zone]?.fit.at(layers[zone]));
        let lower_n: [Option<f64>; 3] =
            std::array::from_fn(|zone| by.holds[zone]?.predictor.reading_low(layers[zone]));
        let margin_n = std::array::from_fn(|zone| Some(lower_n[zone]? - self.goal[zone]?));
        let (zone, weakest_n) = self.weakest(&by.holds, &layers);
        Ok(Candidate {
            film,
            choice: *choice,
            film_kg,
            layers,
            mean_n,
            lower_n,
            margin_n,
            measured: std::array::from_fn(|zone| Some(by.holds[zone]?.measured(layers[zone]))),
            weakest: ZoneName::ALL[zone],
            weakest_n,
        })
    }

    fn programme(&self, choice: &Choice) -> Result<Programme, PatternError> {
        let pitch = |m: f64| Length::from_m(m).map_err(|_| PatternError::PitchNotMoreThanZero);
        Ok(Programme {
            bottom_turns: choice.bottom_turns,
            top_turns: choice.top_turns,
            pitch_up: Some(pitch(choice.pitch_up_m)?),
            pitch_down: choice.pitch_down_m.map(pitch).transpose()?,
            start: self.start,
            over_top: self.over_top,
        })
    }

    /// The zone with the least margin and that margin: minus infinity for a zone with a goal and
    /// nothing measured. With no goal at all, the zone with the least bound.
    fn weakest(&self, holds: &[Option<Holds>; 3], layers: &[f64; 3]) -> (usize, f64) {
        let judges = self.judges(holds);
        let values: [f64; 3] = std::array::from_fn(|zone| judges[zone].value(layers[zone]));
        let zone = (0..3)
            .min_by(|&a, &b| values[a].total_cmp(&values[b]))
            .unwrap_or(0);
        (zone, no_word(values[zone]))
    }

    /// What each zone of a film is held to.
    fn judges(&self, holds: &[Option<Holds>; 3]) -> [Judge; 3] {
        let judged = self.goal.iter().any(Option::is_some);
        std::array::from_fn(|zone| match (holds[zone], self.goal[zone]) {
            (Some(holds), Some(goal)) => Judge::By(holds.predictor, goal),
            (None, Some(_)) => Judge::Fails,
            (Some(holds), None) if !judged => Judge::By(holds.predictor, 0.0),
            (_, None) => Judge::Silent,
        })
    }

    fn tables(&self) -> Result<Tables, SearchError> {
        self.grid.count()?;
        if self.films.is_empty() {
            return Err(SearchError::NoFilm);
        }
        if !(self.most_pitch_of_width > 0.0 && self.most_pitch_of_width <= 1.0) {
            return Err(SearchError::PitchShare);
        }
        let films = self
            .films
            .iter()
            .map(|film| self.table(film))
            .collect::<Result<Vec<_>, _>>()?;
        if films.iter().all(|film| film.passes.is_empty()) {
            return Err(SearchError::PitchTooGreat);
        }
        Ok(Tables {
            bottom: self.grid.bottom_turns.values(),
            top: self.grid.top_turns.values(),
            films,
        })
    }

    fn table(&self, film: &FilmChoice) -> Result<FilmTable, SearchError> {
        if !(film.kg_per_m.is_finite() && film.kg_per_m > 0.0) {
            return Err(SearchError::NoMass);
        }
        let at_start = Programme {
            bottom_turns: 0.0,
            top_turns: 0.0,
            pitch_up: None,
            pitch_down: None,
            start: self.start,
            over_top: self.over_top,
        };
        let course = Course::new(&at_start, &self.load, film.width_on_load)?;
        let shares = self.engaged.map(|at| course.shares(at.from_m, at.to_m));
        let part = |bottom: f64, top: f64, pitches: [Option<f64>; 2]| Part {
            layers: shares.map(|shares: Shares| shares.layers(bottom, top, pitches)),
            film_kg: film.kg_per_m * course.path_m(bottom, top, pitches),
        };
        // A pitch over the width leaves bare stripes; rounding alone must not make it so.
        let most = film.width_on_load.m() * self.most_pitch_of_width * (1.0 + 1e-9);
        let passes = self.grid.pitches().into_iter();
        Ok(FilmTable {
            bottom_turn: part(1.0, 0.0, [None; 2]),
            top_turn: part(0.0, 1.0, [None; 2]),
            passes: passes
                .filter(|(up, down)| *up <= most && down.is_none_or(|down| down <= most))
                .map(|(up, down)| Pass {
                    up,
                    down,
                    part: part(0.0, 0.0, [Some(up), down]),
                })
                .collect(),
        })
    }

    fn each(&self, tables: &Tables, mut take: impl FnMut(&Leaf)) {
        for (film, table) in tables.films.iter().enumerate() {
            let holds = &self.films[film].holds;
            let judges = self.judges(holds);
            // Turns at the top mostly change one zone: the others are judged once for all of them.
            let moved = table.top_turn.layers.map(|layers| layers > 0.0);
            for (pass, passes) in table.passes.iter().enumerate() {
                for (bottom, &bottom_turns) in tables.bottom.iter().enumerate() {
                    let below = passes.part.plus(&table.bottom_turn.times(bottom_turns));
                    let still = (0..3)
                        .filter(|&zone| !moved[zone])
                        .map(|zone| judges[zone].value(below.layers[zone]))
                        .fold(f64::INFINITY, f64::min);
                    for (top, &top_turns) in tables.top.iter().enumerate() {
                        let all = below.plus(&table.top_turn.times(top_turns));
                        if all.film_kg <= 0.0 {
                            continue; // No turn at all is no programme.
                        }
                        if self.within_measured && !measured(holds, &all.layers) {
                            continue;
                        }
                        let weakest_n = (0..3)
                            .filter(|&zone| moved[zone])
                            .map(|zone| judges[zone].value(all.layers[zone]))
                            .fold(still, f64::min);
                        take(&Leaf {
                            film,
                            pass,
                            bottom,
                            top,
                            film_kg: all.film_kg,
                            weakest_n: no_word(weakest_n),
                        });
                    }
                }
            }
        }
    }
}
