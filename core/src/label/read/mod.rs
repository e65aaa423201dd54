//! Labels read from pictures: dirty, tilted, dim, blurred, torn, round a drum, under film.
//!
//! The library finds the corner squares and reads what can be read as any square code is. What it
//! cannot read is read with what is known of a label alone: its size, the modules that all labels
//! have alike, the signs it begins with, and which of its modules could not be seen.

mod dark;
mod finders;
mod grid;
mod known;
mod look;
mod modules;
mod pairs;
mod picture;
mod rings;
mod search;
mod settle;
mod sharpen;
mod sizes;
mod solomon;
mod words;

use super::{CodeError, LabelCode};
pub use picture::{Picture, PictureError};
use search::Reader;

/// A label seen in a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// What it says.
    pub code: LabelCode,
    /// Where the corners of its square code are, in pixels of the [`Picture`]: upper left, upper right,
    /// lower right, lower left as the label is read.
    pub corners: [(f64, f64); 4],
}

/// What was read in a picture.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// The labels, each once.
    pub labels: Vec<Seen>,
    /// Square codes that are not labels which can be read, and why.
    pub others: Vec<CodeError>,
}

/// Reads all labels in a picture.
#[must_use]
pub fn read(picture: &Picture<'_>) -> Reading {
    read_while(picture, &|| true)
}

/// The same, given up with what was read so far once `go_on` says no. It is asked every few
/// hundredths of a second.
#[must_use]
pub fn read_while(picture: &Picture<'_>, go_on: &dyn Fn() -> bool) -> Reading {
    Reader::new(picture).read(go_on)
}
