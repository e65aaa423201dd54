//! A visit: one day at one site.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{Entity, Kind, phrases};

/// Why the rep is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Purpose {
    /// First measurements, nothing changed yet.
    #[default]
    Baseline,
    /// Looking again at what an earlier visit left.
    FollowUp,
    /// Trying other settings or another film.
    Trial,
}

/// One line of the bag or safety list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ListItem {
    /// What to pack, wear or agree.
    pub text: String,
    /// Ticked.
    pub done: bool,
}

/// One visit to a customer's site.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Visit {
    /// The customer's name; blank until it is written.
    pub customer: String,
    /// Which of the customer's places.
    pub site: String,
    /// The day, by the site's calendar.
    pub date: NaiveDate,
    /// Who visits.
    #[serde(default)]
    pub rep: String,
    /// Why.
    #[serde(default)]
    pub purpose: Purpose,
    /// What to bring.
    #[serde(default)]
    pub bag: Vec<ListItem>,
    /// Protective equipment and what was agreed with the site.
    #[serde(default)]
    pub safety: Vec<ListItem>,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Entity for Visit {
    const KIND: Kind = Kind::Visit;

    fn parents(&self) -> Vec<Option<Uuid>> {
        Vec::new()
    }

    fn search_text(&self) -> String {
        phrases([&self.customer, &self.site, &self.rep, &self.notes])
    }
}
