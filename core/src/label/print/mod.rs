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
use crate::language::Language;
use crate::say;
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
#[error("{}", self.said(Language::English))]
pub enum PrintNote {
    /// Letters that the label's typeface does not have stand as question marks.
    Missing {
        /// The whole text.
        text: String,
        /// The letters, each once.
        signs: String,
    },
    /// It was too long.
    Cut {
        /// The whole text.
        text: String,
    },
}

impl PrintNote {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Missing { signs, text } => say!(
                language,
                "the label's typeface has no {signs}: '{text}' is printed with question marks in their place; write the name in Latin, Greek or Cyrillic letters to have it on the label",
                signs = signs,
                text = text
            ),
            Self::Cut { text } => say!(
                language,
                "'{text}' is too long for the label and ends in dots on it",
                text = text
            ),
        }
    }
}

/// A label could not be printed.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum PrintError {
    /// There is nothing to print.
    Nothing,
    /// The square code could not be made.
    Symbol(#[from] SymbolError),
    /// The file could not be made.
    Drawing(String),
}

impl PrintError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Nothing => say!(language, "choose at least one sample to print a label for"),
            Self::Symbol(error) => say!(
                language,
                "the square code of this label could not be made ({detail})",
                detail = error.0
            ),
            Self::Drawing(detail) => say!(
                language,
                "the label could not be drawn ({detail})",
                detail = detail
            ),
        }
    }
}
