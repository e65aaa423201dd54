//! The look over a machine.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{Entity, Id, Kind, Line, phrases};
use crate::units::{Entered, Length};

/// What is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CheckItem {
    /// Light seen between pinch and drive rollers.
    RollerLight,
    /// Gap between the rollers, by feeler gauge.
    RollerGap,
    /// Surface of the rollers.
    RollerSurface,
    /// Chain or belt.
    ChainOrBelt,
    /// Sprockets or gears.
    SprocketsOrGears,
    /// Springs.
    Springs,
    /// Brake.
    Brake,
    /// Travel of the carriage.
    CarriageTravel,
    /// Path of the film through the carriage.
    FilmPath,
    /// Clamp and cutter.
    ClampAndCutter,
    /// How the end of the film is left.
    FilmTail,
}

impl CheckItem {
    /// Whether a guard stands before it, so that it is looked at closely, and put right, only with
    /// the machine locked out and by the site's own people (common practice, no source).
    #[must_use]
    pub const fn is_behind_guard(self) -> bool {
        match self {
            Self::RollerLight
            | Self::RollerGap
            | Self::ChainOrBelt
            | Self::SprocketsOrGears
            | Self::Springs => true,
            Self::RollerSurface
            | Self::Brake
            | Self::CarriageTravel
            | Self::FilmPath
            | Self::ClampAndCutter
            | Self::FilmTail => false,
        }
    }
}

/// What was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CheckResult {
    /// In order.
    Good,
    /// Put right: a listed adjustment by hand, or behind a guard by the site's technician.
    Adjusted,
    /// For a qualified technician.
    NeedsTechnician,
    /// Not looked at, which is not a pass.
    NotLookedAt,
}

/// One item of the look over a machine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MachineCheck {
    /// The line.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub line: Id<Line>,
    /// What was looked at.
    pub item: CheckItem,
    /// What was found.
    pub result: CheckResult,
    /// A measured gap.
    #[serde(default)]
    pub gap: Option<Entered<Length>>,
    /// In words.
    #[serde(default)]
    pub notes: String,
}

impl Entity for MachineCheck {
    const KIND: Kind = Kind::MachineCheck;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.line.uuid())]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }
}
