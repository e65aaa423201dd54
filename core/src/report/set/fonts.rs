//! The typeface as the report measures it.

use std::collections::BTreeSet;

use ttf_parser::Face;

use crate::fonts::{BOLD, REGULAR};
use crate::report::ReportError;

/// The two weights.
pub(in crate::report) struct Fonts {
    faces: [Face<'static>; 2],
    /// What was asked for and is not in them.
    pub(in crate::report) missing: BTreeSet<char>,
}

/// A text as it can be set.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(in crate::report) struct Clean {
    /// Single spaces; a question mark for what the typeface does not have.
    pub(in crate::report) text: String,
    /// What it was, where signs were replaced.
    pub(in crate::report) was: Option<String>,
}

/// Signs that only steer how others are shown: left out where the typeface lacks them.
const fn steers(sign: char) -> bool {
    matches!(
        sign,
        '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}'
            | '\u{e0000}'..='\u{e0fff}'
    )
}

impl Fonts {
    /// Both.
    pub(in crate::report) fn new() -> Result<Self, ReportError> {
        let face = |data: &'static [u8]| {
            Face::parse(data, 0).map_err(|error| ReportError::Drawing(error.to_string()))
        };
        Ok(Self {
            faces: [face(REGULAR)?, face(BOLD)?],
            missing: BTreeSet::new(),
        })
    }

    /// The text with single spaces and without what cannot be set.
    pub(in crate::report) fn clean(&mut self, text: &str) -> Clean {
        let mut clean = String::with_capacity(text.len());
        let mut replaced = false;
        let breaks = |sign: char| sign != '\u{a0}' && sign != '\u{202f}' && sign.is_whitespace();
        for word in text.split(|sign: char| breaks(sign) || sign.is_control()) {
            let start = clean.len();
            for sign in word.chars() {
                if steers(sign) {
                    replaced = true;
                } else if self.faces[0].glyph_index(sign).is_some() {
                    clean.push(sign);
                } else {
                    self.missing.insert(sign);
                    replaced = true;
                    clean.push('?');
                }
            }
            if clean.len() > start && start > 0 {
                clean.insert(start, ' ');
            }
        }
        Clean {
            was: replaced.then(|| text.to_owned()),
            text: clean,
        }
    }

    /// Width of a text that is clean, at a size: the sum of its advances, without kerning.
    pub(in crate::report) fn width(&self, text: &str, size: f64, bold: bool) -> f64 {
        let face = &self.faces[usize::from(bold)];
        let units: u32 = text
            .chars()
            .map(|sign| {
                let glyph = face.glyph_index(sign).unwrap_or_default();
                u32::from(face.glyph_hor_advance(glyph).unwrap_or(0))
            })
            .sum();
        f64::from(units) / f64::from(face.units_per_em()) * size
    }
}
