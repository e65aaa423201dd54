//! A wrapped load.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{ContentError, Entity, Face, Id, Kind, Moment, Setup, phrases};
use crate::units::{Entered, Length, Mass};
use crate::word;

/// How steady the load stands by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Stability {
    /// Stands by itself, layers bond.
    Steady,
    /// Shifts when handled.
    Moderate,
    /// Leans or slides by itself.
    Unsteady,
}

/// How the load sits on its pallet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum PalletFit {
    /// Edge to edge.
    Flush,
    /// Sticks out over the pallet by this much.
    Overhang(Entered<Length>),
    /// Stands back from the pallet's edge by this much.
    Inset(Entered<Length>),
}

/// The end of the film.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FilmTail {
    /// Wiped down or tucked in.
    Secured,
    /// Hanging.
    Loose,
}

/// One wrapped load.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Load {
    /// How it was wrapped.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub setup: Id<Setup>,
    /// Its number or name.
    pub name: String,
    /// Along the front face.
    #[serde(default)]
    pub length: Option<Entered<Length>>,
    /// Along the right face.
    #[serde(default)]
    pub width: Option<Entered<Length>>,
    /// Of the goods, pallet included.
    #[serde(default)]
    pub height: Option<Entered<Length>>,
    /// Of the goods and pallet.
    #[serde(default)]
    pub mass: Option<Entered<Mass>>,
    /// How steady.
    #[serde(default)]
    pub stability: Option<Stability>,
    /// How it sits on the pallet.
    #[serde(default)]
    pub pallet_fit: Option<PalletFit>,
    /// Film breaks seen while it was wrapped; blank is not none.
    #[serde(default)]
    pub film_breaks: Option<u32>,
    /// The end of the film.
    #[serde(default)]
    pub tail: Option<FilmTail>,
    /// Damage seen, in words.
    #[serde(default)]
    pub damage: String,
    /// When it was wrapped.
    #[serde(default)]
    pub wrapped_at: Option<Moment>,
    /// Known to have arrived whole; blank is not known.
    #[serde(default)]
    pub shipped_undamaged: Option<bool>,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Load {
    /// A load of which only the setup and the name are known.
    #[must_use]
    pub fn new(setup: Id<Setup>, name: impl Into<String>) -> Self {
        Self {
            setup,
            name: name.into(),
            length: None,
            width: None,
            height: None,
            mass: None,
            stability: None,
            pallet_fit: None,
            film_breaks: None,
            tail: None,
            damage: String::new(),
            wrapped_at: None,
            shipped_undamaged: None,
            notes: String::new(),
        }
    }

    /// The horizontal length of a face: the load's length in front and behind, its width at the
    /// sides. `None` when that was not measured.
    #[must_use]
    pub fn face_length(&self, face: Face) -> Option<Length> {
        match face {
            Face::Front | Face::Back => self.length.as_ref(),
            Face::Left | Face::Right => self.width.as_ref(),
        }
        .map(|length| length.value)
    }
}

impl Entity for Load {
    const KIND: Kind = Kind::Load;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.setup.uuid())]
    }

    fn search_text(&self) -> String {
        phrases([&self.name, &self.damage, &self.notes])
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.name.trim().is_empty() {
            return Err(ContentError::new(
                "name",
                word!("give the load a number or a name"),
            ));
        }
        for (field, side) in [
            ("length", &self.length),
            ("width", &self.width),
            ("height", &self.height),
        ] {
            if side.as_ref().is_some_and(|side| side.value.m() <= 0.0) {
                return Err(ContentError::new(
                    field,
                    word!("a load is more than 0 long, wide and high"),
                ));
            }
        }
        Ok(())
    }
}
