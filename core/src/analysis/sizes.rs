//! Sizes nobody meets at a wrapper: most often a number typed in the wrong unit.
//!
//! They are asked about and never refused. The limits are wide (common practice, no source): what
//! lies outside is worth a second look, no more.

use crate::language::{Language, Word};
use crate::say;
use crate::word;
use std::fmt;

/// What was written down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Size {
    /// Length or width of a load.
    LoadSide,
    /// Height of a load.
    LoadHeight,
    /// Mass of a load.
    LoadMass,
    /// Width of a film.
    FilmWidth,
    /// Thickness of a film.
    FilmThickness,
    /// Film on a roll.
    RollLength,
    /// Mass of the film on a roll.
    RollMass,
    /// Density of a film.
    FilmDensity,
}

/// A size to look at again; prints as sentences.
#[derive(Debug, Clone, PartialEq)]
pub struct Unlikely {
    /// What it is of.
    pub size: Size,
    /// As the person wrote it.
    pub text: String,
}

impl Size {
    /// The usual limits in the base unit.
    const fn limits(self) -> (f64, f64) {
        match self {
            Self::LoadSide => (0.2, 3.5),
            Self::LoadHeight => (0.1, 3.5),
            Self::LoadMass => (1.0, 3_000.0),
            Self::FilmWidth => (0.05, 2.0),
            Self::FilmThickness => (4e-6, 80e-6),
            Self::RollLength => (30.0, 6_000.0),
            Self::RollMass => (0.3, 100.0),
            Self::FilmDensity => (850.0, 1_000.0),
        }
    }

    /// What is usual, in both systems of units.
    const fn usual(self) -> Word {
        match self {
            Self::LoadSide => {
                word!("A load is usually 8 in to 138 in (0.2 m to 3.5 m) long and wide")
            }
            Self::LoadHeight => word!("A load is usually 4 in to 138 in (0.1 m to 3.5 m) high"),
            Self::LoadMass => word!("A load usually weighs 2 lb to 6600 lb (1 kg to 3000 kg)"),
            Self::FilmWidth => word!("Film is usually 2 in to 79 in (50 mm to 2000 mm) wide"),
            Self::FilmThickness => word!("Film is usually 16 ga to 315 ga (4 µm to 80 µm) thick"),
            Self::RollLength => {
                word!("A roll usually holds 100 ft to 19 700 ft (30 m to 6000 m) of film")
            }
            Self::RollMass => {
                word!("The film of a roll usually weighs 0.7 lb to 220 lb (0.3 kg to 100 kg)")
            }
            Self::FilmDensity => word!("The density of film is usually 0.85 g/cm³ to 1 g/cm³"),
        }
    }

    /// Whether a size is to be looked at again, from its value in metres, kilograms or kilograms a
    /// cubic metre and the text it was written as; `None` for one that is usual.
    #[must_use]
    pub fn unlikely(self, value: f64, text: &str) -> Option<Unlikely> {
        // The limits in inches and pounds are rounded.
        const HAIR: f64 = 0.01;
        let (least, most) = self.limits();
        let usual = value >= least * (1.0 - HAIR) && value <= most * (1.0 + HAIR);
        (!usual).then(|| Unlikely {
            size: self,
            text: text.to_owned(),
        })
    }
}

impl Unlikely {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        say!(
            language,
            "{text} is kept as written. {usual}: look at the number and its unit.",
            text = self.text,
            usual = self.size.usual().said(language)
        )
    }
}

impl fmt::Display for Unlikely {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.
    use super::*;

    #[test]
    fn a_number_in_the_wrong_unit_is_asked_about() {
        const INCH_M: f64 = 0.0254;
        for (size, value) in [
            (Size::LoadSide, 48.0 * INCH_M),
            (Size::LoadSide, 40.0 * INCH_M),
            (Size::LoadSide, 138.0 * INCH_M),
            (Size::LoadHeight, 60.0 * INCH_M),
            (Size::LoadMass, 900.0),
            (Size::FilmWidth, 20.0 * INCH_M),
            (Size::FilmThickness, 80.0 * 0.254e-6),
            (Size::RollLength, 1_500.0),
            (Size::RollMass, 16.0),
            (Size::FilmDensity, 918.0),
        ] {
            assert_eq!(size.unlikely(value, ""), None, "{size:?}");
        }
        // Inches taken for metres or the other way round, and the like.
        for (size, value) in [
            (Size::LoadSide, 1_200.0 * INCH_M),
            (Size::LoadSide, 0.048),
            (Size::LoadHeight, 60.0),
            (Size::LoadMass, 900_000.0),
            (Size::FilmWidth, 500.0 * INCH_M),
            (Size::FilmThickness, 23e-3),
            (Size::FilmThickness, 23.0 * 0.254e-7),
            (Size::RollLength, 1.5),
            (Size::RollMass, 16_000.0),
            (Size::FilmDensity, 0.918),
            (Size::LoadSide, f64::NAN),
        ] {
            let said = size.unlikely(value, "as typed").unwrap().to_string();
            assert!(said.starts_with("as typed is kept"), "{size:?}: {said}");
        }
    }
}
