//! The film in words: weighed beside what programme and roll predict, and how it was stretched.

use crate::analysis::balance::{Balance, BalanceRecords, Needed, Tolerances};
use crate::analysis::film::film_per_load;
use crate::analysis::stretch::{MARKS_GOOD_TO_M, stretch_by_marks};
use crate::survey::MarkPlace;
use crate::units::{Length, RatioUnit, UnitChoice, show_length, show_ratio, show_thickness};

use super::Material;
use crate::words::Tone;
use crate::words::{Block, Fact};
use crate::words::{count, figures};

/// The film weighed and its balance.
pub fn balance(material: &Material, units: UnitChoice) -> Block {
    let Some(weighed) = film_per_load(&material.weights) else {
        return Block::default();
    };
    let mut block = Block::default();
    if let Some(interval) = &weighed.interval {
        block.facts.push(
            Fact::new(
                "95 % interval",
                interval_of((interval.low, interval.high), units),
            )
            .with(count(material.weights.len(), "weighing", "weighings")),
        );
    }
    let Some(roll) = &material.roll else {
        block.note("Choose the film roll on the setup: with it the weighed film is laid beside what the programme should take.");
        return block;
    };
    let records = BalanceRecords {
        setup: &material.setup,
        roll,
        loads: &material.loads,
        weights: &material.weights,
        thickness: &material.thickness,
        marks: &material.marks,
        widths: &material.widths,
        tools: &material.tools,
    };
    let found = match Balance::of_records(&records, &Tolerances::default()) {
        Ok(found) => found,
        Err(error) => {
            block.note(figures::sentence(&format!(
                "the programme cannot be laid beside the film weighed: {error}"
            )));
            return block;
        }
    };
    let difference = found.difference;
    (block.lead, block.tone) = if found.closes {
        (
            "The film weighed agrees with programme and roll.".to_owned(),
            Some(Tone::Good),
        )
    } else {
        let more = if difference.value > 0.0 {
            "more"
        } else {
            "less"
        };
        (
            format!(
                "{} {more} film than programme and roll account for.",
                figures::film(difference.value.abs(), units)
            ),
            Some(Tone::Warning),
        )
    };
    block.facts.push(
        Fact::new(
            "By programme and roll",
            figures::film(found.predicted.value, units),
        )
        .with(format!(
            "known to {}",
            figures::film(found.predicted.expanded(), units)
        )),
    );
    let stretch = found.effective_stretch;
    block.facts.push(
        Fact::new("Effective stretch", figures::percent(stretch.value, units)).with(format!(
            "from the weighed film alone; 95 % between {} and {}",
            figures::percent(stretch.low(), units),
            figures::percent(stretch.high(), units)
        )),
    );
    for cause in &found.causes {
        let needed = cause.needed.map_or_else(String::new, |needed| {
            format!(" ({})", if_alone(needed, units))
        });
        block.note(format!(
            "{}{needed}. {}",
            cause.kind,
            cause.kind.what_tells()
        ));
    }
    for assumption in &found.assumptions {
        block.note(assumption.to_string());
    }
    block
}

fn interval_of((low, high): (f64, f64), units: UnitChoice) -> String {
    format!(
        "{} to {}",
        figures::film(low.max(0.0), units),
        figures::film(high, units)
    )
}

fn if_alone(needed: Needed, units: UnitChoice) -> String {
    let style = units.style();
    match needed {
        Needed::Stretch(stretch) => format!(
            "alone it would take {} in all",
            show_ratio(stretch, RatioUnit::Percent, &style)
        ),
        Needed::Turns(turns) => format!(
            "alone it would take {} turns",
            figures::decimal(turns, 1, units)
        ),
        Needed::Thickness(thickness) => format!(
            "alone it would take {}",
            show_thickness(thickness, units.thickness, &style)
        ),
        Needed::Film(length) => format!(
            "alone it would take {} off the roll",
            show_length(length, units.length, &style)
        ),
    }
}

/// The stretch by ink marks beside what is set and what the wrapper is made for.
#[must_use]
pub fn stretch(material: &Material, units: UnitChoice) -> Block {
    let mut block = Block::default();
    let good_to = Length::from_m(MARKS_GOOD_TO_M).unwrap_or(Length::ZERO);
    for (place, label) in [
        (MarkPlace::BeforeLoad, "Pre-stretch by marks"),
        (MarkPlace::OnLoad, "Whole stretch, marks on the load"),
    ] {
        if let Some(found) = stretch_by_marks(&material.marks, place, good_to) {
            let pairs = count(found.summary.n, "pair of marks", "pairs of marks");
            block.facts.push(
                Fact::new(label, figures::percent(found.mean.fraction(), units)).with(format!(
                    "give or take {}, 95 %; {pairs}",
                    figures::percent(found.half_width, units)
                )),
            );
        }
    }
    if block.facts.is_empty() {
        return block;
    }
    let set = &material.setup.settings.pre_stretch;
    let made_for = &material.line.wrapper.nominal_pre_stretch;
    for (label, ratio) in [("Set on the panel", set), ("Made for", made_for)] {
        if let Some(ratio) = ratio {
            block.facts.push(Fact::new(label, ratio.text.clone()));
        }
    }
    block
}
