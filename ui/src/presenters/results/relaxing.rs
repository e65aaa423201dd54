//! How much of its force a load keeps when it is read again a day and three days later.

use tautbook_core::analysis::containment::relaxation::{
    Kept, Relaxation, RelaxationError, relaxation,
};
use tautbook_core::units::{Method, UnitChoice};

use super::super::block::{Block, Fact};
use super::super::{count, figures};
use super::material::{Material, is_in_use};

/// What the loads read again have kept, load by load; empty where nothing was read.
pub(super) fn block<M: Method>(material: &Material, units: UnitChoice) -> Block {
    let several = material.loads.len() > 1;
    let mut block = Block::default();
    let mut why = None;
    for (load, readings) in material.each_load() {
        if !readings.iter().any(|reading| is_in_use::<M>(reading)) {
            continue;
        }
        let name = if several { load.name.as_str() } else { "" };
        match relaxation::<M>(load, readings) {
            Ok(found) => tell(&mut block, name, &found, units),
            // Most loads are read once. That is no fault, and said once where it is all there is.
            Err(error @ RelaxationError::OneRound(_)) => why = why.or(Some(error)),
            Err(error) => why = Some(error),
        }
    }
    if block.facts.is_empty()
        && let Some(why) = why
    {
        let lead = match why {
            RelaxationError::OneRound(_) if several => {
                "No load was read a second time: read one again after 24 and 72 hours, next to the \
                 first places."
                    .to_owned()
            }
            error => figures::sentence(&error.to_string()),
        };
        block.lead = lead;
    }
    block
}

fn tell(block: &mut Block, name: &str, found: &Relaxation, units: UnitChoice) {
    for kept in &found.later {
        let hours = figures::decimal(kept.age_h, 0, units);
        let label = if name.is_empty() {
            format!("After {hours} h")
        } else {
            format!("{name}, after {hours} h")
        };
        block.facts.push(
            Fact::new(
                label,
                format!("{} left", figures::percent(kept.share, units)),
            )
            .with(detail(kept, found, units)),
        );
        if let Some((before, after)) = kept.temperatures_celsius {
            let degrees = |celsius: f64| format!("{} \u{b0}C", figures::decimal(celsius, 0, units));
            block.note(figures::sentence(&format!(
                "{name}{}the film was at {} when it was first read and at {} after {hours} h: \
                 warm film gives way sooner and reads less, so the share holds that too",
                if name.is_empty() { "" } else { ": " },
                degrees(before),
                degrees(after)
            )));
        }
        for assumption in &kept.assumptions {
            block.note(assumption.to_string());
        }
    }
    if found.without_age > 0 {
        block.note(format!(
            "{} left out: the time since wrapping is not known.",
            count(found.without_age, "reading is", "readings are")
        ));
    }
}

fn detail(kept: &Kept, found: &Relaxation, units: UnitChoice) -> String {
    let mut said = vec![match &kept.interval {
        Some(interval) => format!(
            "of the first force, 95 % between {} and {}",
            figures::percent(interval.low.max(0.0), units),
            figures::percent(interval.high.max(0.0), units)
        ),
        None => "of the first force".to_owned(),
    }];
    said.push(format!(
        "{} read both times, first at {} h",
        count(kept.pairs, "place", "places"),
        figures::decimal(found.first_age_h, 1, units)
    ));
    said.join("; ")
}
