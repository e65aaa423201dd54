//! From a typed code to samples, and what to say when it leads to none.

use std::fmt;

use super::near::{Slip, slip};
use super::short::lenient;
use super::{
    CodeError, LabelCode, Lookup, SampleFacts, ShortCode, ShortCodeError, look_up, sample_facts,
};
use crate::book::{Book, BookError, Which};
use crate::survey::Sample;

/// Samples offered in place of a mistyped code, at most.
const MOST_NEAR: usize = 5;

/// A sample in the book whose short code is nearly what was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NearMiss {
    /// Its short code.
    pub code: ShortCode,
    /// How what was typed differs.
    pub slip: Slip,
    /// The sample.
    pub sample: SampleFacts,
}

/// `7K2M-4QXD, 2026-03-04, Harrow Tile, Kiln Lane: its character 3 is 2, not 7`.
impl fmt::Display for NearMiss {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}: {}", self.code, self.sample, self.slip)
    }
}

/// What a typed code led to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Typed {
    /// The samples in the book that have this code, latest first. With more than one a person has to
    /// choose by date and place.
    Here(Vec<SampleFacts>),
    /// The code is right in itself, but no sample in this book has it.
    Elsewhere {
        /// The code.
        code: ShortCode,
        /// Samples here whose code is nearly the same, likeliest first: the check misses one slip of
        /// more than one character in 29.
        near: Vec<NearMiss>,
    },
    /// It is no short code.
    Mistyped {
        /// Why.
        why: ShortCodeError,
        /// Samples here whose code is nearly the same, likeliest first.
        near: Vec<NearMiss>,
    },
    /// The text of a square code, as a scanner that acts as a keyboard types it, for a sample that
    /// is not in this book.
    Scanned(Lookup),
    /// The text of a square code that is no label's.
    Refused(CodeError),
}

impl fmt::Display for Typed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Here(samples) => match samples.as_slice() {
                [one] => write!(f, "{one}"),
                several => write!(
                    f,
                    "{} samples have this code: choose by date and place",
                    several.len()
                ),
            },
            Self::Elsewhere { code, near } => {
                write!(
                    f,
                    "no sample here has the code {code}: its label was made on another device. \
                     Bring in the day file with its visit, then type the code again"
                )?;
                offered(near, f)
            }
            Self::Mistyped { why, near } => {
                write!(f, "{why}")?;
                offered(near, f)
            }
            Self::Scanned(lookup) => write!(f, "{lookup}"),
            Self::Refused(why) => write!(f, "{why}"),
        }
    }
}

fn offered(near: &[NearMiss], f: &mut fmt::Formatter<'_>) -> fmt::Result {
    match near {
        [] => Ok(()),
        [one] => write!(f, ". Or is it {one}?"),
        several => write!(f, ". Or is it one of these {}?", several.len()),
    }
}

/// What a person typed, or a scanner that acts as a keyboard: a short code, or all that a square
/// code says.
///
/// # Errors
/// The store's errors.
pub fn look_up_typed(book: &Book, typed: &str) -> Result<Typed, BookError> {
    let trimmed = typed.trim();
    if trimmed.contains(':') {
        return Ok(match LabelCode::parse(&trimmed.to_ascii_uppercase()) {
            Ok(code) => match look_up(book, code)? {
                Lookup::Here(sample) => Typed::Here(vec![*sample]),
                elsewhere @ Lookup::Elsewhere { .. } => Typed::Scanned(elsewhere),
            },
            Err(why) => Typed::Refused(why),
        });
    }
    match ShortCode::parse(trimmed) {
        Ok(code) => {
            let found = super::look_up_short(book, code)?;
            if found.is_empty() {
                let near = near(book, trimmed)?;
                return Ok(Typed::Elsewhere { code, near });
            }
            Ok(Typed::Here(found))
        }
        Err(why) => Ok(Typed::Mistyped {
            why,
            near: near(book, trimmed)?,
        }),
    }
}

/// Samples whose short code is one slip away: first the commonest slips, then the latest samples.
fn near(book: &Book, typed: &str) -> Result<Vec<NearMiss>, BookError> {
    let signs = lenient(typed);
    let mut found: Vec<_> = book
        .all_which::<Sample>(Which::All)?
        .into_iter()
        .filter_map(|sample| {
            let code = ShortCode::of(sample.id);
            Some((code, slip(&signs, code)?, sample.id))
        })
        .collect();
    let two = |slip: &Slip| matches!(slip, Slip::Two { .. });
    found.sort_by_key(|(_, slip, id)| (two(slip), std::cmp::Reverse(*id)));
    found.truncate(MOST_NEAR);
    found
        .into_iter()
        .map(|(code, slip, id)| {
            Ok(NearMiss {
                code,
                slip,
                sample: sample_facts(book, id)?,
            })
        })
        .collect()
}
