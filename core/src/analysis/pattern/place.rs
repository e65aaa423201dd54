//! The heights at which a reading takes hold of the film.

use super::Assumption;
use crate::language::Language;
use crate::say;
use crate::survey::{Load, Measure, PullReading, Reading, Zone};
use crate::units::{Length, M_PER_IN, MethodId};

/// Length of the torsion tool's prongs in inches (common practice, no source).
const PRONGS_IN: f64 = 10.0;

/// How far below the top the torsion tool is used, in inches (common practice, no source).
const TORSION_FROM_TOP_IN: f64 = 10.0;

/// Height of film a tool takes hold of: 10 in for the torsion tool's prongs, 6 in for the pull
/// plate (common practice, no source). Film above and below the pull plate is bent as well; how
/// far is not known and not counted.
#[must_use]
pub fn engaged_height(method: MethodId) -> Length {
    let inches = match method {
        MethodId::TorsionTool => PRONGS_IN,
        MethodId::PullPlate => PullReading::PLATE_IN,
    };
    Length::from_in(inches).unwrap_or(Length::ZERO)
}

/// Where a reading takes hold of the film, in metres above the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// The height of the reading.
    pub at_m: f64,
    /// Lowest film it takes hold of.
    pub from_m: f64,
    /// Highest film it takes hold of.
    pub to_m: f64,
    /// What is taken for granted.
    pub assumptions: Vec<Assumption>,
}

/// Why the height of a reading is not known, and what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum PlaceError {
    /// The load has no height.
    NoHeight,
    /// The top reading would lie in the lower half.
    TooShort,
    /// The reading's place lies beyond the load.
    OffTheLoad,
}

impl PlaceError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::NoHeight => say!(
                language,
                "the load's height is not written: measure it from the floor, pallet included"
            ),
            Self::TooShort => say!(
                language,
                "the load is too short for a reading this far from its top or bottom: it falls into the \
         other half; read a short load in the middle only, or write a smaller distance"
            ),
            Self::OffTheLoad => say!(
                language,
                "the reading's place lies above the top of the load or under the floor: check the load's \
         height and the reading's height or distance from the top"
            ),
        }
    }
}

/// Height of a reading and the band of film it takes hold of.
///
/// With H the load's height: a reading at a height lies there; one in the middle at H / 2; one at
/// the top at H - d, with d the distance from the top as written for the pull plate or else 10 in;
/// one at the bottom at d (common practice, no source). The band lies half above and half below,
/// as far as the load goes.
///
/// # Errors
/// When the load's height is not written, the place is not on the load, or a top or bottom reading
/// lies in the other half.
pub fn reading_place(load: &Load, reading: &Reading) -> Result<Place, PlaceError> {
    let height_m = load.height.as_ref().ok_or(PlaceError::NoHeight)?.value.m();
    let mut assumptions = Vec::new();
    let written = match &reading.measure {
        Measure::PullPlate(pull) => pull.from_top.as_ref().map(|from_top| from_top.value.m()),
        Measure::TorsionTool(_) => None,
    };
    let usual = match reading.measure.method() {
        MethodId::TorsionTool => TORSION_FROM_TOP_IN,
        MethodId::PullPlate => PullReading::FROM_TOP_IN,
    };
    let from_top_m = written.unwrap_or(usual * M_PER_IN);
    let at_m = match &reading.zone {
        Zone::Height(at) => at.value.m(),
        Zone::Middle => 0.5 * height_m,
        Zone::Top => {
            if written.is_none() {
                assumptions.push(Assumption::UsualTopPlace);
            }
            height_m - from_top_m
        }
        Zone::Bottom => {
            if written.is_none() {
                assumptions.push(Assumption::UsualTopPlace);
            }
            assumptions.push(Assumption::BottomMirrorsTop);
            from_top_m
        }
    };
    if !(0.0..=height_m).contains(&at_m) {
        return Err(PlaceError::OffTheLoad);
    }
    let at_an_end = matches!(reading.zone, Zone::Top | Zone::Bottom);
    if at_an_end && from_top_m * 2.0 > height_m + 1e-9 {
        return Err(PlaceError::TooShort);
    }
    let half_m = 0.5 * engaged_height(reading.measure.method()).m();
    Ok(Place {
        at_m,
        from_m: (at_m - half_m).max(0.0),
        to_m: (at_m + half_m).min(height_m),
        assumptions,
    })
}
