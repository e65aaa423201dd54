//! A wrapping line: the product, how much of it, and the machine that wraps it.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{
    ContentError, Entity, Factors, Id, Kind, ProgrammeLimits, Travel, Visit, phrases, uuid_of,
};
use crate::units::{Entered, Ratio};
use crate::word;

/// How the load and the film come to turn about each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum WrapperKind {
    /// The load turns on a table, the film climbs a mast.
    #[default]
    Turntable,
    /// The load stands, an arm carries the film round it.
    RotatingArm,
    /// The load stands, a ring carries the film round it.
    Ring,
    /// Anything else, by hand included.
    Other,
}

/// What stretches the film before it reaches the load.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PreStretch {
    /// Motor-driven rollers.
    Powered,
    /// Geared rollers pulled by the film.
    Mechanical,
    /// No rollers: a brake on the roll only.
    None,
}

/// A direction of turning, seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Rotation {
    /// With the clock.
    Clockwise,
    /// Against the clock.
    Anticlockwise,
}

/// How the film runs from the roll to the load, looked at from above while it runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default, deny_unknown_fields)]
pub struct Threading {
    /// Which way the roll turns while film comes off it.
    pub roll_turns: Option<Rotation>,
    /// How often the film changes from bending one way to bending the other, the roll at one end
    /// and the load at the other counted with the rollers between them.
    pub reversals: Option<u8>,
}

/// The machine.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Wrapper {
    /// What turns.
    pub kind: WrapperKind,
    /// Make and model as on its plate.
    pub make_model: String,
    /// Kind of pre-stretch, when known.
    pub pre_stretch: Option<PreStretch>,
    /// Nominal pre-stretch: added length over length in (250 % is 2.5).
    pub nominal_pre_stretch: Option<Entered<Ratio>>,
    /// Which way the load turns (or the film about it), seen from above.
    pub rotation: Option<Rotation>,
    /// The path of the film, when it was looked at.
    pub threading: Option<Threading>,
    /// Its state in the rep's words.
    pub condition: String,
    /// What it can be set to.
    pub limits: ProgrammeLimits,
}

/// How many loads the line wraps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum LoadVolume {
    /// A number for the year.
    PerYear {
        /// Loads a year.
        loads: u32,
    },
    /// By the shift.
    PerShift {
        /// Loads a shift.
        loads: u32,
        /// Shifts a day.
        shifts_a_day: u32,
        /// Working days a year.
        days_a_year: u32,
    },
}

impl LoadVolume {
    /// Loads a year: as given, or loads a shift x shifts a day x days a year.
    #[must_use]
    pub fn loads_a_year(self) -> u64 {
        match self {
            Self::PerYear { loads } => u64::from(loads),
            Self::PerShift {
                loads,
                shifts_a_day,
                days_a_year,
            } => u64::from(loads) * u64::from(shifts_a_day) * u64::from(days_a_year),
        }
    }
}

/// One wrapping line as seen on one visit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Line {
    /// The visit.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub visit: Id<Visit>,
    /// The same line on an earlier visit.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub earlier: Option<Id<Line>>,
    /// What the site calls it.
    pub name: String,
    /// What is wrapped.
    #[serde(default)]
    pub product: String,
    /// How many loads, when known.
    #[serde(default)]
    pub volume: Option<LoadVolume>,
    /// The machine.
    #[serde(default)]
    pub wrapper: Wrapper,
    /// How its loads travel.
    #[serde(default)]
    pub travel: Travel,
    /// What a year's savings are worked out with.
    #[serde(default)]
    pub factors: Factors,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Line {
    /// A line of which only the visit and the name are known.
    #[must_use]
    pub fn new(visit: Id<Visit>, name: impl Into<String>) -> Self {
        Self {
            visit,
            earlier: None,
            name: name.into(),
            product: String::new(),
            volume: None,
            wrapper: Wrapper::default(),
            travel: Travel::default(),
            factors: Factors::default(),
            notes: String::new(),
        }
    }
}

impl Entity for Line {
    const KIND: Kind = Kind::Line;
    const NESTED: &'static [&'static str] = &["wrapper", "travel", "factors"];

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.visit.uuid()), uuid_of(self.earlier)]
    }

    fn search_text(&self) -> String {
        phrases([
            &self.name,
            &self.product,
            &self.wrapper.make_model,
            &self.notes,
        ])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.name.trim().is_empty() {
            return Err(ContentError::new(
                "name",
                word!("write what the site calls this line"),
            ));
        }
        self.wrapper.limits.check()?;
        self.travel.check()?;
        self.factors.check()
    }
}
