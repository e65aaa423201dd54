//! The spread between people, and film breaks.

use crate::analysis::containment::CONFIDENCE;
use crate::analysis::containment::breaks::break_rates;
use crate::analysis::containment::people::{Between, PeopleError, compare};
use crate::survey::{FilmBreaks, Reading, Record};
use crate::units::Method;
use crate::{say, say_count};

use super::Material;
use crate::words::figures;
use crate::words::{Block, Fact, Reader};

/// How far people and tools differ; empty where one person read with one tool.
#[must_use]
pub fn people<M: Method>(material: &Material, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let readings: Vec<Record<Reading>> = material.readings.iter().flatten().cloned().collect();
    let mut block = Block::default();
    for between in [Between::People, Between::Tools] {
        match compare::<M>(&readings, &material.tools, between, None) {
            Ok(spread) => {
                let (by_one, by_two) = match between {
                    Between::People => (
                        say!(l, "Two neighbouring readings by one of the people"),
                        say!(l, "By two of the people"),
                    ),
                    Between::Tools => (
                        say!(l, "Two neighbouring readings by one of the tools"),
                        say!(l, "By two of the tools"),
                    ),
                };
                let repeated = figures::small(spread.repeatability_limit_n, units);
                block.facts.push(
                    Fact::new(by_one, repeated)
                        .with(say!(l, "differ by more in one case of twenty only")),
                );
                let reproduced = figures::small(spread.reproducibility_limit_n, units);
                block
                    .facts
                    .push(Fact::new(by_two, reproduced).with(say_count!(
                        l,
                        spread.used,
                        "{names}; {n} reading",
                        "{names}; {n} readings",
                        names = spread.names.join(", ")
                    )));
                for assumption in &spread.assumptions {
                    block.note(assumption.said(l));
                }
            }
            Err(PeopleError::OneOnly(_)) => {}
            Err(error) => block.note(figures::sentence(&error.said(l))),
        }
    }
    block
}

/// How often film broke, with its limits; empty where nobody counted.
#[must_use]
pub fn breaks(material: &Material, counts: &[Record<FilmBreaks>], to: Reader) -> Block {
    let l = to.language;
    let mut block = Block::default();
    let Ok(rates) = break_rates(counts, &material.loads, CONFIDENCE) else {
        return block;
    };
    let said = [
        (say!(l, "Counted over loads"), rates.counted_over_loads),
        (say!(l, "Counted over rolls"), rates.counted_over_rolls),
        (say!(l, "Seen on these loads"), rates.seen_on_loads),
    ];
    for (label, rate) in said {
        if let Some(rate) = rate {
            block.facts.push(Fact::new(label, "").with(rate.said(to)));
        }
    }
    block
}
