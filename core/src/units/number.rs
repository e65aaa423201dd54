//! Numbers as people write them: either decimal mark, grouped thousands, fractions.

use super::error::TypedError;
use serde::{Deserialize, Serialize};

/// The mark between whole and decimal digits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum DecimalMark {
    /// `12.4`
    #[default]
    Point,
    /// `12,4`
    Comma,
}

impl DecimalMark {
    /// The mark itself.
    #[must_use]
    pub const fn as_char(self) -> char {
        match self {
            Self::Point => '.',
            Self::Comma => ',',
        }
    }
}

/// The most digits read in one number.
pub(super) const MAX_DIGITS: usize = 15;

/// A number kept exact until it becomes a quantity: `top / bottom`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Exact {
    pub(super) top: u128,
    pub(super) bottom: u128,
}

impl Exact {
    /// The nearest `f64`. At most fifteen digits and a power of ten go in, both of which an `f64`
    /// holds exactly, so that one rounding happens; a pair of fifteen digits each may see two.
    #[allow(clippy::cast_precision_loss)]
    pub(super) fn value(self) -> f64 {
        self.top as f64 / self.bottom as f64
    }

    pub(super) const fn is_whole(self) -> bool {
        self.top.is_multiple_of(self.bottom)
    }

    /// Written with up to six decimals, to be read back.
    pub(super) fn text(self, decimal: DecimalMark) -> String {
        let text = format!("{:.6}", self.value());
        let text = text.trim_end_matches('0').trim_end_matches('.');
        text.replace('.', &decimal.as_char().to_string())
    }

    /// `self × times + other`, the value of a pair in its smaller unit.
    pub(super) const fn times_plus(self, times: u32, other: Self) -> Self {
        Self {
            top: self.top * times as u128 * other.bottom + other.top * self.bottom,
            bottom: self.bottom * other.bottom,
        }
    }

    /// Adds a fraction `top / bottom`; `None` if that is no fraction or this is not whole.
    pub(super) fn plus_fraction(self, top: &str, bottom: &str) -> Option<Self> {
        if top.len() > 4 || bottom.len() > 4 || self.bottom != 1 {
            return None;
        }
        let (top, bottom): (u128, u128) = (top.parse().ok()?, bottom.parse().ok()?);
        (bottom > 0).then(|| Self {
            top: self.top * bottom + top,
            bottom,
        })
    }
}

/// One character that is a fraction by itself.
pub(super) const fn vulgar(c: char) -> Option<(&'static str, &'static str)> {
    Some(match c {
        '½' => ("1", "2"),
        '⅓' => ("1", "3"),
        '⅔' => ("2", "3"),
        '¼' => ("1", "4"),
        '¾' => ("3", "4"),
        '⅕' => ("1", "5"),
        '⅖' => ("2", "5"),
        '⅗' => ("3", "5"),
        '⅘' => ("4", "5"),
        '⅙' => ("1", "6"),
        '⅚' => ("5", "6"),
        '⅛' => ("1", "8"),
        '⅜' => ("3", "8"),
        '⅝' => ("5", "8"),
        '⅞' => ("7", "8"),
        _ => return None,
    })
}

/// What the digits and marks of one number can mean.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    /// One meaning.
    Plain(Exact),
    /// Two meanings, also written out with the chosen decimal mark: grouped thousands or decimals.
    Either {
        thousands: Exact,
        as_thousands: String,
        as_decimal: String,
    },
}

impl Reading {
    /// The number, as grouped thousands where it could be decimals.
    pub(super) const fn thousands(&self) -> Exact {
        match self {
            Self::Plain(exact)
            | Self::Either {
                thousands: exact, ..
            } => *exact,
        }
    }

    /// The number, as decimals where it could be grouped thousands.
    pub(super) const fn decimals(&self) -> Exact {
        match self {
            Self::Plain(exact) => *exact,
            Self::Either { thousands, .. } => Exact {
                top: thousands.top,
                bottom: 1000,
            },
        }
    }
}

/// Reads digits with marks; spaces between digits are taken as grouping, `text` has no others.
///
/// The meaning of a text never depends on the chosen mark; only whether it is asked about does.
pub(super) fn read(text: &str, decimal: DecimalMark) -> Result<Reading, TypedError> {
    let bad = || TypedError::BadNumber {
        part: super::tokens::short(text),
    };
    let digits = text.chars().filter(char::is_ascii_digit).count();
    if digits > MAX_DIGITS {
        return Err(TypedError::TooManyDigits {
            part: super::tokens::short(text),
            limit: MAX_DIGITS,
        });
    }
    if digits == 0 {
        return Err(bad());
    }
    let marks: Vec<char> = text.chars().filter(|c| matches!(c, '.' | ',')).collect();
    let spaced = text.contains(char::is_whitespace);
    let (whole, decimals) = match marks.as_slice() {
        [] => (text, ""),
        [mark] => {
            let (whole, decimals) = text.split_once(*mark).ok_or_else(bad)?;
            let groups = !spaced
                && decimals.len() == 3
                && (1..=3).contains(&whole.len())
                && !whole.starts_with('0');
            if groups && *mark != decimal.as_char() {
                let as_thousands = format!("{whole}{decimals}");
                let top = as_thousands.parse().map_err(|_| bad())?;
                return Ok(Reading::Either {
                    thousands: Exact { top, bottom: 1 },
                    as_thousands,
                    as_decimal: format!("{whole}{}{decimals}", decimal.as_char()),
                });
            }
            (whole, decimals)
        }
        // One mark, several times: all group thousands.
        [first, rest @ ..] if rest.iter().all(|mark| mark == first) => (text, ""),
        // Groups, then the other mark once: decimals.
        [groups @ .., last] => {
            if groups.contains(last) || groups.iter().any(|mark| mark != &groups[0]) {
                return Err(bad());
            }
            text.rsplit_once(*last).ok_or_else(bad)?
        }
    };
    if decimals.contains(char::is_whitespace) {
        return Err(bad());
    }
    let whole = ungrouped(whole).ok_or_else(bad)?;
    let top = format!("{whole}{decimals}").parse().map_err(|_| bad())?;
    let places = u32::try_from(decimals.len()).map_err(|_| bad())?;
    Ok(Reading::Plain(Exact {
        top,
        bottom: 10_u128.pow(places),
    }))
}

/// The digits without their grouping marks; `None` if the groups are not of three.
fn ungrouped(whole: &str) -> Option<String> {
    let mut groups = whole.split(|c: char| !c.is_ascii_digit());
    let first = groups.next()?;
    let mut digits = first.to_owned();
    let mut grouped = false;
    for group in groups {
        if group.len() != 3 {
            return None;
        }
        grouped = true;
        digits.push_str(group);
    }
    let seps: Vec<char> = whole.chars().filter(|c| !c.is_ascii_digit()).collect();
    let even = seps.iter().all(|sep| *sep == seps[0]);
    let first_fits = (1..=3).contains(&first.len()) && !first.starts_with('0');
    (!grouped || (first_fits && even)).then_some(digits)
}
