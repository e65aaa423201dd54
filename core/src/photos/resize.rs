//! Making pictures smaller.

use fast_image_resize as fr;
use fr::images::{TypedImage, TypedImageRef};
use fr::pixels::{U8x3, U16x3};
use fr::{FilterType, ResizeAlg, ResizeOptions, Resizer};

use super::PhotoError;
use super::pixels::{Pixels, index};

/// The size with both sides in proportion and the longer one at most `long` pixels.
pub(super) fn fitted(width: u32, height: u32, long: u32) -> (u32, u32) {
    let most = width.max(height);
    if most <= long {
        return (width, height);
    }
    let side = |side: u32| {
        let rounded = (u64::from(side) * u64::from(long) + u64::from(most) / 2) / u64::from(most);
        u32::try_from(rounded).unwrap_or(long).clamp(1, long)
    };
    (side(width), side(height))
}

fn internal(error: &dyn std::fmt::Display) -> PhotoError {
    PhotoError::Internal(format!("resizing: {error}"))
}

fn by(filter: FilterType) -> ResizeOptions {
    ResizeOptions::new().resize_alg(ResizeAlg::Convolution(filter))
}

/// The picture with its longer side at most `long` pixels; as it is if it is no longer.
///
/// By Lanczos' filter of three lobes, on the values as they stand. Decoders leave less than a
/// halving, where adding light itself (as [`thumbnail`] does) changes no level by more than the
/// JPEG does and would take a third more of the time of the whole.
///
/// # Errors
/// [`PhotoError::Internal`].
pub(super) fn shrink(pixels: Pixels, long: u32) -> Result<Pixels, PhotoError> {
    let (width, height) = fitted(pixels.width, pixels.height, long);
    if (width, height) == (pixels.width, pixels.height) {
        return Ok(pixels);
    }
    let from = TypedImageRef::<U8x3>::from_buffer(pixels.width, pixels.height, &pixels.rgb)
        .map_err(|error| internal(&error))?;
    let mut rgb = vec![0; index(width) * index(height) * 3];
    let mut to = TypedImage::<U8x3>::from_buffer(width, height, &mut rgb)
        .map_err(|error| internal(&error))?;
    // Typed: asked by a value, it would bring the code for every kind of pixel along.
    Resizer::new()
        .resize_typed(&from, &mut to, &by(FilterType::Lanczos3))
        .map_err(|error| internal(&error))?;
    Pixels::new(width, height, rgb)
}

/// A small copy with its longer side at most `long` pixels, in linear light: fine bright lines, as
/// film has them, keep their brightness.
///
/// # Errors
/// [`PhotoError::Internal`].
pub(super) fn thumbnail(pixels: &Pixels, long: u32) -> Result<Pixels, PhotoError> {
    let (width, height) = fitted(pixels.width, pixels.height, long);
    let light = Light::new();
    let (from, _) = pixels.rgb.as_chunks::<3>();
    let from: Vec<U16x3> = from
        .iter()
        .map(|rgb| U16x3::new(rgb.map(|value| light.of[usize::from(value)])))
        .collect();
    let from =
        TypedImageRef::new(pixels.width, pixels.height, &from).map_err(|error| internal(&error))?;
    let mut to = TypedImage::<U16x3>::new(width, height);
    Resizer::new()
        .resize_typed(&from, &mut to, &by(FilterType::Hamming))
        .map_err(|error| internal(&error))?;
    let mut rgb = Vec::with_capacity(index(width) * index(height) * 3);
    for pixel in to.pixels() {
        rgb.extend(pixel.0.map(|value| light.value(value)));
    }
    Pixels::new(width, height, rgb)
}

/// Between sRGB's values and light: IEC 61966-2-1, 0 to 1 as 0 to 65535.
struct Light {
    of: [u16; 256],
}

impl Light {
    fn new() -> Self {
        let mut of = [0; 256];
        for (value, light) in (0_u16..).zip(&mut of) {
            let value = f64::from(value) / 255.0;
            let linear = if value <= 0.040_45 {
                value / 12.92
            } else {
                libm::pow((value + 0.055) / 1.055, 2.4)
            };
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 65535.
            let whole = (linear * 65_535.0).round() as u16;
            *light = whole;
        }
        Self { of }
    }

    /// The value whose light is nearest.
    fn value(&self, light: u16) -> u8 {
        let above = self.of.partition_point(|known| *known < light).min(255);
        let nearest = match above.checked_sub(1) {
            Some(below) if light - self.of[below] <= self.of[above].saturating_sub(light) => below,
            _ => above,
        };
        u8::try_from(nearest).unwrap_or(u8::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_keep_their_proportion() {
        assert_eq!(fitted(4_000, 3_000, 2_560), (2_560, 1_920));
        assert_eq!(fitted(3_000, 4_000, 2_560), (1_920, 2_560));
        assert_eq!(fitted(100, 50, 2_560), (100, 50));
        assert_eq!(fitted(65_535, 1, 320), (320, 1));
        assert_eq!(fitted(1, 65_535, 320), (1, 320));
    }

    #[test]
    fn light_and_value_undo_each_other() {
        let light = Light::new();
        assert!(light.of.is_sorted());
        for value in 0..=255_u8 {
            assert_eq!(light.value(light.of[usize::from(value)]), value);
        }
        assert_eq!((light.value(0), light.value(u16::MAX)), (0, 255));
    }

    #[test]
    fn black_and_white_lines_become_the_grey_of_half_the_light() {
        // Half the light is 188 of 255 in sRGB (IEC 61966-2-1); the mean of the values would be 128.
        let rgb = (0..64 * 64)
            .flat_map(|n| [if n % 2 == 0 { 0 } else { 255 }; 3])
            .collect();
        let lines = Pixels::new(64, 64, rgb).unwrap();
        let small = thumbnail(&lines, 8).unwrap();
        assert_eq!((small.width, small.height), (8, 8));
        for y in 1..7 {
            for x in 1..7 {
                let grey = small.rgb[(y * 8 + x) * 3];
                assert!(grey.abs_diff(188) <= 2, "{grey}");
            }
        }
    }
}
