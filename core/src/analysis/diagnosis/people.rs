//! Whether people read the same differently.

use std::collections::BTreeMap;

use crate::analysis::containment::ZoneName;
use crate::analysis::statistics::anova::one_way;
use crate::units::Method;

use super::evidence::{SetupEvidence, Zones};
use super::finding::{Hit, Shown};
use super::words;

/// The chance at which people are held to read differently.
const SIGNIFICANCE: f64 = 0.05;

/// People who read the same zone of the same load by the same method, at least two of them twice
/// each, and whose means lie further apart than chance by one-way analysis of variance.
///
/// A reading alters the film, so they read neighbouring places: the scatter of one person holds
/// that of the places as well.
pub(super) fn differ<M: Method>(setup: &SetupEvidence<'_>, by: &Zones<M>) -> Option<Hit> {
    let who_read = |record| {
        let reading = setup
            .readings
            .iter()
            .find(|reading| reading.reference() == record)?;
        let who = reading.who.trim();
        (!who.is_empty()).then_some(who)
    };
    for zone in ZoneName::ALL {
        for load in &setup.loads {
            let mut people: BTreeMap<&str, Vec<_>> = BTreeMap::new();
            for reading in by.of(zone).iter().filter(|reading| reading.load == load.id) {
                if let Some(who) = who_read(reading.record) {
                    people.entry(who).or_default().push(reading);
                }
            }
            people.retain(|_, readings| readings.len() > 1);
            let groups: Vec<Vec<f64>> = people
                .values()
                .map(|readings| readings.iter().map(|one| one.value.force().n()).collect())
                .collect();
            let differs = one_way(&groups)
                .ok()
                .and_then(|table| table.test)
                .is_some_and(|test| test.shows_effect(SIGNIFICANCE));
            if !differs {
                continue;
            }
            let means: Vec<String> = people
                .iter()
                .zip(&groups)
                .filter_map(|((who, _), values)| {
                    let mean = crate::analysis::statistics::summarise(values).ok()?.mean;
                    Some(format!("{who} {mean:.1} N"))
                })
                .collect();
            let what = format!(
                "People read load {} differently by the {} at the {}: {}, further apart than \
                 chance.",
                load.name,
                words::tool(M::ID),
                zone.as_str(),
                means.join(", ")
            );
            let records = people.values().flatten().map(|reading| reading.record);
            return Some(Hit::new(what, Shown::new(records)?));
        }
    }
    None
}
