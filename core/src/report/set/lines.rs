//! Text broken into lines.

use super::fonts::Fonts;
use crate::words::glue::glued;

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Type {
    pub(super) size: f64,
    pub(super) bold: bool,
}

impl Type {
    pub(super) const fn new(size: f64, bold: bool) -> Self {
        Self { size, bold }
    }

    /// From line to line.
    pub(super) fn line(self) -> f64 {
        self.size * 1.36
    }

    /// From the top of a line to its baseline: the letters stand in its middle.
    pub(super) fn baseline(self) -> f64 {
        self.line().mul_add(0.5, self.size * 0.36)
    }
}

/// A text in lines no wider than `room`, the first of them shorter by `first`. A word wider than
/// a line is broken where the line ends.
pub(super) fn lines(fonts: &Fonts, text: &str, room: f64, first: f64, type_: Type) -> Vec<String> {
    let wide = |text: &str| fonts.width(text, type_.size, type_.bold);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut used = 0.0;
    let space = wide(" ");
    let room_of = |at: usize| if at == 0 { room - first } else { room };
    for word in glued(text) {
        let width = wide(word);
        if !line.is_empty() && used + space + width <= room_of(lines.len()) {
            line.push(' ');
            line.push_str(word);
            used += space + width;
            continue;
        }
        if !line.is_empty() || (lines.is_empty() && first > 0.0 && width > room - first) {
            lines.push(std::mem::take(&mut line));
        }
        if width <= room_of(lines.len()) {
            line.push_str(word);
            used = width;
            continue;
        }
        // Broken anywhere, a sign at least to a line.
        used = 0.0;
        for sign in word.chars() {
            let more = wide(sign.encode_utf8(&mut [0; 4]));
            if !line.is_empty() && used + more > room_of(lines.len()) {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            line.push(sign);
            used += more;
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// As much of a text as fits on a line, with a sign that there was more.
pub(super) fn cut(fonts: &Fonts, text: &str, room: f64, type_: Type) -> String {
    let wide = |text: &str| fonts.width(text, type_.size, type_.bold);
    if wide(text) <= room {
        return text.to_owned();
    }
    let dots = wide("\u{2026}");
    let mut kept = String::new();
    let mut used = dots;
    for sign in text.chars() {
        used += wide(sign.encode_utf8(&mut [0; 4]));
        if used > room {
            break;
        }
        kept.push(sign);
    }
    format!("{}\u{2026}", kept.trim_end())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const TYPE: Type = Type::new(9.0, false);

    proptest! {
        #[test]
        fn no_line_is_wider_than_its_room_and_nothing_is_lost(
            text in "[a-zéñ0-9 ]{0,200}", room in 40.0..300.0_f64, first in 0.0..30.0_f64,
        ) {
            let mut fonts = Fonts::new().unwrap();
            let clean = fonts.clean(&text).text;
            let lines = lines(&fonts, &clean, room, first, TYPE);
            for (at, line) in lines.iter().enumerate() {
                let room = if at == 0 { room - first } else { room };
                prop_assert!(fonts.width(line, 9.0, false) <= room + 1e-9, "{lines:?}");
            }
            let signs = |text: &str| text.replace(' ', "");
            prop_assert_eq!(signs(&lines.concat()), signs(&clean));
        }
    }
}
