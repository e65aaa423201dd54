//! What came of a plan.

use crate::analysis::containment::ZoneName;
use crate::analysis::film::{FilmPerLoad, film_per_load};
use crate::analysis::statistics::{Summary, summarise};
use crate::survey::{Id, Load, Planned, Record, RecordSet, Setup};
use crate::units::{Containment, Method};

/// A zone of a planned setup, as it was expected and as it turned out.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneOutcome<M: Method> {
    /// The zone.
    pub zone: ZoneName,
    /// The mean that was expected.
    pub expected: Containment<M>,
    /// The force it was to reach with the plan's confidence.
    pub lower: Containment<M>,
    /// What was measured since, in newtons; `None` without readings.
    pub measured: Option<Summary>,
    /// Whether every reading kept to the bound; `None` without readings.
    pub kept: Option<bool>,
}

/// A planned setup, as it was expected and as it turned out.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome<M: Method> {
    /// Zone by zone, those that were planned.
    pub zones: Vec<ZoneOutcome<M>>,
    /// Film a load in kilograms, as expected.
    pub film_expected_kg: Option<f64>,
    /// Film a load, as weighed since.
    pub film: Option<FilmPerLoad>,
}

/// Lays what was measured on a planned setup beside what was expected of it; `None` when it was
/// not planned, or by the other method.
#[must_use]
pub fn outcome<M: Method>(records: &RecordSet, setup: &Record<Setup>) -> Option<Outcome<M>> {
    let planned: &Planned = setup.planned.as_ref()?;
    if planned.method != M::ID {
        return None;
    }
    let on_setup = |load: Id<Load>| {
        records
            .loads
            .iter()
            .any(|other| other.id == load && other.setup == setup.id && other.set_aside.is_none())
    };
    let zones = ZoneName::ALL
        .into_iter()
        .filter_map(|zone| {
            let (expected, lower) = planned.zone::<M>(&zone.zone())?;
            let values: Vec<f64> = records
                .readings
                .iter()
                .filter(|reading| reading.set_aside.is_none() && on_setup(reading.load))
                .filter(|reading| ZoneName::of(&reading.zone) == Some(zone))
                .filter_map(|reading| Some(reading.measure.containment::<M>()?.force().n()))
                .collect();
            let measured = summarise(&values).ok();
            Some(ZoneOutcome {
                zone,
                expected,
                lower,
                kept: measured.map(|measured| measured.min >= lower.force().n()),
                measured,
            })
        })
        .collect();
    let weights: Vec<_> = records
        .film_weights
        .iter()
        .filter(|weight| on_setup(weight.load))
        .cloned()
        .collect();
    Some(Outcome {
        zones,
        film_expected_kg: planned.film.as_ref().map(|film| film.value.kg()),
        film: film_per_load(&weights),
    })
}
