//! PNG: row by row, each laid over white and brought to 8 bits a colour as it comes.

use std::io::Cursor;

use png::{BitDepth, ColorType, Decoder, DecodingError, Limits, Transformations};

use super::{Decoded, area, within};
use crate::photos::exif::CameraNotes;
use crate::photos::pixels::{Pixels, index, over_white};
use crate::photos::progress::{Step, Watch};
use crate::photos::{Format, Note, Options, PhotoError};

pub(super) fn decode(
    bytes: &[u8],
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<Decoded, PhotoError> {
    let (width, height) = size(bytes)?;
    within(
        options,
        width,
        height,
        area(width, height).saturating_mul(3),
    )?;
    let limits = Limits {
        bytes: usize::try_from(options.most_memory).unwrap_or(usize::MAX),
    };
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), limits);
    decoder.set_ignore_text_chunk(true);
    decoder.set_transformations(Transformations::EXPAND);
    let mut reader = decoder.read_info().map_err(wrong)?;
    palette(reader.info())?;
    let (color, depth) = reader.output_color_type();
    let across = index(width);
    let mut rgb = vec![0; across * index(height) * 3];
    let mut told = Vec::new();
    if reader.info().animation_control().is_some() {
        told.push(Note::FirstOfMoving);
    }
    if reader.info().interlaced {
        let mut row_rgb = Vec::with_capacity(across * 3);
        let mut rows = 0_u32;
        while let Some(row) = reader.next_interlaced_row().map_err(wrong)? {
            row_rgb.clear();
            row_rgb.extend(
                row.data()
                    .chunks_exact(samples(color, depth))
                    .flat_map(|p| pixel(p, color, depth)),
            );
            if let png::InterlaceInfo::Adam7(place) = row.interlace() {
                png::expand_interlaced_row(&mut rgb, across * 3, &row_rgb, place, 24);
            }
            // Seven passes have about 15 rows for each 8 of the picture.
            watch.at_row(Step::Decoding, rows, height.saturating_mul(2))?;
            rows = rows.saturating_add(1);
        }
    } else {
        for (n, to) in (0_u32..).zip(rgb.chunks_exact_mut(across * 3)) {
            watch.at_row(Step::Decoding, n, height)?;
            let row = reader.next_row().map_err(wrong)?.ok_or(TRUNCATED)?;
            fill(to, row.data(), color, depth);
        }
    }
    let info = reader.info();
    let notes = CameraNotes::read(info.exif_metadata.as_deref());
    let icc = info.icc_profile.as_deref().map(<[u8]>::to_vec);
    let grey = matches!(
        info.color_type,
        ColorType::Grayscale | ColorType::GrayscaleAlpha
    );
    // Notes may follow the pixels, and only the end shows that the file is whole.
    reader.finish().map_err(wrong)?;
    let notes = match reader.info().exif_metadata.as_deref() {
        Some(late) => CameraNotes::read(Some(late)),
        None => notes,
    };
    Ok(Decoded {
        pixels: Pixels::new(width, height, rgb)?,
        notes,
        icc: icc.filter(|_| !grey),
        told,
    })
}

const TRUNCATED: PhotoError = PhotoError::Truncated {
    format: Format::Png,
};

/// Width and height, which stand at a fixed place: W3C PNG, 11.2.1.
fn size(bytes: &[u8]) -> Result<(u32, u32), PhotoError> {
    let number = |at: usize| {
        let four = bytes.get(at..).and_then(|rest| rest.first_chunk::<4>());
        four.map(|four| u32::from_be_bytes(*four)).ok_or(TRUNCATED)
    };
    let (width, height) = (number(16)?, number(20)?);
    if width == 0 || height == 0 {
        return Err(PhotoError::damaged(Format::Png, &"it has no size"));
    }
    Ok((width, height))
}

#[allow(clippy::needless_pass_by_value)] // Handed on by `map_err`.
fn wrong(error: DecodingError) -> PhotoError {
    match &error {
        DecodingError::IoError(io) if io.kind() == std::io::ErrorKind::UnexpectedEof => TRUNCATED,
        _ => PhotoError::damaged(Format::Png, &error),
    }
}

/// Bytes of a pixel as the decoder gives it.
fn samples(color: ColorType, depth: BitDepth) -> usize {
    color.samples() * if depth == BitDepth::Sixteen { 2 } else { 1 }
}

fn fill(to: &mut [u8], row: &[u8], color: ColorType, depth: BitDepth) {
    if color == ColorType::Rgb && depth != BitDepth::Sixteen {
        let n = to.len().min(row.len());
        to[..n].copy_from_slice(&row[..n]);
        return;
    }
    let (to, _) = to.as_chunks_mut::<3>();
    for (to, from) in to.iter_mut().zip(row.chunks_exact(samples(color, depth))) {
        *to = pixel(from, color, depth);
    }
}

/// One pixel, over white, of 8 bits a colour.
fn pixel(from: &[u8], color: ColorType, depth: BitDepth) -> [u8; 3] {
    let at = |n: usize| match depth {
        BitDepth::Sixteen => to_8_bits(from[2 * n], from[2 * n + 1]),
        _ => from[n],
    };
    match color {
        ColorType::Grayscale | ColorType::Indexed => [at(0); 3],
        ColorType::GrayscaleAlpha => [over_white(at(0), at(1)); 3],
        ColorType::Rgb => [at(0), at(1), at(2)],
        ColorType::Rgba => [0, 1, 2].map(|n| over_white(at(n), at(3))),
    }
}

/// A sample of 16 bits to the nearest of 8: W3C PNG, 13.12, `value * 255 / 65535`, rounded.
fn to_8_bits(high: u8, low: u8) -> u8 {
    let value = u32::from(u16::from_be_bytes([high, low]));
    u8::try_from((value * 255 + 32_767) / 65_535).unwrap_or(u8::MAX)
}

/// Refuses a list of colours that is none: the library takes it for whole. One has three bytes for
/// each of at most 256 colours, and no more opacities than colours (PNG, third edition, 11.2.2 and
/// 11.3.1.1).
fn palette(info: &png::Info<'_>) -> Result<(), PhotoError> {
    let Some(colours) = info.palette.as_deref() else {
        return Ok(());
    };
    let opacities = match info.color_type {
        ColorType::Indexed => info.trns.as_deref().map_or(0, <[u8]>::len),
        _ => 0,
    };
    let whole = colours.len().is_multiple_of(3) && colours.len() <= 3 * 256;
    if whole && opacities <= colours.len() / 3 {
        return Ok(());
    }
    let detail = "its list of colours is not whole";
    Err(PhotoError::damaged(Format::Png, &detail))
}
