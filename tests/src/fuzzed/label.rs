//! Codes and pictures of labels, from anywhere.

use tautbook_core::label::read::{Picture, read};
use tautbook_core::label::{LabelCode, QUIET, SIDE, ShortCode, Symbol};
use tautbook_core::survey::Id;
use uuid::Uuid;

/// Pixels along a side of a picture, at most: enough for a code.
const MOST: usize = 128;
/// Pixels in a module of the seeds.
const MODULE: u32 = 3;

/// Reads bytes as both codes; says whether they were one. What is read is written back alike.
///
/// # Panics
/// When it is not: that is what is looked for.
#[must_use]
pub fn code(bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let label = LabelCode::parse(&text);
    if let Ok(code) = &label {
        assert_eq!(code.to_string(), text, "one code has one spelling");
    }
    let short = ShortCode::parse(&text);
    if let Ok(code) = short {
        assert_eq!(ShortCode::parse(&code.to_string()), Ok(code));
    }
    for said in [
        label.as_ref().err().map(ToString::to_string),
        short.as_ref().err().map(ToString::to_string),
    ] {
        assert!(said.is_none_or(|said| said.len() > 20), "a whole sentence");
    }
    label.is_ok() || short.is_ok()
}

/// Codes to begin with.
#[must_use]
pub fn code_seeds() -> Vec<Vec<u8>> {
    (0..6)
        .flat_map(|n| {
            let id = Id::from_uuid(id(n));
            [
                LabelCode::new(id).to_string(),
                ShortCode::of(id).to_string(),
            ]
        })
        .map(String::into_bytes)
        .collect()
}

/// Reads the labels in a picture: its width in the first byte, then its greys. Gives their codes.
///
/// # Panics
/// When a corner is no place in the plane.
#[must_use]
pub fn picture(bytes: &[u8]) -> Vec<LabelCode> {
    let Some((&width, greys)) = bytes.split_first() else {
        return Vec::new();
    };
    let width = usize::from(width).clamp(1, MOST);
    let height = (greys.len() / width).min(MOST);
    let sides = (u32::try_from(width), u32::try_from(height));
    let (Ok(wide), Ok(high)) = sides else {
        return Vec::new();
    };
    let Ok(picture) = Picture::grey(wide, high, &greys[..width * height]) else {
        return Vec::new();
    };
    let reading = read(&picture);
    for seen in &reading.labels {
        assert!(
            seen.corners
                .iter()
                .all(|(x, y)| x.is_finite() && y.is_finite())
        );
    }
    reading.labels.iter().map(|seen| seen.code).collect()
}

/// Pictures to begin with, and what each says: a plain code, a dim one, one mirrored in its greys.
#[must_use]
pub fn picture_seeds() -> Vec<(Vec<u8>, LabelCode)> {
    [(20, 230), (90, 110), (100, 250)]
        .into_iter()
        .zip(0..)
        .filter_map(|((dark, light), n)| {
            let code = LabelCode::new(Id::from_uuid(id(n)));
            let symbol = Symbol::new(code).ok()?;
            let side = (SIDE + 2 * QUIET) * MODULE;
            let mut bytes = vec![u8::try_from(side).ok()?];
            bytes.extend((0..side * side).map(|at| {
                let module = |along: u32| (along / MODULE).wrapping_sub(QUIET);
                if symbol.is_dark(module(at % side), module(at / side)) {
                    dark
                } else {
                    light
                }
            }));
            Some((bytes, code))
        })
        .collect()
}

fn id(n: u64) -> Uuid {
    Uuid::from_u64_pair(0x0198_4c00_1000_7000 + n, 0x8123_4567_89ab_cdef ^ (n << 20))
}
