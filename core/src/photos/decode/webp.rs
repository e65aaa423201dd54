//! WebP. RFC 9649 for the container.

use std::io::Cursor;

use image_webp::{DecodingError, WebPDecoder};

use super::{Decoded, area, within};
use crate::photos::exif::CameraNotes;
use crate::photos::pixels::{Pixels, index, over_white};
use crate::photos::{Format, Note, Options, PhotoError};

pub(super) fn decode(bytes: &[u8], options: &Options) -> Result<Decoded, PhotoError> {
    let (width, height) = largest(bytes)?;
    // The pixels with their alpha, and beside them either the planes of a lossy picture or a
    // second copy of a lossless one.
    within(options, width, height, area(width, height) * 8)?;
    let mut decoder = WebPDecoder::new(Cursor::new(bytes)).map_err(wrong)?;
    decoder.set_memory_limit(usize::try_from(options.most_memory).unwrap_or(usize::MAX));
    let (width, height) = decoder.dimensions();
    within(options, width, height, area(width, height) * 8)?;
    let mut told = Vec::new();
    if decoder.is_animated() {
        told.push(Note::FirstOfMoving);
    }
    let notes = decoder.exif_metadata().ok().flatten();
    let icc = decoder.icc_profile().ok().flatten();
    let alpha = decoder.has_alpha();
    let size = index(width) * index(height) * if alpha { 4 } else { 3 };
    let mut pixels = vec![0; size];
    decoder.read_image(&mut pixels).map_err(wrong)?;
    if alpha {
        pixels = without_alpha(pixels);
    }
    Ok(Decoded {
        pixels: Pixels::new(width, height, pixels)?,
        notes: CameraNotes::read(notes.as_deref()),
        icc,
        told,
    })
}

const TRUNCATED: PhotoError = PhotoError::Truncated {
    format: Format::WebP,
};

#[allow(clippy::needless_pass_by_value)] // Handed on by `map_err`.
fn wrong(error: DecodingError) -> PhotoError {
    match &error {
        DecodingError::IoError(io) if io.kind() == std::io::ErrorKind::UnexpectedEof => TRUNCATED,
        _ => PhotoError::damaged(Format::WebP, &error),
    }
}

/// Pixels laid over white, in place.
fn without_alpha(mut rgba: Vec<u8>) -> Vec<u8> {
    let count = rgba.len() / 4;
    for n in 0..count {
        let alpha = rgba[4 * n + 3];
        for part in 0..3 {
            rgba[3 * n + part] = over_white(rgba[4 * n + part], alpha);
        }
    }
    rgba.truncate(3 * count);
    rgba.shrink_to_fit();
    rgba
}

/// The largest width and height that any part of the file claims: a decoder makes room for a part
/// before it is held against the whole.
fn largest(bytes: &[u8]) -> Result<(u32, u32), PhotoError> {
    let size = four(bytes, 4).ok_or(TRUNCATED)?;
    let end = index(size).saturating_add(8);
    let body = bytes.get(12..end).ok_or(TRUNCATED)?;
    let (mut width, mut height) = (0, 0);
    claims(body, false, &mut width, &mut height);
    if width == 0 || height == 0 {
        return Err(PhotoError::damaged(Format::WebP, &"it has no size"));
    }
    Ok((width, height))
}

fn four(bytes: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_le_bytes(*bytes.get(at..)?.first_chunk::<4>()?))
}

fn claims(mut chunks: &[u8], within_frame: bool, width: &mut u32, height: &mut u32) {
    while let (Some(name), Some(size)) = (chunks.get(..4), four(chunks, 4)) {
        let end = index(size).saturating_add(8);
        let body = chunks.get(8..end.min(chunks.len())).unwrap_or_default();
        let short = |at: usize| {
            let two = body.get(at..).and_then(|rest| rest.first_chunk::<2>());
            two.map_or(0, |two| u32::from(u16::from_le_bytes(*two)))
        };
        let three = |at: usize| short(at) | u32::from(*body.get(at + 2).unwrap_or(&0)) << 16;
        let (w, h) = match name {
            // RFC 6386, 9.1: 14 bits each after the tag and the start code.
            b"VP8 " => (short(6) & 0x3FFF, short(8) & 0x3FFF),
            // RFC 9649, 3.4: 14 bits each, less one, after the signature.
            b"VP8L" => {
                let bits = four(body, 1).unwrap_or(0);
                ((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1)
            }
            b"VP8X" => (three(4) + 1, three(7) + 1),
            b"ANMF" => {
                if !within_frame {
                    claims(body.get(16..).unwrap_or_default(), true, width, height);
                }
                (three(6) + 1, three(9) + 1)
            }
            _ => (0, 0),
        };
        *width = w.max(*width);
        *height = h.max(*height);
        let padded = end.saturating_add(index(size) & 1);
        chunks = chunks.get(padded..).unwrap_or_default();
    }
}
