//! What a film weighs for a metre of its path round the load.

use crate::analysis::balance::{USUAL_DENSITY, on_roll, predicted_mass};
use crate::analysis::film::{net_mass, scale_step_kg};
use crate::analysis::pattern::Pattern;
use crate::analysis::statistics::regression::{Fit, Point, fit_through_origin};
use crate::analysis::statistics::summarise;
use crate::analysis::stretch::{MARKS_GOOD_TO_M, stretch_by_marks};
use crate::survey::{FilmRoll, Load, MarkPlace, Record, RecordSet, Setup, StretchMark};
use crate::units::{Density, Length, Ratio, Thickness};

use super::says::Assumption;

/// Where the mass of film for a metre of path comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FilmMass {
    /// Weighed film over the path of the programmes it was weighed on: m = g x path by least
    /// squares through the origin.
    Weighed {
        /// g in kilograms a metre, with its standard error.
        fit: Fit,
    },
    /// From the roll: g = rho w t / (1 + s), with its density rho, width w and thickness t, measured
    /// or else as on its label, and the stretch s.
    FromRoll {
        /// g in kilograms a metre.
        kg_per_m: f64,
    },
}

impl FilmMass {
    /// Kilograms of film for a metre of path round the load.
    #[must_use]
    pub const fn kg_per_m(&self) -> f64 {
        match self {
            Self::Weighed { fit } => fit.slope,
            Self::FromRoll { kg_per_m } => *kg_per_m,
        }
    }

    /// From weighings by path; `None` without any, or when they make no sense.
    pub(super) fn weighed(points: &[Point], step_kg: f64) -> Option<Self> {
        let fit = fit_through_origin(points, step_kg).ok()?;
        (fit.slope > 0.0).then_some(Self::Weighed { fit })
    }

    /// From the roll and the stretch; `None` where one of them is not known. Thickness and density
    /// are taken as the film balance takes them: measured on the roll where it was, and the usual
    /// density where none is written.
    pub(super) fn from_roll(
        records: &RecordSet,
        setups: &[&Record<Setup>],
        roll: &Record<FilmRoll>,
        assumptions: &mut Vec<Assumption>,
    ) -> Option<Self> {
        let a_metre = Length::from_m(1.0).ok()?;
        let stretch = Ratio::from_fraction(stretch(records, setups)?).ok()?;
        let measured: Vec<f64> = on_roll(&records.thicknesses, roll.id)
            .map(|one| one.value.value.m() / f64::from(one.plies))
            .collect();
        let (thickness, of_thickness) = match summarise(&measured) {
            Ok(summary) => (
                Thickness::from_m(summary.mean).ok()?,
                Assumption::FilmFromMeasures,
            ),
            Err(_) => (
                roll.nominal_thickness.as_ref()?.value,
                Assumption::FilmFromLabel,
            ),
        };
        let density = match &roll.density {
            Some(density) => density.value,
            None => Density::from_kg_per_m3(USUAL_DENSITY.0).ok()?,
        };
        let kg_per_m = predicted_mass(
            a_metre,
            stretch,
            density,
            roll.width.as_ref()?.value,
            thickness,
        )?
        .kg();
        if !(kg_per_m.is_finite() && kg_per_m > 0.0) {
            return None;
        }
        assumptions.push(of_thickness);
        if roll.density.is_none() {
            assumptions.push(Assumption::UsualDensity);
        }
        Some(Self::FromRoll { kg_per_m })
    }
}

/// The coarsest step of the scales the film of these loads was weighed on, in kilograms; the usual
/// one where none is written.
pub(super) fn coarsest_step_kg(records: &RecordSet, loads: &[&Record<Load>]) -> f64 {
    records
        .film_weights
        .iter()
        .filter(|weight| weight.set_aside.is_none())
        .filter(|weight| loads.iter().any(|load| load.id == weight.load))
        .map(|weight| scale_step_kg(weight, &records.tools))
        .fold(0.0, f64::max)
}

/// Film weighed on a load, by the path it was wrapped along.
pub(super) fn weighed_on(
    records: &RecordSet,
    load: &Record<Load>,
    pattern: &Pattern,
) -> Vec<Point> {
    records
        .film_weights
        .iter()
        .filter(|weight| weight.set_aside.is_none() && weight.load == load.id)
        .filter_map(|weight| {
            Some(Point {
                x: pattern.path().m() * f64::from(weight.loads_together),
                y: net_mass(weight)?.kg(),
            })
        })
        .collect()
}

/// The stretch by marks read on the load, else by marks read before it, else as set.
fn stretch(records: &RecordSet, setups: &[&Record<Setup>]) -> Option<f64> {
    let marks: Vec<Record<StretchMark>> = records
        .stretch_marks
        .iter()
        .filter(|mark| setups.iter().any(|setup| setup.id == mark.setup))
        .cloned()
        .collect();
    let good_to = Length::from_m(MARKS_GOOD_TO_M).ok()?;
    let marked = |place| Some(stretch_by_marks(&marks, place, good_to)?.mean.fraction());
    marked(MarkPlace::OnLoad)
        .or_else(|| marked(MarkPlace::BeforeLoad))
        .or_else(|| {
            let set = setups.first()?.settings.pre_stretch.as_ref()?;
            Some(set.value.fraction())
        })
}
