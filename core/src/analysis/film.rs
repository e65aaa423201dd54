//! Film weighed.

use crate::survey::{FilmWeight, Record};
use crate::units::Mass;

use super::containment::CONFIDENCE;
use super::statistics::{Interval, Summary, mean_interval, summarise};

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
    /// Student-t interval of the mean over the weighings, in kilograms; `None` below two.
    ///
    /// With unlike numbers of loads weighed together this treats each weighing alike.
    pub interval: Option<Interval>,
}

/// Film mass per load from the weighings in use; `None` without any.
#[must_use]
pub fn film_per_load(weights: &[Record<FilmWeight>]) -> Option<FilmPerLoad> {
    let mut loads = 0_u32;
    let mut net_kg = 0.0;
    let mut per_load = Vec::new();
    for weight in weights.iter().filter(|weight| weight.set_aside.is_none()) {
        let net = net_mass(weight)?;
        loads = loads.checked_add(weight.loads_together)?;
        net_kg += net.kg();
        per_load.push(net.kg() / f64::from(weight.loads_together));
    }
    let summary = summarise(&per_load).ok()?;
    Some(FilmPerLoad {
        loads,
        mass: Mass::from_kg(net_kg / f64::from(loads)).ok()?,
        interval: mean_interval(&summary, CONFIDENCE),
        summary,
    })
}
