//! A containment-force reading, by one of two methods that are never mixed.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::{ContentError, Entity, Id, Kind, Load, Moment, Tool, ToolKind, phrases, uuid_of};
use crate::units::{Containment, Entered, Force, Length, Method, MethodId, PullPlate, TorsionTool};
use crate::word;

/// Where on the height of the load.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Zone {
    /// Near the top.
    Top,
    /// Half way up.
    Middle,
    /// Near the bottom.
    Bottom,
    /// At this height above the floor.
    Height(Entered<Length>),
}

/// A face of the load. The front is the one seen from the wrapper's panel; the others follow
/// clockwise seen from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Face {
    /// Seen from the panel.
    Front,
    /// To the right of the front, seen from the panel.
    Right,
    /// Opposite the front.
    Back,
    /// To the left of the front, seen from the panel.
    Left,
}

/// Which part of the plate the distance from the side is measured to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PlateReference {
    /// Its edge nearer the side.
    #[default]
    NearEdge,
    /// Its centre.
    Centre,
}

/// A reading by the torsion tool: a prong behind all layers, turned to its full turn.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TorsionReading {
    force: Entered<Force>,
    /// Distance from the right edge of the face; 22 in unless written otherwise
    /// (common practice, no source).
    #[serde(default)]
    pub from_right_edge: Option<Entered<Length>>,
}

impl TorsionReading {
    /// The distance from the right edge at which this tool is used (common practice, no source).
    pub const FROM_RIGHT_EDGE_IN: f64 = 22.0;

    /// A reading at the usual place.
    #[must_use]
    pub const fn new(force: Entered<Force>) -> Self {
        Self {
            force,
            from_right_edge: None,
        }
    }

    /// The containment force by this method.
    #[must_use]
    pub fn containment(&self) -> Containment<TorsionTool> {
        Containment::new(self.force.value)
    }
}

/// A reading by the pull plate: a plate behind the film, pulled straight out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PullReading {
    force: Entered<Force>,
    /// Distance from the side; 18 in unless written otherwise (common practice, no source).
    #[serde(default)]
    pub from_side: Option<Entered<Length>>,
    /// Distance from the top, for a top reading; 10 in unless written otherwise
    /// (common practice, no source).
    #[serde(default)]
    pub from_top: Option<Entered<Length>>,
    /// How far the plate was pulled; 4 in unless written otherwise (common practice, no source).
    #[serde(default)]
    pub pulled: Option<Entered<Length>>,
    /// Length of the face, which the reading depends on.
    #[serde(default)]
    pub face_length: Option<Entered<Length>>,
    /// What the distance from the side was measured to.
    #[serde(default)]
    pub plate_reference: PlateReference,
}

impl PullReading {
    /// Diameter of the plate (common practice, no source).
    pub const PLATE_IN: f64 = 6.0;
    /// Usual distance from the side (common practice, no source).
    pub const FROM_SIDE_IN: f64 = 18.0;
    /// Usual distance from the top (common practice, no source).
    pub const FROM_TOP_IN: f64 = 10.0;
    /// Usual pull (common practice, no source).
    pub const PULLED_IN: f64 = 4.0;

    /// A reading at the usual place with the usual pull.
    #[must_use]
    pub fn new(force: Entered<Force>) -> Self {
        Self {
            force,
            from_side: None,
            from_top: None,
            pulled: None,
            face_length: None,
            plate_reference: PlateReference::default(),
        }
    }

    /// The containment force by this method.
    #[must_use]
    pub fn containment(&self) -> Containment<PullPlate> {
        Containment::new(self.force.value)
    }
}

/// The measured value, by the method that gave it.
///
/// There is no way to get at the force without saying by which method: forces of the two methods
/// answer different questions, and no factor joins them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(tag = "method", rename_all = "snake_case")]
pub enum Measure {
    /// By the torsion tool.
    TorsionTool(TorsionReading),
    /// By the pull plate.
    PullPlate(PullReading),
}

impl Measure {
    /// A measure at the usual place for the method.
    #[must_use]
    pub fn new(method: MethodId, force: Entered<Force>) -> Self {
        match method {
            MethodId::TorsionTool => Self::TorsionTool(TorsionReading::new(force)),
            MethodId::PullPlate => Self::PullPlate(PullReading::new(force)),
        }
    }

    /// The method.
    #[must_use]
    pub const fn method(&self) -> MethodId {
        match self {
            Self::TorsionTool(_) => MethodId::TorsionTool,
            Self::PullPlate(_) => MethodId::PullPlate,
        }
    }

    /// The force as the person wrote it, with its unit.
    #[must_use]
    pub const fn written(&self) -> &Entered<Force> {
        match self {
            Self::TorsionTool(reading) => &reading.force,
            Self::PullPlate(reading) => &reading.force,
        }
    }

    /// What the person wrote, with its unit.
    #[must_use]
    pub fn entered(&self) -> &str {
        &self.written().text
    }

    /// The containment force, if this was measured by method `M`; `None` by the other one.
    #[must_use]
    pub fn containment<M: Method>(&self) -> Option<Containment<M>> {
        (self.method() == M::ID).then(|| Containment::new(self.written().value))
    }
}

/// One reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Reading {
    /// The load.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub load: Id<Load>,
    /// The tool used, when it is one of the book's.
    #[serde(default)]
    #[cfg_attr(feature = "schema", schemars(with = "Option<Uuid>"))]
    pub tool: Option<Id<Tool>>,
    /// Where on the height.
    pub zone: Zone,
    /// Which face.
    #[serde(default)]
    pub face: Option<Face>,
    /// The value by its method.
    pub measure: Measure,
    /// Order of taking on this load and by this method, from 1.
    pub order: u32,
    /// When it was taken.
    pub taken_at: Moment,
    /// Who took it.
    #[serde(default)]
    pub who: String,
    /// When the tool had last been zeroed.
    #[serde(default)]
    pub zeroed_at: Option<Moment>,
    /// Minutes since the load was wrapped, when known.
    #[serde(default)]
    pub minutes_since_wrapping: Option<f64>,
    /// Temperature of the film in degrees Celsius, when known.
    #[serde(default)]
    pub film_temperature_celsius: Option<f64>,
    /// Anything else.
    #[serde(default)]
    pub notes: String,
}

impl Reading {
    /// Length of the face it was taken on: as written with a pull-plate reading, else that of the
    /// load's face; `None` where neither is known.
    #[must_use]
    pub fn face_length(&self, load: &Load) -> Option<Length> {
        let written = match &self.measure {
            Measure::PullPlate(pull) => pull.face_length.as_ref(),
            Measure::TorsionTool(_) => None,
        };
        match (written, self.face) {
            (Some(length), _) => Some(length.value),
            (None, Some(face)) => load.face_length(face),
            (None, None) => None,
        }
    }
}

impl Entity for Reading {
    const KIND: Kind = Kind::Reading;

    fn parents(&self) -> Vec<Option<Uuid>> {
        vec![Some(self.load.uuid()), uuid_of(self.tool)]
    }

    fn search_text(&self) -> String {
        phrases([&self.notes])
    }

    fn tool_needed(&self) -> Option<(Id<Tool>, ToolKind)> {
        self.tool
            .map(|tool| (tool, ToolKind::of(self.measure.method())))
    }

    fn check(&self) -> Result<(), ContentError> {
        if self.order == 0 {
            return Err(ContentError::new(
                "order",
                word!("readings are numbered from 1"),
            ));
        }
        if self
            .minutes_since_wrapping
            .is_some_and(|minutes| !minutes.is_finite() || minutes < 0.0)
        {
            return Err(ContentError::new(
                "minutes_since_wrapping",
                word!("the time since wrapping is zero or more"),
            ));
        }
        if self
            .film_temperature_celsius
            .is_some_and(|celsius| !celsius.is_finite() || !(-60.0..=80.0).contains(&celsius))
        {
            return Err(ContentError::new(
                "film_temperature_celsius",
                word!("write the film's temperature in degrees Celsius, between -60 and 80"),
            ));
        }
        Ok(())
    }
}
