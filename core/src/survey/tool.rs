//! Hand tools and scales, with what says how far to trust them.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{ContentError, Entity, Kind, Moment, phrases};
use crate::units::{Entered, Force, Length, Mass, MethodId, Thickness};
use crate::word;

/// What a tool is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ToolKind {
    /// The torsion tool.
    TorsionTool,
    /// The pull plate and its scale.
    PullPlate,
    /// A scale for film.
    FilmScale,
    /// A micrometer.
    Micrometer,
    /// A tape measure.
    Tape,
}

impl ToolKind {
    /// The tool that measures by a method.
    #[must_use]
    pub const fn of(method: MethodId) -> Self {
        match method {
            MethodId::TorsionTool => Self::TorsionTool,
            MethodId::PullPlate => Self::PullPlate,
        }
    }

    /// The containment method the tool measures by, for the two that do.
    #[must_use]
    pub const fn method(self) -> Option<MethodId> {
        match self {
            Self::TorsionTool => Some(MethodId::TorsionTool),
            Self::PullPlate => Some(MethodId::PullPlate),
            Self::FilmScale | Self::Micrometer | Self::Tape => None,
        }
    }
}

/// A hand tool or a scale.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Tool {
    /// What it is.
    pub kind: ToolKind,
    /// What the rep calls it.
    pub name: String,
    /// Smallest step of a force tool.
    #[serde(default)]
    pub force_step: Option<Entered<Force>>,
    /// Greatest force a force tool shows.
    #[serde(default)]
    pub force_range: Option<Entered<Force>>,
    /// Smallest step of a scale for film.
    #[serde(default)]
    pub mass_step: Option<Entered<Mass>>,
    /// Greatest mass a scale for film shows.
    #[serde(default)]
    pub mass_range: Option<Entered<Mass>>,
    /// Smallest step of a micrometer.
    #[serde(default)]
    pub thickness_step: Option<Entered<Thickness>>,
    /// Lever arm, where known.
    #[serde(default)]
    pub lever_arm: Option<Entered<Length>>,
    /// When it was last zeroed.
    #[serde(default)]
    pub zeroed_at: Option<Moment>,
    /// When it was last checked against a known weight.
    #[serde(default)]
    pub checked_at: Option<Moment>,
    /// How many days such a check is good for.
    #[serde(default)]
    pub check_good_for_days: Option<u32>,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Tool {
    /// A tool of which only kind and name are known.
    #[must_use]
    pub fn new(kind: ToolKind, name: impl Into<String>) -> Self {
        Self {
            kind,
            name: name.into(),
            force_step: None,
            force_range: None,
            mass_step: None,
            mass_range: None,
            thickness_step: None,
            lever_arm: None,
            zeroed_at: None,
            checked_at: None,
            check_good_for_days: None,
            notes: String::new(),
        }
    }

    /// Whether at `moment` the last check no longer holds: it was never made, or its days are
    /// over. `None` when no number of days was set.
    #[must_use]
    pub fn check_overdue(&self, moment: Moment) -> Option<bool> {
        let days = i64::from(self.check_good_for_days?);
        let good_for_ms = days * 24 * 60 * 60 * 1000;
        Some(
            self.checked_at
                .is_none_or(|at| moment.unix_ms() - at.unix_ms() > good_for_ms),
        )
    }
}

impl Entity for Tool {
    const KIND: Kind = Kind::Tool;

    fn parents(&self) -> Vec<Option<Uuid>> {
        Vec::new()
    }

    fn search_text(&self) -> String {
        phrases([&self.name, &self.notes])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.name.trim().is_empty() {
            return Err(ContentError::new("name", word!("give the tool a name")));
        }
        Ok(())
    }
}
