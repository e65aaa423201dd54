//! The squares in the corners of square codes, three of which make one. By the library.

use rxing::common::cpp_essentials::{
    ConcentricPattern, FindConcentricPatternCorners, FindLeftGuardBy, FixedPattern,
    GetPatternRowTP, IsPattern, LocateConcentricPattern, PatternRow, PatternView,
};
use rxing::common::{BitMatrix, DetectorRXingResult};
use rxing::qrcode::cpp_port::decoder::Decode;
use rxing::qrcode::cpp_port::detector::{FinderPatternSet, GenerateFinderPatternSets, SampleQR};
use rxing::{Point, point};

/// Squares looked at in a picture, at most.
const MOST_SQUARES: usize = 120;

/// Threes of them, at most.
const MOST_THREES: usize = 1_500;

/// Rows from one looked at to the next: the middle of a square is three modules high.
const STEP: usize = 3;

/// How wide dark and light are across a corner square, in modules.
const RATIOS: [u16; 5] = [1, 1, 3, 1, 1];

/// A corner square: its middle and the middles of the corners of its dark ring, a
/// ring half a module from its edge, when they can be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Square {
    pub(super) middle: (f64, f64),
    pub(super) corners: Option<[(f64, f64); 4]>,
}

impl Square {
    /// A square of which the middle alone is known.
    pub(super) fn bare(middle: (f64, f64)) -> Self {
        Self {
            middle,
            corners: None,
        }
    }
}

/// Three squares that may be those of one code.
#[derive(Debug, Clone, Copy)]
pub(super) struct Three {
    set: FinderPatternSet,
}

impl Three {
    /// The squares at the upper left, the upper right and the lower left.
    pub(super) fn squares(&self, dark: &BitMatrix) -> [Square; 3] {
        [self.set.tl, self.set.tr, self.set.bl].map(|pattern| square(dark, pattern))
    }

    /// The middles only.
    pub(super) fn middles(&self) -> [(f64, f64); 3] {
        [self.set.tl, self.set.tr, self.set.bl].map(|pattern| place(pattern.p))
    }
}

fn place(point: Point) -> (f64, f64) {
    (f64::from(point.x), f64::from(point.y))
}

fn square(dark: &BitMatrix, pattern: ConcentricPattern) -> Square {
    let corners = FindConcentricPatternCorners(dark, pattern.p, pattern.size, 2);
    Square {
        middle: place(pattern.p),
        corners: corners.map(|corners| corners.0.map(place)),
    }
}

/// All corner squares in a picture, as the library finds them.
pub(super) fn squares(dark: &BitMatrix) -> Vec<ConcentricPattern> {
    let mut found = all_squares(dark);
    // Large ones are less likely to be chance.
    found.sort_by_key(|pattern| std::cmp::Reverse(pattern.size));
    found.truncate(MOST_SQUARES);
    found
}

/// What the library's own search of a whole picture finds, from its parts: that one looks through
/// all it found before at every place worth a look, seconds in a picture full of squares, where this
/// looks through those alone that reach the row.
fn all_squares(dark: &BitMatrix) -> Vec<ConcentricPattern> {
    let mut found: Vec<ConcentricPattern> = Vec::new();
    // Those that this row or a later one may cross.
    let mut open: Vec<ConcentricPattern> = Vec::new();
    let mut row = PatternRow::default();
    for y in (0..dark.height()).skip(STEP - 1).step_by(STEP) {
        GetPatternRowTP(dark, y, &mut row, false);
        let middle = real(y) + 0.5;
        open.retain(|square| square.p.y + half(square) > middle);
        let mut next = PatternView::new(&row);
        while let Ok(seen) = FindLeftGuardBy::<5, _>(next, 5, across_a_square)
            && seen.isValid()
        {
            next = seen;
            let before = f32::from(next.pixelsInFront());
            let left = before + f32::from(next[0]) + f32::from(next[1]);
            let place = point(left + f32::from(next[2]) / 2.0, middle);
            let within =
                |square: &ConcentricPattern| Point::distance(place, square.p) < half(square);
            if !open.iter().any(within) {
                // Three times as wide for squares seen from the side.
                let range = 3 * next.iter().map(i32::from).sum::<i32>();
                let square = LocateConcentricPattern::<true, 5, 7>(dark, &RATIOS, place, range);
                found.extend(square);
                open.extend(square);
            }
            next.skipPair();
            next.skipPair();
            next.extend();
        }
    }
    found
}

/// Whether five runs of a row look like the middle row of a corner square.
fn across_a_square(runs: &PatternView<'_>, space: Option<f32>) -> bool {
    let middle: u16 = runs[2];
    middle >= 3
        && middle >= 2 * u16::max(runs[0], runs[4])
        && middle >= u16::max(runs[1], runs[3])
        && IsPattern::<true, 5, 7, false>(
            runs,
            &FixedPattern::with_reference(&RATIOS),
            space,
            0.1,
            0.0,
            0.0,
        ) != 0.0
}

fn half(square: &ConcentricPattern) -> f32 {
    real(square.size.unsigned_abs()) / 2.0
}

#[allow(clippy::cast_precision_loss)] // Pixels of a picture.
fn real(pixels: u32) -> f32 {
    pixels as f32
}

/// Three at a time, the likeliest first.
pub(super) fn threes(squares: &[ConcentricPattern]) -> Vec<Three> {
    let mut squares = squares.to_vec();
    GenerateFinderPatternSets(&mut squares)
        .into_iter()
        .take(MOST_THREES)
        .map(|set| Three { set })
        .collect()
}

/// What the library reads between three squares, whoever's code it is.
pub(super) fn usual_text(dark: &BitMatrix, three: &Three) -> Option<String> {
    let sampled = SampleQR(dark, &three.set).ok()?;
    let decoded = Decode(sampled.getBits()).ok()?;
    decoded.isValid().then(|| decoded.text())
}

#[cfg(test)]
mod tests {
    use rxing::qrcode::cpp_port::detector::FindFinderPatterns;

    use super::*;

    /// Corner squares side by side, of so many pixels a module, with pixels spoilt at random.
    fn sheet(module: u32, spoilt_of_1000: u32) -> BitMatrix {
        let mut dark = BitMatrix::new(400, 300).unwrap();
        let mut random = 12_345_u32;
        for (x, y) in (0..300).flat_map(|y| (0..400).map(move |x| (x, y))) {
            random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            let place = |at: u32| (at % (9 * module) / module).abs_diff(4);
            let ring = place(x).max(place(y));
            let spoilt = (random >> 16) % 1_000 < spoilt_of_1000;
            if (ring < 4 && ring != 2) != spoilt {
                dark.set(x, y);
            }
        }
        dark
    }

    #[test]
    fn the_squares_are_those_that_the_library_finds() {
        let mut most = 0;
        for module in [1, 2, 3, 5, 11] {
            for spoilt in [0, 2, 20, 300] {
                let dark = sheet(module, spoilt);
                let found = all_squares(&dark);
                let library = FindFinderPatterns(&dark, true, 0);
                assert_eq!(found, library, "{module} {spoilt}");
                most = most.max(found.len());
            }
        }
        assert!(most > 100, "{most}");
    }
}
