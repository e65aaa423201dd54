//! How far the work is, and calling it off.

use std::ops::ControlFlow;

use super::PhotoError;

/// A part of taking in a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Reading the file.
    Reading,
    /// Making pixels of it.
    Decoding,
    /// Making it smaller, upright and of standard colours.
    Shrinking,
    /// Making the thumbnail.
    Thumbnail,
    /// Packing the result.
    Packing,
}

/// How far the work is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// What is being done now.
    pub step: Step,
    /// How much of the whole is done, 0 to 1. It never goes back.
    pub done: f32,
}

impl Step {
    /// Where the step begins and how much of the whole it takes, after what each takes of a
    /// 12-megapixel JPEG.
    const fn share(self) -> (f32, f32) {
        match self {
            Self::Reading => (0.0, 0.02),
            Self::Decoding => (0.02, 0.48),
            Self::Shrinking => (0.5, 0.2),
            Self::Thumbnail => (0.7, 0.1),
            Self::Packing => (0.8, 0.2),
        }
    }
}

/// Tells the caller how far the work is and hears whether to go on.
pub(super) struct Watch<'w> {
    tell: &'w mut dyn FnMut(Progress) -> ControlFlow<()>,
}

impl<'w> Watch<'w> {
    pub(super) fn new(tell: &'w mut dyn FnMut(Progress) -> ControlFlow<()>) -> Self {
        Self { tell }
    }

    /// Says that `part` (0 to 1) of a step is done.
    ///
    /// # Errors
    /// [`PhotoError::Cancelled`] when the caller wants no more of it.
    pub(super) fn at(&mut self, step: Step, part: f32) -> Result<(), PhotoError> {
        let (from, share) = step.share();
        let done = from + share * part.clamp(0.0, 1.0);
        match (self.tell)(Progress { step, done }) {
            ControlFlow::Continue(()) => Ok(()),
            ControlFlow::Break(()) => Err(PhotoError::Cancelled),
        }
    }

    /// As [`Watch::at`], for row `row` of `rows`; told once in 64 rows.
    #[allow(clippy::cast_precision_loss)] // A share to show, not a count.
    pub(super) fn at_row(&mut self, step: Step, row: u32, rows: u32) -> Result<(), PhotoError> {
        if row.is_multiple_of(64) {
            self.at(step, row as f32 / rows.max(1) as f32)?;
        }
        Ok(())
    }
}
