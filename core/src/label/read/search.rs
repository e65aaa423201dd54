//! The search for labels in a picture, at every size and in every way until they are found.

use super::super::{CodeError, LabelCode};
use super::dark::dark;
use super::finders::{self, Three, threes, usual_text};
use super::grid::{Grid, Place};
use super::known::{Known, plain_grid};
use super::picture::Picture;
use super::rings::rings;
use super::sizes::{Sizes, Way, factor};
use super::{Reading, Seen, pairs};

/// Pixels along the shorter side of a picture, at least: the smallest square code has 21 modules
/// along a side (ISO/IEC 18004), a label 29, and with less than a pixel for each none can be told.
const LEAST_SIDE: usize = 21;
/// Threes of squares that the library reads between in one picture, at most.
const MOST_THREES: usize = 60;
/// Guesses looked at closely for one picture, at most.
const MOST_LIKELY: usize = 8;
/// Guesses of the library's that are looked at closely however they look at first.
const FIRST_THREES: usize = 3;
/// Tries where a label surely is but cannot be read, at most, for one picture.
const MOST_TRIES: usize = 3;
/// Grids fitted in all, at most.
const MOST_FITTED: usize = 24;
/// A grid that fits as well as this before it is fitted is worth fitting.
const WORTH: f32 = 0.55;
/// One whose known modules look like this is a label's.
const LIKELY: f32 = 0.6;

pub(super) struct Reader<'a> {
    sizes: Sizes<'a>,
    known: Known,
    reading: Reading,
    /// The outlines of what was read, labels or not, in pixels of the whole picture.
    taken: Vec<[Place; 4]>,
    fitted: usize,
}

impl<'a> Reader<'a> {
    pub(super) fn new(picture: &'a Picture<'a>) -> Self {
        Self {
            sizes: Sizes::new(picture),
            known: Known::new(),
            reading: Reading::default(),
            taken: Vec::new(),
            fitted: 0,
        }
    }

    pub(super) fn read(mut self, go_on: &dyn Fn() -> bool) -> Reading {
        let whole = self.sizes.level(0);
        if whole.width().min(whole.height()) < LEAST_SIDE {
            return self.reading;
        }
        for (level, way) in self.sizes.plan() {
            if !go_on() {
                break;
            }
            if self.look(level, way, go_on) && !self.reading.labels.is_empty() {
                break;
            }
        }
        self.reading
    }

    /// Looks at one size; says whether nothing that looks like a label is left unread there.
    fn look(&mut self, level: usize, way: Way, go_on: &dyn Fn() -> bool) -> bool {
        let picture = self.sizes.level(level);
        let factor = factor(level);
        let dark = match way {
            Way::Dark(way) => match dark(picture, way) {
                Some(dark) => Some(dark),
                None => return true,
            },
            Way::Rings => None,
        };
        let squares = dark
            .as_ref()
            .map_or_else(|| rings(picture), finders::squares);
        let threes = threes(&squares);
        let mut read = Vec::new();
        if let Some(dark) = &dark {
            for three in threes.iter().take(MOST_THREES) {
                if free(&self.taken, &three.middles(), factor)
                    && let Some(text) = usual_text(dark, three)
                    && let Some(grid) = plain_grid(three)
                {
                    let code = LabelCode::parse(&text);
                    if code != Err(CodeError::Damaged) {
                        let corners = corners(&grid, factor);
                        self.taken.push(corners);
                        read.push((code, corners));
                    }
                }
            }
        }
        let left: Vec<_> = squares
            .into_iter()
            .filter(|square| {
                let middle = (f64::from(square.p.x), f64::from(square.p.y));
                free(&self.taken, &[middle], factor)
            })
            .collect();
        let of_threes = threes
            .iter()
            .filter(|three| free(&self.taken, &three.middles(), factor))
            .filter_map(Guess::of_three);
        let mut guesses: Vec<(f32, Guess)> = of_threes
            .chain(pairs::grids(&left).into_iter().map(Guess::of_pair))
            .map(|guess| (self.known.alike(picture, &guess.grid), guess))
            .collect();
        // Steeply seen labels look like none at first: the library's best guesses stay.
        let firsts = guesses
            .iter()
            .take_while(|(_, guess)| guess.three.is_some());
        let firsts = firsts.count().min(FIRST_THREES);
        if let Some((_, rest)) = guesses.split_at_mut_checked(firsts) {
            rest.sort_by(|a, b| b.0.total_cmp(&a.0));
        }
        guesses.truncate(MOST_LIKELY);
        let mut worth: Vec<(f32, Guess)> = guesses
            .into_iter()
            .filter_map(|(_, mut guess)| {
                if let Some(three) = &guess.three {
                    guess.grid = self.known.grid(picture, three, dark.as_ref())?;
                }
                let fit = self.known.fit(picture, &guess.grid).sum();
                (fit > WORTH).then_some((fit, guess))
            })
            .collect();
        worth.sort_by(|a, b| b.0.total_cmp(&a.0));
        for (code, corners) in read {
            self.note(code, corners);
        }
        self.fit(worth, level, go_on)
    }

    /// Fits and reads these guesses; says whether nothing that looks like a label is left unread.
    fn fit(&mut self, guesses: Vec<(f32, Guess)>, level: usize, go_on: &dyn Fn() -> bool) -> bool {
        let mut all_read = true;
        // Where a label surely is that could not be read.
        let mut unread: Vec<[Place; 4]> = Vec::new();
        for (_, guess) in guesses {
            if self.fitted >= MOST_FITTED || !go_on() {
                return false;
            }
            let free = |outlines: &[_]| free(outlines, &guess.squares, factor(level));
            let tries = unread.iter().filter(|&&outline| !free(&[outline])).count();
            if !free(&self.taken) || tries >= MOST_TRIES {
                continue;
            }
            self.fitted += 1;
            let (level, grid) = self.sizes.suited(level, &guess.grid);
            let done = self.known.read(self.sizes.level(level), grid);
            let corners = corners(&done.grid, factor(level));
            if let Some(code) = done.code {
                self.taken.push(corners);
                self.note(Ok(code), corners);
            } else if done.fit.fixed > LIKELY {
                unread.push(corners);
                all_read = false;
            }
        }
        all_read
    }

    fn note(&mut self, code: Result<LabelCode, CodeError>, corners: [Place; 4]) {
        match code {
            Ok(code) => {
                if !self.reading.labels.iter().any(|seen| seen.code == code) {
                    self.reading.labels.push(Seen { code, corners });
                }
            }
            Err(other) => {
                if !self.reading.others.contains(&other) {
                    self.reading.others.push(other);
                }
            }
        }
    }
}

/// Where the corners of a symbol are in the whole picture.
fn corners(grid: &Grid, factor: f64) -> [Place; 4] {
    let whole = grid.scaled(factor);
    let side = f64::from(super::super::SIDE);
    [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)].map(|at| whole.pixel(at))
}

/// Where a label may be.
struct Guess {
    grid: Grid,
    /// The middles of the squares it was guessed from.
    squares: Vec<Place>,
    three: Option<Three>,
}

impl Guess {
    fn of_three(three: &Three) -> Option<Self> {
        Some(Self {
            grid: plain_grid(three)?,
            squares: three.middles().to_vec(),
            three: Some(*three),
        })
    }

    fn of_pair((grid, squares): (Grid, [Place; 2])) -> Self {
        Self {
            grid,
            squares: squares.to_vec(),
            three: None,
        }
    }
}

/// Whether none of these places lies within what was read already.
fn free(taken: &[[Place; 4]], middles: &[Place], factor: f64) -> bool {
    !taken.iter().any(|outline| {
        middles.iter().any(|middle| {
            (0..4).all(|n| {
                let (a, b) = (outline[n], outline[(n + 1) % 4]);
                let (x, y) = (middle.0 * factor - a.0, middle.1 * factor - a.1);
                (b.0 - a.0) * y - (b.1 - a.1) * x > 0.0
            })
        })
    })
}
