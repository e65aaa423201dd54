//! A target: the least containment force a zone has to reach. Never a number of ours.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{ContentError, Entity, Id, Kind, Line, Load, Stability, Visit, Zone, uuid_of};
use crate::units::{Containment, Entered, Force, Length, Method, MethodId};
use crate::word;

/// The least force, by the method it is to be measured with.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TargetForce {
    /// The method.
    pub method: MethodId,
    force: Entered<Force>,
}

impl TargetForce {
    /// A least force by a method.
    #[must_use]
    pub const fn new(method: MethodId, force: Entered<Force>) -> Self {
        Self { method, force }
    }

    /// What the person wrote.
    #[must_use]
    pub fn entered(&self) -> &str {
        &self.force.text
    }

    /// The least force if it is for method `M`; `None` for the other one.
    #[must_use]
    pub fn minimum<M: Method>(&self) -> Option<Containment<M>> {
        (self.method == M::ID).then(|| Containment::new(self.force.value))
    }
}

/// Where a target comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum TargetOrigin {
    /// The customer's own standard.
    CustomerStandard {
        /// Its name or who gave it.
        #[serde(default)]
        reference: String,
    },
    /// Derived from loads known to have shipped undamaged.
    ShippedLoads {
        /// Those loads.
        #[cfg_attr(feature = "schema", schemars(with = "Vec<Uuid>"))]
        loads: Vec<Id<Load>>,
    },
}

/// The least containment force for a method, zone and class of loads.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Target {
    /// The visit it was noted on.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub visit: Id<Visit>,
    /// The line, when it is one line's.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub line: Option<Id<Line>>,
    /// The zone.
    pub zone: Zone,
    /// The class of loads, when it is for one only.
    #[serde(default)]
    pub stability: Option<Stability>,
    /// Length of the faces it is for; blank for all. Of the pull plate only, which reads more on a
    /// shorter face.
    #[serde(default)]
    pub face_length: Option<Entered<Length>>,
    /// The least force.
    pub minimum: TargetForce,
    /// Where it comes from.
    pub origin: TargetOrigin,
}

impl Target {
    /// How many loads known to have shipped undamaged a derived target needs.
    pub const LEAST_SHIPPED_LOADS: usize = 10;
}

impl Entity for Target {
    const KIND: Kind = Kind::Target;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.visit.uuid()), uuid_of(self.line)]
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.minimum.force.value.n() <= 0.0 {
            return Err(ContentError::new(
                "minimum",
                word!("a target is more than zero: leave it blank when there is none"),
            ));
        }
        if let Some(face) = &self.face_length {
            if self.minimum.method != MethodId::PullPlate {
                return Err(ContentError::new(
                    "face_length",
                    word!(
                        "a target for the torsion tool holds for faces of every length: leave it blank"
                    ),
                ));
            }
            if face.value.m() <= 0.0 {
                return Err(ContentError::new(
                    "face_length",
                    word!(
                        "a face is longer than zero: leave it blank where the target is for every face"
                    ),
                ));
            }
        }
        match &self.origin {
            TargetOrigin::ShippedLoads { loads } if loads.len() < Self::LEAST_SHIPPED_LOADS => {
                Err(ContentError::new(
                    "origin",
                    word!(
                        "a derived target needs at least ten loads known to have shipped undamaged"
                    ),
                ))
            }
            TargetOrigin::ShippedLoads { .. } | TargetOrigin::CustomerStandard { .. } => Ok(()),
        }
    }
}
