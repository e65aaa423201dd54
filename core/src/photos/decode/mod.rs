//! From a file's bytes to pixels, within bounds that are known before memory is spent.

mod jpeg;
mod png;
mod webp;

use super::exif::CameraNotes;
use super::pixels::Pixels;
use super::progress::Watch;
use super::{Format, Note, Options, PhotoError};

/// A picture as decoded, and what stood beside it in the file.
pub(super) struct Decoded {
    pub(super) pixels: Pixels,
    pub(super) notes: CameraNotes,
    /// The profile of its red, green and blue, when it has one.
    pub(super) icc: Option<Vec<u8>>,
    pub(super) told: Vec<Note>,
}

/// Decodes a picture.
///
/// # Errors
/// See [`super::prepare`].
pub(super) fn decode(
    format: Format,
    bytes: &[u8],
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<Decoded, PhotoError> {
    // A panic ends the program, so there is no guard around these: the fuzzers hold them to it, and what
    // was found to bring one about is refused beforehand.
    match format {
        Format::Jpeg => jpeg::decode(bytes, options, watch),
        Format::Png => png::decode(bytes, options, watch),
        Format::WebP => webp::decode(bytes, options),
    }
}

/// Refuses a picture that would take more memory than allowed, by what its header says.
fn within(options: &Options, width: u32, height: u32, bytes: u64) -> Result<(), PhotoError> {
    if bytes > options.most_memory {
        return Err(PhotoError::TooManyPixels { width, height });
    }
    Ok(())
}

fn area(width: u32, height: u32) -> u64 {
    u64::from(width) * u64::from(height)
}
