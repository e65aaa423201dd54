//! From a picture to samples, and what to say when it leads to none.

use std::cell::RefCell;
use std::fmt;
use std::ops::ControlFlow;

use super::read::{Picture, Reading, read_while};
use super::{CodeError, Lookup, look_up};
use crate::book::{Book, BookError};
use crate::language::Language;
use crate::photos::{PhotoError, Progress, Source, shown};
use crate::say;
use crate::say_count;

/// The longest side of a picture that labels are looked for in: a whole one of 12 megapixels.
const LONG_SIDE: u32 = 4_096;

/// What the labels in a picture led to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Pictured {
    /// For each label read, in the order of [`Reading::labels`].
    pub found: Vec<Lookup>,
    /// Why square codes that are in it too were not taken.
    pub others: Vec<CodeError>,
}

/// What was found, or what to do.
impl fmt::Display for Pictured {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

impl Pictured {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match (self.found.as_slice(), self.others.first()) {
            ([one], _) => one.said(language),
            ([], Some(why)) => why.said(language),
            ([], None) => say!(
                language,
                "no label can be read in this picture: come closer, hold the phone square to the label and out of the glare of the film, or type the eight characters of its short code"
            ),
            (several, _) => say_count!(
                language,
                several.len(),
                "{n} label is in this picture: choose it",
                "{n} labels are in this picture: choose one"
            ),
        }
    }
}

/// The samples whose labels were read in a picture.
///
/// # Errors
/// The store's errors.
pub fn look_up_pictured(book: &Book, reading: &Reading) -> Result<Pictured, BookError> {
    Ok(Pictured {
        found: reading
            .labels
            .iter()
            .map(|seen| look_up(book, seen.code))
            .collect::<Result<_, _>>()?,
        others: reading.others.clone(),
    })
}

/// The labels in a picture of a camera or a scanner. `tell` hears how far it is and says whether to go
/// on; the reading itself does not know how long it will take and only asks.
///
/// # Errors
/// [`PhotoError`] when the picture cannot be opened; [`PhotoError::Cancelled`].
pub fn read_labels(
    source: Source<'_>,
    tell: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Result<Reading, PhotoError> {
    let mut last = None;
    let picture = shown(source, LONG_SIDE, &[], &mut |progress| {
        last = Some(progress);
        tell(progress)
    })?;
    let grey = Picture::colour(picture.width, picture.height, 3, &picture.rgb)
        .map_err(|error| PhotoError::Internal(error.to_string()))?;
    drop(picture);
    let tell = RefCell::new(tell);
    let go_on = || last.is_none_or(|last| (tell.borrow_mut())(last).is_continue());
    let reading = read_while(&grey, &go_on);
    if go_on() {
        Ok(reading)
    } else {
        Err(PhotoError::Cancelled)
    }
}
