//! A picture as pixels.

use super::PhotoError;

/// Red, green and blue, a byte each, row by row, without gaps.
pub(super) struct Pixels {
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) rgb: Vec<u8>,
}

/// `value` as an index.
pub(super) fn index(value: u32) -> usize {
    value as usize // Every machine this runs on has indexes of 32 bits or more.
}

impl Pixels {
    /// Takes pixels as they come from a decoder.
    pub(super) fn new(width: u32, height: u32, rgb: Vec<u8>) -> Result<Self, PhotoError> {
        let wanted = index(width)
            .checked_mul(index(height))
            .and_then(|n| n.checked_mul(3));
        if width == 0 || height == 0 || wanted != Some(rgb.len()) {
            return Err(PhotoError::Internal(format!(
                "{} bytes for {width} x {height} pixels",
                rgb.len()
            )));
        }
        Ok(Self { width, height, rgb })
    }

    /// Bytes of a row.
    pub(super) fn stride(&self) -> usize {
        index(self.width) * 3
    }
}

/// Lays a sample with an alpha over white: both 0 to 255, as PNG and `WebP` write them (not
/// multiplied beforehand). W3C PNG, "Alpha channel creation and composition".
pub(super) fn over_white(sample: u8, alpha: u8) -> u8 {
    let (sample, alpha) = (u32::from(sample), u32::from(alpha));
    let sum = sample * alpha + 255 * (255 - alpha);
    u8::try_from((sum + 127) / 255).unwrap_or(u8::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn alpha_goes_from_white_to_the_sample() {
        assert_eq!(over_white(10, 0), 255);
        assert_eq!(over_white(10, 255), 10);
        assert_eq!(over_white(0, 128), 127);
        assert!((0..=255).all(|alpha| over_white(255, alpha) == 255));
    }

    #[test]
    fn pixels_that_do_not_fill_their_picture_are_refused() {
        assert!(Pixels::new(2, 2, vec![0; 12]).is_ok());
        assert!(Pixels::new(2, 2, vec![0; 11]).is_err());
        assert!(Pixels::new(0, 2, Vec::new()).is_err());
        assert!(Pixels::new(u32::MAX, u32::MAX, Vec::new()).is_err());
    }
}
