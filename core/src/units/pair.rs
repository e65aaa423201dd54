//! Values in two units, such as pounds and ounces or feet and inches.

use super::entered::Entered;
use super::error::TypedError;
use super::number::{DecimalMark, Exact};
use super::symbol::{Pair, Symbol, Typable};
use super::tokens::{Number, short};
use super::typed::{Field, Item, wrong_unit};

/// Two items that are one value in two units.
pub(super) struct Paired<'a> {
    big: (&'a Number, Symbol),
    small: (&'a Number, Symbol),
    per: u32,
}

impl<'a> Paired<'a> {
    /// The two as a pair, if that is what they are in such a field.
    pub(super) fn find(
        big: &'a Item,
        small: &'a Item,
        pair: Option<Pair>,
        field: Field,
    ) -> Option<Self> {
        let pair = pair?;
        let bare = big.unit.is_none() && small.unit.is_none() && small.dashed && field.pair;
        let units = big.unit.is_some_and(|unit| pair.big.contains(&unit))
            && small.unit.is_none_or(|unit| pair.small.contains(&unit));
        if !(bare || units) || big.number.dashed || small.number.dashed {
            return None;
        }
        let big_unit = big.unit.unwrap_or(pair.big[0]);
        // After pounds-force come ounces-force.
        let same = pair.big.iter().position(|unit| *unit == big_unit);
        let small_unit = small
            .unit
            .or_else(|| pair.small.get(same.unwrap_or(0)).copied())
            .unwrap_or(pair.small[0]);
        Some(Self {
            big: (&big.number, big_unit),
            small: (&small.number, small_unit),
            per: pair.per,
        })
    }

    /// The value, summed exactly in the smaller unit before it becomes a quantity.
    pub(super) fn read<Q: Typable>(&self, decimal: DecimalMark) -> Result<Entered<Q>, TypedError> {
        let ((big, big_unit), (small, small_unit)) = (self.big, self.small);
        let (big_text, small_text) = (big_unit.text(), small_unit.text());
        let rest = format!("{big_text} {} {small_text}", small.text);
        // Only whole larger units have smaller ones beside them, and never a thousand: there is
        // no need to ask which of two numbers is meant.
        let (whole, part) = (big.reading.thousands(), small.reading.decimals());
        if whole.bottom != 1 {
            return Err(TypedError::FractionWithPart {
                big: short(&big.text),
                big_unit: big_text,
                small: short(&small.text),
                small_unit: small_text,
            });
        }
        let text = format!("{} {rest}", big.text);
        let total = whole.times_plus(self.per, part);
        if part.top >= u128::from(self.per) * part.bottom {
            let per = u128::from(self.per) * total.bottom;
            let left = Exact {
                top: total.top % per,
                bottom: total.bottom,
            };
            let carried = total.top / per;
            return Err(TypedError::PartTooBig {
                typed: short(&text),
                small_unit: small_text,
                limit: self.per,
                carried: format!("{carried} {big_text} {} {small_text}", left.text(decimal)),
                all_small: format!("{} {small_text}", total.text(decimal)),
            });
        }
        let made = Q::of(small_unit, total.value()).ok_or_else(|| wrong_unit::<Q>(small_unit))?;
        Ok(Entered { value: made?, text })
    }
}
