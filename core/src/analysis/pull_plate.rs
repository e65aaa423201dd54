//! What the geometry of a pull-plate reading says: the tension behind it, and how readings on
//! faces of unlike length compare.
//!
//! For the pull plate only: the torsion tool's reading depends on its own lever and turn, and the
//! types keep it out of here.

use std::fmt;

use thiserror::Error;

use crate::survey::{Load, PlateReference, PullReading, Reading};
use crate::units::{Containment, Force, Length, PullPlate, Ratio};

/// One inch in metres.
const INCH_M: f64 = 0.0254;

/// The least film to either side of the plate: on less, a small slip in the place changes the
/// reading too much (common practice, no source). 4 in.
const LEAST_FREE_M: f64 = 4.0 * INCH_M;

/// The longest face or distance that is taken for one, in metres: longer ones are a wrong unit.
const LONGEST_M: f64 = 10.0;

/// The least pull that is taken for one, in metres.
const LEAST_PULL_M: f64 = 1e-3;

/// Why nothing can be worked out from the place of a pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum PullPlaceError {
    /// The face length is not known.
    #[error(
        "the length of the face is not known: measure it, since a pull-plate reading depends on it"
    )]
    NoFaceLength,
    /// No pull.
    #[error("the plate was not pulled out: write how far it was pulled, usually 4 in (102 mm)")]
    NotPulled,
    /// A plate without size.
    #[error("a plate is wider than nothing: write its width, usually 6 in (152 mm)")]
    NoPlate,
    /// The plate sits at the corner.
    #[error(
        "the plate is too near the corner: leave at least 4 in (102 mm) of film between the \
         corner and the edge of the plate"
    )]
    TooNearCorner,
    /// The plate reaches to the far corner or nearly so.
    #[error(
        "the face is too short for this place: less than 4 in (102 mm) of film is left between \
         the plate and the far corner; read a longer face, or measure nearer the corner and \
         write how far from it"
    )]
    FaceTooShort,
    /// Pulled further than the face is long, or lengths no load has.
    #[error("these lengths do not belong to a load: check the unit they were entered in")]
    WrongUnit,
}

/// Where the plate was set and how far it was pulled: all that F = k T' needs.
///
/// The film is taken as a straight band between the two corners of the face, of length L. The
/// plate, w wide, holds it d off the face; a is left between the near corner and the plate, and
/// b = L − a − w between the plate and the far corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PullGeometry {
    near_m: f64,
    far_m: f64,
    pulled_m: f64,
    face_m: f64,
}

impl PullGeometry {
    /// The geometry of a pull `pulled` far, on a face `face` long, with a plate `plate` wide that
    /// stands `from_side` from the corner, measured to its near edge or its centre.
    ///
    /// With s the distance from the side and w the width of the plate: a = s to the near edge,
    /// a = s − w/2 to the centre; b = L − a − w. Plain geometry.
    ///
    /// # Errors
    /// When the plate was not pulled, the face is too short for it, it stands at the corner, or
    /// the lengths are not those of a load.
    pub fn new(
        pulled: Length,
        face: Length,
        plate: Length,
        from_side: Length,
        reference: PlateReference,
    ) -> Result<Self, PullPlaceError> {
        let (pulled_m, face_m, plate_m) = (pulled.m(), face.m(), plate.m());
        if pulled_m < LEAST_PULL_M {
            return Err(PullPlaceError::NotPulled);
        }
        if plate_m <= 0.0 {
            return Err(PullPlaceError::NoPlate);
        }
        if face_m > LONGEST_M || from_side.m() > LONGEST_M || plate_m > LONGEST_M {
            return Err(PullPlaceError::WrongUnit);
        }
        let near_m = match reference {
            PlateReference::NearEdge => from_side.m(),
            PlateReference::Centre => from_side.m() - plate_m / 2.0,
        };
        let far_m = face_m - near_m - plate_m;
        // Lengths in inches do not come out even in metres: a hair is not held against anyone.
        let least = LEAST_FREE_M - 1e-9;
        if near_m < least {
            return Err(PullPlaceError::TooNearCorner);
        }
        if far_m < least {
            return Err(PullPlaceError::FaceTooShort);
        }
        if pulled_m > face_m {
            return Err(PullPlaceError::WrongUnit);
        }
        Ok(Self {
            near_m,
            far_m,
            pulled_m,
            face_m,
        })
    }

    /// The geometry of a reading as written, with the usual place, pull and plate (18 in from the
    /// side, 4 in, 6 in across; common practice, no source) for what was left blank.
    ///
    /// `face` is the length of the face read, where the reading itself has none.
    ///
    /// # Errors
    /// As for [`Self::new`], and when no face length is known.
    pub fn of_reading(reading: &PullReading, face: Option<Length>) -> Result<Self, PullPlaceError> {
        let face = reading
            .face_length
            .as_ref()
            .map(|length| length.value)
            .or(face)
            .ok_or(PullPlaceError::NoFaceLength)?;
        let or_usual = |written: &Option<crate::units::Entered<Length>>, usual: f64| {
            written
                .as_ref()
                .map_or_else(|| inches(usual), |length| length.value)
        };
        Self::new(
            or_usual(&reading.pulled, PullReading::PULLED_IN),
            face,
            inches(PullReading::PLATE_IN),
            or_usual(&reading.from_side, PullReading::FROM_SIDE_IN),
            reading.plate_reference,
        )
    }

    /// The geometry of a reading on its load; `None` for a reading by the other method.
    #[must_use]
    pub fn of(load: &Load, reading: &Reading) -> Option<Result<Self, PullPlaceError>> {
        match &reading.measure {
            crate::survey::Measure::PullPlate(pull) => {
                Some(Self::of_reading(pull, reading.face_length(load)))
            }
            crate::survey::Measure::TorsionTool(_) => None,
        }
    }

    /// Film left between the near corner and the plate, a.
    #[must_use]
    pub fn near(&self) -> Length {
        metres(self.near_m)
    }

    /// Film left between the plate and the far corner, b.
    #[must_use]
    pub fn far(&self) -> Length {
        metres(self.far_m)
    }

    /// Length of the face, L.
    #[must_use]
    pub fn face(&self) -> Length {
        metres(self.face_m)
    }

    /// k in F = k T': the part of the band's tension that the scale sees, a bare number.
    ///
    /// ```text
    /// k = d/A + d/B      A = √(a² + d²)      B = √(b² + d²)
    /// ```
    ///
    /// with d the pull, a and b the film left to either side of the plate. Balance of forces on
    /// the plate: either side pulls it back with the part of its tension that points at the load.
    /// Assumes what [`PullAssumption`] lists. Plain geometry.
    #[must_use]
    pub fn factor(&self) -> f64 {
        let (near, far) = self.sides();
        self.pulled_m / near + self.pulled_m / far
    }

    /// How much longer the band was made by pulling, over its length, and so the stretch that the
    /// reading itself adds to the film: ε = (A − a + B − b)/L. Plain geometry.
    #[must_use]
    pub fn added_strain(&self) -> Ratio {
        let (near, far) = self.sides();
        // A − a = d²/(A + a): the difference of two nearly equal numbers would lose its digits.
        let longer = |hypotenuse: f64, side: f64| self.pulled_m.powi(2) / (hypotenuse + side);
        let strain = (longer(near, self.near_m) + longer(far, self.far_m)) / self.face_m;
        Ratio::from_fraction(strain).unwrap_or(Ratio::ZERO)
    }

    /// The tension in the band that the plate took hold of, all layers of it, at the pull:
    /// T' = F/k. It includes what the pull itself added.
    ///
    /// For checks of consistency only: how wide a band the plate takes hold of is not measured.
    #[must_use]
    pub fn tension(&self, reading: Containment<PullPlate>) -> TensionEstimate {
        // k is at least 2·1 mm/10 m here; a quotient too large to hold stays the largest number.
        let tension = reading.force().n() / self.factor();
        TensionEstimate(Force::from_n(tension.min(f64::MAX)).unwrap_or(Force::ZERO))
    }

    /// How far the reading moves with small slips in the place, to first order:
    ///
    /// ```text
    /// (1/k) dk/dd = (a²/A³ + b²/B³)/k      (1/k) dk/da = (−d a/A³ + d b/B³)/k
    /// ```
    ///
    /// the second with b = L − a − w. Plain geometry.
    #[must_use]
    pub fn sensitivity(&self) -> PullSensitivity {
        let (near, far) = self.sides();
        let k = self.factor();
        let by_pull = (self.near_m.powi(2) / near.powi(3) + self.far_m.powi(2) / far.powi(3)) / k;
        let by_place = self.pulled_m * (self.far_m / far.powi(3) - self.near_m / near.powi(3)) / k;
        let share = |value| Ratio::from_fraction(value).unwrap_or(Ratio::ZERO);
        PullSensitivity {
            quarter_inch_of_pull: share(by_pull * INCH_M / 4.0),
            inch_from_side: share(by_place * INCH_M),
        }
    }

    /// What a reading here is to be multiplied by to stand beside one taken at `other`, for the
    /// same tension of film: k(other)/k(here).
    ///
    /// On a face of 40 in the plate shows 1.205 times what it shows on one of 48 in, both at the
    /// usual place. Plain geometry, under the assumptions of [`PullAssumption`].
    #[must_use]
    pub fn correction_to(&self, other: &Self) -> FaceCorrection {
        FaceCorrection {
            factor: other.factor() / self.factor(),
            here: self.sensitivity(),
            there: other.sensitivity(),
        }
    }

    /// A and B: the film from the corners to the plate while it is pulled.
    fn sides(&self) -> (f64, f64) {
        (
            self.near_m.hypot(self.pulled_m),
            self.far_m.hypot(self.pulled_m),
        )
    }
}

/// A tension worked out from a pull-plate reading, never a measured one.
///
/// There is no way from here to a containment force: it can be shown, and compared with another
/// estimate, and no more.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TensionEstimate(Force);

impl TensionEstimate {
    /// The estimate in newtons.
    #[must_use]
    pub const fn newtons(self) -> f64 {
        self.0.n()
    }

    /// The estimate in pounds-force.
    #[must_use]
    pub const fn pounds_force(self) -> f64 {
        self.0.lbf()
    }
}

impl fmt::Display for TensionEstimate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "about {:.1} N ({:.2} lbf), an estimate",
            self.newtons(),
            self.pounds_force()
        )
    }
}

/// How a reading moves with the place, as a share of itself.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PullSensitivity {
    /// For a quarter of an inch (6.35 mm) more pull.
    pub quarter_inch_of_pull: Ratio,
    /// For one inch (25.4 mm) further from the side.
    pub inch_from_side: Ratio,
}

/// What joins two pull-plate readings taken on faces, or at places, that are not alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceCorrection {
    /// Multiply the reading taken here by this, a bare number.
    pub factor: f64,
    /// How a reading here moves with the place.
    pub here: PullSensitivity,
    /// How a reading there moves with the place.
    pub there: PullSensitivity,
}

impl fmt::Display for FaceCorrection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "times {:.3}, worked out from the two places and not measured",
            self.factor
        )
    }
}

/// What is taken for granted wherever k is used. The screen shows them beside the figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PullAssumption {
    /// Flat face, straight band.
    FlatFace,
    /// The corners hold the film.
    CornersHold,
    /// The width of film taken hold of.
    UnknownBand,
    /// The pull itself stretches.
    PullAdds,
}

impl PullAssumption {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::FlatFace,
        Self::CornersHold,
        Self::UnknownBand,
        Self::PullAdds,
    ];
}

impl fmt::Display for PullAssumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::FlatFace => {
                "The face is flat and the film lies straight across it from corner to corner."
            }
            Self::CornersHold => "The film does not slip round the corners while it is pulled.",
            Self::UnknownBand => {
                "How wide a band of film the plate takes hold of is not measured, so the tension \
                 is an estimate for comparing readings with each other."
            }
            Self::PullAdds => {
                "The pull itself stretches the film, so the estimate is higher than the tension \
                 before the reading."
            }
        })
    }
}

fn inches(value: f64) -> Length {
    Length::from_in(value).unwrap_or(Length::ZERO)
}

fn metres(value: f64) -> Length {
    Length::from_m(value).unwrap_or(Length::ZERO)
}
