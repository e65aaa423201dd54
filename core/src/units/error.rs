//! What can be wrong with a quantity or with a typed text, said in plain words.
//!
//! Every variant carries its parts as fields, so that the same message can be written in another
//! language without taking the English text apart.

use crate::language::{Language, Word};
use crate::say;
use crate::word;
use serde::{Deserialize, Serialize};
use thiserror::Error;

/// What a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum QuantityKind {
    /// How much matter, as a scale reads it: kg, lb.
    Mass,
    /// How hard something pulls or pushes: N, lbf.
    Force,
    /// A distance: m, in.
    Length,
    /// How thick a film is: µm, mil, gauge.
    Thickness,
    /// One thing compared with another: a fraction or a percentage.
    Ratio,
    /// Mass for each volume: kg/m³, g/cm³.
    Density,
    /// Full or part turns of a load or a turntable.
    Turns,
    /// A number without a unit.
    Number,
}

impl QuantityKind {
    /// The word for it, as it stands in a sentence.
    #[must_use]
    pub const fn word(self) -> Word {
        match self {
            Self::Mass => word!(ctx: "quantity", "weight (mass)"),
            Self::Force => word!(ctx: "quantity", "force"),
            Self::Length => word!(ctx: "quantity", "length"),
            Self::Thickness => word!(ctx: "quantity", "film thickness"),
            Self::Ratio => word!(ctx: "quantity", "percentage"),
            Self::Density => word!(ctx: "quantity", "density"),
            Self::Turns => word!(ctx: "quantity", "turns"),
            Self::Number => word!(ctx: "quantity", "plain number"),
        }
    }
}

impl QuantityKind {
    fn said(self, language: Language) -> &'static str {
        self.word().said(language)
    }
}

impl std::fmt::Display for QuantityKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.said(Language::English))
    }
}

/// Why a number cannot be a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("{}", self.said(Language::English))]
pub enum QuantityError {
    /// The number is NaN or infinite.
    NotFinite {
        /// The quantity asked for.
        kind: QuantityKind,
        /// The number refused.
        value: f64,
    },
    /// The number is below zero and the quantity cannot be.
    Negative {
        /// The quantity asked for.
        kind: QuantityKind,
        /// The number refused, in the unit of the constructor.
        value: f64,
    },
}

impl QuantityError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::NotFinite { kind, value } => say!(
                language,
                "this {kind} is not a finite number ({value}); measure or type it again",
                kind = kind.said(language),
                value = value
            ),
            Self::Negative { kind, value } => say!(
                language,
                "a {kind} cannot be below zero ({value}); measure or type it again",
                kind = kind.said(language),
                value = value
            ),
        }
    }
}

/// Why a typed text cannot be read as the value a field wants.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{}", self.said(Language::English))]
pub enum TypedError {
    /// Nothing, or only spaces, was typed. Blank is never taken as zero.
    Blank,
    /// The text is far longer than any value.
    TooLong {
        /// How many characters there are.
        chars: usize,
        /// The most that are read.
        limit: usize,
    },
    /// A part that is neither a number nor a known unit.
    NotUnderstood {
        /// The part, shortened if it is long.
        part: String,
    },
    /// A unit stands there without a number.
    NoNumber {
        /// The unit that stands alone.
        part: String,
    },
    /// Digits and marks that make no number, such as `1..2` or `1/0`.
    BadNumber {
        /// The digits and marks as typed.
        part: String,
    },
    /// More digits than any measurement has.
    TooManyDigits {
        /// The number as typed, shortened if it is long.
        part: String,
        /// The most digits that are read.
        limit: usize,
    },
    /// A minus sign before a value that cannot be below zero.
    Negative {
        /// The number after the minus sign.
        part: String,
    },
    /// Two values where one is wanted.
    MoreThanOne {
        /// The first value.
        first: String,
        /// The second value.
        second: String,
    },
    /// A unit of some other quantity.
    WrongUnit {
        /// The unit as it was understood.
        unit: &'static str,
        /// What that unit measures.
        measures: QuantityKind,
        /// What the field wants.
        wanted: QuantityKind,
        /// The units the field takes.
        accepted: &'static [&'static str],
    },
    /// A unit where only a bare number belongs.
    UnitNotWanted {
        /// The unit as it was understood.
        unit: &'static str,
        /// What that unit measures.
        measures: QuantityKind,
    },
    /// A stored text without its unit.
    UnitMissing {
        /// The number as it stands.
        part: String,
        /// The units that could follow it.
        accepted: &'static [&'static str],
    },
    /// The smaller part of a pair is a whole larger unit or more: `7 lb 16 oz`, `5 ft 12 in`.
    PartTooBig {
        /// The pair as it was understood, `7 lb 16 oz`.
        typed: String,
        /// The smaller unit, `oz` or `in`.
        small_unit: &'static str,
        /// How many of the smaller unit make one of the larger.
        limit: u32,
        /// The same value with whole larger units carried over: `8 lb 0 oz`.
        carried: String,
        /// The same value in the smaller unit alone: `128 oz`.
        all_small: String,
    },
    /// A part of a larger unit with the smaller unit beside it: `7.8-3`, `7.8 lb 3 oz`.
    FractionWithPart {
        /// The number of larger units as typed.
        big: String,
        /// The larger unit, `lb` or `ft`.
        big_unit: &'static str,
        /// The number of smaller units as typed.
        small: String,
        /// The smaller unit, `oz` or `in`.
        small_unit: &'static str,
    },
    /// A pair joined by a dash where the field has no pair of units.
    PairNotHere {
        /// The pair as typed.
        part: String,
        /// The unit of the field.
        unit: &'static str,
    },
    /// A separator and three digits: it may group thousands or be the decimal mark.
    Ambiguous {
        /// The text to read instead if the separator groups thousands.
        as_thousands: String,
        /// The text to read instead if the separator is the decimal mark.
        as_decimal: String,
    },
    /// A count with a fraction.
    NotWhole {
        /// The number as typed.
        part: String,
    },
    /// Turns that are no whole number of quarter turns.
    NotQuarterTurns {
        /// The number as typed.
        part: String,
    },
    /// A count larger than can be counted by hand.
    TooLarge {
        /// The number as typed.
        part: String,
        /// The largest count taken.
        limit: u32,
    },
    /// The number is read but cannot be that quantity.
    Quantity(#[from] QuantityError),
}

impl TypedError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Blank => say!(
                language,
                "nothing is typed yet; type a value, or 0 if you measured zero"
            ),
            Self::TooLong { chars, limit } => say!(
                language,
                "{chars} characters are too many for one value (at most {limit}); clear it and type only the value",
                chars = chars,
                limit = limit
            ),
            Self::NotUnderstood { part } => say!(
                language,
                "“{part}” is not understood here; type only a number and its unit",
                part = part
            ),
            Self::NoNumber { part } => say!(
                language,
                "there is no number before “{part}”; type the number first",
                part = part
            ),
            Self::BadNumber { part } => say!(
                language,
                "“{part}” is not a number; use digits and one decimal mark, such as 12.4 or 12,4",
                part = part
            ),
            Self::TooManyDigits { part, limit } => say!(
                language,
                "“{part}” has too many digits (at most {limit}); round it and type it again",
                part = part,
                limit = limit
            ),
            Self::Negative { part } => say!(
                language,
                "−{part} is below zero; a measured value is zero or more, so leave out the minus",
                part = part
            ),
            Self::MoreThanOne { first, second } => say!(
                language,
                "there is more than one value here ({first}, then {second}); type one value at a time, with its unit",
                first = first,
                second = second
            ),
            Self::WrongUnit {
                unit,
                measures,
                wanted,
                accepted,
            } => say!(
                language,
                "{unit} measures {measures}, and this field wants a {wanted}; use {accepted}",
                unit = unit,
                measures = measures.said(language),
                wanted = wanted.said(language),
                accepted = list(accepted, language)
            ),
            Self::UnitNotWanted { unit, measures } => say!(
                language,
                "{unit} measures {measures}, and this field wants a number alone; leave out the unit",
                unit = unit,
                measures = measures.said(language)
            ),
            Self::UnitMissing { part, accepted } => say!(
                language,
                "“{part}” has no unit; write one of {accepted}",
                part = part,
                accepted = list(accepted, language)
            ),
            Self::PartTooBig {
                typed,
                small_unit,
                limit,
                carried,
                all_small,
            } => say!(
                language,
                "{typed}: the {small_unit} part must be less than {limit}; write {carried} or {all_small} if you mean that much in all, or else read it again",
                typed = typed,
                small_unit = small_unit,
                limit = limit,
                carried = carried,
                all_small = all_small
            ),
            Self::FractionWithPart {
                big,
                big_unit,
                small,
                small_unit,
            } => say!(
                language,
                "{big} {big_unit} has a fraction and {small} {small_unit} beside it; type either whole {big_unit} with {small_unit}, or {big_unit} with a fraction alone",
                big = big,
                big_unit = big_unit,
                small = small,
                small_unit = small_unit
            ),
            Self::PairNotHere { part, unit } => say!(
                language,
                "“{part}” has two numbers with a dash, and this field is in {unit}; type one number, or write both units out",
                part = part,
                unit = unit
            ),
            Self::Ambiguous {
                as_thousands,
                as_decimal,
            } => say!(
                language,
                "do you mean {as_thousands} or {as_decimal}? Choose one",
                as_thousands = as_thousands,
                as_decimal = as_decimal
            ),
            Self::NotWhole { part } => say!(
                language,
                "“{part}” is not a whole number; this field counts, so type 0, 1, 2, ...",
                part = part
            ),
            Self::NotQuarterTurns { part } => say!(
                language,
                "“{part}” is not a number of quarter turns; type turns such as 3, 3.25, 3.5 or 3.75",
                part = part
            ),
            Self::TooLarge { part, limit } => say!(
                language,
                "{part} is too large a count (at most {limit}); check it and type it again",
                part = part,
                limit = limit
            ),
            Self::Quantity(error) => error.said(language),
        }
    }
}

/// `a, b or c`.
fn list(units: &[&str], language: Language) -> String {
    match units {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => say!(
            language,
            "{units} or {last}",
            units = first.join(", "),
            last = last
        ),
    }
}
