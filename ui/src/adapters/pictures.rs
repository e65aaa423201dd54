//! Pictures as the screens draw them, kept for a while so that they are not decoded again with
//! every key.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::ops::ControlFlow;

use slint::{Image, Rgb8Pixel, SharedPixelBuffer};
use tautbook_core::photos::{Mark, Options, PhotoError, PhotoFolder, Source, shown};

/// How many pictures are kept drawn: about 300 kB each.
const MOST: usize = 40;
/// Longest side of a picture in a list, and alone on its screen, in pixels.
const SMALL: u32 = 480;
const LARGE: u32 = 1_280;

type Key = (String, u32, String);

thread_local! {
    static DRAWN: RefCell<VecDeque<(Key, Image)>> = const { RefCell::new(VecDeque::new()) };
}

/// A picture small, as in a list. Nothing for one whose file is gone: the list says so.
pub(super) fn small(folder: &PhotoFolder, sha256: &str) -> Image {
    let key = (sha256.to_owned(), SMALL, String::new());
    drawn(key, || {
        let thumb = folder.read_thumbnail(sha256, &Options::default())?;
        pixels(Source::Bytes(&thumb), SMALL, &[])
    })
    .unwrap_or_default()
}

/// A picture large, with marks on it.
///
/// # Errors
/// [`PhotoError`], in words for a person.
pub(super) fn large(
    folder: &PhotoFolder,
    sha256: &str,
    marks: &[Mark],
) -> Result<Image, PhotoError> {
    let key = (sha256.to_owned(), LARGE, format!("{marks:?}"));
    drawn(key, || {
        let picture = folder.read(sha256)?;
        pixels(Source::Bytes(&picture), LARGE, marks)
    })
}

fn pixels(source: Source<'_>, side: u32, marks: &[Mark]) -> Result<Image, PhotoError> {
    let shown = shown(source, side, marks, &mut |_| ControlFlow::Continue(()))?;
    let buffer =
        SharedPixelBuffer::<Rgb8Pixel>::clone_from_slice(&shown.rgb, shown.width, shown.height);
    Ok(Image::from_rgb8(buffer))
}

fn drawn(key: Key, draw: impl FnOnce() -> Result<Image, PhotoError>) -> Result<Image, PhotoError> {
    let known = DRAWN.with_borrow(|drawn| {
        let found = drawn.iter().find(|(of, _)| *of == key);
        found.map(|(_, image)| image.clone())
    });
    if let Some(image) = known {
        return Ok(image);
    }
    let image = draw()?;
    DRAWN.with_borrow_mut(|drawn| {
        drawn.push_back((key, image.clone()));
        if drawn.len() > MOST {
            drawn.pop_front();
        }
    });
    Ok(image)
}
