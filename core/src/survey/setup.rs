//! A setup: one way of wrapping on a line.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{
    ContentError, Entity, FilmRoll, Id, Kind, Line, Margin, Planned, margin, phrases, uuid_of,
};
use crate::units::{Entered, Length, Ratio};
use crate::word;

/// What a setup is on this visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum SetupRole {
    /// As the rep found the line.
    #[default]
    AsFound,
    /// Something tried.
    Trial,
    /// As the rep left the line.
    AsLeft,
}

/// How far the film climbs or sinks in one turn, or how much of it lies on the turn before.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Spiral {
    /// Travel of the film in one turn.
    Pitch(Entered<Length>),
    /// Height of film that lies on the turn before: on-load width less pitch.
    Overlap(Entered<Length>),
}

/// What is set on the wrapper.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default)]
pub struct Settings {
    /// Height of the film's lower edge above the floor when the wrapper starts; blank is not
    /// known.
    pub start_height: Option<Entered<Length>>,
    /// Turns at the bottom before climbing.
    pub bottom_turns: Option<f64>,
    /// Turns at the top before sinking.
    pub top_turns: Option<f64>,
    /// Going up.
    pub up: Option<Spiral>,
    /// Going down.
    pub down: Option<Spiral>,
    /// How far the film goes above the top of the load.
    pub over_top: Option<Entered<Length>>,
    /// The film-force setting as the panel shows it: its own scale, not a force.
    pub film_force: String,
    /// The pre-stretch setting: added length over length in.
    pub pre_stretch: Option<Entered<Ratio>>,
}

/// One way of wrapping: a film and the settings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Setup {
    /// The line.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub line: Id<Line>,
    /// The film.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub film_roll: Option<Id<FilmRoll>>,
    /// What it is called.
    pub name: String,
    /// What it is on this visit.
    #[serde(default)]
    pub role: SetupRole,
    /// What is set.
    #[serde(default)]
    pub settings: Settings,
    /// What it was expected to do when it was planned.
    #[serde(default)]
    pub planned: Option<Planned>,
    /// How much less it may hold than other setups, in the order of these.
    #[serde(default)]
    pub margins: Vec<Margin>,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Setup {
    /// A setup of which only the line, the name and the role are known.
    #[must_use]
    pub fn new(line: Id<Line>, name: impl Into<String>, role: SetupRole) -> Self {
        Self {
            line,
            film_roll: None,
            name: name.into(),
            role,
            settings: Settings::default(),
            planned: None,
            margins: Vec::new(),
            notes: String::new(),
        }
    }
}

impl Entity for Setup {
    const KIND: Kind = Kind::Setup;
    const NESTED: &'static [&'static str] = &["settings"];

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.line.uuid()), uuid_of(self.film_roll)]
    }

    fn search_text(&self) -> String {
        phrases([&self.name, &self.notes])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.name.trim().is_empty() {
            return Err(ContentError::new("name", word!("give the setup a name")));
        }
        for (field, turns) in [
            ("settings.bottom_turns", self.settings.bottom_turns),
            ("settings.top_turns", self.settings.top_turns),
        ] {
            if turns.is_some_and(|turns| !turns.is_finite() || turns < 0.0) {
                return Err(ContentError::new(field, word!("turns are zero or more")));
            }
        }
        margin::check(&self.margins)?;
        self.planned.as_ref().map_or(Ok(()), Planned::check)
    }
}
