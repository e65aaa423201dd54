//! What film is worth and what goes with it, each figure with its unit, source and year.

use serde::{Deserialize, Serialize};

use crate::survey::{FilmRoll, PricePer};
use crate::units::{KG_PER_LB, Mass};

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

    /// The figure in money a kilogram, for film on rolls of that net mass; `None` for a unit that
    /// is no price of film, or a price a roll with no mass known.
    #[must_use]
    pub fn money_per_kg(&self, roll_net_mass: Option<Mass>) -> Option<f64> {
        let per_kg = match self.unit {
            FactorUnit::MoneyPerKilogram => self.value,
            FactorUnit::MoneyPerPound => self.value / KG_PER_LB,
            FactorUnit::MoneyPerTonne => self.value / 1000.0,
            FactorUnit::MoneyPerRoll => self.value / roll_net_mass?.kg(),
            FactorUnit::MoneyPerHour
            | FactorUnit::Minutes
            | FactorUnit::KilogramsCo2ePerKilogram
            | FactorUnit::Fraction => return None,
        };
        usable(per_kg)
    }

    /// The figure, if it is of that unit, finite and not negative.
    #[must_use]
    pub fn of(&self, unit: FactorUnit) -> Option<f64> {
        (self.unit == unit).then_some(self.value).and_then(usable)
    }
}

fn usable(value: f64) -> Option<f64> {
    (value.is_finite() && value >= 0.0).then_some(value)
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
    /// ISO 4217 code of the currency of every sum of money here.
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

/// The film of one setup.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Film {
    /// Price of film a mass or a roll.
    pub price: Option<Factor>,
    /// Currency of the price.
    pub currency: String,
    /// Film on one roll, core not counted.
    pub roll_net_mass: Option<Mass>,
    /// Recycled content as a fraction.
    pub recycled_content: Option<f64>,
}

impl Film {
    /// As the record of the roll has it.
    #[must_use]
    pub fn of(roll: &FilmRoll) -> Self {
        let price = roll.price.as_ref().map(|price| {
            let unit = match price.per {
                PricePer::Pound => FactorUnit::MoneyPerPound,
                PricePer::Kilogram => FactorUnit::MoneyPerKilogram,
                PricePer::Roll => FactorUnit::MoneyPerRoll,
            };
            Factor::new(price.amount, unit, "the film roll's record", None)
        });
        Self {
            price,
            currency: roll
                .price
                .as_ref()
                .map(|price| price.currency.clone())
                .unwrap_or_default(),
            roll_net_mass: roll.net_mass.as_ref().map(|mass| mass.value),
            recycled_content: roll
                .recycled_content
                .as_ref()
                .map(|content| content.value.fraction()),
        }
    }
}
