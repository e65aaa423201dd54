//! What this device is set to: how the screens look, and in which words and units they speak.

use serde::{Deserialize, Deserializer, Serialize};
use tautbook_core::language::Language;
use tautbook_core::units::{DecimalMark, UnitSystem};

/// The colours of the screens.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shade {
    /// Ink on paper.
    #[default]
    Day,
    /// Light on dark, for a dim warehouse.
    Night,
    /// Black on white with heavy edges, for a yard in the sun.
    Sunlight,
}

/// The colours as they were kept: by name, or by the word on the night look from when there were two.
fn shade<'de, D: Deserializer<'de>>(from: D) -> Result<Shade, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Kept {
        Named(Shade),
        Night(bool),
    }
    Ok(match Kept::deserialize(from)? {
        Kept::Named(shade) => shade,
        Kept::Night(true) => Shade::Night,
        Kept::Night(false) => Shade::Day,
    })
}

/// How large the words are.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum TextSize {
    /// As drawn.
    #[default]
    Normal,
    /// A quarter larger.
    Large,
    /// Half as large again.
    Larger,
    /// Twice the size.
    Largest,
}

impl TextSize {
    /// How many times the size as drawn.
    #[must_use]
    pub const fn scale(self) -> f32 {
        match self {
            Self::Normal => 1.0,
            Self::Large => 1.25,
            Self::Larger => 1.5,
            Self::Largest => 2.0,
        }
    }
}

/// What this device is set to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Look {
    /// The colours.
    #[serde(alias = "night", deserialize_with = "shade")]
    pub shade: Shade,
    /// How large the words are.
    pub text: TextSize,
    /// Keys at the left for a left thumb.
    pub hand_left: bool,
    /// Units shown and typed.
    pub units: UnitSystem,
    /// The decimal sign; that of the language when none is chosen.
    pub decimal: Option<DecimalMark>,
    /// The language of the screens.
    pub language: Language,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_set_before_there_was_more_to_set_is_kept() {
        let before = r#"{"night": true, "hand_left": true, "units": "metric"}"#;
        let look: Look = serde_json::from_str(before).unwrap();
        assert_eq!(look.shade, Shade::Night);
        assert!(look.hand_left);
        assert_eq!(look.units, UnitSystem::Metric);
        assert_eq!(look.text, TextSize::Normal);
        let again: Look = serde_json::from_str(&serde_json::to_string(&look).unwrap()).unwrap();
        assert_eq!(again, look);
    }
}
