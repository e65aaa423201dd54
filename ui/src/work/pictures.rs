//! Pictures: taken in, marked, looked through for labels.

use std::path::Path;

use tautbook_core::label::read::Reading;
use tautbook_core::label::read_labels;
use tautbook_core::photos::{
    Kept, Mark, Options, PhotoError, PhotoFolder, Progress, Source, mark, prepare,
};

use super::Tell;

pub(super) fn look(file: &Path, tell: &mut Tell<'_>) -> Result<Reading, String> {
    let mut told = |progress: Progress| tell(progress.done);
    read_labels(Source::File(file), &mut told).map_err(|error| match error {
        PhotoError::Cancelled => "looking for labels was called off".to_owned(),
        error => error.to_string(),
    })
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
