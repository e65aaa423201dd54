//! Cautions that were shown and acknowledged.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{Entity, Id, Kind, Line, Moment, Visit, uuid_of};

/// What a caution is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CautionKind {
    /// Being on the site: lift trucks, climbing, protective equipment.
    Site,
    /// Cutting film off a load.
    CuttingFilm,
    /// Looking into a machine: isolation and lockout by the site's authorised person.
    Machine,
    /// Touching the film on its roll in the machine.
    Roll,
}

/// One acknowledgement.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Caution {
    /// The visit.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub visit: Id<Visit>,
    /// The line, for a machine.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub line: Option<Id<Line>>,
    /// What was shown.
    pub about: CautionKind,
    /// When it was acknowledged.
    pub acknowledged_at: Moment,
    /// The site's person who isolated the machine, as named to the rep.
    #[serde(default)]
    pub isolated_by: String,
}

impl Entity for Caution {
    const KIND: Kind = Kind::Caution;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.visit.uuid()), uuid_of(self.line)]
    }
}
