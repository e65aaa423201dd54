//! Labels read from pictures: dirty, tilted, dim, blurred, torn, round a drum, under film.
//!
//! The library finds the corner squares and reads what can be read as any square code is. What it
//! cannot read is read with what is known of a label alone: its size, the modules that all labels
//! have alike, the signs it begins with, and which of its modules could not be seen.

mod dark;
mod finders;
mod grid;
mod known;
mod look;
mod modules;
mod picture;
mod settle;
mod sharpen;
mod solomon;
mod words;

use super::{CodeError, LabelCode};
use dark::{Dark, dark};
use finders::{Three, squares, threes, usual_text};
use grid::{Grid, Place};
use known::{Known, plain_grid};
pub use picture::{Picture, PictureError};

/// The longer side of the first picture looked at, at most.
const FIRST: usize = 1_024;
/// The longer side of the smallest picture looked at, at least.
const SMALLEST: usize = 160;
/// Threes of squares looked at in one picture, at most.
const MOST_THREES: usize = 60;
/// Grids fitted in all, at most.
const MOST_FITTED: usize = 16;
/// Pixels in a module that suit fitting.
const MODULE: f64 = 5.0;
/// A grid that fits as well as this before it is fitted is worth fitting.
const WORTH: f32 = 0.55;
/// One whose known modules look like this is a label's.
const LIKELY: f32 = 0.6;

/// A label seen in a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// What it says.
    pub code: LabelCode,
    /// Where the corners of its square code are in the picture, in pixels: upper left, upper right,
    /// lower right, lower left as the label is read.
    pub corners: [(f64, f64); 4],
}

/// What was read in a picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// The labels, each once.
    pub labels: Vec<Seen>,
    /// Square codes that are not labels which can be read, and why.
    pub others: Vec<CodeError>,
}

/// Reads all labels in a picture.
#[must_use]
pub fn read(picture: &Picture<'_>) -> Reading {
    read_while(picture, &|| true)
}

/// The same, given up with what was read so far once `go_on` says no. It is asked every few
/// hundredths of a second.
#[must_use]
pub fn read_while(picture: &Picture<'_>, go_on: &dyn Fn() -> bool) -> Reading {
    let mut reader = Reader {
        sizes: Sizes::new(picture),
        known: Known::new(),
        reading: Reading::default(),
        taken: Vec::new(),
        fitted: 0,
    };
    for (level, way) in reader.sizes.plan() {
        if !go_on() {
            break;
        }
        if reader.look(level, way, go_on) && !reader.reading.labels.is_empty() {
            break;
        }
    }
    reader.reading
}

/// A picture and its halves, each made when it is first needed.
struct Sizes<'a> {
    whole: &'a Picture<'a>,
    halves: Vec<Picture<'static>>,
}

impl<'a> Sizes<'a> {
    fn new(whole: &'a Picture<'a>) -> Self {
        let mut halves: Vec<Picture<'static>> = Vec::new();
        loop {
            let last = halves.last().unwrap_or(whole);
            if last.width().max(last.height()) < 2 * SMALLEST || last.width().min(last.height()) < 2
            {
                break;
            }
            let half = last.half();
            halves.push(half);
        }
        Self { whole, halves }
    }

    /// The picture halved so many times, or as often as it can be.
    fn level(&self, level: usize) -> &Picture<'_> {
        match level.min(self.halves.len()).checked_sub(1) {
            Some(at) => &self.halves[at],
            None => self.whole,
        }
    }

    /// Which sizes to look at and how to tell dark from light, the quickest and likeliest first.
    fn plan(&self) -> Vec<(usize, Dark)> {
        let longer = |level: usize| {
            let picture = self.level(level);
            picture.width().max(picture.height())
        };
        let last = self.halves.len();
        let first = (0..=last)
            .find(|&level| longer(level) <= FIRST)
            .unwrap_or(last);
        let mut levels = vec![first];
        for away in 1..=last.max(1) {
            levels.extend(first.checked_sub(away));
            if first + away <= last {
                levels.push(first + away);
            }
        }
        levels
            .into_iter()
            .flat_map(|level| [Dark::Usual, Dark::Near(9), Dark::Near(4)].map(|way| (level, way)))
            .collect()
    }
}

struct Reader<'a> {
    sizes: Sizes<'a>,
    known: Known,
    reading: Reading,
    /// The outlines of what was read, labels or not, in pixels of the whole picture.
    taken: Vec<[Place; 4]>,
    fitted: usize,
}

impl Reader<'_> {
    /// Looks at one size; says whether nothing that looks like a label is left unread there.
    fn look(&mut self, level: usize, way: Dark, go_on: &dyn Fn() -> bool) -> bool {
        let picture = self.sizes.level(level);
        let Some(dark) = dark(picture, way) else {
            return true;
        };
        let mut threes: Vec<Three> = threes(&squares(&dark));
        threes.truncate(MOST_THREES);
        let factor = factor(level);
        let mut texts = Vec::new();
        for three in &threes {
            if free(&self.taken, three, factor)
                && let Some(text) = usual_text(&dark, three)
                && let Some(grid) = plain_grid(three)
            {
                let corners = corners(&grid, factor);
                self.taken.push(corners);
                texts.push((text, corners));
            }
        }
        let mut worth: Vec<(f32, Grid, Three)> = threes
            .iter()
            .filter(|three| free(&self.taken, three, factor))
            .filter_map(|three| {
                let grid = self.known.grid(picture, three, &dark)?;
                let fit = self.known.fit(picture, &grid);
                (fit.sum() > WORTH).then_some((fit.sum(), grid, *three))
            })
            .collect();
        for (text, corners) in texts {
            self.note(LabelCode::parse(&text), corners);
        }
        worth.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut all_read = true;
        for (_, grid, three) in worth {
            if self.fitted >= MOST_FITTED || !go_on() {
                return false;
            }
            if !free(&self.taken, &three, factor) {
                continue;
            }
            self.fitted += 1;
            let (level, grid) = self.suited(level, &grid);
            let done = self.known.read(self.sizes.level(level), grid);
            if let Some(code) = done.code {
                let corners = corners(&done.grid, self::factor(level));
                self.taken.push(corners);
                self.note(Ok(code), corners);
            } else if done.fit.fixed > LIKELY {
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

    /// The size in which a grid's modules have about as many pixels as suit fitting, and the grid
    /// there.
    fn suited(&self, level: usize, grid: &Grid) -> (usize, Grid) {
        let mut level = level;
        let mut grid = grid.clone();
        while grid.module() > MODULE * 1.5 && level < self.sizes.halves.len() {
            grid = grid.scaled(0.5);
            level += 1;
        }
        while grid.module() < MODULE * 0.7 && level > 0 {
            grid = grid.scaled(2.0);
            level -= 1;
        }
        (level, grid)
    }
}

/// How many pixels of the whole picture one of a level is wide.
fn factor(level: usize) -> f64 {
    f64::from(1_u32 << level.min(31))
}

/// Where the corners of a symbol are in the whole picture.
fn corners(grid: &Grid, factor: f64) -> [Place; 4] {
    let whole = grid.scaled(factor);
    let side = f64::from(super::SIDE);
    [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)].map(|at| whole.pixel(at))
}

/// Whether none of three squares lies within what was read already.
fn free(taken: &[[Place; 4]], three: &Three, factor: f64) -> bool {
    let middles = three.middles();
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
