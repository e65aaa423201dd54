//! JPEG. What is less than twice as long as it is kept goes through the quickest decoder; what is
//! longer, through one that makes it smaller while it decodes, to a half, a quarter or an eighth,
//! so that a picture of 100 megapixels takes no more memory than one of 12.

use std::io::Read;

use zune_core::bytestream::ZCursor;
use zune_core::colorspace::ColorSpace;
use zune_core::options::DecoderOptions;
use zune_jpeg::JpegDecoder;

use super::{Decoded, area, within};
use crate::photos::exif::CameraNotes;
use crate::photos::jpeg_outline::{Outline, outline};
use crate::photos::pixels::Pixels;
use crate::photos::progress::{Step, Watch};
use crate::photos::{Format, Note, Options, PhotoError};

/// More than the largest cameras of telephones take, 200 megapixels. Decoding takes time for every
/// one of them, however little memory it needs.
const MOST_PIXELS: u64 = 256_000_000;

pub(super) fn decode(
    bytes: &[u8],
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<Decoded, PhotoError> {
    let mut outline = outline(bytes)?;
    refuse_endless(bytes, &outline)?;
    let long = outline.width.max(outline.height);
    let pixels = if u32::from(long) >= 2 * options.long_side() {
        shrinking(bytes, &outline, options, watch)?
    } else {
        whole(bytes, &outline, options)?
    };
    let four = outline.components.len() == 4;
    Ok(Decoded {
        pixels,
        notes: CameraNotes::read(outline.exif),
        // A profile of four inks says nothing of the red, green and blue made of them.
        icc: outline.icc.take().filter(|_| !four),
        told: if four { vec![Note::Inks] } else { Vec::new() },
    })
}

/// Refuses what would be decoded for long: too many pixels, or more than its bytes can hold.
///
/// A file of less than a bit for each block of 8 by 8 pixels cannot be whole: the first coefficient
/// of each is coded by at least one bit (ITU-T T.81, F.1.2.1 and G.1.2.1).
fn refuse_endless(bytes: &[u8], outline: &Outline<'_>) -> Result<(), PhotoError> {
    let (width, height) = (u32::from(outline.width), u32::from(outline.height));
    if area(width, height) > MOST_PIXELS {
        return Err(PhotoError::TooManyPixels { width, height });
    }
    let bits = u64::try_from(bytes.len())
        .unwrap_or(u64::MAX)
        .saturating_mul(8);
    if bits < area(width.div_ceil(8), height.div_ceil(8)) {
        return Err(PhotoError::Truncated {
            format: Format::Jpeg,
        });
    }
    Ok(())
}

fn damaged(error: &dyn std::fmt::Display) -> PhotoError {
    PhotoError::damaged(Format::Jpeg, error)
}

fn whole(bytes: &[u8], outline: &Outline<'_>, options: &Options) -> Result<Pixels, PhotoError> {
    let (width, height) = (u32::from(outline.width), u32::from(outline.height));
    let needed = area(width, height) * 3 + outline.coefficient_bytes();
    within(options, width, height, needed)?;
    let how = DecoderOptions::default()
        .set_strict_mode(true)
        .set_max_width(usize::from(u16::MAX))
        .set_max_height(usize::from(u16::MAX))
        .jpeg_set_out_colorspace(ColorSpace::RGB);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), how);
    let rgb = decoder.decode().map_err(|error| damaged(&error))?;
    Pixels::new(width, height, rgb)
}

fn shrinking(
    bytes: &[u8],
    outline: &Outline<'_>,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<Pixels, PhotoError> {
    let (width, height) = (u32::from(outline.width), u32::from(outline.height));
    let long = width.max(height);
    // The smallest of the sizes it can make that is still as long as wanted.
    let eighths = [1, 2, 4]
        .into_iter()
        .find(|eighths| long * eighths / 8 >= options.long_side())
        .unwrap_or(4);
    let side = |side: u32| u16::try_from((side * eighths / 8).max(1)).unwrap_or(u16::MAX);
    let parts = area(side(width).into(), side(height).into())
        * (3 + u64::try_from(outline.components.len()).unwrap_or(4));
    within(options, width, height, parts + outline.coefficient_bytes())?;
    let mut called_off = false;
    let reader = Watched {
        bytes,
        at: 0,
        watch,
        called_off: &mut called_off,
    };
    let decoded = (|| {
        let mut decoder = jpeg_decoder::Decoder::new(reader);
        let (w, h) = decoder.scale(side(width), side(height))?;
        let samples = decoder.decode()?;
        Ok::<_, jpeg_decoder::Error>((w, h, samples, decoder.info()))
    })();
    if called_off {
        return Err(PhotoError::Cancelled);
    }
    let (w, h, samples, info) = decoded.map_err(|error| damaged(&error))?;
    let kind = info.map(|info| info.pixel_format);
    let rgb = match kind {
        Some(jpeg_decoder::PixelFormat::RGB24) => samples,
        Some(jpeg_decoder::PixelFormat::L8) => samples.iter().flat_map(|grey| [*grey; 3]).collect(),
        Some(jpeg_decoder::PixelFormat::CMYK32) => of_inks(samples),
        _ => {
            return Err(PhotoError::Rare {
                format: Format::Jpeg,
                what: "more than 8 bits a colour",
            });
        }
    };
    Pixels::new(w.into(), h.into(), rgb)
}

/// Red, green and blue of four inks, in place: each colour is what its ink and the black let
/// through.
fn of_inks(mut samples: Vec<u8>) -> Vec<u8> {
    let count = samples.len() / 4;
    for n in 0..count {
        let black = u32::from(samples[4 * n + 3]);
        for part in 0..3 {
            let through = u32::from(samples[4 * n + part]) * black;
            samples[3 * n + part] = u8::try_from((through + 127) / 255).unwrap_or(u8::MAX);
        }
    }
    samples.truncate(3 * count);
    samples
}

/// The file's bytes, read while the caller is told how far that is.
struct Watched<'b, 'w, 'c> {
    bytes: &'b [u8],
    at: usize,
    watch: &'c mut Watch<'w>,
    called_off: &'c mut bool,
}

impl Read for Watched<'_, '_, '_> {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        const TELL: usize = 1 << 16;
        let rest = self.bytes.get(self.at..).unwrap_or_default();
        let n = rest.len().min(into.len());
        into[..n].copy_from_slice(&rest[..n]);
        let tell = self.at / TELL != (self.at + n) / TELL;
        self.at += n;
        if tell {
            let share = |n: usize| u32::try_from(n / 256).unwrap_or(u32::MAX);
            #[allow(clippy::cast_precision_loss)] // A share to show, not a count.
            let part = share(self.at) as f32 / share(self.bytes.len()).max(1) as f32;
            if self.watch.at(Step::Decoding, part).is_err() {
                *self.called_off = true;
                return Err(std::io::Error::other("called off"));
            }
        }
        Ok(n)
    }
}
