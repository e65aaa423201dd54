//! The outline of a JPEG file: its markers, without decoding. ITU-T T.81, annex B.
//!
//! What it tells is known before memory is spent: the size, the kind, whether the file is whole,
//! and where the camera's notes and the colour profile lie.

use super::{Format, PhotoError};

/// What the markers of a JPEG file say.
#[derive(Debug, Default)]
pub(super) struct Outline<'f> {
    pub(super) width: u16,
    pub(super) height: u16,
    /// Of each component, its samples over those of the finest one across and down.
    pub(super) components: Vec<(u8, u8)>,
    /// Whether its coefficients come in several scans, and so have to be held all at once.
    pub(super) in_scans: bool,
    /// The camera's notes: a TIFF structure.
    pub(super) exif: Option<&'f [u8]>,
    /// The colour profile, whole.
    pub(super) icc: Option<Vec<u8>>,
}

const SOI: u8 = 0xD8;
const EOI: u8 = 0xD9;
const SOS: u8 = 0xDA;
const APP1: u8 = 0xE1;
const APP2: u8 = 0xE2;
const EXIF: &[u8] = b"Exif\0\0";
/// ICC.1:2022, annex B.4: profiles in JPEG files.
const ICC: &[u8] = b"ICC_PROFILE\0";
/// No more scans than this: a picture of the usual kind has ten or so.
const MOST_SCANS: usize = 64;

fn damaged(detail: &str) -> PhotoError {
    PhotoError::damaged(Format::Jpeg, &detail)
}

fn rare(what: &'static str) -> PhotoError {
    PhotoError::Rare {
        format: Format::Jpeg,
        what,
    }
}

const TRUNCATED: PhotoError = PhotoError::Truncated {
    format: Format::Jpeg,
};

/// Reads the outline.
///
/// # Errors
/// [`PhotoError::Truncated`] when the file ends before the picture does, [`PhotoError::Rare`] for
/// kinds that are not read, [`PhotoError::Damaged`].
pub(super) fn outline(bytes: &[u8]) -> Result<Outline<'_>, PhotoError> {
    let mut found = Outline::default();
    let mut profile: Vec<(u8, &[u8])> = Vec::new();
    let mut scans = 0;
    let mut at = 2; // After SOI, by which it was recognised.
    loop {
        let marker = next_marker(bytes, &mut at)?;
        match marker {
            EOI => break,
            0x01 | 0xD0..=SOI => continue,
            _ => {}
        }
        let length = bytes.get(at..at + 2).ok_or(TRUNCATED)?;
        let length = usize::from(u16::from_be_bytes([length[0], length[1]]));
        if length < 2 {
            return Err(damaged("a marker without its length"));
        }
        let body = bytes.get(at + 2..at + length).ok_or(TRUNCATED)?;
        at += length;
        match marker {
            0xC0..=0xC2 => frame(marker, body, &mut found)?,
            0xC3 | 0xC5..=0xC7 | 0xCD..=0xCF => return Err(rare("lossless or in layers")),
            0xC9..=0xCB => return Err(rare("arithmetic coding")),
            APP1 if found.exif.is_none() => found.exif = body.strip_prefix(EXIF),
            APP2 => {
                if let Some([number, _, part @ ..]) = body.strip_prefix(ICC) {
                    profile.push((*number, part));
                }
            }
            SOS => {
                scans += 1;
                if scans > MOST_SCANS {
                    return Err(damaged("too many scans"));
                }
                found.in_scans |= usize::from(*body.first().unwrap_or(&0)) < found.components.len();
                skip_coded(bytes, &mut at)?;
            }
            _ => {}
        }
    }
    if found.width == 0 || scans == 0 {
        return Err(damaged("there is no picture in it"));
    }
    if !profile.is_empty() {
        profile.sort_by_key(|(number, _)| *number);
        found.icc = Some(
            profile
                .iter()
                .flat_map(|(_, part)| *part)
                .copied()
                .collect(),
        );
    }
    Ok(found)
}

/// The next marker, and `at` after it.
fn next_marker(bytes: &[u8], at: &mut usize) -> Result<u8, PhotoError> {
    if *bytes.get(*at).ok_or(TRUNCATED)? != 0xFF {
        return Err(damaged("a marker is not where it should be"));
    }
    loop {
        *at += 1;
        match *bytes.get(*at).ok_or(TRUNCATED)? {
            0xFF => {}
            0 => return Err(damaged("a marker is not where it should be")),
            marker => {
                *at += 1;
                return Ok(marker);
            }
        }
    }
}

/// Moves `at` over entropy-coded data to the marker that ends it.
fn skip_coded(bytes: &[u8], at: &mut usize) -> Result<(), PhotoError> {
    loop {
        let rest = bytes.get(*at..).ok_or(TRUNCATED)?;
        *at += rest
            .iter()
            .position(|byte| *byte == 0xFF)
            .ok_or(TRUNCATED)?;
        match *bytes.get(*at + 1).ok_or(TRUNCATED)? {
            0 | 0xD0..=0xD7 => *at += 2,
            0xFF => *at += 1,
            _ => return Ok(()),
        }
    }
}

/// Reads a frame header: T.81, B.2.2.
fn frame(marker: u8, body: &[u8], found: &mut Outline<'_>) -> Result<(), PhotoError> {
    let [precision, h1, h0, w1, w0, count, components @ ..] = body else {
        return Err(damaged("its header is cut off"));
    };
    if found.width != 0 {
        return Err(rare("several frames"));
    }
    if *precision != 8 {
        return Err(rare("more than 8 bits a colour"));
    }
    let (width, height) = (
        u16::from_be_bytes([*w1, *w0]),
        u16::from_be_bytes([*h1, *h0]),
    );
    if width == 0 || height == 0 {
        return Err(rare("its height comes after it"));
    }
    if !matches!(count, 1 | 3 | 4) {
        return Err(rare("its colours"));
    }
    if components.len() != 3 * usize::from(*count) {
        return Err(damaged("its header is cut off"));
    }
    found.width = width;
    found.height = height;
    found.in_scans = marker == 0xC2;
    found.components = components
        .chunks_exact(3)
        .map(|component| (component[1] >> 4, component[1] & 15))
        .collect();
    let sound = |&(across, down): &(u8, u8)| (1..=4).contains(&across) && (1..=4).contains(&down);
    if !found.components.iter().all(sound) {
        return Err(damaged("its colours do not fit together"));
    }
    Ok(())
}

impl Outline<'_> {
    /// Bytes that the coefficients take when all have to be held: two for each sample of each
    /// component, in whole groups of blocks.
    pub(super) fn coefficient_bytes(&self) -> u64 {
        if !self.in_scans {
            return 0;
        }
        let most = |side: fn(&(u8, u8)) -> u8| {
            u64::from(self.components.iter().map(side).max().unwrap_or(1).max(1))
        };
        let (across, down) = (most(|part| part.0), most(|part| part.1));
        let groups =
            u64::from(self.width).div_ceil(8 * across) * u64::from(self.height).div_ceil(8 * down);
        let blocks: u64 = self
            .components
            .iter()
            .map(|part| u64::from(part.0) * u64::from(part.1))
            .sum();
        groups * blocks * 64 * 2
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn jpeg(progressive: bool) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut encoder = jpeg_encoder::Encoder::new(&mut bytes, 80);
        encoder.set_progressive(progressive);
        encoder.set_sampling_factor(jpeg_encoder::SamplingFactor::F_2_2);
        encoder.add_icc_profile(&vec![7; 70_000]).unwrap();
        let rgb: Vec<u8> = (0..=255).step_by(7).cycle().take(33 * 17 * 3).collect();
        encoder
            .encode(&rgb, 33, 17, jpeg_encoder::ColorType::Rgb)
            .unwrap();
        bytes
    }

    #[test]
    fn the_outline_of_a_whole_file_is_read() {
        let bytes = jpeg(false);
        let found = outline(&bytes).unwrap();
        assert_eq!((found.width, found.height), (33, 17));
        assert_eq!(found.components, [(2, 2), (1, 1), (1, 1)]);
        assert!(!found.in_scans);
        assert_eq!(found.icc, Some(vec![7; 70_000]), "from two segments");
        assert_eq!(found.coefficient_bytes(), 0);
        let bytes = jpeg(true);
        let found = outline(&bytes).unwrap();
        assert!(found.in_scans);
        // 3 x 2 groups of 16 x 16 pixels, six blocks each.
        assert_eq!(found.coefficient_bytes(), 3 * 2 * 6 * 128);
    }

    #[test]
    fn a_file_cut_anywhere_is_cut_short() {
        for bytes in [jpeg(false), jpeg(true)] {
            for end in 2..bytes.len() {
                let told = outline(&bytes[..end]).err();
                assert_eq!(told, Some(TRUNCATED), "{end} of {}", bytes.len());
            }
        }
    }

    #[test]
    fn what_follows_the_picture_does_not_matter() {
        let mut bytes = jpeg(false);
        bytes.extend(b"a film of the moment before");
        assert!(outline(&bytes).is_ok());
    }
}
