//! How much of its force a load keeps when it is read again a day and three days later.

use crate::analysis::containment::relaxation::{Kept, Relaxation, RelaxationError, relaxation};
use crate::chart::{Axis, KeptForce, KeptPoint, KeptSeries};
use crate::units::Method;
use crate::{say, say_count};

use super::{Material, is_in_use};
use crate::words::figures;
use crate::words::{Block, Fact, Reader};

/// What the loads read again have kept, load by load; empty where nothing was read.
#[must_use]
pub fn block<M: Method>(material: &Material, to: Reader) -> Block {
    let several = material.loads.len() > 1;
    let mut block = Block::default();
    let mut why = None;
    for (load, readings) in material.each_load() {
        if !readings.iter().any(|reading| is_in_use::<M>(reading)) {
            continue;
        }
        let name = if several { load.name.as_str() } else { "" };
        match relaxation::<M>(load, readings) {
            Ok(found) => tell(&mut block, name, &found, to),
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
                say!(
                    to.language,
                    "No load was read a second time: read one again after 24 and 72 hours, next to \
                     the first places."
                )
            }
            error => figures::sentence(&error.said(to.language)),
        };
        block.lead = lead;
    }
    block
}

/// The same as a chart; `None` while no load was read again.
#[must_use]
pub fn chart<M: Method>(material: &Material, to: Reader) -> Option<KeptForce> {
    let Reader { units, language: l } = to;
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
                    spoken.push(say!(
                        l,
                        "{load}: {share} left after {hours} hours.",
                        load = name,
                        share = text,
                        hours = hours
                    ));
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
            say!(l, "Force left, of what was first read"),
            say!(l, "Since wrapping"),
        ],
        words: [
            say!(l, "As first read"),
            say!(l, "95 % interval of the mean"),
        ],
        spoken: spoken.join(" "),
    })
}

fn tell(block: &mut Block, name: &str, found: &Relaxation, to: Reader) {
    let Reader { units, language: l } = to;
    for kept in &found.later {
        let hours = figures::decimal(kept.age_h, 0, units);
        let label = if name.is_empty() {
            say!(l, "After {hours} h", hours = hours)
        } else {
            say!(l, "{load}, after {hours} h", load = name, hours = hours)
        };
        let share = figures::percent(kept.share, units);
        block.facts.push(
            Fact::new(label, say!(l, "{share} left", share = share)).with(detail(kept, found, to)),
        );
        if let Some((before, after)) = kept.temperatures_celsius {
            let degrees = |celsius: f64| format!("{} \u{b0}C", figures::decimal(celsius, 0, units));
            let (before, after) = (degrees(before), degrees(after));
            block.note(if name.is_empty() {
                say!(
                    l,
                    "The film was at {before} when it was first read and at {after} after {hours} \
                     h: warm film gives way sooner and reads less, so the share holds that too.",
                    before = before,
                    after = after,
                    hours = hours
                )
            } else {
                say!(
                    l,
                    "{load}: the film was at {before} when it was first read and at {after} after \
                     {hours} h: warm film gives way sooner and reads less, so the share holds that \
                     too.",
                    load = name,
                    before = before,
                    after = after,
                    hours = hours
                )
            });
        }
        for assumption in &kept.assumptions {
            block.note(assumption.said(l));
        }
    }
    if found.without_age > 0 {
        block.note(say_count!(
            l,
            found.without_age,
            "{n} reading is left out: the time since wrapping is not known.",
            "{n} readings are left out: the time since wrapping is not known."
        ));
    }
}

fn detail(kept: &Kept, found: &Relaxation, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let first = figures::decimal(found.first_age_h, 1, units);
    match &kept.interval {
        Some(interval) => say_count!(
            l,
            kept.pairs,
            "of the first force, 95 % between {low} and {high}; {n} place read both times, first \
             at {first} h",
            "of the first force, 95 % between {low} and {high}; {n} places read both times, first \
             at {first} h",
            low = figures::percent(interval.low.max(0.0), units),
            high = figures::percent(interval.high.max(0.0), units),
            first = first
        ),
        None => say_count!(
            l,
            kept.pairs,
            "of the first force; {n} place read both times, first at {first} h",
            "of the first force; {n} places read both times, first at {first} h",
            first = first
        ),
    }
}
