//! What is measured on the film itself: its weight, thickness, stretch, width and breaks.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{
    ContentError, Entity, FilmRoll, Id, Kind, Load, Moment, Setup, Tool, ToolKind, phrases, uuid_of,
};
use crate::units::{Entered, Length, Mass};
use crate::word;

/// Film cut off and weighed.
///
/// The scale shows the gross mass; the tare is what held the film. With no tare the scale was
/// zeroed under it and gross is net.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FilmWeight {
    /// The load, or one of them.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub load: Id<Load>,
    /// The scale.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub tool: Option<Id<Tool>>,
    /// What the scale showed.
    pub gross: Entered<Mass>,
    /// Bag or box, when not zeroed away.
    #[serde(default)]
    pub tare: Option<Entered<Mass>>,
    /// How many loads' film lay on the scale together.
    pub loads_together: u32,
    /// When.
    pub taken_at: Moment,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Entity for FilmWeight {
    const KIND: Kind = Kind::FilmWeight;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.load.uuid()), uuid_of(self.tool)]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }

    fn tool_needed(&self) -> Option<(Id<Tool>, ToolKind)> {
        self.tool.map(|tool| (tool, ToolKind::FilmScale))
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.loads_together == 0 {
            return Err(ContentError::new(
                "loads_together",
                word!("say how many loads' film lay on the scale: 1 or more"),
            ));
        }
        let tare = self.tare.as_ref().map_or(0.0, |tare| tare.value.kg());
        if self.gross.value.kg() <= tare {
            return Err(ContentError::new(
                "gross",
                word!("the film must weigh something: gross has to be more than tare"),
            ));
        }
        Ok(())
    }
}

/// Where the thickness was measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum ThicknessPlace {
    /// On film from the roll, unstretched.
    Roll,
    /// On film cut from a load.
    OnLoad,
}

/// Film thickness by micrometer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Thickness {
    /// The film.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub film_roll: Id<FilmRoll>,
    /// The load it was cut from, if it was.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub load: Option<Id<Load>>,
    /// The micrometer.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub tool: Option<Id<Tool>>,
    /// Where.
    pub place: ThicknessPlace,
    /// What the micrometer showed.
    pub value: Entered<crate::units::Thickness>,
    /// How many plies lay in the micrometer.
    pub plies: u32,
    /// When.
    pub taken_at: Moment,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Entity for Thickness {
    const KIND: Kind = Kind::Thickness;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![
            Some(self.film_roll.uuid()),
            uuid_of(self.load),
            uuid_of(self.tool),
        ]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }

    fn tool_needed(&self) -> Option<(Id<Tool>, ToolKind)> {
        self.tool.map(|tool| (tool, ToolKind::Micrometer))
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.plies == 0 {
            return Err(ContentError::new(
                "plies",
                word!("say how many plies were measured: 1 or more"),
            ));
        }
        if self.value.value.um() <= 0.0 {
            return Err(ContentError::new(
                "value",
                word!("film is thicker than nothing"),
            ));
        }
        Ok(())
    }
}

/// Where stretched marks were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MarkPlace {
    /// Between the last roller and the load: pre-stretch.
    BeforeLoad,
    /// On the load: the whole stretch.
    OnLoad,
}

/// Ink marks before and after stretch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StretchMark {
    /// The setup the film ran in.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub setup: Id<Setup>,
    /// The load the marks ended on, if they did.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub load: Option<Id<Load>>,
    /// Where the second distance was read.
    pub place: MarkPlace,
    /// Distance between the marks on the roll.
    pub before: Entered<Length>,
    /// Distance between them after stretch.
    pub after: Entered<Length>,
    /// When.
    pub taken_at: Moment,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Entity for StretchMark {
    const KIND: Kind = Kind::StretchMark;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.setup.uuid()), uuid_of(self.load)]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.before.value.m() <= 0.0 {
            return Err(ContentError::new(
                "before",
                word!("the marks must lie some way apart"),
            ));
        }
        if self.after.value.m() < self.before.value.m() {
            return Err(ContentError::new(
                "after",
                word!(
                    "stretched marks cannot lie closer than they were drawn: check both distances"
                ),
            ));
        }
        Ok(())
    }
}

/// Width of the film as it lies on a load.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FilmWidth {
    /// The load.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub load: Id<Load>,
    /// The width.
    pub value: Entered<Length>,
    /// When.
    pub taken_at: Moment,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Entity for FilmWidth {
    const KIND: Kind = Kind::FilmWidth;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.load.uuid())]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.value.value.m() <= 0.0 {
            return Err(ContentError::new(
                "value",
                word!("film is wider than nothing"),
            ));
        }
        Ok(())
    }
}

/// What film breaks were counted over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum BreakExposure {
    /// This many loads.
    Loads(u32),
    /// This many rolls.
    Rolls(u32),
}

/// Film breaks counted over loads or rolls. No breaks counted is not a rate of zero.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FilmBreaks {
    /// The setup.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub setup: Id<Setup>,
    /// How many broke.
    pub breaks: u32,
    /// Over what.
    pub over: BreakExposure,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Entity for FilmBreaks {
    const KIND: Kind = Kind::FilmBreaks;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.setup.uuid())]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }

    fn check(&self) -> Result<(), ContentError> {
        match self.over {
            BreakExposure::Loads(0) | BreakExposure::Rolls(0) => Err(ContentError::new(
                "over",
                word!("breaks are counted over at least one load or one roll"),
            )),
            BreakExposure::Loads(_) | BreakExposure::Rolls(_) => Ok(()),
        }
    }
}
