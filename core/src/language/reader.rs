//! Who reads.

use super::Language;
use crate::units::UnitChoice;

/// Who reads: in which language and which units.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reader {
    /// The units.
    pub units: UnitChoice,
    /// The language.
    pub language: Language,
}

impl Reader {
    /// Somebody who reads English.
    #[must_use]
    pub const fn english(units: UnitChoice) -> Self {
        Self {
            units,
            language: Language::English,
        }
    }
}
