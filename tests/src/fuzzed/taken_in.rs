//! Files taken in from anywhere: each must come back, with an answer that holds or an error that
//! says what to do.

use std::ops::ControlFlow;

use tautbook_core::dayfile::VerifiedDayFile;
use tautbook_core::photos::{Keep, Options, PhotoError, Source, prepare};

/// A day file: refused with a sentence, or whole.
///
/// # Panics
/// When an error says nothing, or what was read is not what its history gives.
pub fn day_file(bytes: &[u8]) {
    match VerifiedDayFile::from_bytes(bytes.to_vec(), None, &mut crate::day::go_on) {
        Ok(file) => {
            let listed: u64 = file.manifest().members.values().map(|sum| sum.bytes).sum();
            assert!(listed >= 2, "a file without records");
        }
        Err(error) => says_something(&error.to_string()),
    }
}

/// A picture: refused with a sentence, or a JPEG of the size that is told.
///
/// # Panics
/// When an error says nothing, or the picture is not a JPEG of that size.
pub fn photo_intake(bytes: &[u8]) {
    // With the position and the notes of the camera left out, and with both kept.
    for kept in [false, true] {
        picture(
            bytes,
            Keep {
                position: kept,
                camera: kept,
            },
        );
    }
}

fn picture(bytes: &[u8], keep: Keep) {
    let options = Options {
        long_side: 640,
        most_memory: 32 * 1024 * 1024,
        keep,
        ..Options::default()
    };
    match prepare(Source::Bytes(bytes), &options, &mut |_| {
        ControlFlow::Continue(())
    }) {
        Ok(picture) => {
            let mut decoder = jpeg_decoder::Decoder::new(picture.jpeg());
            let read = decoder.read_info();
            assert!(read.is_ok(), "{read:?}");
            let size = decoder
                .info()
                .map(|info| (u32::from(info.width), u32::from(info.height)));
            assert_eq!(size, Some(picture.size()));
        }
        Err(PhotoError::Internal(what)) => panic!("{what}"),
        Err(error) => says_something(&error.to_string()),
    }
}

pub(super) fn says_something(words: &str) {
    assert!(words.len() > 15 && !words.contains("panicked"), "'{words}'");
}
