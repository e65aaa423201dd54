//! A kept sample and what happens to it.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{Entity, Id, Kind, Load, Moment, Visit, phrases, uuid_of};

/// What was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SampleKind {
    /// A wrapped pallet.
    Pallet,
    /// Film cut from a load.
    CutFilm,
    /// The end of a roll.
    RollEnd,
}

/// A kept sample.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Sample {
    /// The visit.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub visit: Id<Visit>,
    /// The load it is or comes from.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub load: Option<Id<Load>>,
    /// What was kept.
    pub what: SampleKind,
    /// Where it stands.
    #[serde(default)]
    pub place: String,
    /// Keep it until then.
    #[serde(default)]
    pub retain_until: Option<NaiveDate>,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Entity for Sample {
    const KIND: Kind = Kind::Sample;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.visit.uuid()), uuid_of(self.load)]
    }

    fn search_text(&self) -> String {
        phrases([&self.place, &self.notes])
    }
}

/// What happened to a sample.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SampleEventKind {
    /// A label was put on it.
    Labelled,
    /// Its label was read.
    Found,
    /// It was moved.
    Moved,
    /// It need not be kept any longer.
    Released,
}

/// Something that happened to a sample.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SampleEvent {
    /// The sample.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub sample: Id<Sample>,
    /// What happened.
    pub what: SampleEventKind,
    /// When.
    pub at: Moment,
    /// In words.
    #[serde(default)]
    pub notes: String,
}

impl Entity for SampleEvent {
    const KIND: Kind = Kind::SampleEvent;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.sample.uuid())]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }
}
