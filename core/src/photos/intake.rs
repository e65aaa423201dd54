//! Taking in a picture: from what a camera or a picker gives to what is kept.

use std::io::Read;
use std::ops::ControlFlow;
use std::path::Path;

use chrono::NaiveDateTime;
use sha2::{Digest, Sha256};

use super::progress::{Step, Watch};
use super::{Format, Options, PhotoError, Progress, decode, encode, orient, resize};
use super::{colour, format};
use crate::language::Language;
use crate::word;

/// Where a picture comes from.
#[derive(Debug, Clone, Copy)]
pub enum Source<'s> {
    /// The bytes of its file.
    Bytes(&'s [u8]),
    /// Its file.
    File(&'s Path),
}

/// Something to tell the rep about a picture that was taken in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Note {
    /// It moves; only its first picture was kept.
    FirstOfMoving,
    /// It was made for printing, of four inks; its colours are near, not exact.
    Inks,
}

impl Note {
    /// It in a language.
    #[must_use]
    pub fn said(self, language: Language) -> &'static str {
        match self {
            Self::FirstOfMoving => word!("this picture moves: its first frame was kept"),
            Self::Inks => word!(
                "this picture was made for printing, of four inks: its colours are kept as near as a screen can show them"
            ),
        }
        .said(language)
    }
}

impl std::fmt::Display for Note {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.said(Language::English))
    }
}

/// A picture ready to be kept. Nothing of it is on disk yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prepared {
    pub(super) jpeg: Vec<u8>,
    pub(super) thumb: Vec<u8>,
    pub(super) sha256: String,
    pub(super) width: u32,
    pub(super) height: u32,
    pub(super) taken_at: Option<NaiveDateTime>,
    pub(super) notes: Vec<Note>,
}

impl Prepared {
    /// Packs pixels as they are kept.
    pub(super) fn pack(
        pixels: &super::pixels::Pixels,
        options: &Options,
        exif: Option<&[u8]>,
        watch: &mut Watch<'_>,
    ) -> Result<Self, PhotoError> {
        watch.at(Step::Thumbnail, 0.0)?;
        let thumb = resize::thumbnail(pixels, options.thumb_side())?;
        let thumb = encode::jpeg(&thumb, options.quality(), None)?;
        watch.at(Step::Packing, 0.0)?;
        let jpeg = encode::jpeg(pixels, options.quality(), exif)?;
        watch.at(Step::Packing, 1.0)?;
        Ok(Self {
            sha256: sha256(&jpeg),
            jpeg,
            thumb,
            width: pixels.width,
            height: pixels.height,
            taken_at: None,
            notes: Vec::new(),
        })
    }

    /// The picture as it will be kept: a JPEG file.
    #[must_use]
    pub fn jpeg(&self) -> &[u8] {
        &self.jpeg
    }

    /// Its thumbnail: a JPEG file.
    #[must_use]
    pub fn thumb(&self) -> &[u8] {
        &self.thumb
    }

    /// SHA-256 (FIPS 180-4) of [`Prepared::jpeg`], 64 lower-case hexadecimal digits.
    #[must_use]
    pub fn sha256(&self) -> &str {
        &self.sha256
    }

    /// Width and height in pixels.
    #[must_use]
    pub fn size(&self) -> (u32, u32) {
        (self.width, self.height)
    }

    /// When it was taken, by the camera's own clock and in its local time.
    #[must_use]
    pub fn taken_at(&self) -> Option<NaiveDateTime> {
        self.taken_at
    }

    /// What to tell the rep about it.
    #[must_use]
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
}

/// SHA-256 as hexadecimal digits.
pub(super) fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Lower-case hexadecimal digits.
pub(crate) fn hex(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    let mut text = String::with_capacity(2 * bytes.len());
    for byte in bytes {
        let _ = write!(text, "{byte:02x}"); // Writing to a string does not fail.
    }
    text
}

/// Takes in a picture: recognises it by its content, decodes it, makes it no larger than need be,
/// turns it upright, brings its colours to sRGB and leaves out what the camera wrote into it unless
/// `options` keep that.
///
/// Meant for a worker thread: `tell` is called there, with how far the work is, and ends it by
/// returning [`ControlFlow::Break`]. Decoding is the longest stretch without a call: for a JPEG of
/// 12 megapixels about half of the whole.
///
/// # Errors
/// [`PhotoError`]: everything but a sound picture is refused with what to do, and before memory is
/// spent where its header shows that it would take too much.
pub fn prepare(
    source: Source<'_>,
    options: &Options,
    tell: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<Prepared, PhotoError> {
    let mut watch = Watch::new(tell);
    watch.at(Step::Reading, 0.0)?;
    let decoded = decoded_from(source, options, &mut watch)?;
    watch.at(Step::Shrinking, 0.0)?;
    let mut pixels = resize::shrink(decoded.pixels, options.long_side())?;
    watch.at(Step::Shrinking, 0.7)?;
    colour::to_srgb(&mut pixels, decoded.icc.as_deref(), &mut watch)?;
    let pixels = orient::upright(pixels, decoded.notes.orientation());
    let exif = decoded.notes.kept(options.keep);
    let mut prepared = Prepared::pack(&pixels, options, exif.as_deref(), &mut watch)?;
    prepared.taken_at = decoded.notes.taken_at();
    prepared.notes = decoded.told;
    Ok(prepared)
}

/// A picture's pixels as its decoder leaves them.
pub(super) fn decoded_from(
    source: Source<'_>,
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<decode::Decoded, PhotoError> {
    match source {
        Source::Bytes(bytes) => decoded(bytes, options, watch),
        // Read here, so that the file's bytes go once it is decoded.
        Source::File(path) => decoded(&read(path, options)?, options, watch),
    }
}

fn decoded(
    bytes: &[u8],
    options: &Options,
    watch: &mut Watch<'_>,
) -> Result<decode::Decoded, PhotoError> {
    let size = u64::try_from(bytes.len()).unwrap_or(u64::MAX);
    refuse_large(size, options)?;
    let format: Format = format::recognise(bytes)?;
    watch.at(Step::Decoding, 0.0)?;
    decode::decode(format, bytes, options, watch)
}

fn refuse_large(bytes: u64, options: &Options) -> Result<(), PhotoError> {
    const MEGABYTE: u64 = 1_000_000;
    if bytes > options.most_file {
        return Err(PhotoError::FileTooLarge {
            megabytes: bytes.div_ceil(MEGABYTE),
            most: options.most_file / MEGABYTE,
        });
    }
    Ok(())
}

/// Reads a file whole, unless it is too large or cannot be a picture.
fn read(path: &Path, options: &Options) -> Result<Vec<u8>, PhotoError> {
    let wrong = |error: std::io::Error| PhotoError::reading(path, &error);
    let mut file = std::fs::File::open(path).map_err(wrong)?;
    let metadata = file.metadata().map_err(wrong)?;
    if metadata.is_dir() {
        return Err(PhotoError::Unknown);
    }
    let mut bytes = Vec::new();
    (&mut file)
        .take(64)
        .read_to_end(&mut bytes)
        .map_err(wrong)?;
    format::recognise(&bytes)?;
    refuse_large(metadata.len(), options)?;
    let most = options.most_file.saturating_add(1);
    bytes.reserve_exact(usize::try_from(metadata.len().min(most)).unwrap_or(0));
    // A file that grows meanwhile, or has no length, is read no further than the most.
    file.take(most).read_to_end(&mut bytes).map_err(wrong)?;
    Ok(bytes)
}
