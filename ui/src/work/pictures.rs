//! Pictures: taken in, marked, looked through for labels.

use std::cell::RefCell;
use std::path::Path;

use tautbook_core::label::read::{Picture, Reading, read_while};
use tautbook_core::photos::{
    Kept, Mark, Options, PhotoError, PhotoFolder, Progress, Source, mark, prepare, shown,
};

use super::Tell;

/// The longest side of a picture that labels are looked for in: a whole one of 12 megapixels.
const LABEL_SIDE: u32 = 4_096;

const CALLED_OFF: &str = "looking for labels was called off";

pub(super) fn look(file: &Path, tell: &mut Tell<'_>) -> Result<Reading, String> {
    let said = |error: PhotoError| match error {
        PhotoError::Cancelled => CALLED_OFF.to_owned(),
        error => error.to_string(),
    };
    let mut last = 0.0;
    let mut told = |progress: Progress| {
        last = progress.done;
        tell(progress.done)
    };
    let picture = shown(Source::File(file), LABEL_SIDE, &[], &mut told).map_err(said)?;
    let grey = Picture::colour(picture.width, picture.height, 3, &picture.rgb)
        .map_err(|error| error.to_string())?;
    drop(picture);
    // How long the reading will take is not known: it only asks whether to go on.
    let tell = RefCell::new(tell);
    let go_on = || (tell.borrow_mut())(last).is_continue();
    let reading = read_while(&grey, &go_on);
    if go_on() {
        Ok(reading)
    } else {
        Err(CALLED_OFF.to_owned())
    }
}

pub(super) fn take_in(
    file: &Path,
    folder: &PhotoFolder,
    options: &Options,
    tell: &mut Tell<'_>,
) -> Result<Kept, String> {
    let said = |error: PhotoError| error.to_string();
    let mut told = |progress: Progress| tell(progress.done);
    let prepared = prepare(Source::File(file), options, &mut told).map_err(said)?;
    folder.keep(&prepared).map_err(said)
}

pub(super) fn draw(
    sha256: &str,
    marks: &[Mark],
    folder: &PhotoFolder,
    options: &Options,
    tell: &mut Tell<'_>,
) -> Result<Kept, String> {
    let said = |error: PhotoError| error.to_string();
    let picture = folder.read(sha256).map_err(said)?;
    let mut told = |progress: Progress| tell(progress.done);
    let prepared = mark(&picture, marks, options, &mut told).map_err(said)?;
    folder.keep(&prepared).map_err(said)
}
