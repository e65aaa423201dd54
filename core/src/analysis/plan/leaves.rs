//! What a search holds while it runs.

use super::grid::Choice;

/// What one part of a programme adds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    pub(super) layers: [f64; 3],
    pub(super) film_kg: f64,
}

impl Part {
    pub(super) fn plus(&self, other: &Self) -> Self {
        Self {
            layers: std::array::from_fn(|zone| self.layers[zone] + other.layers[zone]),
            film_kg: self.film_kg + other.film_kg,
        }
    }

    pub(super) fn times(&self, turns: f64) -> Self {
        Self {
            layers: self.layers.map(|layers| layers * turns),
            film_kg: self.film_kg * turns,
        }
    }
}

/// A way up and a way down.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pass {
    pub(super) up: f64,
    pub(super) down: Option<f64>,
    pub(super) part: Part,
}

#[derive(Debug, Clone)]
pub(super) struct FilmTable {
    pub(super) bottom_turn: Part,
    pub(super) top_turn: Part,
    pub(super) passes: Vec<Pass>,
}

#[derive(Debug, Clone)]
pub(super) struct Tables {
    pub(super) bottom: Vec<f64>,
    pub(super) top: Vec<f64>,
    pub(super) films: Vec<FilmTable>,
}

impl Tables {
    pub(super) fn choice(&self, leaf: &Leaf) -> Choice {
        let pass = &self.films[leaf.film].passes[leaf.pass];
        Choice {
            bottom_turns: self.bottom[leaf.bottom],
            top_turns: self.top[leaf.top],
            pitch_up_m: pass.up,
            pitch_down_m: pass.down,
        }
    }
}

/// One programme during the search.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leaf {
    pub(super) film: usize,
    pub(super) pass: usize,
    pub(super) bottom: usize,
    pub(super) top: usize,
    pub(super) film_kg: f64,
    pub(super) weakest_n: f64,
}

impl Leaf {
    pub(super) const NONE: Self = Self {
        film: 0,
        pass: 0,
        bottom: 0,
        top: 0,
        film_kg: f64::INFINITY,
        weakest_n: f64::NEG_INFINITY,
    };

    /// Less film; of two alike, stronger.
    pub(super) fn beats(&self, other: &Self) -> bool {
        self.film_kg < other.film_kg
            || (self.film_kg <= other.film_kg && self.weakest_n > other.weakest_n)
    }
}

/// The strongest programme by steps of film mass: leaves few to sort for the curve, and never one
/// of the curve out.
pub(super) struct Bins {
    least_kg: f64,
    a_kg: f64,
    /// Strongest of each step, and its film.
    strongest: Vec<(f64, f64)>,
    /// Strongest of all steps before.
    before: Vec<f64>,
}

impl Bins {
    const COUNT: usize = 4096;

    pub(super) fn over(tables: &Tables) -> Self {
        let end = |values: &[f64]| {
            (
                values.first().copied().unwrap_or(0.0),
                values.last().copied().unwrap_or(0.0),
            )
        };
        let (bottom, top) = (end(&tables.bottom), end(&tables.top));
        let (mut least_kg, mut most_kg) = (f64::INFINITY, 0.0_f64);
        for film in &tables.films {
            let turns = |bottom: f64, top: f64| {
                film.bottom_turn
                    .film_kg
                    .mul_add(bottom, film.top_turn.film_kg * top)
            };
            for pass in &film.passes {
                least_kg = least_kg.min(pass.part.film_kg + turns(bottom.0, top.0));
                most_kg = most_kg.max(pass.part.film_kg + turns(bottom.1, top.1));
            }
        }
        #[allow(clippy::cast_precision_loss)] // A small number.
        let a_kg = Self::COUNT as f64 / (most_kg - least_kg).max(f64::MIN_POSITIVE);
        Self {
            least_kg,
            a_kg,
            strongest: vec![(f64::NEG_INFINITY, f64::INFINITY); Self::COUNT],
            before: Vec::new(),
        }
    }

    fn of(&self, leaf: &Leaf) -> usize {
        // A cast of what is below zero, above the range or not a number ends inside the range.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let bin = ((leaf.film_kg - self.least_kg) * self.a_kg) as usize;
        bin.min(Self::COUNT - 1)
    }

    pub(super) fn take(&mut self, leaf: &Leaf) {
        let bin = self.of(leaf);
        let (strongest, film_kg) = &mut self.strongest[bin];
        if leaf.weakest_n > *strongest || (leaf.weakest_n >= *strongest && leaf.film_kg < *film_kg)
        {
            (*strongest, *film_kg) = (leaf.weakest_n, leaf.film_kg);
        }
    }

    pub(super) fn close(&mut self) {
        self.before = self
            .strongest
            .iter()
            .scan(f64::NEG_INFINITY, |so_far, &(strongest, _)| {
                let before = *so_far;
                *so_far = so_far.max(strongest);
                Some(before)
            })
            .collect();
    }

    /// Whether no step with less film is as strong, nor the strongest of its own step with as
    /// little film.
    pub(super) fn may_be_on_the_curve(&self, leaf: &Leaf) -> bool {
        let bin = self.of(leaf);
        let (strongest, film_kg) = self.strongest[bin];
        leaf.weakest_n > self.before[bin] && (leaf.film_kg < film_kg || leaf.weakest_n >= strongest)
    }
}
