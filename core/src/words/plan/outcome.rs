//! A planned setup as it was expected and as it turned out.

use crate::analysis::plan::outcome;
use crate::survey::{Record, RecordSet, Setup};
use crate::units::{Method, UnitChoice};

use crate::words::Tone;
use crate::words::zone_name;
use crate::words::{Block, Fact};
use crate::words::{count, figures};

/// Predicted beside measured; empty where the setup was not planned by this method.
#[must_use]
pub fn outcome_block<M: Method>(
    records: &RecordSet,
    setup: &Record<Setup>,
    units: UnitChoice,
) -> Block {
    let Some(outcome) = outcome::<M>(records, setup) else {
        return Block::default();
    };
    let mut block = Block::default();
    for zone in &outcome.zones {
        let expected = figures::force(zone.expected.force(), units);
        let lower = figures::force(zone.lower.force(), units);
        let fact = match &zone.measured {
            None => Fact::new(zone_name(zone.zone), format!("{expected} expected"))
                .with(format!("to reach {lower} at least; not measured yet")),
            Some(measured) => Fact::new(
                zone_name(zone.zone),
                format!("{} measured", figures::newtons(measured.mean, units)),
            )
            .with(format!(
                "{expected} expected; the lowest, {}, {} the bound of {lower}",
                figures::newtons(measured.min, units),
                if zone.kept == Some(true) {
                    "keeps to"
                } else {
                    "is under"
                }
            )),
        };
        block.facts.push(fact);
    }
    if let Some(expected_kg) = outcome.film_expected_kg {
        let expected = figures::film(expected_kg, units);
        block.facts.push(match &outcome.film {
            Some(film) => Fact::new(
                "Film",
                format!("{} weighed", figures::film(film.mass.kg(), units)),
            )
            .with(film_detail(film.mass.kg(), expected_kg, units)),
            None => Fact::new("Film", format!("{expected} expected")).with("not weighed yet"),
        });
    }
    if outcome.other_faces > 0 {
        block.note(format!(
            "{} on faces of another length, and not laid beside the plan.",
            count(outcome.other_faces, "reading is", "readings are")
        ));
    }
    let kept: Vec<Option<bool>> = outcome.zones.iter().map(|zone| zone.kept).collect();
    (block.lead, block.tone) = if kept.contains(&Some(false)) {
        (
            "Weaker than planned: at least one reading is under its bound. The plan from here on \
             takes these readings in."
                .to_owned(),
            Some(Tone::Warning),
        )
    } else if kept.iter().all(|kept| *kept == Some(true)) {
        (
            "As planned: every reading keeps to its bound.".to_owned(),
            Some(Tone::Good),
        )
    } else {
        (
            "Planned. Wrap a load so, read it and weigh its film.".to_owned(),
            Some(Tone::Info),
        )
    };
    block
}

/// How the film weighed stands to what was expected.
fn film_detail(weighed_kg: f64, expected_kg: f64, units: UnitChoice) -> String {
    let expected = figures::film(expected_kg, units);
    let more = weighed_kg - expected_kg;
    let share = figures::percent(more.abs() / expected_kg, units);
    if expected_kg <= 0.0 || share == figures::percent(0.0, units) {
        format!("{expected} expected")
    } else if more > 0.0 {
        format!("{expected} expected: {share} more")
    } else {
        format!("{expected} expected: {share} less")
    }
}
