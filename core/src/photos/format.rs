//! Telling what a file is by its first bytes, whatever its name says.

use super::PhotoError;
use crate::language::Word;
use crate::word;

/// A picture format that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// ISO/IEC 10918-1.
    Jpeg,
    /// W3C Portable Network Graphics.
    Png,
    /// RFC 9649.
    WebP,
}

impl std::fmt::Display for Format {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Jpeg => "JPEG",
            Self::Png => "PNG",
            Self::WebP => "WebP",
        })
    }
}

const SAVE_AS_JPEG: Word = word!("open it in a picture program, save it as JPEG and choose that");
const SET_CAMERA: Word = word!(
    "set the camera to take JPEG (its settings may call that 'most compatible'), or save this picture as JPEG and choose that"
);
const NO_PICTURE: Word = word!("take a picture, or choose a JPEG, PNG or WebP");

/// Beginnings of files that are known but not read: at which byte, which bytes, what it is, what to
/// do. From the formats' own specifications.
const FOREIGN: &[(usize, &[u8], Word, Word)] = &[
    (0, b"GIF8", word!("a GIF picture"), SAVE_AS_JPEG),
    (0, b"BM", word!("a BMP picture"), SAVE_AS_JPEG),
    (0, b"II*\0", word!("a TIFF or raw picture"), SAVE_AS_JPEG),
    (0, b"MM\0*", word!("a TIFF or raw picture"), SAVE_AS_JPEG),
    (0, b"\xFF\x0A", word!("a JPEG XL picture"), SAVE_AS_JPEG),
    (
        0,
        b"\0\0\0\x0CJXL ",
        word!("a JPEG XL picture"),
        SAVE_AS_JPEG,
    ),
    (
        0,
        b"\0\0\0\x0CjP  ",
        word!("a JPEG 2000 picture"),
        SAVE_AS_JPEG,
    ),
    (0, b"\0\0\x01\0", word!("an icon"), SAVE_AS_JPEG),
    (0, b"8BPS", word!("a layered picture"), SAVE_AS_JPEG),
    (0, b"%PDF-", word!("a PDF document"), NO_PICTURE),
    (0, b"PK\x03\x04", word!("a ZIP or office file"), NO_PICTURE),
    (
        0,
        b"SQLite format 3\0",
        word!("a book, not a picture"),
        NO_PICTURE,
    ),
    (0, b"\x1A\x45\xDF\xA3", word!("a video"), NO_PICTURE),
    (0, b"<svg", word!("an SVG drawing"), SAVE_AS_JPEG),
    (0, b"<?xml", word!("a text file"), NO_PICTURE),
];

/// Brands of ISO base media files (ISO/IEC 14496-12) that hold a HEIC picture.
const HEIC: &[&[u8]] = &[
    b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1",
];

/// Tells what a file is by its first bytes.
///
/// # Errors
/// [`PhotoError::Empty`], [`PhotoError::Foreign`] with what to do, or [`PhotoError::Unknown`].
pub fn recognise(bytes: &[u8]) -> Result<Format, PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::Empty);
    }
    if bytes.starts_with(b"\xFF\xD8\xFF") {
        return Ok(Format::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1A\n") {
        return Ok(Format::Png);
    }
    if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        return Ok(Format::WebP);
    }
    for signs in [&b"\xFF\xD8"[..], b"\x89PNG\r\n\x1A"] {
        if bytes.len() <= signs.len() && signs.starts_with(bytes) {
            let format = if bytes[0] == 0xFF {
                Format::Jpeg
            } else {
                Format::Png
            };
            return Err(PhotoError::Truncated { format });
        }
    }
    if bytes.get(4..8) == Some(b"ftyp") {
        return Err(base_media(bytes));
    }
    let known = FOREIGN
        .iter()
        .find(|(at, signs, ..)| bytes.get(*at..).is_some_and(|rest| rest.starts_with(signs)));
    Err(match known {
        Some((_, _, what, advice)) => PhotoError::Foreign {
            what: *what,
            advice: *advice,
        },
        None => PhotoError::Unknown,
    })
}

/// What an ISO base media file is, by its brands.
fn base_media(bytes: &[u8]) -> PhotoError {
    let size = bytes
        .first_chunk::<4>()
        .map_or(0, |size| u32::from_be_bytes(*size));
    let end = usize::try_from(size)
        .unwrap_or(usize::MAX)
        .min(bytes.len())
        .min(256);
    let brands = bytes.get(8..end).unwrap_or_default();
    let has = |wanted: &[&[u8]]| brands.chunks(4).any(|brand| wanted.contains(&brand));
    if has(&[b"avif", b"avis"]) {
        return PhotoError::Foreign {
            what: word!("an AVIF picture"),
            advice: SET_CAMERA,
        };
    }
    if has(HEIC) {
        return PhotoError::Foreign {
            what: word!("a HEIC picture"),
            advice: SET_CAMERA,
        };
    }
    PhotoError::Foreign {
        what: word!("a video"),
        advice: NO_PICTURE,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_known_by_its_first_bytes() {
        assert_eq!(recognise(b"\xFF\xD8\xFF\xE0"), Ok(Format::Jpeg));
        assert_eq!(recognise(b"\x89PNG\r\n\x1A\n"), Ok(Format::Png));
        assert_eq!(recognise(b"RIFF\x10\0\0\0WEBPVP8 "), Ok(Format::WebP));
        assert_eq!(recognise(b""), Err(PhotoError::Empty));
        assert_eq!(recognise(b"notes"), Err(PhotoError::Unknown));
        assert_eq!(recognise(b"RIFF\x10\0\0\0WAVE"), Err(PhotoError::Unknown));
        assert!(matches!(
            recognise(b"\x89PN"),
            Err(PhotoError::Truncated {
                format: Format::Png
            })
        ));
    }

    #[test]
    fn what_is_not_read_is_named_with_what_to_do() {
        for (bytes, words) in [
            (
                &b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"[..],
                ["HEIC", "set the camera"],
            ),
            (
                b"\0\0\0\x1Cftypmif1\0\0\0\0mif1avifmiaf",
                ["AVIF", "set the camera"],
            ),
            (
                b"\0\0\0\x14ftypisom\0\0\x02\0isom",
                ["video", "take a picture"],
            ),
            (b"GIF89a", ["GIF", "save it as JPEG"]),
            (b"II*\0", ["TIFF", "save it as JPEG"]),
            (b"%PDF-1.7", ["PDF", "JPEG, PNG or WebP"]),
        ] {
            let told = recognise(bytes).unwrap_err().to_string();
            for word in words {
                assert!(told.contains(word), "'{told}' does not say '{word}'");
            }
        }
    }
}
