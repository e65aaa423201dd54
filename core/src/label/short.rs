//! The short code of a label: eight characters to type when the square code is torn.

use std::fmt;

use thiserror::Error;

use crate::language::Language;
use crate::say;
use crate::survey::{Id, Sample};

/// The 29 signs, each worth its place. Left out are those taken for another when read or said in a
/// hall: I and L (1), O (0), Z (2), S (5), B (8) and U (V).
const SIGNS: &[u8; 29] = b"0123456789ACDEFGHJKMNPQRTVWXY";
/// How many there are: a prime, so that the numbers below it are a field.
const PRIME: u32 = 29;
/// Signs in all: seven for the sample, then the check.
const LENGTH: usize = 8;
/// Codes without their check: 29 to the power of 7.
const CODES: u128 = 17_249_876_309;

/// The short code of a sample: seven characters that follow from its id, and a check.
///
/// The seven write the id, taken as a number of 128 bits, modulo 29^7, in base 29. An id made by a
/// book ends in 40 random bits, so that two samples of one book have the same short code about once
/// in 17 thousand million pairs; with a thousand samples the chance that any two share theirs is one
/// in 35,000 (n²/2 over 29^7). [`ShortCode::matches`] finds all that do, for a person to choose.
///
/// **Check.** Written s1 to s8, the eight satisfy 1·s1 + 2·s2 + ... + 8·s8 = 0 modulo 29. 29 is
/// prime, so a product of two numbers that are not multiples of it is no multiple either. One wrong
/// character at place i changes the sum by i·(wrong − right), and two characters that changed places
/// i and k change it by (i − k)·(sk − si): neither is a multiple of 29, as both factors lie strictly
/// between −29 and 29 and are not 0. So any one wrong character and any swap of two unlike
/// characters, neighbours or not, are found. Of all other slips one in 29 is missed.
///
/// ISO/IEC 7064 MOD 37,36 was not taken: as a hybrid system it misses some swaps of neighbours.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShortCode([u8; LENGTH]);

/// Why a typed text is not a short code.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum ShortCodeError {
    /// Too few or too many characters.
    Length {
        /// How many there are, spaces and hyphens left out.
        found: usize,
    },
    /// A character that no short code has.
    Character {
        /// The character.
        found: char,
    },
    /// The check is wrong.
    Check,
}

impl ShortCodeError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Length { found } => say!(
                language,
                "a short code has eight characters, this has {found}: type those under the square code",
                found = found
            ),
            Self::Character { found } => say!(
                language,
                "'{found}' is in no short code: look at that character again",
                found = found
            ),
            Self::Check => say!(
                language,
                "one of these characters is wrong, or two have changed places: compare them with the label and type it again"
            ),
        }
    }
}

impl ShortCode {
    /// The short code of a sample.
    #[must_use]
    pub fn of(sample: Id<Sample>) -> Self {
        let mut rest = sample.uuid().as_u128() % CODES;
        let mut worth = [0_u32; LENGTH];
        for place in worth[..LENGTH - 1].iter_mut().rev() {
            *place = u32::try_from(rest % u128::from(PRIME)).unwrap_or(0);
            rest /= u128::from(PRIME);
        }
        // 8 times the check and the sum of the others make a multiple of 29; 8 · 11 = 3 · 29 + 1,
        // so 11 undoes the 8.
        let sum = weighted(&worth);
        worth[LENGTH - 1] = (PRIME - sum) % PRIME * 11 % PRIME;
        Self(worth.map(|worth| {
            usize::try_from(worth)
                .ok()
                .and_then(|place| SIGNS.get(place).copied())
                .unwrap_or(b'0')
        }))
    }

    /// Reads what a person typed: small letters count as capitals; I and L as 1, O as 0, Z as 2, S as
    /// 5, B as 8, U as V; spaces and hyphens do not count.
    ///
    /// # Errors
    /// Not eight characters, one that no code has, or a check that is wrong.
    pub fn parse(typed: &str) -> Result<Self, ShortCodeError> {
        let mut worth = [0_u32; LENGTH];
        let mut found = 0;
        for sign in typed.chars().filter(|&sign| !is_gap(sign)) {
            let value = worth_of(sign).ok_or(ShortCodeError::Character { found: sign })?;
            if let Some(place) = worth.get_mut(found) {
                *place = value;
            }
            found += 1;
        }
        if found != LENGTH {
            return Err(ShortCodeError::Length { found });
        }
        if weighted(&worth) != 0 {
            return Err(ShortCodeError::Check);
        }
        Ok(Self(worth.map(|worth| {
            usize::try_from(worth)
                .ok()
                .and_then(|place| SIGNS.get(place).copied())
                .unwrap_or(b'0')
        })))
    }

    /// Its eight signs.
    pub(super) fn signs(self) -> impl Iterator<Item = char> {
        self.0.into_iter().map(char::from)
    }

    /// Whether it is the short code of that sample.
    #[must_use]
    pub fn matches(self, sample: Id<Sample>) -> bool {
        Self::of(sample) == self
    }
}

/// Written in two groups of four, `7K2M-4QXD`.
impl fmt::Display for ShortCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, &sign) in self.0.iter().enumerate() {
            if place == LENGTH / 2 {
                f.write_str("-")?;
            }
            write!(f, "{}", char::from(sign))?;
        }
        Ok(())
    }
}

impl fmt::Debug for ShortCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl std::str::FromStr for ShortCode {
    type Err = ShortCodeError;
    fn from_str(text: &str) -> Result<Self, ShortCodeError> {
        Self::parse(text)
    }
}

/// The sum of place times worth, places counted from 1, modulo 29.
fn weighted(worth: &[u32; LENGTH]) -> u32 {
    (1..)
        .zip(worth)
        .map(|(place, worth)| place * worth)
        .sum::<u32>()
        % PRIME
}

/// Spaces of every kind and dashes of every kind.
fn is_gap(sign: char) -> bool {
    sign.is_whitespace() || matches!(sign, '-' | '_' | '.' | '\u{2010}'..='\u{2015}' | '\u{2212}')
}

/// What a person typed as the signs it stands for, without gaps; those of no code as they are.
pub(super) fn lenient(typed: &str) -> Vec<char> {
    typed
        .chars()
        .filter(|&sign| !is_gap(sign))
        .map(meant)
        .collect()
}

/// The sign of a code that a typed one stands for.
fn meant(sign: char) -> char {
    match sign.to_ascii_uppercase() {
        'I' | 'L' => '1',
        'O' => '0',
        'Z' => '2',
        'S' => '5',
        'B' => '8',
        'U' => 'V',
        other => other,
    }
}

fn worth_of(sign: char) -> Option<u32> {
    let sign = u8::try_from(meant(sign)).ok()?;
    let place = SIGNS.iter().position(|&known| known == sign)?;
    u32::try_from(place).ok()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use uuid::Uuid;

    use super::*;

    fn of(id: u128) -> ShortCode {
        ShortCode::of(Id::from_uuid(Uuid::from_u128(id)))
    }

    #[test]
    fn known_codes() {
        // By hand: 0 is all zeros. 1 is worth 1 at place 7: 7 + 8c = 0 modulo 29 gives c = 17 - 29k;
        // 8 · 10 = 80 = 2 · 29 + 22 = -7, so c = 10, the sign A.
        assert_eq!(of(0).to_string(), "0000-0000");
        assert_eq!(of(1).to_string(), "0000-001A");
        assert_eq!(of(CODES), of(0), "the codes start again");
    }

    #[test]
    fn the_field_is_what_the_proof_says() {
        assert_eq!(SIGNS.len(), 29);
        assert!((2..29).all(|n| 29 % n != 0), "29 is prime");
        assert_eq!(CODES, 29_u128.pow(7));
        let mut sorted = SIGNS.to_vec();
        sorted.dedup();
        assert_eq!(sorted.len(), 29, "no sign twice");
    }

    /// The check is linear: whether an error is found depends on its places and on the worth of
    /// what stood there and stands there now, not on the other characters. So this is every case.
    #[test]
    fn every_single_error_and_every_swap_is_found() {
        for place in 1..=8_u32 {
            for right in 0..PRIME {
                for wrong in (0..PRIME).filter(|&wrong| wrong != right) {
                    assert_ne!((place * (PRIME + wrong - right)) % PRIME, 0);
                }
            }
        }
        // And on a whole code, character by character, through the parser.
        for id in [0, 1, 987_654_321, u128::MAX] {
            let text = of(id).to_string().replace('-', "");
            for place in 0..8 {
                for &sign in SIGNS {
                    let mut wrong = text.clone().into_bytes();
                    wrong[place] = sign;
                    let wrong = String::from_utf8(wrong).unwrap();
                    assert_eq!(ShortCode::parse(&wrong).is_ok(), wrong == text, "{wrong}");
                }
            }
        }
        for a in 0..PRIME {
            for b in (0..PRIME).filter(|&b| b != a) {
                for first in 1..=8_u32 {
                    for second in (1..=8).filter(|&second| second != first) {
                        let before = first * a + second * b;
                        let after = first * b + second * a;
                        assert_ne!(before % PRIME, after % PRIME, "{a} {b} at {first} {second}");
                    }
                }
            }
        }
    }

    #[test]
    fn it_is_typed_leniently() {
        let code = of(0x0198_1234_5678_7abc_8def_0123_4567_89ab);
        let text = code.to_string();
        let typed = [
            text.to_lowercase(),
            text.replace('-', ""),
            text.replace('-', " "),
            format!("  {} ", text.replace('-', " – ")),
            text.replace('1', "l").replace('0', "o").replace('V', "u"),
            text.replace('1', "I")
                .replace('2', "z")
                .replace('5', "S")
                .replace('8', "b"),
        ];
        for typed in typed {
            assert_eq!(ShortCode::parse(&typed), Ok(code), "{typed}");
        }
        assert_eq!(ShortCode::parse("oOoO-ooOO"), Ok(of(0)));
        assert_eq!(ShortCode::parse("oooo-ool4"), Err(ShortCodeError::Check));
        assert_eq!(ShortCode::parse("oooo-ooIa"), Ok(of(1)));
    }

    #[test]
    fn what_is_no_code_is_told_why() {
        assert_eq!(
            ShortCode::parse(""),
            Err(ShortCodeError::Length { found: 0 })
        );
        assert_eq!(
            ShortCode::parse("0000000"),
            Err(ShortCodeError::Length { found: 7 })
        );
        assert_eq!(
            ShortCode::parse("0000-00000"),
            Err(ShortCodeError::Length { found: 9 })
        );
        assert_eq!(
            ShortCode::parse("0000-000É"),
            Err(ShortCodeError::Character { found: 'É' })
        );
        let said = ShortCode::parse("0000000").unwrap_err().to_string();
        assert!(said.contains("eight") && said.contains('7'), "{said}");
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(id: u128) {
            prop_assert_eq!(ShortCode::parse(&of(id).to_string()), Ok(of(id)));
            prop_assert!(of(id).matches(Id::from_uuid(Uuid::from_u128(id))));
        }

        #[test]
        fn a_swap_of_any_two_is_found(id: u128, first in 0_usize..8, second in 0_usize..8) {
            let mut signs = of(id).0;
            prop_assume!(signs[first] != signs[second]);
            signs.swap(first, second);
            let typed = String::from_utf8(signs.to_vec()).unwrap();
            prop_assert_eq!(ShortCode::parse(&typed), Err(ShortCodeError::Check));
        }

        #[test]
        fn any_text_is_read_or_refused(typed in ".{0,20}") {
            let _ = ShortCode::parse(&typed);
        }
    }
}
