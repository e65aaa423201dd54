//! What came of a plan.

use crate::analysis::containment::ZoneName;
use crate::analysis::film::{FilmPerLoad, film_per_load};
use crate::analysis::statistics::{Summary, summarise};
use crate::survey::{Id, Load, Planned, Record, RecordSet, Setup};
use crate::units::{Containment, Length, Method};

use super::pulls::Pull;
use super::run::{RunsAs, film_runs};

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
    /// Pull-plate readings on faces of another length than those the plan was made from: they show
    /// more or less at the same film tension, and are not laid beside it.
    pub other_faces: usize,
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
        let load = records.loads.iter().find(|other| other.id == load)?;
        (load.setup == setup.id && load.set_aside.is_none()).then_some(load)
    };
    let face = face_of_plan::<M>(records, setup, planned);
    let mut other_faces = 0;
    let mut taken: Vec<(ZoneName, f64)> = Vec::new();
    for reading in records
        .readings
        .iter()
        .filter(|reading| reading.set_aside.is_none())
    {
        let (Some(load), Some(zone), Some(value)) = (
            on_setup(reading.load),
            ZoneName::of(&reading.zone),
            reading.measure.containment::<M>(),
        ) else {
            continue;
        };
        if face.is_none_or(|face| Pull::of(load, reading).may_be_on(face)) {
            taken.push((zone, value.force().n()));
        } else {
            other_faces += 1;
        }
    }
    let zones = ZoneName::ALL
        .into_iter()
        .filter_map(|zone| {
            let (expected, lower) = planned.zone::<M>(&zone.zone())?;
            let here = taken.iter().filter(|(of, _)| *of == zone);
            let values: Vec<f64> = here.map(|(_, n)| *n).collect();
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
        .filter(|weight| on_setup(weight.load).is_some())
        .cloned()
        .collect();
    Some(Outcome {
        zones,
        other_faces,
        film_expected_kg: planned.film.as_ref().map(|film| film.value.kg()),
        film: film_per_load(&weights, &records.tools),
    })
}

/// The length of the faces that the readings behind a plan were taken on, where it matters.
fn face_of_plan<M: Method>(
    records: &RecordSet,
    setup: &Record<Setup>,
    planned: &Planned,
) -> Option<Length> {
    let from: Vec<&Record<Setup>> = records
        .setups
        .iter()
        .filter(|other| other.id != setup.id && planned.from.contains(&other.id))
        .collect();
    let own = RunsAs::of(setup);
    let mut runs = film_runs::<M>(records, &from).into_iter();
    let (_, run) = runs.find(|(runs_as, _)| *runs_as == own)?;
    run.ok()?.face
}
