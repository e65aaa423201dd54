//! Cuts a typed text into numbers, units and dashes.

use super::error::TypedError;
use super::number::{self, DecimalMark, Exact, Reading};
use super::symbol::Symbol;

/// The most characters read as one value.
pub(super) const MAX_CHARS: usize = 100;

/// One number of a text.
#[derive(Clone, Debug)]
pub(super) struct Number {
    /// As typed, but with ordinary digits and spaces.
    pub(super) text: String,
    pub(super) reading: Reading,
    /// A mixed number joined by a dash, `3-1/2`, which is also how a pair is joined.
    pub(super) dashed: bool,
}

/// One piece of a text.
#[derive(Clone, Debug)]
pub(super) enum Token {
    Number(Number),
    Unit(Symbol, String),
    Dash,
}

/// A part of a text short enough to be quoted.
pub(super) fn short(text: &str) -> String {
    let mut chars = text.chars();
    let mut start: String = chars.by_ref().take(24).collect();
    if chars.next().is_some() {
        start.push('…');
    }
    start
}

/// Gives the ordinary form of full-width characters, dashes, primes, spaces and micro signs.
fn fold(c: char) -> Option<char> {
    Some(match c {
        '\u{ff01}'..='\u{ff5e}' => return char::from_u32(u32::from(c) - 0xfee0).and_then(fold),
        '-' | '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{fe63}' => '-',
        '\'' | '\u{2018}' | '\u{2019}' | '\u{2032}' | '\u{b4}' | '`' => '\'',
        '"' | '\u{201c}' | '\u{201d}' | '\u{2033}' => '"',
        '\u{b5}' | '\u{3bc}' => 'µ',
        '\u{2044}' | '\u{2215}' => '/',
        // Spaces that group digits stay apart from those that part words.
        '\u{a0}' | '\u{2007}' | '\u{2009}' | '\u{202f}' => '\u{202f}',
        '\n' | '\u{b}' | '\u{c}' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => '\n',
        // Zero-width and direction marks.
        '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' | '\u{ad}' => return None,
        c if c.is_whitespace() => ' ',
        c => c,
    })
}

/// Cuts `text`, which may come from a keyboard or from a paste.
pub(super) fn cut(text: &str, decimal: DecimalMark) -> Result<Vec<Token>, TypedError> {
    let text = text.trim();
    let chars = text.chars().count();
    if chars > MAX_CHARS {
        return Err(TypedError::TooLong {
            chars,
            limit: MAX_CHARS,
        });
    }
    let folded: String = text.chars().filter_map(fold).collect();
    let folded = folded.replace("''", "\"");
    let folded = folded.trim();
    if folded.is_empty() {
        return Err(TypedError::Blank);
    }
    if let Some((first, second)) = folded.split_once('\n') {
        return Err(TypedError::MoreThanOne {
            first: short(first.trim()),
            second: short(second.trim()),
        });
    }
    let chars: Vec<char> = folded.strip_prefix('+').unwrap_or(folded).chars().collect();
    Cutter {
        chars: &chars,
        at: 0,
        decimal,
    }
    .run()
}

struct Cutter<'a> {
    chars: &'a [char],
    at: usize,
    decimal: DecimalMark,
}

impl Cutter<'_> {
    fn run(mut self) -> Result<Vec<Token>, TypedError> {
        let mut tokens = Vec::new();
        while let Some(c) = self.peek(0) {
            if c.is_whitespace() {
                self.at += 1;
            } else if self.starts_number() {
                tokens.push(Token::Number(self.number()?));
            } else if c == '-' {
                self.at += 1;
                tokens.push(Token::Dash);
            } else if let Some(unit) = self.unit_text() {
                let symbol = Symbol::find(&unit)
                    .ok_or_else(|| TypedError::NotUnderstood { part: short(&unit) })?;
                tokens.push(Token::Unit(symbol, unit));
                // "lbs." and "12 lb, 6 oz"
                if matches!(self.peek(0), Some('.' | ',')) && !self.starts_number() {
                    self.at += 1;
                }
            } else {
                return Err(TypedError::NotUnderstood {
                    part: c.to_string(),
                });
            }
        }
        Ok(tokens)
    }

    fn peek(&self, ahead: usize) -> Option<char> {
        self.chars.get(self.at + ahead).copied()
    }

    fn digit(&self, ahead: usize) -> bool {
        self.peek(ahead).is_some_and(|c| c.is_ascii_digit())
    }

    fn starts_number(&self) -> bool {
        self.digit(0)
            || self.peek(0).and_then(number::vulgar).is_some()
            || (matches!(self.peek(0), Some('.' | ',')) && self.digit(1))
    }

    /// How many digits stand `ahead`.
    fn digits(&self, ahead: usize) -> usize {
        (0..).take_while(|i| self.digit(ahead + i)).count()
    }

    /// Takes `count` characters as text.
    fn take(&mut self, count: usize) -> String {
        let end = (self.at + count).min(self.chars.len());
        let taken = self.chars[self.at..end].iter().collect();
        self.at = end;
        taken
    }

    /// How many spaces stand `ahead`.
    fn spaces(&self, ahead: usize) -> usize {
        (0..)
            .take_while(|i| self.peek(ahead + i).is_some_and(char::is_whitespace))
            .count()
    }

    /// Digits, marks and grouping spaces.
    fn run_of_digits(&mut self) -> String {
        let mut length = 0;
        loop {
            let grouping = self.peek(length) == Some('\u{202f}')
                && length > 0
                && self.digit(length - 1)
                && self.digits(length + 1) == 3;
            if self.digit(length) || grouping || matches!(self.peek(length), Some('.' | ',')) {
                length += 1;
            } else {
                break;
            }
        }
        let text = self.take(length);
        // A full stop or comma after the number is no part of it.
        match text.strip_suffix(['.', ',']) {
            Some(number) if number.ends_with(|c: char| c.is_ascii_digit()) => {
                if text.ends_with(',') {
                    self.at -= 1;
                }
                number.to_owned()
            }
            _ => text,
        }
    }

    fn number(&mut self) -> Result<Number, TypedError> {
        let nothing = Exact { top: 0, bottom: 1 };
        if let Some((top, bottom)) = self.peek(0).and_then(number::vulgar) {
            let text = self.take(1);
            return finish(nothing.plus_fraction(top, bottom), text, false);
        }
        let text = self.run_of_digits();
        let reading = number::read(&text, self.decimal)?;
        let Reading::Plain(exact) = reading else {
            return Ok(Number {
                text,
                reading,
                dashed: false,
            });
        };
        // 3/4
        if self.peek(0) == Some('/') && self.digit(1) {
            let bottom = self.digits(1);
            let fraction = self.take(bottom + 1);
            let found = nothing.plus_fraction(&text, &fraction[1..]);
            return finish(found, text + &fraction, false);
        }
        // 3½ and 3 ½
        let spaces = self.spaces(0);
        if let Some((top, bottom)) = self.peek(spaces).and_then(number::vulgar) {
            self.at += spaces;
            let fraction = self.take(1);
            return finish(exact.plus_fraction(top, bottom), text + &fraction, false);
        }
        // 3 1/2 and 3-1/2
        let dashed = spaces == 0 && self.peek(0) == Some('-');
        let gap = if dashed { 1 } else { spaces };
        let top = self.digits(gap);
        if gap > 0 && top > 0 && self.peek(gap + top) == Some('/') && self.digit(gap + top + 1) {
            self.at += gap;
            let top = self.take(top);
            let bottom = self.digits(1);
            let fraction = self.take(bottom + 1);
            let found = exact.plus_fraction(&top, &fraction[1..]);
            let joint = if dashed { '-' } else { ' ' };
            return finish(found, format!("{text}{joint}{top}{fraction}"), dashed);
        }
        Ok(Number {
            text,
            reading: Reading::Plain(exact),
            dashed: false,
        })
    }

    /// The letters of a unit with what may follow a stroke: `kg/m3`.
    fn unit_text(&mut self) -> Option<String> {
        let c = self.peek(0)?;
        if matches!(c, '%' | '"' | '\'' | '#') {
            return Some(self.take(1));
        }
        let mut length = self.letters(0);
        if length == 0 {
            return None;
        }
        let per = self.letters(length + 1);
        if self.peek(length) == Some('/') && per > 0 {
            length += 1 + per;
            if self.peek(length) == Some('^') && self.digit(length + 1) {
                length += 1;
            }
            if matches!(self.peek(length), Some('3' | '³')) {
                length += 1;
            }
        }
        Some(self.take(length))
    }

    fn letters(&self, ahead: usize) -> usize {
        (0..)
            .take_while(|i| self.peek(ahead + i).is_some_and(char::is_alphabetic))
            .count()
    }
}

fn finish(exact: Option<Exact>, text: String, dashed: bool) -> Result<Number, TypedError> {
    match exact {
        Some(exact) => Ok(Number {
            text,
            reading: Reading::Plain(exact),
            dashed,
        }),
        None => Err(TypedError::BadNumber { part: short(&text) }),
    }
}
