//! The spread between people, and film breaks.

use crate::analysis::containment::CONFIDENCE;
use crate::analysis::containment::breaks::break_rates;
use crate::analysis::containment::people::{Between, PeopleError, compare};
use crate::survey::{FilmBreaks, Reading, Record};
use crate::units::{Method, UnitChoice};

use super::Material;
use crate::words::figures;
use crate::words::{Block, Fact};

/// How far people and tools differ; empty where one person read with one tool.
#[must_use]
pub fn people<M: Method>(material: &Material, units: UnitChoice) -> Block {
    let readings: Vec<Record<Reading>> = material.readings.iter().flatten().cloned().collect();
    let mut block = Block::default();
    for between in [Between::People, Between::Tools] {
        match compare::<M>(&readings, &material.tools, between, None) {
            Ok(spread) => {
                let names = spread.names.join(", ");
                block.facts.push(
                    Fact::new(
                        format!("Two neighbouring readings by one of the {between}"),
                        figures::small(spread.repeatability_limit_n, units),
                    )
                    .with("differ by more in one case of twenty only"),
                );
                block.facts.push(
                    Fact::new(
                        format!("By two of the {between}"),
                        figures::small(spread.reproducibility_limit_n, units),
                    )
                    .with(format!("{names}; {} readings", spread.used)),
                );
                for assumption in &spread.assumptions {
                    block.note(assumption.to_string());
                }
            }
            Err(PeopleError::OneOnly(_)) => {}
            Err(error) => block.note(figures::sentence(&error.to_string())),
        }
    }
    block
}

/// How often film broke, with its limits; empty where nobody counted.
#[must_use]
pub fn breaks(material: &Material, counts: &[Record<FilmBreaks>]) -> Block {
    let mut block = Block::default();
    let Ok(rates) = break_rates(counts, &material.loads, CONFIDENCE) else {
        return block;
    };
    let said = [
        ("Counted over loads", rates.counted_over_loads),
        ("Counted over rolls", rates.counted_over_rolls),
        ("Seen on these loads", rates.seen_on_loads),
    ];
    for (label, rate) in said {
        if let Some(rate) = rate {
            block
                .facts
                .push(Fact::new(label, "").with(rate.to_string()));
        }
    }
    block
}
