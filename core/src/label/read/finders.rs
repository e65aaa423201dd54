//! The squares in the corners of square codes, three of which make one. By the library.

use std::panic::{AssertUnwindSafe, catch_unwind};

use rxing::Point;
use rxing::common::cpp_essentials::{ConcentricPattern, FindConcentricPatternCorners};
use rxing::common::{BitMatrix, DetectorRXingResult};
use rxing::qrcode::cpp_port::decoder::Decode;
use rxing::qrcode::cpp_port::detector::{
    FindFinderPatterns, FinderPatternSet, GenerateFinderPatternSets, SampleQR,
};

/// Squares looked at in a picture, at most.
const MOST_SQUARES: usize = 120;

/// Threes of them, at most.
const MOST_THREES: usize = 1_500;

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
    let corners = guarded(|| FindConcentricPatternCorners(dark, pattern.p, pattern.size, 2));
    Square {
        middle: place(pattern.p),
        corners: corners.flatten().map(|corners| corners.0.map(place)),
    }
}

/// All corner squares in a picture, as the library finds them.
pub(super) fn squares(dark: &BitMatrix) -> Vec<ConcentricPattern> {
    let mut found = guarded(|| FindFinderPatterns(dark, true, 0)).unwrap_or_default();
    // Large ones are less likely to be chance.
    found.sort_by_key(|pattern| std::cmp::Reverse(pattern.size));
    found.truncate(MOST_SQUARES);
    found
}

/// Three at a time, the likeliest first.
pub(super) fn threes(squares: &[ConcentricPattern]) -> Vec<Three> {
    let mut squares = squares.to_vec();
    guarded(|| GenerateFinderPatternSets(&mut squares))
        .unwrap_or_default()
        .into_iter()
        .take(MOST_THREES)
        .map(|set| Three { set })
        .collect()
}

/// What the library reads between three squares, whoever's code it is.
pub(super) fn usual_text(dark: &BitMatrix, three: &Three) -> Option<String> {
    guarded(|| {
        let sampled = SampleQR(dark, &three.set).ok()?;
        let decoded = Decode(sampled.getBits()).ok()?;
        decoded.isValid().then(|| decoded.text())
    })
    .flatten()
}

/// The library says of itself that it may panic on some pictures: then there is nothing to be read.
fn guarded<T>(work: impl FnOnce() -> T) -> Option<T> {
    catch_unwind(AssertUnwindSafe(work)).ok()
}
