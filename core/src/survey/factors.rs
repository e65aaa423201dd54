//! What film is worth and what goes with it, each figure with its unit, source and year.

use serde::{Deserialize, Serialize};

use super::ContentError;
use crate::language::Word;
use crate::word;

/// The unit of a factor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FactorUnit {
    /// Money a kilogram of film.
    MoneyPerKilogram,
    /// Money a pound of film.
    MoneyPerPound,
    /// Money a roll.
    MoneyPerRoll,
    /// Money a tonne (1000 kg) of film.
    MoneyPerTonne,
    /// Money an hour.
    MoneyPerHour,
    /// Minutes each time.
    Minutes,
    /// Kilograms of carbon dioxide equivalent a kilogram of film.
    KilogramsCo2ePerKilogram,
    /// Part of one.
    Fraction,
}

/// A figure from somewhere else, to be shown with where it is from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Factor {
    /// The figure, zero or more.
    pub value: f64,
    /// Its unit.
    pub unit: FactorUnit,
    /// Where it is from: a publication, the customer, a clock.
    #[serde(default)]
    pub source: String,
    /// The year it holds for, where it changes by the year.
    #[serde(default)]
    pub year: Option<u16>,
}

impl Factor {
    /// A figure with its source.
    #[must_use]
    pub fn new(value: f64, unit: FactorUnit, source: impl Into<String>, year: Option<u16>) -> Self {
        Self {
            value,
            unit,
            source: source.into(),
            year,
        }
    }

    /// The figure, if it is of that unit, finite and not negative.
    #[must_use]
    pub fn of(&self, unit: FactorUnit) -> Option<f64> {
        let usable = self.value.is_finite() && self.value >= 0.0;
        (self.unit == unit && usable).then_some(self.value)
    }
}

/// The factors of a line's savings. All are blank to begin with: a price, a wage, an emission
/// factor or a levy of ours would be wrong somewhere or soon.
///
/// For emissions a country publishes its factors each year; in the United Kingdom they are the
/// Government's "Greenhouse gas reporting: conversion factors", sheet "Material use", row
/// "Plastics: LDPE and LLDPE": put in the figure of the year with the year, from the sheet itself.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default, deny_unknown_fields)]
pub struct Factors {
    /// ISO 4217 code of the currency of every sum of money here; blank for the one of the films'
    /// prices.
    pub currency: String,
    /// Minutes one roll change takes.
    pub roll_change: Option<Factor>,
    /// Minutes one film break takes.
    pub film_break: Option<Factor>,
    /// What an hour of the person who does it costs.
    pub labour: Option<Factor>,
    /// Emissions of making the film.
    pub co2e: Option<Factor>,
    /// Levy on packaging, a tonne.
    pub levy: Option<Factor>,
    /// Recycled content, as a fraction, from which on the levy is not due.
    pub levy_free_from: Option<Factor>,
}

impl Factors {
    /// Refuses a figure that is none, or of another unit than its place has.
    pub(super) fn check(&self) -> Result<(), ContentError> {
        use FactorUnit::{
            Fraction, KilogramsCo2ePerKilogram, Minutes, MoneyPerHour, MoneyPerTonne,
        };
        if !self.currency.is_empty() && !is_currency(&self.currency) {
            return Err(ContentError::new("factors.currency", CURRENCY_PROBLEM));
        }
        for (field, factor, unit, wanted) in [
            ("factors.roll_change", &self.roll_change, Minutes, MINUTES),
            ("factors.film_break", &self.film_break, Minutes, MINUTES),
            (
                "factors.labour",
                &self.labour,
                MoneyPerHour,
                word!("this is a number of zero or more, in money an hour"),
            ),
            (
                "factors.co2e",
                &self.co2e,
                KilogramsCo2ePerKilogram,
                word!("this is a number of zero or more, in kg CO2e a kg of film"),
            ),
            (
                "factors.levy",
                &self.levy,
                MoneyPerTonne,
                word!("this is a number of zero or more, in money a tonne"),
            ),
            (
                "factors.levy_free_from",
                &self.levy_free_from,
                Fraction,
                word!("this is a number of zero or more, a recycled content"),
            ),
        ] {
            let Some(factor) = factor else { continue };
            let Some(value) = factor.of(unit) else {
                return Err(ContentError::new(field, wanted));
            };
            if unit == Fraction && value > 1.0 {
                return Err(ContentError::new(
                    field,
                    word!("recycled content lies between 0 and 100 %"),
                ));
            }
        }
        Ok(())
    }
}

const MINUTES: Word = word!("this is a number of zero or more, in minutes");

/// What is wrong with a text that [`is_currency`] does not take.
pub(super) const CURRENCY_PROBLEM: Word =
    word!("write the currency as its three-letter code, such as USD");

/// Whether a text looks like an ISO 4217 code.
pub(super) fn is_currency(text: &str) -> bool {
    text.len() == 3 && text.bytes().all(|letter| letter.is_ascii_uppercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn problem(factors: &Factors) -> String {
        factors
            .check()
            .map_or_else(|error| error.to_string(), |()| String::new())
    }

    #[test]
    fn a_factor_is_a_number_of_its_own_unit() {
        assert_eq!(problem(&Factors::default()), "");
        let minutes = |value| Factors {
            film_break: Some(Factor::new(value, FactorUnit::Minutes, "", None)),
            ..Factors::default()
        };
        assert_eq!(problem(&minutes(0.0)), "");
        for wrong in [-1.0, f64::NAN, f64::INFINITY] {
            let said = problem(&minutes(wrong));
            assert!(said.starts_with("factors.film_break"), "{said}");
        }
        let mut of_another = minutes(1.0);
        of_another.levy = of_another.film_break.take();
        assert!(problem(&of_another).contains("money a tonne"));
        let share = |value| Factors {
            levy_free_from: Some(Factor::new(value, FactorUnit::Fraction, "", None)),
            ..Factors::default()
        };
        assert_eq!(problem(&share(0.3)), "");
        assert!(problem(&share(30.0)).contains("100 %"));
        let money = |code: &str| Factors {
            currency: code.to_owned(),
            ..Factors::default()
        };
        assert_eq!(problem(&money("EUR")), "");
        assert!(problem(&money("eur")).contains("three-letter"));
    }
}
