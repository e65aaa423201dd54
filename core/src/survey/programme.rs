//! What a wrapper can be set to, and what a planned setup was expected to do.

use serde::{Deserialize, Serialize};
#[cfg(feature = "schema")]
use uuid::Uuid;

use super::{ContentError, Id, Setup, Zone};
use crate::units::{Containment, Entered, Force, Length, Mass, Method, MethodId};
use crate::word;

/// Turns the panel offers: the least, the most, and from one choice to the next.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TurnChoices {
    /// The least.
    pub least: f64,
    /// The most.
    pub most: f64,
    /// From one choice to the next.
    pub step: f64,
}

/// Pitches the panel offers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PitchChoices {
    /// The least.
    pub least: Entered<Length>,
    /// The most.
    pub most: Entered<Length>,
    /// From one choice to the next.
    pub step: Entered<Length>,
}

/// The programmes a wrapper can be set to. What is blank was not asked.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct ProgrammeLimits {
    /// Turns at the bottom.
    pub bottom_turns: Option<TurnChoices>,
    /// Turns at the top.
    pub top_turns: Option<TurnChoices>,
    /// Pitch, up and down.
    pub pitch: Option<PitchChoices>,
    /// One pitch serves both ways.
    pub same_pitch_both_ways: bool,
}

impl ProgrammeLimits {
    /// Refuses choices that are none.
    pub(super) fn check(&self) -> Result<(), ContentError> {
        let turns = |choices: &TurnChoices| {
            [choices.least, choices.most, choices.step]
                .iter()
                .all(|number| number.is_finite())
                && choices.least >= 0.0
                && choices.most >= choices.least
                && choices.step > 0.0
        };
        for (field, choices) in [
            ("wrapper.limits.bottom_turns", &self.bottom_turns),
            ("wrapper.limits.top_turns", &self.top_turns),
        ] {
            if choices.as_ref().is_some_and(|choices| !turns(choices)) {
                return Err(ContentError::new(
                    field,
                    word!(
                        "write the least and the most turns the panel allows, and a step of more than 0"
                    ),
                ));
            }
        }
        if let Some(pitch) = &self.pitch
            && (pitch.least.value.m() <= 0.0
                || pitch.step.value.m() <= 0.0
                || pitch.most.value.m() < pitch.least.value.m())
        {
            return Err(ContentError::new(
                "wrapper.limits.pitch",
                word!(
                    "write the least and the most pitch the panel allows, and a step, each more than 0"
                ),
            ));
        }
        Ok(())
    }
}

/// What a planned setup is expected to hold in one zone.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PlannedZone {
    /// The zone.
    pub zone: Zone,
    mean: Entered<Force>,
    lower: Entered<Force>,
}

/// A prediction, kept with the setup that was made from it, so that what is measured later can be
/// laid beside it as it was.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Planned {
    /// The method whose readings it was made from.
    pub method: MethodId,
    /// How sure the lower values are, as a fraction.
    pub confidence: f64,
    /// Zone by zone.
    pub zones: Vec<PlannedZone>,
    /// Film a load.
    #[serde(default)]
    pub film: Option<Entered<Mass>>,
    /// The setups whose readings it was made from.
    #[cfg_attr(feature = "schema", schemars(with = "Vec<Uuid>"))]
    pub from: Vec<Id<Setup>>,
}

impl Planned {
    /// A prediction by method `M`: expected force and the force it is `confidence` sure to reach.
    #[must_use]
    pub fn new<M: Method>(
        confidence: f64,
        zones: Vec<(Zone, Entered<Force>, Entered<Force>)>,
        film: Option<Entered<Mass>>,
        from: Vec<Id<Setup>>,
    ) -> Self {
        Self {
            method: M::ID,
            confidence,
            zones: zones
                .into_iter()
                .map(|(zone, mean, lower)| PlannedZone { zone, mean, lower })
                .collect(),
            film,
            from,
        }
    }

    /// Expected and lower force of a zone, if this was made by method `M`; `None` for the other
    /// method and for a zone it says nothing of.
    #[must_use]
    pub fn zone<M: Method>(&self, zone: &Zone) -> Option<(Containment<M>, Containment<M>)> {
        let of = self.zones.iter().find(|planned| planned.zone == *zone)?;
        (self.method == M::ID).then(|| {
            (
                Containment::new(of.mean.value),
                Containment::new(of.lower.value),
            )
        })
    }

    /// Refuses a prediction that says nothing.
    pub(super) fn check(&self) -> Result<(), ContentError> {
        if !(self.confidence > 0.0 && self.confidence < 1.0) {
            return Err(ContentError::new(
                "planned",
                word!("how sure a prediction is lies between 0 and 1"),
            ));
        }
        Ok(())
    }
}
