//! Whether people read the same differently.

use std::collections::{BTreeMap, BTreeSet};

use crate::analysis::containment::ZoneName;
use crate::analysis::containment::people::{Between, PeopleSpread, compare};
use crate::language::{Language, Reader};
use crate::survey::{Face, Id, Load, RecordRef};
use crate::units::{Method, MethodId, PullPlate, TorsionTool};

use super::evidence::{LineEvidence, SetupEvidence, cloned};
use super::finding::{Hit, Shown};
use super::words;
use crate::{say, say_count};

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
    let Reader { units, language: l } = line.to;
    let what = say!(
        l,
        "{names} read differently by {tool}, further apart than chance: {between} between them, \
         where readings next to each other by one of them differ by {within} (standard deviations, \
         from {readings} at {places}).",
        names = list(&spread.names, l),
        tool = M::ID.the().said(l),
        between = words::newtons(units, spread.between_sd_n),
        within = words::newtons(units, spread.repeatability_sd_n),
        readings = say_count!(l, spread.used, "{n} reading", "{n} readings"),
        places = say_count!(l, spread.places, "{n} place", "{n} places")
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
fn list(names: &[String], l: Language) -> String {
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, others)) => say!(
            l,
            "{names} and {last}",
            names = others.join(", "),
            last = last
        ),
        None => String::new(),
    }
}
