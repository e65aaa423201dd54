//! How far the work on a day file is, and calling it off.

use std::ops::ControlFlow;

use super::DayFileError;

/// A part of the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Getting the records out of the book.
    Records,
    /// Writing the pictures.
    Photos,
    /// Verifying a file.
    Verifying,
    /// Keeping the pictures beside the book.
    KeepingPhotos,
    /// Merging the records into the book.
    Merging,
}

/// How far it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress {
    /// What is being done now.
    pub step: Step,
    /// How many of [`Progress::of`] are done: bytes when verifying, else pictures or members.
    pub done: u64,
    /// How many there are.
    pub of: u64,
}

/// Told how far it is; breaking off calls the work off.
pub type Watch<'w> = dyn FnMut(Progress) -> ControlFlow<()> + 'w;

/// Tells how far it is.
///
/// # Errors
/// [`DayFileError::Cancelled`] when the caller wants no more of it.
pub(super) fn tell(
    watch: &mut Watch<'_>,
    step: Step,
    done: u64,
    of: u64,
) -> Result<(), DayFileError> {
    match watch(Progress { step, done, of }) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(()) => Err(DayFileError::Cancelled),
    }
}
