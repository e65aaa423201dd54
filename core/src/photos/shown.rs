//! Pixels of a picture for a screen, or for looking for a label in it.

use std::ops::ControlFlow;

use super::mark::Canvas;
use super::pixels::Pixels;
use super::progress::Watch;
use super::{Mark, Options, PhotoError, Progress, Source, intake, orient, resize};

/// A picture as pixels.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// Pixels of a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Red, green and blue of each pixel, row by row from the top.
    pub rgb: Vec<u8>,
}

/// The pixels of a picture, upright, no longer than `long_side`, with marks drawn on them.
///
/// # Errors
/// [`PhotoError::Mark`] for a mark that cannot be drawn; [`PhotoError`] as [`super::prepare`].
pub fn shown(
    source: Source<'_>,
    long_side: u32,
    marks: &[Mark],
    tell: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<Shown, PhotoError> {
    let options = Options {
        long_side,
        ..Options::default()
    };
    let decoded = intake::decoded_from(source, &options, &mut Watch::new(tell))?;
    let mut pixels = resize::shrink(decoded.pixels, options.long_side())?;
    pixels = orient::upright(pixels, decoded.notes.orientation());
    if !marks.is_empty() {
        let mut canvas = Canvas::of(pixels)?;
        for mark in marks {
            canvas.draw(mark)?;
        }
        pixels = canvas.into_pixels()?;
    }
    let Pixels { width, height, rgb } = pixels;
    Ok(Shown { width, height, rgb })
}
