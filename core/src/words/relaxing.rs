//! How much of its force a load keeps when it is read again a day and three days later.

use crate::analysis::containment::relaxation::{Kept, Relaxation, RelaxationError, relaxation};
use crate::chart::{Axis, KeptForce, KeptPoint, KeptSeries};
use crate::units::{Method, UnitChoice};

use super::{Material, is_in_use};
use crate::words::{Block, Fact};
use crate::words::{count, figures};

/// What the loads read again have kept, load by load; empty where nothing was read.
#[must_use]
pub fn block<M: Method>(material: &Material, units: UnitChoice) -> Block {
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

/// The same as a chart; `None` while no load was read again.
#[must_use]
pub fn chart<M: Method>(material: &Material, units: UnitChoice) -> Option<KeptForce> {
    let mut found: Vec<(&str, Relaxation)> = Vec::new();
    for (load, readings) in material.each_load() {
        if let Ok(relaxation) = relaxation::<M>(load, readings) {
            found.push((load.name.as_str(), relaxation));
        }
    }
    if found.is_empty() {
        return None;
    }
    let mut spoken = Vec::new();
    // A small loss is not drawn as a large one.
    let mut shares = vec![0.8, 1.0];
    let mut longest = 0.0_f64;
    let loads: Vec<KeptSeries> = found
        .iter()
        .take(KeptForce::MOST)
        .map(|(name, found)| KeptSeries {
            name: (*name).to_owned(),
            first_hours: found.first_age_h,
            later: found
                .later
                .iter()
                .map(|kept| {
                    let text = figures::percent(kept.share, units);
                    let hours = figures::decimal(kept.age_h, 0, units);
                    spoken.push(format!("{name}: {text} left after {hours} hours."));
                    longest = longest.max(kept.age_h);
                    let interval = kept.interval.as_ref().map(|of| (of.low.max(0.0), of.high));
                    shares.push(kept.share);
                    shares.extend(interval.into_iter().flat_map(|of| [of.0, of.1]));
                    KeptPoint {
                        hours: kept.age_h,
                        share: kept.share,
                        interval,
                        text,
                    }
                })
                .collect(),
        })
        .collect();
    Some(KeptForce {
        loads,
        hours: Axis::days(longest, "h", |hours| figures::decimal(hours, 0, units)),
        share: Axis::over(shares, false, (100.0, "%"), 4, |share| {
            figures::decimal(share, 0, units)
        }),
        titles: [
            "Force left, of what was first read".to_owned(),
            "Since wrapping".to_owned(),
        ],
        words: [
            "As first read".to_owned(),
            "95 % interval of the mean".to_owned(),
        ],
        spoken: spoken.join(" "),
    })
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
