//! The grey picture that labels are looked for in, and smaller copies of it.

use std::borrow::Cow;

use thiserror::Error;

/// Pixels that are looked at, at most: larger pictures are made smaller first.
const MOST_PIXELS: u64 = 24_000_000;

/// A grey picture: a byte a pixel, 0 black, row by row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture<'a> {
    width: usize,
    height: usize,
    grey: Cow<'a, [u8]>,
}

/// A picture cannot be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum PictureError {
    /// No pixels.
    #[error("the picture is empty: take it again")]
    Empty,
    /// Its bytes are not as many as its size says.
    #[error("the picture is not whole: take it again or choose another file")]
    NotWhole,
}

impl<'a> Picture<'a> {
    /// Of grey values, a byte each, `width` in every row. One of more than 24 million pixels is made
    /// smaller here, each pixel the mean of a square.
    ///
    /// # Errors
    /// An empty picture; fewer or more bytes than pixels.
    pub fn grey(width: u32, height: u32, grey: &'a [u8]) -> Result<Self, PictureError> {
        let (width, height) = size(width, height, grey.len(), 1)?;
        let step = step(width, height);
        if step == 1 {
            return Ok(Self {
                width,
                height,
                grey: Cow::Borrowed(grey),
            });
        }
        Ok(smaller(width, height, step, |at| u32::from(grey[at])))
    }

    /// Of red, green and blue, and whatever else there is, in turn: `channels` bytes a pixel, 3 or
    /// 4. Grey is the luma of ITU-R BT.601.
    ///
    /// # Errors
    /// An empty picture; other than 3 or 4 channels; fewer or more bytes than that.
    pub fn colour(
        width: u32,
        height: u32,
        channels: usize,
        bytes: &[u8],
    ) -> Result<Picture<'static>, PictureError> {
        if channels != 3 && channels != 4 {
            return Err(PictureError::NotWhole);
        }
        let (width, height) = size(width, height, bytes.len(), channels)?;
        Ok(smaller(width, height, step(width, height), |at| {
            let pixel = &bytes[at * channels..at * channels + 3];
            let [red, green, blue] = [0, 1, 2].map(|n| u32::from(pixel[n]));
            (299 * red + 587 * green + 114 * blue) / 1_000
        }))
    }

    /// Pixels across.
    #[must_use]
    pub fn width(&self) -> usize {
        self.width
    }

    /// Pixels down.
    #[must_use]
    pub fn height(&self) -> usize {
        self.height
    }

    /// All grey values, row by row.
    pub(super) fn all(&self) -> &[u8] {
        &self.grey
    }

    /// The grey values of a row.
    pub(super) fn row(&self, y: usize) -> &[u8] {
        &self.grey[y * self.width..(y + 1) * self.width]
    }

    /// The grey of the pixel at a place; outside as at the edge.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Below 0 and what is no number become 0, and the rest is held within the picture.
    pub(super) fn at(&self, x: f32, y: f32) -> f32 {
        let x = (x as usize).min(self.width - 1);
        let y = (y as usize).min(self.height - 1);
        f32::from(self.grey[y * self.width + x])
    }

    /// The grey at a place between pixels, whose middles are at halves; outside as at the edge.
    pub(super) fn between(&self, x: f32, y: f32) -> f32 {
        let (left, right_share, right) = beside(x - 0.5, self.width);
        let (top, lower_share, bottom) = beside(y - 0.5, self.height);
        let at = |x: usize, y: usize| f32::from(self.grey[y * self.width + x]);
        let upper = at(left, top) * (1.0 - right_share) + at(right, top) * right_share;
        let lower = at(left, bottom) * (1.0 - right_share) + at(right, bottom) * right_share;
        upper * (1.0 - lower_share) + lower * lower_share
    }

    /// Half as wide and high, each pixel the mean of four.
    pub(super) fn half(&self) -> Picture<'static> {
        let (width, height) = ((self.width / 2).max(1), (self.height / 2).max(1));
        let mut grey = Vec::with_capacity(width * height);
        for y in 0..height {
            let upper = self.row((2 * y).min(self.height - 1));
            let lower = self.row((2 * y + 1).min(self.height - 1));
            if self.width < 2 {
                grey.push(upper[0]);
                continue;
            }
            let pairs = upper.chunks_exact(2).zip(lower.chunks_exact(2));
            grey.extend(pairs.take(width).map(|(upper, lower)| {
                let sum = u16::from(upper[0])
                    + u16::from(upper[1])
                    + u16::from(lower[0])
                    + u16::from(lower[1]);
                #[allow(clippy::cast_possible_truncation)] // A mean of bytes is a byte.
                let mean = ((sum + 2) / 4) as u8;
                mean
            }));
        }
        Picture {
            width,
            height,
            grey: Cow::Owned(grey),
        }
    }
}

/// The pixel at or before a place, how far it is to the next, and the next.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss
)] // Held within the picture first.
fn beside(place: f32, most: usize) -> (usize, f32, usize) {
    let last = most - 1;
    // Also what is no number goes to 0.
    let place = place.max(0.0).min(last as f32);
    let before = place as usize;
    (before, place - before as f32, (before + 1).min(last))
}

fn size(
    width: u32,
    height: u32,
    bytes: usize,
    channels: usize,
) -> Result<(usize, usize), PictureError> {
    if width == 0 || height == 0 {
        return Err(PictureError::Empty);
    }
    let whole = |n| usize::try_from(n).map_err(|_| PictureError::NotWhole);
    let (width, height) = (whole(width)?, whole(height)?);
    let expected = width
        .checked_mul(height)
        .and_then(|pixels| pixels.checked_mul(channels));
    (expected == Some(bytes))
        .then_some((width, height))
        .ok_or(PictureError::NotWhole)
}

/// How many pixels of the picture make one each way.
fn step(width: usize, height: usize) -> usize {
    let pixels = |step: usize| {
        let side = |of: usize| u64::try_from((of / step).max(1)).unwrap_or(u64::MAX);
        side(width).saturating_mul(side(height))
    };
    (1..).find(|&step| pixels(step) <= MOST_PIXELS).unwrap_or(1)
}

/// Each pixel the mean of a square of `step` by `step`, or of what of it is in the picture.
fn smaller(
    width: usize,
    height: usize,
    step: usize,
    grey: impl Fn(usize) -> u32,
) -> Picture<'static> {
    let (wide, high) = ((width / step).max(1), (height / step).max(1));
    let mut made = Vec::with_capacity(wide * high);
    for y in 0..high {
        for x in 0..wide {
            let (mut sum, mut count) = (0_u32, 0_u32);
            for y in y * step..((y + 1) * step).min(height) {
                for x in x * step..((x + 1) * step).min(width) {
                    sum = sum.saturating_add(grey(y * width + x));
                    count += 1;
                }
            }
            made.push(u8::try_from(sum / count.max(1)).unwrap_or(u8::MAX));
        }
    }
    Picture {
        width: wide,
        height: high,
        grey: Cow::Owned(made),
    }
}
