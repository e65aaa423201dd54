//! From a picture to samples, and what to say when it leads to none.

use std::fmt;

use super::read::Reading;
use super::{CodeError, Lookup, look_up};
use crate::book::{Book, BookError};

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
        match (self.found.as_slice(), self.others.first()) {
            ([one], _) => write!(f, "{one}"),
            ([], Some(why)) => write!(f, "{why}"),
            ([], None) => f.write_str(
                "no label can be read in this picture: come closer, hold the phone square to the \
                 label and out of the glare of the film, or type the eight characters of its short \
                 code",
            ),
            (several, _) => write!(
                f,
                "{} labels are in this picture: choose one",
                several.len()
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
