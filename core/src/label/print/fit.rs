//! Text made to fit: smaller first, then over lines, then cut with dots and told.

use std::collections::BTreeSet;

use ab_glyph::{Font, FontRef};

use super::{PrintError, PrintNote};
use crate::chart::text_width;
use crate::fonts::REGULAR;

/// What a cut text ends in.
const DOTS: char = '\u{2026}';

/// What was printed otherwise than written, found while fitting.
pub(super) struct Fitter {
    font: FontRef<'static>,
    pub(super) notes: BTreeSet<PrintNote>,
}

/// A text that fits.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fitted {
    pub(super) size: f64,
    pub(super) lines: Vec<String>,
}

/// How a text may be set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    pub(super) width: f64,
    pub(super) most: f64,
    pub(super) least: f64,
    pub(super) lines: usize,
    pub(super) bold: bool,
}

impl Fitter {
    pub(super) fn new() -> Result<Self, PrintError> {
        let font = FontRef::try_from_slice(REGULAR)
            .map_err(|error| PrintError::Drawing(error.to_string()))?;
        Ok(Self {
            font,
            notes: BTreeSet::new(),
        })
    }

    /// The text in the largest size in which it fits; cut at its end when none does.
    pub(super) fn fit(&mut self, text: &str, room: Room) -> Fitted {
        let clean = self.printable(text);
        let mut size = room.most;
        while size > room.least {
            if let Some(lines) = wrap(&clean, room, size) {
                return Fitted { size, lines };
            }
            size *= 0.96;
        }
        let size = room.least;
        if let Some(lines) = wrap(&clean, room, size) {
            return Fitted { size, lines };
        }
        self.notes.insert(PrintNote::Cut {
            text: text.to_owned(),
        });
        Fitted {
            size,
            lines: cut(&clean, room, size),
        }
    }

    /// The text with single spaces, and question marks for what the typeface does not have.
    fn printable(&mut self, text: &str) -> String {
        let mut missing = String::new();
        let mut clean = String::new();
        for word in text.split(|sign: char| sign.is_whitespace() || sign.is_control()) {
            if word.is_empty() {
                continue;
            }
            if !clean.is_empty() {
                clean.push(' ');
            }
            for sign in word.chars() {
                if self.font.glyph_id(sign).0 == 0 {
                    if !missing.contains(sign) {
                        missing.push(sign);
                    }
                    clean.push('?');
                } else {
                    clean.push(sign);
                }
            }
        }
        if !missing.is_empty() {
            self.notes.insert(PrintNote::Missing {
                text: text.to_owned(),
                signs: missing,
            });
        }
        clean
    }
}

fn fits(text: &str, room: Room, size: f64) -> bool {
    text_width(text, size, room.bold) <= room.width
}

/// The text in lines broken at spaces; `None` when it takes too many or a word is too wide.
fn wrap(text: &str, room: Room, size: f64) -> Option<Vec<String>> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        if !fits(word, room, size) {
            return None;
        }
        match lines.last_mut() {
            Some(line) if fits(&format!("{line} {word}"), room, size) => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    (lines.len() <= room.lines).then_some(lines)
}

/// The text in lines broken anywhere, the last ending in dots.
fn cut(text: &str, room: Room, size: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut rest = text;
    while !rest.is_empty() && lines.len() + 1 < room.lines {
        let end = end_of(rest, room, size, "");
        let broken = rest[..end].rfind(' ').filter(|_| end < rest.len());
        let end = broken.unwrap_or(end);
        lines.push(rest[..end].trim_end().to_owned());
        rest = rest[end..].trim_start();
    }
    if !rest.is_empty() && fits(rest, room, size) {
        lines.push(rest.to_owned());
    } else if !rest.is_empty() {
        let end = end_of(rest, room, size, &DOTS.to_string());
        lines.push(format!("{}{DOTS}", rest[..end].trim_end()));
    }
    lines
}

/// Where the longest beginning ends that fits with `tail` behind it; after one sign at least.
fn end_of(text: &str, room: Room, size: f64, tail: &str) -> usize {
    let mut end = 0;
    for (at, sign) in text.char_indices() {
        let next = at + sign.len_utf8();
        if end > 0 && !fits(&format!("{}{tail}", &text[..next]), room, size) {
            break;
        }
        end = next;
    }
    end
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn room(width: f64, lines: usize) -> Room {
        Room {
            width,
            most: 8.0,
            least: 4.0,
            lines,
            bold: true,
        }
    }

    #[test]
    fn a_short_text_keeps_its_size_and_a_longer_one_grows_smaller() {
        let mut fitter = Fitter::new().unwrap();
        let short = fitter.fit("Hall 3", room(60.0, 1));
        assert!((short.size - 8.0).abs() < 1e-9);
        let longer = fitter.fit("Hall 3, north side", room(60.0, 1));
        assert!(longer.size < 8.0 && longer.size >= 4.0);
        assert_eq!(longer.lines, ["Hall 3, north side"]);
        assert!(fitter.notes.is_empty());
    }

    #[test]
    fn what_is_too_long_ends_in_dots_and_is_told() {
        let mut fitter = Fitter::new().unwrap();
        let long = "North-western distribution and returns centre, hall three";
        let over_one = fitter.fit(long, room(40.0, 1));
        assert!(over_one.lines[0].ends_with(DOTS), "{over_one:?}");
        assert!(fitter.notes.contains(&PrintNote::Cut { text: long.into() }));
        let over = fitter.fit(long, room(60.0, 3));
        assert!(over.lines.len() > 1 && over.lines.concat().len() >= long.len() - 3);
    }

    #[test]
    fn letters_that_are_not_in_the_typeface_are_told() {
        let mut fitter = Fitter::new().unwrap();
        assert_eq!(fitter.fit("倉庫 7", room(60.0, 1)).lines, ["?? 7"]);
        let note = fitter.notes.first().unwrap();
        assert!(note.to_string().contains("倉庫"), "{note}");
        fitter.notes.clear();
        fitter.fit("Żółć, Ñandú, Œuvre, Δ7, Склад", room(60.0, 2));
        assert!(fitter.notes.is_empty(), "{:?}", fitter.notes);
    }

    proptest! {
        #[test]
        fn nothing_is_wider_than_its_room(text in ".{0,120}", width in 20.0..90.0_f64, lines in 1_usize..4) {
            let mut fitter = Fitter::new().unwrap();
            let fitted = fitter.fit(&text, room(width, lines));
            prop_assert!(fitted.lines.len() <= lines.max(1));
            for line in &fitted.lines {
                prop_assert!(text_width(line, fitted.size, true) <= width + 1e-9, "{fitted:?}");
            }
        }
    }
}
