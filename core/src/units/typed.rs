//! Reads what people type as quantities, and asks instead of guessing.

use super::choice::{
    DensityUnit, FieldUnit, ForceUnit, LengthUnit, MassUnit, RatioUnit, ThicknessUnit,
};
use super::entered::Entered;
use super::error::{QuantityKind, TypedError};
use super::number::{DecimalMark, Exact, Reading};
use super::pair::Paired;
use super::quantity::{Density, Force, Length, Mass, Ratio, Thickness};
use super::symbol::{Symbol, Typable};
use super::tokens::{Number, Token, cut, short};

/// How a field is typed: the decimal mark of the person and the unit of a bare number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Typing<U> {
    /// The mark between whole and decimal digits. The other mark is read too; a text that would
    /// mean something else with it is asked about.
    pub decimal: DecimalMark,
    /// The unit of a number without one.
    pub unit: U,
}

impl<U> Typing<U> {
    /// A field in `unit`, typed with `decimal`.
    #[must_use]
    pub const fn new(decimal: DecimalMark, unit: U) -> Self {
        Self { decimal, unit }
    }
}

macro_rules! parsers {
    ($( $(#[$doc:meta])* $name:ident: $quantity:ty, $unit:ty; )+) => { $(
        $(#[$doc])*
        ///
        /// # Errors
        /// [`TypedError`] says what is wrong with the text and what to type instead.
        pub fn $name(text: &str, typing: &Typing<$unit>) -> Result<Entered<$quantity>, TypedError> {
            let field = Field {
                decimal: typing.decimal,
                bare: typing.unit.bare().map_or(Bare::Fraction, Bare::Unit),
                pair: typing.unit.takes_pair(),
                unit: typing.unit.symbol(),
            };
            parse(text, field)
        }
    )+ };
}

parsers! {
    /// Reads a force: `12-6`, `12 lb 6`, `12.4`, `55 N`, `5.6 kgf`.
    parse_force: Force, ForceUnit;
    /// Reads a mass: `12-6`, `6 oz`, `38.2 lb`, `17.3 kg`, `170 g`.
    parse_mass: Mass, MassUnit;
    /// Reads a length: `48`, `48"`, `5' 4"`, `3 1/2 in`, `1200 mm`.
    parse_length: Length, LengthUnit;
    /// Reads a film thickness: `80 ga`, `0.8 mil`, `20 µm`.
    parse_thickness: Thickness, ThicknessUnit;
    /// Reads a ratio: `250 %`, or `250` in a field of percentages.
    parse_ratio: Ratio, RatioUnit;
    /// Reads a density: `0.918`, `918 kg/m3`.
    parse_density: Density, DensityUnit;
}

/// Reads a percentage: `250 %` or `250`.
///
/// # Errors
/// [`TypedError`] says what is wrong with the text and what to type instead.
pub fn parse_percent(text: &str, decimal: DecimalMark) -> Result<Entered<Ratio>, TypedError> {
    parse_ratio(text, &Typing::new(decimal, RatioUnit::Percent))
}

/// Reads a number without a unit, zero or more.
///
/// # Errors
/// [`TypedError`] says what is wrong with the text and what to type instead.
pub fn parse_number(text: &str, decimal: DecimalMark) -> Result<f64, TypedError> {
    lone_number(text, decimal, None).map(|(exact, _)| exact.value())
}

/// Reads a count: a whole number without a unit, zero or more.
///
/// # Errors
/// [`TypedError`] says what is wrong with the text and what to type instead.
pub fn parse_count(text: &str, decimal: DecimalMark) -> Result<u32, TypedError> {
    let (exact, part) = lone_number(text, decimal, None)?;
    if !exact.is_whole() {
        return Err(TypedError::NotWhole { part });
    }
    u32::try_from(exact.top / exact.bottom).map_err(|_| TypedError::TooLarge {
        part,
        limit: u32::MAX,
    })
}

/// Reads a number of turns, zero or more, in whole quarters: `3`, `16.75`, `2 1/4`, `5 turns`.
///
/// # Errors
/// [`TypedError`] says what is wrong with the text and what to type instead.
pub fn parse_turns(text: &str, decimal: DecimalMark) -> Result<f64, TypedError> {
    let (exact, part) = lone_number(text, decimal, Some(Symbol::Turn))?;
    if !(exact.top * 4).is_multiple_of(exact.bottom) {
        return Err(TypedError::NotQuarterTurns { part });
    }
    Ok(exact.value())
}

/// Reads a kept text: as typed, but a unit must stand in it (except in a plain ratio).
pub(super) fn read_kept<Q: Typable>(text: &str) -> Result<Entered<Q>, TypedError> {
    let bare = if Q::KIND == QuantityKind::Ratio {
        Bare::Fraction
    } else {
        Bare::Refused
    };
    let with = |decimal| {
        let field = Field {
            decimal,
            bare,
            pair: false,
            unit: "",
        };
        parse(text, field)
    };
    // What is asked about or refused with a point may have one meaning with a comma.
    with(DecimalMark::Point).or_else(|error| with(DecimalMark::Comma).map_err(|_| error))
}

/// What a number without a unit is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Bare {
    Unit(Symbol),
    Fraction,
    Refused,
}

#[derive(Clone, Copy)]
pub(super) struct Field {
    pub(super) decimal: DecimalMark,
    bare: Bare,
    /// Whether two numbers joined by a dash are a pair.
    pub(super) pair: bool,
    /// How messages name the field's unit.
    unit: &'static str,
}

/// One number with the unit after it.
pub(super) struct Item {
    pub(super) number: Number,
    pub(super) unit: Option<Symbol>,
    /// A dash stands before it.
    pub(super) dashed: bool,
}

impl Item {
    fn shown(&self) -> String {
        match self.unit {
            Some(unit) => format!("{} {}", self.number.text, unit.text()),
            None => self.number.text.clone(),
        }
    }
}

/// Puts each number with its unit; at least one item comes back.
fn items(text: &str, decimal: DecimalMark) -> Result<Vec<Item>, TypedError> {
    let mut items: Vec<Item> = Vec::new();
    let mut dash = false;
    for token in cut(text, decimal)? {
        match token {
            Token::Dash if dash => {
                return Err(TypedError::NotUnderstood {
                    part: "-".to_owned(),
                });
            }
            Token::Dash => dash = true,
            Token::Number(number) => {
                if dash && items.is_empty() {
                    return Err(TypedError::Negative {
                        part: short(&number.text),
                    });
                }
                items.push(Item {
                    number,
                    unit: None,
                    dashed: dash,
                });
                dash = false;
            }
            Token::Unit(unit, typed) => match items.last_mut() {
                Some(item) if item.unit.is_none() && !dash => item.unit = Some(unit),
                Some(_) => {
                    return Err(TypedError::NotUnderstood {
                        part: short(&typed),
                    });
                }
                None => {
                    return Err(TypedError::NoNumber {
                        part: short(&typed),
                    });
                }
            },
        }
    }
    if dash {
        return Err(TypedError::NotUnderstood {
            part: "-".to_owned(),
        });
    }
    if items.is_empty() {
        return Err(TypedError::Blank);
    }
    Ok(items)
}

fn more_than_one(items: &[Item]) -> TypedError {
    let shown = |index: usize| {
        items
            .get(index)
            .map_or_else(String::new, |i| short(&i.shown()))
    };
    TypedError::MoreThanOne {
        first: shown(0),
        second: shown(1),
    }
}

/// The exact number, or the question which of two it is, with the unit behind it.
fn settled(number: &Number, unit: &str) -> Result<Exact, TypedError> {
    match &number.reading {
        Reading::Plain(exact) => Ok(*exact),
        Reading::Either {
            as_thousands,
            as_decimal,
            ..
        } => Err(TypedError::Ambiguous {
            as_thousands: format!("{as_thousands} {unit}").trim().to_owned(),
            as_decimal: format!("{as_decimal} {unit}").trim().to_owned(),
        }),
    }
}

fn lone_number(
    text: &str,
    decimal: DecimalMark,
    takes: Option<Symbol>,
) -> Result<(Exact, String), TypedError> {
    let items = items(text, decimal)?;
    if let Some(unit) = items
        .iter()
        .filter_map(|item| item.unit)
        .find(|u| Some(*u) != takes)
    {
        return Err(TypedError::UnitNotWanted {
            unit: unit.text(),
            measures: unit.measures(),
        });
    }
    let [item] = items.as_slice() else {
        return Err(more_than_one(&items));
    };
    if item.number.dashed {
        return Err(TypedError::NotUnderstood {
            part: short(&item.number.text),
        });
    }
    Ok((settled(&item.number, "")?, short(&item.number.text)))
}

fn parse<Q: Typable>(text: &str, field: Field) -> Result<Entered<Q>, TypedError> {
    let items = items(text, field.decimal)?;
    let foreign = |unit: &Symbol| Q::of(*unit, 0.0).is_none();
    if let Some(unit) = items.iter().filter_map(|item| item.unit).find(foreign) {
        return Err(wrong_unit::<Q>(unit));
    }
    match items.as_slice() {
        [item] => single(item, field),
        [big, small] => {
            if let Some(found) = Paired::find(big, small, Q::PAIR, field) {
                return found.read(field.decimal);
            }
            let bare = big.unit.is_none() && small.unit.is_none();
            if !(small.dashed && bare && Q::PAIR.is_some()) {
                return Err(more_than_one(&items));
            }
            let part = short(&format!("{}-{}", big.number.text, small.number.text));
            Err(if field.bare == Bare::Refused {
                TypedError::UnitMissing {
                    part,
                    accepted: Q::ACCEPTED,
                }
            } else {
                TypedError::PairNotHere {
                    part,
                    unit: field.unit,
                }
            })
        }
        _ => Err(more_than_one(&items)),
    }
}

pub(super) fn wrong_unit<Q: Typable>(unit: Symbol) -> TypedError {
    TypedError::WrongUnit {
        unit: unit.text(),
        measures: unit.measures(),
        wanted: Q::KIND,
        accepted: Q::ACCEPTED,
    }
}

fn single<Q: Typable>(item: &Item, field: Field) -> Result<Entered<Q>, TypedError> {
    let number = &item.number;
    let unit = match (item.unit, field.bare) {
        (Some(unit), _) | (None, Bare::Unit(unit)) => Some(unit),
        (None, Bare::Fraction) => None,
        (None, Bare::Refused) => {
            return Err(TypedError::UnitMissing {
                part: short(&number.text),
                accepted: Q::ACCEPTED,
            });
        }
    };
    // `3-1/2` is 3½ of inches, but of pounds or feet it could be a pair.
    if number.dashed && unit != Some(Symbol::In) {
        return Err(TypedError::NotUnderstood {
            part: short(&number.text),
        });
    }
    let value = settled(number, unit.map_or("", Symbol::text))?.value();
    match unit {
        None => Ok(Entered {
            value: Q::from_stored(value)?,
            text: number.text.clone(),
        }),
        Some(unit) => {
            let made = Q::of(unit, value).ok_or_else(|| wrong_unit::<Q>(unit))?;
            Ok(Entered {
                value: made?,
                text: format!("{} {}", number.text, unit.text()),
            })
        }
    }
}
