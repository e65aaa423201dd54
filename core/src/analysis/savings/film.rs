//! The film of one setup: what it costs, and what a levy goes by.

use crate::survey::{Factor, FactorUnit, FilmRoll, PricePer};
use crate::units::{KG_PER_LB, Mass};

impl Factor {
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
        (per_kg.is_finite() && per_kg >= 0.0).then_some(per_kg)
    }
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
