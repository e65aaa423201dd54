//! The load a plan is made for, and where readings are taken on it.

use crate::analysis::containment::ZoneName;
use crate::analysis::pattern::{Wrapped, reading_place};
use crate::survey::{Id, Load, Measure, Moment, Reading, Record, RecordSet, Setup};
use crate::units::{Entered, Force, Method};

use super::proposal::PlanError;
use super::run::FilmRun;
use super::search::Engaged;

/// The setup's load with the most readings by the method whose shape is known.
pub(super) fn load_of<'a, M: Method>(
    records: &'a RecordSet,
    setup: &Record<Setup>,
) -> Result<&'a Record<Load>, PlanError> {
    let readings = |load: &Record<Load>| {
        records
            .readings
            .iter()
            .filter(|reading| reading.set_aside.is_none() && reading.load == load.id)
            .filter(|reading| reading.measure.method() == M::ID)
            .count()
    };
    records
        .loads
        .iter()
        .filter(|load| load.set_aside.is_none() && load.setup == setup.id)
        .filter(|load| Wrapped::of(load).is_ok())
        // Of two with as many, the one noted first.
        .max_by_key(|load| (readings(load), std::cmp::Reverse(load.id)))
        .ok_or(PlanError::NoLoad)
}

/// Where readings are taken on a load: where they were, else at the usual places. A zone that no
/// film was read in is not judged; its layers are those of the whole height.
pub(super) fn engaged<M: Method>(
    records: &RecordSet,
    load: &Record<Load>,
    wrapped: &Wrapped,
    runs: &[FilmRun<M>],
) -> Result<[Engaged; 3], PlanError> {
    let mut places = [Engaged {
        from_m: 0.0,
        to_m: wrapped.height.m(),
    }; 3];
    for (place, zone) in places.iter_mut().zip(ZoneName::ALL) {
        let taken = records.readings.iter().find(|reading| {
            reading.set_aside.is_none()
                && reading.load == load.id
                && reading.measure.method() == M::ID
                && ZoneName::of(&reading.zone) == Some(zone)
        });
        let at = match taken {
            Some(reading) => reading_place(load, reading),
            None => reading_place(load, &usual_reading::<M>(load.id, zone)),
        };
        let at = match at {
            Err(_) if runs.iter().all(|run| run.fit_of(zone).is_none()) => continue,
            at => at?,
        };
        *place = Engaged {
            from_m: at.from_m,
            to_m: at.to_m,
        };
    }
    Ok(places)
}

/// A reading at the usual place of its zone.
fn usual_reading<M: Method>(load: Id<Load>, zone: ZoneName) -> Reading {
    let none = Entered {
        value: Force::ZERO,
        text: String::new(),
    };
    Reading {
        load,
        tool: None,
        zone: zone.zone(),
        face: None,
        measure: Measure::new(M::ID, none),
        order: 1,
        taken_at: Moment::default(),
        who: String::new(),
        zeroed_at: None,
        minutes_since_wrapping: None,
        film_temperature_celsius: None,
        notes: String::new(),
    }
}
