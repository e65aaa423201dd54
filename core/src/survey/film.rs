//! A roll of film.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::factors::{CURRENCY_PROBLEM, is_currency};
use super::{ContentError, Entity, Id, Kind, Visit, phrases};
use crate::units::{Density, Entered, Length, Mass, Ratio, Thickness};
use crate::word;

/// Which side of the film clings, seen on the roll.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ClingSide {
    /// The side facing the core.
    Inside,
    /// The side facing out.
    Outside,
    /// Both sides.
    Both,
}

/// What a price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PricePer {
    /// One pound of film.
    Pound,
    /// One kilogram of film.
    Kilogram,
    /// One roll.
    Roll,
}

/// A price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// Amount in the currency.
    pub amount: f64,
    /// ISO 4217 code of the currency, such as `USD`.
    pub currency: String,
    /// What it is for.
    pub per: PricePer,
}

/// One roll of film, as its label and the scale give it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FilmRoll {
    /// The visit it was seen on.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub visit: Id<Visit>,
    /// What it is called.
    pub name: String,
    /// Thickness on the label.
    #[serde(default)]
    pub nominal_thickness: Option<Entered<Thickness>>,
    /// Width of the film.
    #[serde(default)]
    pub width: Option<Entered<Length>>,
    /// Length on the label.
    #[serde(default)]
    pub length: Option<Entered<Length>>,
    /// Mass of film, core not counted.
    #[serde(default)]
    pub net_mass: Option<Entered<Mass>>,
    /// Density.
    #[serde(default)]
    pub density: Option<Entered<Density>>,
    /// Price, when the customer gives it.
    #[serde(default)]
    pub price: Option<Price>,
    /// Recycled content by mass.
    #[serde(default)]
    pub recycled_content: Option<Entered<Ratio>>,
    /// Which side clings.
    #[serde(default)]
    pub cling: Option<ClingSide>,
    /// What the arrow printed on the core means to this maker, in words.
    #[serde(default)]
    pub core_arrow: String,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl FilmRoll {
    /// A roll of which only the visit and the name are known.
    #[must_use]
    pub fn new(visit: Id<Visit>, name: impl Into<String>) -> Self {
        Self {
            visit,
            name: name.into(),
            nominal_thickness: None,
            width: None,
            length: None,
            net_mass: None,
            density: None,
            price: None,
            recycled_content: None,
            cling: None,
            core_arrow: String::new(),
            notes: String::new(),
        }
    }
}

impl Entity for FilmRoll {
    const KIND: Kind = Kind::FilmRoll;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.visit.uuid())]
    }

    fn search_text(&self) -> String {
        phrases([&self.name, &self.notes])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.name.trim().is_empty() {
            return Err(ContentError::new("name", word!("give the film a name")));
        }
        if let Some(content) = &self.recycled_content
            && !(0.0..=1.0).contains(&content.value.fraction())
        {
            return Err(ContentError::new(
                "recycled_content",
                word!("recycled content lies between 0 and 100 %"),
            ));
        }
        if let Some(price) = &self.price {
            if !price.amount.is_finite() || price.amount < 0.0 {
                return Err(ContentError::new("price", word!("a price is zero or more")));
            }
            if !is_currency(&price.currency) {
                return Err(ContentError::new("price", CURRENCY_PROBLEM));
            }
        }
        Ok(())
    }
}
