//! What can be wrong with a quantity or with a typed text, said in plain words.
//!
//! Every variant carries its parts as fields, so that the same message can be written in another
//! language without taking the English text apart.

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
    /// The English word for it, as it stands in a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Mass => "weight (mass)",
            Self::Force => "force",
            Self::Length => "length",
            Self::Thickness => "film thickness",
            Self::Ratio => "percentage",
            Self::Density => "density",
            Self::Turns => "turns",
            Self::Number => "plain number",
        }
    }
}

impl std::fmt::Display for QuantityKind {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word())
    }
}

/// Why a number cannot be a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum QuantityError {
    /// The number is NaN or infinite.
    #[error("this {kind} is not a finite number ({value}); measure or type it again")]
    NotFinite {
        /// The quantity asked for.
        kind: QuantityKind,
        /// The number refused.
        value: f64,
    },
    /// The number is below zero and the quantity cannot be.
    #[error("a {kind} cannot be below zero ({value}); measure or type it again")]
    Negative {
        /// The quantity asked for.
        kind: QuantityKind,
        /// The number refused, in the unit of the constructor.
        value: f64,
    },
}

/// Why a typed text cannot be read as the value a field wants.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum TypedError {
    /// Nothing, or only spaces, was typed. Blank is never taken as zero.
    #[error("nothing is typed yet; type a value, or 0 if you measured zero")]
    Blank,
    /// The text is far longer than any value.
    #[error(
        "{chars} characters are too many for one value (at most {limit}); clear it and type \
         only the value"
    )]
    TooLong {
        /// How many characters there are.
        chars: usize,
        /// The most that are read.
        limit: usize,
    },
    /// A part that is neither a number nor a known unit.
    #[error("\u{201c}{part}\u{201d} is not understood here; type only a number and its unit")]
    NotUnderstood {
        /// The part, shortened if it is long.
        part: String,
    },
    /// A unit stands there without a number.
    #[error("there is no number before \u{201c}{part}\u{201d}; type the number first")]
    NoNumber {
        /// The unit that stands alone.
        part: String,
    },
    /// Digits and marks that make no number, such as `1..2` or `1/0`.
    #[error(
        "\u{201c}{part}\u{201d} is not a number; use digits and one decimal mark, such as 12.4 \
         or 12,4"
    )]
    BadNumber {
        /// The digits and marks as typed.
        part: String,
    },
    /// More digits than any measurement has.
    #[error(
        "\u{201c}{part}\u{201d} has too many digits (at most {limit}); round it and type it again"
    )]
    TooManyDigits {
        /// The number as typed, shortened if it is long.
        part: String,
        /// The most digits that are read.
        limit: usize,
    },
    /// A minus sign before a value that cannot be below zero.
    #[error(
        "\u{2212}{part} is below zero; a measured value is zero or more, so leave out the minus"
    )]
    Negative {
        /// The number after the minus sign.
        part: String,
    },
    /// Two values where one is wanted.
    #[error(
        "there is more than one value here ({first}, then {second}); type one value at a time, with its unit"
    )]
    MoreThanOne {
        /// The first value.
        first: String,
        /// The second value.
        second: String,
    },
    /// A unit of some other quantity.
    #[error(
        "{unit} measures {measures}, and this field wants a {wanted}; use {}",
        list(accepted)
    )]
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
    #[error("{unit} measures {measures}, and this field wants a number alone; leave out the unit")]
    UnitNotWanted {
        /// The unit as it was understood.
        unit: &'static str,
        /// What that unit measures.
        measures: QuantityKind,
    },
    /// A stored text without its unit.
    #[error("\u{201c}{part}\u{201d} has no unit; write one of {}", list(accepted))]
    UnitMissing {
        /// The number as it stands.
        part: String,
        /// The units that could follow it.
        accepted: &'static [&'static str],
    },
    /// The smaller part of a pair is a whole larger unit or more: `7 lb 16 oz`, `5 ft 12 in`.
    #[error(
        "{typed}: the {small_unit} part must be less than {limit}; write {carried} or {all_small} \
         if you mean that much in all, or else read it again"
    )]
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
    #[error(
        "{big} {big_unit} has a fraction and {small} {small_unit} beside it; type either whole \
         {big_unit} with {small_unit}, or {big_unit} with a fraction alone"
    )]
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
    #[error(
        "\u{201c}{part}\u{201d} has two numbers with a dash, and this field is in {unit}; type one \
         number, or write both units out"
    )]
    PairNotHere {
        /// The pair as typed.
        part: String,
        /// The unit of the field.
        unit: &'static str,
    },
    /// A separator and three digits: it may group thousands or be the decimal mark.
    #[error("do you mean {as_thousands} or {as_decimal}? Choose one")]
    Ambiguous {
        /// The text to read instead if the separator groups thousands.
        as_thousands: String,
        /// The text to read instead if the separator is the decimal mark.
        as_decimal: String,
    },
    /// A count with a fraction.
    #[error(
        "\u{201c}{part}\u{201d} is not a whole number; this field counts, so type 0, 1, 2, ..."
    )]
    NotWhole {
        /// The number as typed.
        part: String,
    },
    /// Turns that are no whole number of quarter turns.
    #[error(
        "\u{201c}{part}\u{201d} is not a number of quarter turns; type turns such as 3, 3.25, 3.5 \
         or 3.75"
    )]
    NotQuarterTurns {
        /// The number as typed.
        part: String,
    },
    /// A count larger than can be counted by hand.
    #[error("{part} is too large a count (at most {limit}); check it and type it again")]
    TooLarge {
        /// The number as typed.
        part: String,
        /// The largest count taken.
        limit: u32,
    },
    /// The number is read but cannot be that quantity.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
}

/// `a, b or c`.
fn list(units: &[&str]) -> String {
    match units {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}
