//! What a rep may choose about the pictures that are kept.

/// What is kept of what the camera wrote into the picture. Nothing, unless the rep turns it on: a
/// picture of a load goes to the customer and to the office.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Keep {
    /// Where it was taken.
    pub position: bool,
    /// The camera: make, model, serial numbers and its maker's notes. The notes are kept byte by
    /// byte; places that they point to outside themselves are not.
    pub camera: bool,
}

/// How pictures are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// The longest side of the kept picture, in pixels; smaller pictures stay as they are.
    pub long_side: u32,
    /// The longest side of the thumbnail, in pixels.
    pub thumb_side: u32,
    /// JPEG quality of the kept picture, 1 to 100; from 95 on, colour is as sharp as light.
    pub quality: u8,
    /// What is kept of what the camera wrote into it.
    pub keep: Keep,
    /// The most bytes of memory that decoding one picture may take, beside the file itself.
    /// Pictures that need more are refused before the memory is spent.
    pub most_memory: u64,
    /// The largest file that is read, in bytes.
    pub most_file: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            long_side: 2_560,
            thumb_side: 320,
            quality: 87,
            keep: Keep::default(),
            most_memory: 128 * 1024 * 1024,
            most_file: 64 * 1024 * 1024,
        }
    }
}

impl Options {
    /// The longest side that is kept: at least one pixel, and no more than a JPEG can have.
    pub(super) fn long_side(&self) -> u32 {
        self.long_side.clamp(1, u32::from(u16::MAX))
    }

    pub(super) fn thumb_side(&self) -> u32 {
        self.thumb_side.clamp(1, 2_048)
    }

    pub(super) fn quality(&self) -> u8 {
        self.quality.clamp(1, 100)
    }
}
