//! Which pixels of a picture are dark, judged by what is around them.

use rxing::common::{BitMatrix, HybridBinarizer};
use rxing::{Binarizer, Luma8Source};

use super::picture::Picture;

/// Pixels along a side of the cells that the light is measured over.
const CELL: usize = 4;

/// Ways to tell dark from light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Dark {
    /// The library's: against the middle of what is within 20 pixels, unless that is all alike.
    Usual,
    /// Against the mean over so many cells each way, however little they differ.
    Near(usize),
}

/// The dark pixels; `None` when the library refuses.
pub(super) fn dark(picture: &Picture<'_>, way: Dark) -> Option<BitMatrix> {
    match way {
        Dark::Usual => usual(picture),
        Dark::Near(reach) => near(picture, reach),
    }
}

fn usual(picture: &Picture<'_>) -> Option<BitMatrix> {
    let (width, height) = size(picture)?;
    let source = Luma8Source::new_with_slice(picture.all(), width, height).ok()?;
    let binarizer = HybridBinarizer::new(source);
    binarizer.get_black_matrix().ok().cloned()
}

fn size(picture: &Picture<'_>) -> Option<(u32, u32)> {
    let width = u32::try_from(picture.width()).ok()?;
    let height = u32::try_from(picture.height()).ok()?;
    Some((width, height))
}

/// Means over squares of `2 * reach + 1` cells, from sums over everything above and left.
fn near(picture: &Picture<'_>, reach: usize) -> Option<BitMatrix> {
    let (width, height) = (picture.width(), picture.height());
    let (across, down) = (width.div_ceil(CELL), height.div_ceil(CELL));
    let stride = across + 1;
    let mut sums = vec![0_u64; stride * (down + 1)];
    let mut row_sums = vec![0_u64; across];
    for cell_y in 0..down {
        row_sums.fill(0);
        for y in cell_y * CELL..((cell_y + 1) * CELL).min(height) {
            for (sum, pixels) in row_sums.iter_mut().zip(picture.row(y).chunks(CELL)) {
                *sum += pixels.iter().map(|&grey| u64::from(grey)).sum::<u64>();
            }
        }
        let mut so_far = 0;
        for (x, sum) in row_sums.iter().enumerate() {
            so_far += sum;
            sums[(cell_y + 1) * stride + x + 1] = sums[cell_y * stride + x + 1] + so_far;
        }
    }
    let (wide, high) = size(picture)?;
    let mut bits = BitMatrix::new(wide, high).ok()?;
    let mut limits = vec![0_u8; across];
    for cell_y in 0..down {
        let (top, bottom) = (cell_y.saturating_sub(reach), (cell_y + reach + 1).min(down));
        let lines = (bottom * CELL).min(height) - top * CELL;
        for (x, limit) in limits.iter_mut().enumerate() {
            let (left, right) = (x.saturating_sub(reach), (x + reach + 1).min(across));
            let count = lines * ((right * CELL).min(width) - left * CELL);
            let sum = sums[bottom * stride + right] + sums[top * stride + left]
                - sums[top * stride + right]
                - sums[bottom * stride + left];
            let mean = sum / u64::try_from(count).unwrap_or(1).max(1);
            *limit = u8::try_from(mean).unwrap_or(u8::MAX);
        }
        for y in cell_y * CELL..((cell_y + 1) * CELL).min(height) {
            let line = u32::try_from(y).ok()?;
            let mut x = 0;
            for (pixels, &limit) in picture.row(y).chunks(CELL).zip(&limits) {
                for &grey in pixels {
                    if grey < limit {
                        bits.set(x, line);
                    }
                    x += 1;
                }
            }
        }
    }
    Some(bits)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dark_is_what_is_darker_than_its_surroundings() {
        // Light grows from left to right; every fourth column is 3 darker than the rest.
        let (width, height) = (97_u32, 43_u32);
        let grey: Vec<u8> = (0..width * height)
            .map(|at| {
                let x = at % width;
                u8::try_from(100 + x / 2 - if x % 4 == 2 { 9 } else { 0 }).unwrap()
            })
            .collect();
        let picture = Picture::grey(width, height, &grey).unwrap();
        for way in [Dark::Near(1), Dark::Near(2)] {
            let bits = dark(&picture, way).unwrap();
            for y in 0..height {
                for x in 8..width - 8 {
                    if x % 4 == 2 {
                        assert!(bits.get(x, y), "{way:?} {x} {y}");
                    }
                }
            }
        }
    }

    #[test]
    fn every_size_and_every_grey_is_judged() {
        for (width, height) in [(1, 1), (1, 9), (9, 1), (4, 4), (5, 40), (41, 43)] {
            for grey in [0, 128, 255] {
                let grey = vec![grey; usize::try_from(width * height).unwrap()];
                let picture = Picture::grey(width, height, &grey).unwrap();
                for way in [Dark::Usual, Dark::Near(0), Dark::Near(3), Dark::Near(1_000)] {
                    let bits = dark(&picture, way);
                    // The library refuses a small picture that is all alike.
                    let refused = way == Dark::Usual && bits.is_none();
                    assert!(refused || bits.is_some_and(|bits| bits.width() == width));
                }
            }
        }
    }
}
