//! Labels on paper: what stands on them, where, as PDF and as PNG at true size.

mod fit;
mod layout;
mod paper;
mod pdf;
mod picture;
mod scene;
mod text;

use thiserror::Error;

use super::SymbolError;
pub use paper::{Dpi, Paper};
pub use pdf::pdf;
pub use picture::{Raster, png, rasters};
pub use text::{Fact, LabelText, LabelWords};

/// Something printed, and what a person should know about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Printed<T> {
    /// What was made.
    pub made: T,
    /// What could not be printed as it was written; empty when all is well.
    pub notes: Vec<PrintNote>,
}

/// What could not be printed as it was written.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Error)]
pub enum PrintNote {
    /// Letters that the label's typeface does not have stand as question marks.
    #[error(
        "the label's typeface has no {signs}: '{text}' is printed with question marks in their place; \
         write the name in Latin, Greek or Cyrillic letters to have it on the label"
    )]
    Missing {
        /// The whole text.
        text: String,
        /// The letters, each once.
        signs: String,
    },
    /// It was too long.
    #[error("'{text}' is too long for the label and ends in dots on it")]
    Cut {
        /// The whole text.
        text: String,
    },
}

/// A label could not be printed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PrintError {
    /// There is nothing to print.
    #[error("choose at least one sample to print a label for")]
    Nothing,
    /// The square code could not be made.
    #[error(transparent)]
    Symbol(#[from] SymbolError),
    /// The file could not be made.
    #[error("the label could not be drawn ({0})")]
    Drawing(String),
}
