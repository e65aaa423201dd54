//! A planned setup as it was expected and as it turned out.

use crate::analysis::plan::outcome;
use crate::survey::{Record, RecordSet, Setup};
use crate::units::Method;
use crate::words::figures;
use crate::words::{Block, Fact, Reader, Tone};
use crate::{say, say_count};

/// Predicted beside measured; empty where the setup was not planned by this method.
#[must_use]
pub fn outcome_block<M: Method>(records: &RecordSet, setup: &Record<Setup>, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let Some(outcome) = outcome::<M>(records, setup) else {
        return Block::default();
    };
    let mut block = Block::default();
    for zone in &outcome.zones {
        let expected = figures::force(zone.expected.force(), units);
        let lower = figures::force(zone.lower.force(), units);
        let name = zone.zone.word().said(l);
        let Some(measured) = &zone.measured else {
            block.facts.push(
                Fact::new(name, say!(l, "{force} expected", force = expected)).with(say!(
                    l,
                    "to reach {force} at least; not measured yet",
                    force = lower
                )),
            );
            continue;
        };
        let mean = figures::newtons(measured.mean, units);
        let lowest = figures::newtons(measured.min, units);
        let against = if zone.kept == Some(true) {
            say!(
                l,
                "{expected} expected; the lowest, {lowest}, keeps to the bound of {bound}",
                expected = expected,
                lowest = lowest,
                bound = lower
            )
        } else {
            say!(
                l,
                "{expected} expected; the lowest, {lowest}, is under the bound of {bound}",
                expected = expected,
                lowest = lowest,
                bound = lower
            )
        };
        block
            .facts
            .push(Fact::new(name, say!(l, "{force} measured", force = mean)).with(against));
    }
    if let Some(expected_kg) = outcome.film_expected_kg {
        let expected = figures::film(expected_kg, units);
        block.facts.push(match &outcome.film {
            Some(film) => Fact::new(
                say!(l, "Film"),
                say!(
                    l,
                    "{mass} weighed",
                    mass = figures::film(film.mass.kg(), units)
                ),
            )
            .with(film_detail(film.mass.kg(), expected_kg, to)),
            None => Fact::new(
                say!(l, "Film"),
                say!(l, ctx: "film", "{mass} expected", mass = expected),
            )
            .with(say!(l, "not weighed yet")),
        });
    }
    if outcome.other_faces > 0 {
        block.note(say_count!(
            l,
            outcome.other_faces,
            "{n} reading is on faces of another length, and not laid beside the plan.",
            "{n} readings are on faces of another length, and not laid beside the plan."
        ));
    }
    let kept: Vec<Option<bool>> = outcome.zones.iter().map(|zone| zone.kept).collect();
    (block.lead, block.tone) = if kept.contains(&Some(false)) {
        (
            say!(
                l,
                "Weaker than planned: at least one reading is under its bound. The plan from here \
                 on takes these readings in."
            ),
            Some(Tone::Warning),
        )
    } else if kept.iter().all(|kept| *kept == Some(true)) {
        (
            say!(l, "As planned: every reading keeps to its bound."),
            Some(Tone::Good),
        )
    } else {
        (
            say!(
                l,
                "Planned. Agree with the customer first how much less it may hold, under Compare; then \
                 wrap a load so, read it and weigh its film."
            ),
            Some(Tone::Info),
        )
    };
    block
}

/// How the film weighed stands to what was expected.
fn film_detail(weighed_kg: f64, expected_kg: f64, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let expected = figures::film(expected_kg, units);
    let more = weighed_kg - expected_kg;
    let share = figures::percent(more.abs() / expected_kg, units);
    if expected_kg <= 0.0 || share == figures::percent(0.0, units) {
        say!(l, ctx: "film", "{mass} expected", mass = expected)
    } else if more > 0.0 {
        say!(
            l,
            "{mass} expected: {share} more",
            mass = expected,
            share = share
        )
    } else {
        say!(
            l,
            "{mass} expected: {share} less",
            mass = expected,
            share = share
        )
    }
}
