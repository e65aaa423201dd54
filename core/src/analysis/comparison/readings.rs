//! The readings of two setups, by load, and put together by length of face.

use super::{Comparison, Criteria, FilmComparison, FilmError, compare, compare_film};
use crate::analysis::containment::{Taken, ZoneName, ZoneTargets, faces_alike, taken, targets_for};
use crate::survey::{FilmWeight, Id, Load, Record, RecordSet, Setup};
use crate::units::{Method, MethodId};

/// The readings of one load.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadReadings<M: Method> {
    /// The load.
    pub load: Id<Load>,
    /// Its readings in use.
    pub taken: Vec<Taken<M>>,
}

/// The readings in use by method `M` of each load of a setup; loads without any are left out.
#[must_use]
pub fn load_readings<M: Method>(records: &RecordSet, setup: Id<Setup>) -> Vec<LoadReadings<M>> {
    loads_of(records, setup)
        .map(|load| {
            let own: Vec<_> = records
                .readings
                .iter()
                .filter(|reading| reading.load == load.id)
                .cloned()
                .collect();
            LoadReadings {
                load: load.id,
                taken: taken(load, &own),
            }
        })
        .filter(|load| !load.taken.is_empty())
        .collect()
}

/// Compares two setups of the record: [`compare`] of their readings by method `M`, against the
/// targets of the new setup's loads. Where those are of several classes of stability, the highest
/// target of each zone counts.
#[must_use]
pub fn compare_setups<M: Method>(
    records: &RecordSet,
    new: &Record<Setup>,
    old: Id<Setup>,
    criteria: Criteria,
) -> Comparison<M> {
    let mut targets: [ZoneTargets<M>; 3] = Default::default();
    for load in loads_of(records, new.id) {
        let own = targets_for::<M>(&records.targets, new.line, load.stability);
        for (highest, own) in targets.iter_mut().zip(own) {
            *highest = highest.highest(&own);
        }
    }
    compare(
        &load_readings(records, new.id),
        &load_readings(records, old),
        &targets,
        criteria,
    )
}

/// Compares the film per load of two setups of the record: [`compare_film`] of the weighings in
/// use of their loads, on the scales of the record.
///
/// # Errors
///
/// As for [`compare_film`].
pub fn compare_films(
    records: &RecordSet,
    new: Id<Setup>,
    old: Id<Setup>,
) -> Result<FilmComparison, FilmError> {
    let weighed = |setup| -> Vec<Record<FilmWeight>> {
        records
            .film_weights
            .iter()
            .filter(|weight| loads_of(records, setup).any(|load| load.id == weight.load))
            .cloned()
            .collect()
    };
    compare_film(&weighed(new), &weighed(old), &records.tools)
}

fn loads_of(records: &RecordSet, setup: Id<Setup>) -> impl Iterator<Item = &Record<Load>> {
    records
        .loads
        .iter()
        .filter(move |load| load.setup == setup && load.set_aside.is_none())
}

/// One zone on faces of like length: readings in newtons, by load.
pub(super) struct FaceGroup {
    /// The length in metres, where it matters and is known.
    pub(super) face_length_m: Option<f64>,
    /// The length matters, and that of some reading is not known.
    pub(super) unknown_face: bool,
    pub(super) new: Vec<Vec<f64>>,
    pub(super) old: Vec<Vec<f64>>,
}

/// Puts the readings of a zone together by length of face; none without readings.
pub(super) fn face_groups<M: Method>(
    zone: ZoneName,
    new: &[LoadReadings<M>],
    old: &[LoadReadings<M>],
) -> Vec<FaceGroup> {
    let matters = M::ID == MethodId::PullPlate;
    let here = || {
        new.iter()
            .chain(old)
            .flat_map(|load| &load.taken)
            .filter(|taken| taken.zone == zone)
    };
    if here().next().is_none() {
        return Vec::new();
    }
    let unknown = matters && here().any(|taken| length(taken).is_none());
    let mut lengths: Vec<f64> = here().filter_map(length).filter(|_| matters).collect();
    lengths.sort_by(f64::total_cmp);
    // Each class starts at its shortest face.
    let mut classes: Vec<f64> = Vec::new();
    for length in lengths {
        if classes
            .last()
            .is_none_or(|&first| !faces_alike(first, length))
        {
            classes.push(length);
        }
    }
    let group = |face_length_m: Option<f64>, belongs: &dyn Fn(&Taken<M>) -> bool| {
        let side = |loads: &[LoadReadings<M>]| {
            loads
                .iter()
                .map(|load| {
                    load.taken
                        .iter()
                        .filter(|taken| taken.zone == zone && belongs(taken))
                        .map(|taken| taken.value.force().n())
                        .collect::<Vec<f64>>()
                })
                .filter(|values| !values.is_empty())
                .collect::<Vec<_>>()
        };
        FaceGroup {
            face_length_m,
            unknown_face: unknown,
            new: side(new),
            old: side(old),
        }
    };
    if classes.len() <= 1 {
        return vec![group(classes.first().copied(), &|_| true)];
    }
    let mut groups: Vec<FaceGroup> = classes
        .iter()
        .map(|&first| {
            group(Some(first), &|taken| {
                length(taken).is_some_and(|m| m >= first && faces_alike(first, m))
            })
        })
        .collect();
    if unknown {
        groups.push(group(None, &|taken| length(taken).is_none()));
    }
    groups
}

/// The length of the face in metres, if it is one.
fn length<M: Method>(taken: &Taken<M>) -> Option<f64> {
    taken
        .face_length_m
        .filter(|length| length.is_finite() && *length > 0.0)
}
