//! Whether people read the same differently.

use std::collections::{BTreeMap, BTreeSet};

use crate::analysis::containment::ZoneName;
use crate::analysis::containment::people::{Between, PeopleSpread, compare};
use crate::survey::{Face, Id, Load, RecordRef};
use crate::units::{Method, MethodId, PullPlate, TorsionTool};

use super::evidence::{LineEvidence, SetupEvidence, cloned};
use super::finding::{Hit, Shown};
use super::words;

/// The chance at which people are held to read differently.
const SIGNIFICANCE: f64 = 0.05;

/// People who read the same places (load, zone and face) by method `M` and differ by more than
/// chance, over all the places they share at once: looked at place by place, chance alone would
/// find some place sooner or later. See [`compare`].
pub(super) fn differ<M: Method>(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Option<Hit> {
    let spread = spread::<M>(line, setup)?;
    if !spread
        .test
        .is_some_and(|test| test.shows_effect(SIGNIFICANCE))
    {
        return None;
    }
    let what = format!(
        "{} read differently by the {}, further apart than chance: {} between them, where \
         readings next to each other by one of them differ by {} \
         (standard deviations, from {} at {}).",
        list(&spread.names),
        words::tool(M::ID),
        words::newtons(line.units, spread.between_sd_n),
        words::newtons(line.units, spread.repeatability_sd_n),
        words::count(spread.used, "reading", "readings"),
        words::count(spread.places, "place", "places"),
    );
    Some(Hit::new(what, Shown::new(shared(setup, M::ID))?))
}

fn spread<M: Method>(
    line: &LineEvidence<'_>,
    setup: &SetupEvidence<'_>,
) -> Option<PeopleSpread<M>> {
    let readings = cloned(&setup.readings);
    compare(&readings, line.tools, Between::People, None).ok()
}

/// Whether people read enough of the same places, by one method at least, to be compared.
pub(super) fn comparable(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> bool {
    spread::<TorsionTool>(line, setup).is_some() || spread::<PullPlate>(line, setup).is_some()
}

/// The readings by that method at places that two or more people read.
fn shared(setup: &SetupEvidence<'_>, method: MethodId) -> Vec<RecordRef> {
    type Place = (Id<Load>, ZoneName, Option<Face>);
    let mut places: BTreeMap<Place, (BTreeSet<&str>, Vec<RecordRef>)> = BTreeMap::new();
    for reading in &setup.readings {
        let who = reading.who.trim();
        if let Some(zone) = ZoneName::of(&reading.zone)
            && reading.measure.method() == method
            && !who.is_empty()
        {
            let place = places.entry((reading.load, zone, reading.face));
            let (people, taken) = place.or_default();
            people.insert(who);
            taken.push(reading.reference());
        }
    }
    let by_two = places.into_values().filter(|(people, _)| people.len() > 1);
    by_two.flat_map(|(_, taken)| taken).collect()
}

/// Names as in a sentence.
fn list(names: &[String]) -> String {
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
        None => String::new(),
    }
}
