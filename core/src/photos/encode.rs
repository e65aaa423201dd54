//! Writing JPEG.

use jpeg_encoder::{ColorType, Encoder, EncodingError, SamplingFactor};

use super::PhotoError;
use super::pixels::Pixels;

/// From this quality on, colour is as sharp as light.
const SHARP_COLOUR: u8 = 95;

/// A JPEG of the pixels: baseline, JFIF, colour at half the sharpness both ways as cameras write it
/// (below [`SHARP_COLOUR`]), with `exif` as the camera's notes.
///
/// # Errors
/// [`PhotoError::Internal`].
pub(super) fn jpeg(
    pixels: &Pixels,
    quality: u8,
    exif: Option<&[u8]>,
) -> Result<Vec<u8>, PhotoError> {
    let internal = |error: &dyn std::fmt::Display| PhotoError::Internal(format!("JPEG: {error}"));
    let side = |side: u32| u16::try_from(side).map_err(|error| internal(&error));
    let (width, height) = (side(pixels.width)?, side(pixels.height)?);
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, quality);
    encoder.set_sampling_factor(if quality < SHARP_COLOUR {
        SamplingFactor::F_2_2
    } else {
        SamplingFactor::F_1_1
    });
    let written = exif
        .map_or(Ok(()), |exif| encoder.add_exif_metadata(exif))
        .and_then(|()| encoder.encode(&pixels.rgb, width, height, ColorType::Rgb));
    written.map_err(|error: EncodingError| internal(&error))?;
    Ok(bytes)
}
