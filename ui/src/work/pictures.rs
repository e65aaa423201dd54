//! Pictures: taken in, marked, looked through for labels.

use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

use tautbook_core::label::read::Reading;
use tautbook_core::label::read_labels;
use tautbook_core::language::Language;
use tautbook_core::photos::{
    Kept, Mark, Options, PhotoError, PhotoFolder, Progress, Source, mark, prepare,
};
use tautbook_core::say;

use super::Tell;

/// One picture at a time: each may need a hundred megabytes while it is read.
static ONE: Mutex<()> = Mutex::new(());

fn one() -> MutexGuard<'static, ()> {
    ONE.lock().unwrap_or_else(PoisonError::into_inner)
}

pub(super) fn look(
    file: &Path,
    language: Language,
    tell: &mut Tell<'_>,
) -> Result<Reading, String> {
    let _one = one();
    let mut told = |progress: Progress| tell(progress.done);
    read_labels(Source::File(file), &mut told).map_err(|error| match error {
        PhotoError::Cancelled => say!(language, "looking for labels was called off"),
        error => error.said(language),
    })
}

pub(super) fn take_in(
    (file, mark): (&Path, Option<&Path>),
    folder: &PhotoFolder,
    options: &Options,
    tell: &mut Tell<'_>,
) -> Result<Kept, PhotoError> {
    let _one = one();
    let mut told = |progress: Progress| tell(progress.done);
    if let Some(mark) = mark {
        std::fs::write(mark, "").ok(); // Without it, it is only tried again.
    }
    let kept = prepare(Source::File(file), options, &mut told).and_then(|made| folder.keep(&made));
    if let Some(mark) = mark {
        std::fs::remove_file(mark).ok();
    }
    kept
}

pub(super) fn draw(
    sha256: &str,
    marks: &[Mark],
    folder: &PhotoFolder,
    options: &Options,
    language: Language,
    tell: &mut Tell<'_>,
) -> Result<Kept, String> {
    let said = |error: PhotoError| error.said(language);
    let _one = one();
    let picture = folder.read(sha256).map_err(said)?;
    let mut told = |progress: Progress| tell(progress.done);
    let prepared = mark(&picture, marks, options, &mut told).map_err(said)?;
    folder.keep(&prepared).map_err(said)
}
