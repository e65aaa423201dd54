//! Film weighed.

use crate::survey::{FilmRoll, FilmWeight, Record, Tool};
use crate::units::{Density, Length, Mass, Ratio, Thickness};

use super::containment::CONFIDENCE;
use super::statistics::{Interval, Summary, mean_interval_with_resolution, summarise};

/// Step of a film scale where none is written, in kilograms: 0.1 oz (common practice, no source).
const USUAL_SCALE_STEP_KG: f64 = 0.002_834_952_312_5;

/// The step of the scale a film was weighed on, as written of it among `tools`; `None` where it is
/// not, or is zero.
#[must_use]
pub fn written_scale_step(weight: &FilmWeight, tools: &[Record<Tool>]) -> Option<Mass> {
    let id = weight.tool?;
    let scale = tools.iter().find(|tool| tool.id == id)?;
    let step = scale.mass_step.as_ref()?.value;
    (step > Mass::ZERO).then_some(step)
}

/// The step of the scale in kilograms: the usual one where none is written.
pub(in crate::analysis) fn scale_step_kg(weight: &FilmWeight, tools: &[Record<Tool>]) -> f64 {
    written_scale_step(weight, tools).map_or(USUAL_SCALE_STEP_KG, Mass::kg)
}

/// What the step d of the scale alone leaves uncertain of one net mass, in kilograms: d/√12 where
/// it was read once, d/√6 where it was read for the gross and for a tare (JCGM 100:2008 (GUM),
/// F.2.2.1).
///
/// Films that fall on the same step all err alike, so that of several these are to be added, and
/// not their squares: more weighings make nothing surer that the scale does not show.
pub(in crate::analysis) fn left_by_scale_kg(weight: &FilmWeight, tools: &[Record<Tool>]) -> f64 {
    let times: f64 = if weight.tare.is_some() { 2.0 } else { 1.0 };
    scale_step_kg(weight, tools) * (times / 12.0).sqrt()
}

/// Net mass of one weighing: gross less tare, in kilograms. Gross alone where the scale was
/// zeroed under the bag.
///
/// `None` when the tare is as much as the gross: then there was no film on the scale.
#[must_use]
pub fn net_mass(weight: &FilmWeight) -> Option<Mass> {
    let tare = weight.tare.as_ref().map_or(0.0, |tare| tare.value.kg());
    let net = weight.gross.value.kg() - tare;
    if net > 0.0 {
        Mass::from_kg(net).ok()
    } else {
        None
    }
}

/// Film mass per load over several weighings.
#[derive(Debug, Clone, PartialEq)]
pub struct FilmPerLoad {
    /// Loads weighed in all.
    pub loads: u32,
    /// Film mass per load: all net mass over all loads.
    pub mass: Mass,
    /// Over the weighings, each per load, in kilograms.
    pub summary: Summary,
    /// Student-t interval of the mean over the weighings, in kilograms; `None` below two. The
    /// standard error is no less than what the step of the scale leaves uncertain of one.
    ///
    /// With unlike numbers of loads weighed together this treats each weighing alike.
    pub interval: Option<Interval>,
}

/// Film mass per load from the weighings in use; `None` without any. `tools` has the
/// scales: only the interval asks for them.
#[must_use]
pub fn film_per_load(
    weights: &[Record<FilmWeight>],
    tools: &[Record<Tool>],
) -> Option<FilmPerLoad> {
    let mut loads = 0_u32;
    let mut net_kg = 0.0;
    let mut per_load = Vec::new();
    let mut by_scale = 0.0;
    for weight in weights.iter().filter(|weight| weight.set_aside.is_none()) {
        let net = net_mass(weight)?;
        loads = loads.checked_add(weight.loads_together)?;
        net_kg += net.kg();
        let together = f64::from(weight.loads_together);
        per_load.push(net.kg() / together);
        by_scale += left_by_scale_kg(weight, tools) / together;
    }
    let summary = summarise(&per_load).ok()?;
    // The step d of which d/√12 over the root of the number is what the scale leaves in their mean.
    let weighings = f64::from(u32::try_from(summary.n).ok()?);
    let step = by_scale / weighings * (12.0 * weighings).sqrt();
    Some(FilmPerLoad {
        loads,
        mass: Mass::from_kg(net_kg / f64::from(loads)).ok()?,
        interval: mean_interval_with_resolution(&summary, CONFIDENCE, step),
        summary,
    })
}

/// Length of film on a roll by its mass, in metres: L = m / (rho w t), with m the net mass, rho the
/// density, w the width and t the thickness. A strip of film is a flat box; the formula is its
/// volume solved for the length.
///
/// `None` when one of them is zero.
#[must_use]
pub fn roll_length(
    net_mass: Mass,
    density: Density,
    width: Length,
    thickness: Thickness,
) -> Option<Length> {
    let area_m2 = width.m() * thickness.m();
    let per_metre_kg = density.kg_per_m3() * area_m2;
    if per_metre_kg > 0.0 {
        Length::from_m(net_mass.kg() / per_metre_kg).ok()
    } else {
        None
    }
}

/// Mass of a length of film, m = rho w t L, with rho the density, w the width, t the thickness and
/// L the length, all of film that is not stretched: the volume of a flat box times its density.
///
/// `None` when it is too much to be a mass.
#[must_use]
pub fn strip_mass(
    length: Length,
    density: Density,
    width: Length,
    thickness: Thickness,
) -> Option<Mass> {
    Mass::from_kg(density.kg_per_m3() * width.m() * thickness.m() * length.m()).ok()
}

/// Area of film to the mass, its yield, 1 / (rho t) in square metres to the kilogram.
///
/// Named after ISO 4591, which calls this the yield of a film. `None` when density or thickness is
/// zero.
#[must_use]
pub fn film_yield(density: Density, thickness: Thickness) -> Option<f64> {
    let area = 1.0 / (density.kg_per_m3() * thickness.m());
    area.is_finite().then_some(area)
}

/// Average thickness of a cut piece by its weight, t = m / (rho L w), with m its mass, rho the
/// density, L its length and w its width, unstretched.
///
/// The way of ISO 4591, "Plastics: Film and sheeting: Determination of average thickness of a
/// sample, and average thickness and yield of a roll, by gravimetric techniques (gravimetric
/// thickness)". `None` when nothing was weighed, or a side or the density is zero.
#[must_use]
pub fn thickness_by_weight(
    mass: Mass,
    density: Density,
    length: Length,
    width: Length,
) -> Option<Thickness> {
    let metres = mass.kg() / (density.kg_per_m3() * length.m() * width.m());
    Thickness::from_m(metres)
        .ok()
        .filter(|thickness| *thickness > Thickness::ZERO)
}

/// How much narrower film lies on the load than on the roll, (w - w1) / w. Plain geometry.
///
/// `None` when the roll's width is zero, or the film is wider on the load than on the roll, which
/// stretched film is not: one of the widths is wrong.
#[must_use]
pub fn neck_in(width: Length, width_on_load: Length) -> Option<Ratio> {
    if width > Length::ZERO && width_on_load <= width {
        Ratio::from_fraction(1.0 - width_on_load / width).ok()
    } else {
        None
    }
}

/// Thickness of film as it lies on the load, t1 = t w / (w1 (1 + s)), with t and w thickness and
/// width on the roll, w1 the width on the load and s the overall stretch. Assumes that the volume
/// of the film stays the same.
///
/// `None` when the width on the load is zero, or the stretch -100 % or less.
#[must_use]
pub fn thickness_on_load(
    thickness: Thickness,
    width: Length,
    width_on_load: Length,
    overall_stretch: Ratio,
) -> Option<Thickness> {
    let grown = 1.0 + overall_stretch.fraction();
    if width_on_load > Length::ZERO && grown > 0.0 {
        Thickness::from_um(thickness.um() * (width / width_on_load) / grown).ok()
    } else {
        None
    }
}

/// Length that film cut off a load had on the roll, U = m / (rho w t), by its mass m and the
/// density rho, width w and thickness t of the film on the roll. [`roll_length`] under another
/// name.
///
/// `None` when one of them is zero.
#[must_use]
pub fn unstretched_length(
    net_mass: Mass,
    density: Density,
    width: Length,
    thickness: Thickness,
) -> Option<Length> {
    roll_length(net_mass, density, width, thickness)
}

/// How much more the film on a roll weighs than its label's length, width and thickness make it:
/// m / (rho w t L) - 1, with m the net mass. Less than zero where the roll holds less film, or
/// thinner, than it says; more than some hundredths either way is worth a question (common
/// practice, no source).
///
/// `None` when one of the five is not written, or zero.
#[must_use]
pub fn roll_against_label(roll: &FilmRoll) -> Option<Ratio> {
    let by_label = strip_mass(
        roll.length.as_ref()?.value,
        roll.density.as_ref()?.value,
        roll.width.as_ref()?.value,
        roll.nominal_thickness.as_ref()?.value,
    )?;
    let net = roll.net_mass.as_ref()?.value;
    if by_label > Mass::ZERO && net > Mass::ZERO {
        Ratio::from_fraction(net / by_label - 1.0).ok()
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_roll_weighs_what_its_film_does() {
        // Film volumes worked by hand: 36 lb net, 20 in wide, 60 gauge, 0.918 g/cm3 is 7538.1 ft;
        // yield at 1 mil for 0.918 g/cm3 is 30152.4 in2/lb (from the definitions of inch and
        // pound; the trade rounds to 30,000).
        let density = Density::from_g_per_cm3(0.918).unwrap();
        let length = roll_length(
            Mass::from_lb(36.0).unwrap(),
            density,
            Length::from_in(20.0).unwrap(),
            Thickness::from_gauge(60.0).unwrap(),
        )
        .unwrap();
        assert!((length.ft() - 7_538.100).abs() < 0.001, "{}", length.ft());
        let pound = roll_length(
            Mass::from_lb(1.0).unwrap(),
            density,
            Length::from_in(1.0).unwrap(),
            Thickness::from_mil(1.0).unwrap(),
        )
        .unwrap();
        assert!(
            (pound.inches() - 30_152.40).abs() < 0.005,
            "{}",
            pound.inches()
        );
        let nothing = roll_length(
            Mass::from_lb(1.0).unwrap(),
            density,
            Length::ZERO,
            Thickness::from_mil(1.0).unwrap(),
        );
        assert_eq!(nothing, None);
    }
}
