//! What the square code of a label says: which record of which scheme, with a check of its own.

use crc::{CRC_15_CAN, Crc};
use thiserror::Error;
use uuid::Uuid;

use super::base32;
use crate::language::Language;
use crate::say;
use crate::survey::{Id, Sample};

/// What every label of Tautbook starts with, before the version of the scheme.
const NAME: &str = "TAUT";
/// The scheme written here.
const VERSION: u32 = 1;
/// Between the version and the id.
const COLON: char = ':';
/// Signs of the check: 15 bits.
const CHECK_SIGNS: usize = 3;

/// The check: CRC-15 as in the CAN bus (generator 0x4599, start 0). Besides what the square code
/// corrects by itself, it finds every error of up to 15 bits in a row and all but one in 32,768
/// others.
const CHECK: Crc<u16> = Crc::<u16>::new(&CRC_15_CAN);

/// The code of a label: the id of a kept sample, as its square code says it.
///
/// `TAUT1:`, then the 128-bit id in 26 signs of Crockford's base 32, then three signs of check over
/// all before them. 35 signs, each of QR's alphanumeric mode: exactly what a symbol of version 3
/// holds at correction level H (ISO/IEC 18004, table 7).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LabelCode(Uuid);

/// Why a text is not a label's code.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum CodeError {
    /// It is a code of somebody else.
    NotOurs,
    /// A later Tautbook printed it.
    Newer {
        /// The version found.
        found: u32,
        /// The latest version known here.
        known: u32,
    },
    /// Its check is wrong, or it is not whole.
    Damaged,
}

impl CodeError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::NotOurs => say!(
                language,
                "this is another code, not a label of Tautbook: look for the label beside it"
            ),
            Self::Newer { found, known } => say!(
                language,
                "this label was printed by a newer Tautbook (label version {found}, this one knows {known}): update Tautbook to read it, or type the eight characters of its short code",
                found = found,
                known = known
            ),
            Self::Damaged => say!(
                language,
                "this label was read wrongly or is not whole: try again in better light, or type the eight characters of its short code"
            ),
        }
    }
}

impl LabelCode {
    /// The code for a sample.
    #[must_use]
    pub const fn new(sample: Id<Sample>) -> Self {
        Self(sample.uuid())
    }

    /// The sample it names.
    #[must_use]
    pub const fn sample(self) -> Id<Sample> {
        Id::from_uuid(self.0)
    }

    /// Reads what a square code says. Strict: every code has one spelling.
    ///
    /// # Errors
    /// Somebody else's code, a newer scheme, or one whose check is wrong.
    pub fn parse(text: &str) -> Result<Self, CodeError> {
        let rest = text.strip_prefix(NAME).ok_or(CodeError::NotOurs)?;
        let (version, rest) = rest.split_once(COLON).ok_or(CodeError::NotOurs)?;
        let plain = !version.is_empty()
            && version.len() <= 4
            && !version.starts_with('0')
            && version.bytes().all(|sign| sign.is_ascii_digit());
        let found: u32 = plain
            .then(|| version.parse().ok())
            .flatten()
            .ok_or(CodeError::NotOurs)?;
        if found > VERSION {
            return Err(CodeError::Newer {
                found,
                known: VERSION,
            });
        }
        let (id, check) = rest
            .split_at_checked(base32::ID_SIGNS)
            .ok_or(CodeError::Damaged)?;
        let uuid = base32::read(id).ok_or(CodeError::Damaged)?;
        if check != check_of(&text[..text.len() - check.len()]) {
            return Err(CodeError::Damaged);
        }
        Ok(Self(Uuid::from_u128(uuid)))
    }
}

impl std::fmt::Display for LabelCode {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let id = base32::write::<{ base32::ID_SIGNS }>(self.0.as_u128());
        let start = format!("{NAME}{VERSION}{COLON}{id}");
        let check = check_of(&start);
        write!(f, "{start}{check}")
    }
}

impl std::str::FromStr for LabelCode {
    type Err = CodeError;
    fn from_str(text: &str) -> Result<Self, CodeError> {
        Self::parse(text)
    }
}

fn check_of(start: &str) -> String {
    base32::write::<CHECK_SIGNS>(u128::from(CHECK.checksum(start.as_bytes())))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn code(id: u128) -> LabelCode {
        LabelCode::new(Id::from_uuid(Uuid::from_u128(id)))
    }

    #[test]
    fn the_check_is_the_published_one() {
        // The catalogue of CRC algorithms (reveng.sourceforge.io) gives this check for CRC-15/CAN;
        // from memory.
        assert_eq!(CHECK.checksum(b"123456789"), 0x059e);
    }

    #[test]
    fn a_code_is_thirty_five_signs_of_the_alphanumeric_mode() {
        for id in [0, 1, u128::MAX, 0x017f_22e2_79b0_7cc3_98c4_dc0c_0c07_398f] {
            let text = code(id).to_string();
            assert_eq!(text.len(), 35, "{text}");
            let alphanumeric = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
            assert!(text.bytes().all(|sign| alphanumeric.contains(&sign)));
        }
    }

    #[test]
    fn other_codes_and_newer_ones_are_told_apart() {
        for other in [
            "",
            "https://example.com/TAUT1:",
            "TAUT",
            "TAUT:1",
            "TAUTOLOGY",
            "TAUT01:7ZZZZZZZZZZZZZZZZZZZZZZZZZABC",
            "TAUT+1:7ZZZZZZZZZZZZZZZZZZZZZZZZZABC",
            "taut1:",
            "TAUT99999999999:",
            "(00)340123450000000017",
        ] {
            assert_eq!(LabelCode::parse(other), Err(CodeError::NotOurs), "{other}");
        }
        let newer = LabelCode::parse("TAUT12:ANYTHING AT ALL").unwrap_err();
        assert_eq!(
            newer,
            CodeError::Newer {
                found: 12,
                known: 1
            }
        );
        assert!(newer.to_string().contains("update Tautbook"), "{newer}");
    }

    #[test]
    fn what_is_cut_off_or_lengthened_is_refused() {
        let text = code(0x0198_0000_0000_7000_8000_0000_0000_0001).to_string();
        for end in "TAUT1:".len()..text.len() {
            assert_eq!(LabelCode::parse(&text[..end]), Err(CodeError::Damaged));
        }
        for longer in [format!("{text}0"), format!("{text} "), format!("{text}é")] {
            assert_eq!(LabelCode::parse(&longer), Err(CodeError::Damaged));
        }
        assert_eq!(
            LabelCode::parse("TAUT1:é0000000000000000000000000000"),
            Err(CodeError::Damaged)
        );
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(id: u128) {
            prop_assert_eq!(LabelCode::parse(&code(id).to_string()), Ok(code(id)));
        }

        #[test]
        fn one_wrong_sign_is_never_taken_for_another_sample(id: u128, at in 6_usize..35, sign in 0_usize..45) {
            let signs = b"0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
            let mut text = code(id).to_string().into_bytes();
            prop_assume!(text[at] != signs[sign]);
            text[at] = signs[sign];
            let text = String::from_utf8(text).unwrap();
            prop_assert_eq!(LabelCode::parse(&text), Err(CodeError::Damaged));
        }

        #[test]
        fn any_text_is_read_or_refused(text in "(TAUT[0-9]{0,3}:?)?.{0,40}") {
            if let Ok(code) = LabelCode::parse(&text) {
                prop_assert_eq!(code.to_string(), text);
            }
        }
    }
}
