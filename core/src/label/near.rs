//! How a mistyped short code differs from a right one.

use std::fmt;

use crate::language::Language;
use crate::say;

use super::ShortCode;

/// What went wrong between a label and what was typed; places are counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// One character is another.
    Wrong {
        /// Which.
        place: usize,
        /// What the label has there.
        right: char,
        /// What was typed.
        typed: char,
    },
    /// Two characters changed places.
    Swapped {
        /// The first.
        first: usize,
        /// The other.
        second: usize,
    },
    /// A character was left out.
    Missing {
        /// Which of the label's.
        place: usize,
        /// What the label has there.
        right: char,
    },
    /// A character is one too many.
    Extra {
        /// Which of those typed.
        place: usize,
        /// What was typed.
        typed: char,
    },
    /// Two characters are others.
    Two {
        /// The first.
        first: usize,
        /// The other.
        second: usize,
    },
}

impl fmt::Display for Slip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

impl Slip {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Wrong {
                place,
                right,
                typed,
            } => say!(
                language,
                "its character {place} is {right}, not {typed}",
                place = place,
                right = right,
                typed = typed
            ),
            Self::Swapped { first, second } => {
                say!(
                    language,
                    "its characters {first} and {second} have changed places",
                    first = first,
                    second = second
                )
            }
            Self::Missing { place, right } => {
                say!(
                    language,
                    "its character {place}, {right}, was left out",
                    place = place,
                    right = right
                )
            }
            Self::Extra { place, typed } => {
                say!(
                    language,
                    "the {typed} typed as character {place} is one too many",
                    typed = typed,
                    place = place
                )
            }
            Self::Two { first, second } => {
                say!(
                    language,
                    "its characters {first} and {second} differ",
                    first = first,
                    second = second
                )
            }
        }
    }
}

/// The one slip by which `typed` came from `code`; `None` when it takes more, or none.
pub(super) fn slip(typed: &[char], code: ShortCode) -> Option<Slip> {
    let right: Vec<char> = code.signs().collect();
    if typed.len() == right.len() {
        let unlike: Vec<usize> = (0..right.len())
            .filter(|&at| typed[at] != right[at])
            .collect();
        return match *unlike.as_slice() {
            [at] => Some(Slip::Wrong {
                place: at + 1,
                right: right[at],
                typed: typed[at],
            }),
            [a, b] if typed[a] == right[b] && typed[b] == right[a] => Some(Slip::Swapped {
                first: a + 1,
                second: b + 1,
            }),
            [a, b] => Some(Slip::Two {
                first: a + 1,
                second: b + 1,
            }),
            _ => None,
        };
    }
    let without = |signs: &[char], at: usize| {
        let mut signs = signs.to_vec();
        signs.remove(at);
        signs
    };
    if typed.len() + 1 == right.len() {
        return (0..right.len())
            .find(|&at| without(&right, at) == typed)
            .map(|at| Slip::Missing {
                place: at + 1,
                right: right[at],
            });
    }
    if typed.len() == right.len() + 1 {
        return (0..typed.len())
            .find(|&at| without(typed, at) == right)
            .map(|at| Slip::Extra {
                place: at + 1,
                typed: typed[at],
            });
    }
    None
}

#[cfg(test)]
mod tests {
    use uuid::Uuid;

    use super::*;
    use crate::survey::Id;

    #[test]
    fn each_slip_is_named() {
        // 0000-001A, by hand in the tests of the short code.
        let code = ShortCode::of(Id::from_uuid(Uuid::from_u128(1)));
        let said = |typed: &str| {
            let typed: Vec<char> = typed.chars().collect();
            slip(&typed, code).map(|slip| slip.to_string())
        };
        assert_eq!(
            said("0000001C").as_deref(),
            Some("its character 8 is A, not C")
        );
        assert_eq!(
            said("000000A1").as_deref(),
            Some("its characters 7 and 8 have changed places")
        );
        assert_eq!(
            said("000000A").as_deref(),
            Some("its character 7, 1, was left out")
        );
        assert_eq!(
            said("0000001AX").as_deref(),
            Some("the X typed as character 9 is one too many")
        );
        assert_eq!(
            said("K000001C").as_deref(),
            Some("its characters 1 and 8 differ")
        );
        assert_eq!(said("0000001A"), None);
        assert_eq!(said("KKKK001A"), None);
        assert_eq!(said(""), None);
    }
}
