//! Turning pixels upright.

use super::pixels::{Pixels, index};

/// Pixels of a side of the squares that are turned at a time, so that both rows and columns stay in
/// the processor's cache.
const TILE: usize = 32;

/// Turns a picture as its camera noted: Exif 2.32, 4.6.4 A, `Orientation`, 1 to 8.
pub(super) fn upright(mut picture: Pixels, orientation: u8) -> Pixels {
    match orientation {
        2 => mirror(&mut picture),
        3 => turn_over(&mut picture),
        4 => {
            turn_over(&mut picture);
            mirror(&mut picture);
        }
        5..=8 => {
            picture = across(&picture);
            // The rows are now the columns: what is left is a mirroring, a turning over, or both.
            match orientation {
                6 => mirror(&mut picture),
                7 => turn_over(&mut picture),
                8 => {
                    turn_over(&mut picture);
                    mirror(&mut picture);
                }
                _ => {}
            }
        }
        _ => {}
    }
    picture
}

/// Left for right.
fn mirror(picture: &mut Pixels) {
    let stride = picture.stride();
    for row in picture.rgb.chunks_exact_mut(stride) {
        reverse(row);
    }
}

/// By half a turn.
fn turn_over(picture: &mut Pixels) {
    reverse(&mut picture.rgb);
}

/// The pixels of `rgb` in the opposite order.
fn reverse(rgb: &mut [u8]) {
    let (pixels, _) = rgb.as_chunks_mut::<3>();
    pixels.reverse();
}

/// Rows for columns.
fn across(picture: &Pixels) -> Pixels {
    let (width, height) = (index(picture.width), index(picture.height));
    let mut rgb = vec![0; picture.rgb.len()];
    let (from, _) = picture.rgb.as_chunks::<3>();
    let (to, _) = rgb.as_chunks_mut::<3>();
    for top in (0..height).step_by(TILE) {
        for left in (0..width).step_by(TILE) {
            for x in left..(left + TILE).min(width) {
                let column = &mut to[x * height..][..height];
                for y in top..(top + TILE).min(height) {
                    column[y] = from[y * width + x];
                }
            }
        }
    }
    Pixels {
        width: picture.height,
        height: picture.width,
        rgb,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Where each pixel comes from, by the words of the standard: the 0th row and the 0th column of
    /// the file are, seen upright, at these sides.
    #[test]
    fn each_orientation_puts_row_and_column_where_the_standard_says() {
        const SIDES: [(u8, &str, &str); 8] = [
            (1, "top", "left"),
            (2, "top", "right"),
            (3, "bottom", "right"),
            (4, "bottom", "left"),
            (5, "left", "top"),
            (6, "right", "top"),
            (7, "right", "bottom"),
            (8, "left", "bottom"),
        ];
        let (width, height) = (70_usize, 41_usize);
        let byte = |value: usize| u8::try_from(value).unwrap();
        let pixel = |x: usize, y: usize| [byte(x), byte(y), 9];
        for (orientation, row, column) in SIDES {
            let rgb = (0..height)
                .flat_map(|y| (0..width).flat_map(move |x| pixel(x, y)))
                .collect();
            let file = Pixels::new(70, 41, rgb).unwrap();
            let seen = upright(file, orientation);
            let turned = orientation > 4;
            let size = if turned {
                (height, width)
            } else {
                (width, height)
            };
            assert_eq!((index(seen.width), index(seen.height)), size);
            for y in 0..height {
                for x in 0..width {
                    let place = |side: &str, at: usize, most: usize| match side {
                        "top" | "left" => at,
                        _ => most - 1 - at,
                    };
                    let (a, b) = (place(row, y, height), place(column, x, width));
                    let (sx, sy) = if turned { (a, b) } else { (b, a) };
                    let at = (sy * size.0 + sx) * 3;
                    assert_eq!(seen.rgb[at..at + 3], pixel(x, y), "{orientation}: {x}, {y}");
                }
            }
        }
    }
}
