//! Bringing colours to sRGB, so that a picture looks the same wherever it is shown later.

use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};

use super::PhotoError;
use super::pixels::Pixels;
use super::progress::{Step, Watch};

/// Steps from black to full of each colour, at which a profile is held against sRGB.
const STEPS: [u8; 6] = [0, 51, 102, 153, 204, 255];

/// Converts the pixels from the profile that came with them. A profile that cannot be read, or is
/// not one of red, green and blue, changes nothing: then they are taken as sRGB, as pictures
/// without a profile are.
///
/// # Errors
/// [`PhotoError::Cancelled`].
pub(super) fn to_srgb(
    pixels: &mut Pixels,
    icc: Option<&[u8]>,
    watch: &mut Watch<'_>,
) -> Result<(), PhotoError> {
    let Some(profile) = icc.and_then(|icc| ColorProfile::new_from_slice(icc).ok()) else {
        return Ok(());
    };
    if profile.color_space != DataColorSpace::Rgb {
        return Ok(());
    }
    let transform = profile.create_transform_8bit(
        Layout::Rgb,
        &ColorProfile::new_srgb(),
        Layout::Rgb,
        TransformOptions::default(),
    );
    let Ok(transform) = transform else {
        return Ok(());
    };
    let grid: Vec<u8> = STEPS
        .iter()
        .flat_map(|r| STEPS.iter().map(move |g| (r, g)))
        .flat_map(|(r, g)| STEPS.iter().flat_map(move |b| [*r, *g, *b]))
        .collect();
    let mut same = vec![0; grid.len()];
    if transform.transform(&grid, &mut same).is_err()
        || grid.iter().zip(&same).all(|(a, b)| a.abs_diff(*b) <= 1)
    {
        return Ok(()); // sRGB under another name.
    }
    let (stride, height) = (pixels.stride(), pixels.height);
    let mut before = vec![0; stride];
    for (n, row) in (0_u32..).zip(pixels.rgb.chunks_exact_mut(stride)) {
        watch.at_row(Step::Shrinking, n, height)?;
        before.copy_from_slice(row);
        if transform.transform(&before, row).is_err() {
            row.copy_from_slice(&before);
        }
    }
    Ok(())
}
