//! The papers a report is set on, and the room on them. Lengths in points of 1/72 inch.

use serde::{Deserialize, Serialize};

/// Points in a millimetre.
const PT_PER_MM: f64 = 72.0 / 25.4;

/// A paper.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Paper {
    /// 8.5 by 11 inches.
    #[default]
    Letter,
    /// 210 by 297 millimetres (ISO 216).
    A4,
}

impl Paper {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Letter, Self::A4];

    /// Width and height.
    #[must_use]
    pub fn size(self) -> (f64, f64) {
        match self {
            Self::Letter => (612.0, 792.0),
            Self::A4 => (210.0 * PT_PER_MM, 297.0 * PT_PER_MM),
        }
    }

    /// From the left edge to the text, and from the text to the right edge.
    pub(super) const SIDE: f64 = 58.0;
    /// From the upper edge to the text.
    pub(super) const TOP: f64 = 62.0;
    /// From the text to the lower edge.
    pub(super) const FOOT: f64 = 58.0;

    /// Width of the text.
    pub(super) fn text_width(self) -> f64 {
        2.0_f64.mul_add(-Self::SIDE, self.size().0)
    }

    /// Height of the text.
    pub(super) fn text_height(self) -> f64 {
        self.size().1 - Self::TOP - Self::FOOT
    }
}
