//! The film in words: weighed beside what programme and roll predict, and how it was stretched.

use crate::analysis::balance::{Balance, BalanceRecords, Needed, Tolerances};
use crate::analysis::film::film_per_load;
use crate::analysis::stretch::{MARKS_GOOD_TO_M, stretch_by_marks};
use crate::survey::MarkPlace;
use crate::units::{Length, RatioUnit, show_length, show_ratio, show_thickness};
use crate::{say, say_count};

use super::Material;
use crate::words::figures;
use crate::words::{Block, Fact, Reader, Tone};

/// The film weighed and its balance.
#[must_use]
pub fn balance(material: &Material, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let Some(weighed) = film_per_load(&material.weights, &material.tools) else {
        return Block::default();
    };
    let mut block = Block::default();
    if let Some(interval) = &weighed.interval {
        let between = say!(
            l,
            "{low} to {high}",
            low = figures::film(interval.low.max(0.0), units),
            high = figures::film(interval.high, units)
        );
        block.facts.push(
            Fact::new(say!(l, "95 % interval"), between).with(say_count!(
                l,
                material.weights.len(),
                "{n} weighing",
                "{n} weighings"
            )),
        );
    }
    let Some(roll) = &material.roll else {
        block.note(say!(
            l,
            "Choose the film roll on the setup: with it the weighed film is laid beside what the \
             programme should take."
        ));
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
    match Balance::of_records(&records, &Tolerances::default()) {
        Ok(found) => tell(&mut block, &found, to),
        Err(error) => block.note(figures::sentence(&say!(
            l,
            "The programme cannot be laid beside the film weighed: {why}",
            why = error.said(l)
        ))),
    }
    block
}

fn tell(block: &mut Block, found: &Balance, to: Reader) {
    let Reader { units, language: l } = to;
    let difference = figures::film(found.difference.value.abs(), units);
    (block.lead, block.tone) = if found.closes {
        (
            say!(l, "The film weighed agrees with programme and roll."),
            Some(Tone::Good),
        )
    } else if found.difference.value > 0.0 {
        (
            say!(
                l,
                "{mass} more film than programme and roll account for.",
                mass = difference
            ),
            Some(Tone::Warning),
        )
    } else {
        (
            say!(
                l,
                "{mass} less film than programme and roll account for.",
                mass = difference
            ),
            Some(Tone::Warning),
        )
    };
    block.facts.push(
        Fact::new(
            say!(l, "By programme and roll"),
            figures::film(found.predicted.value, units),
        )
        .with(say!(
            l,
            "known to {mass}",
            mass = figures::film(found.predicted.expanded(), units)
        )),
    );
    let stretch = found.effective_stretch;
    block.facts.push(
        Fact::new(
            say!(l, "Effective stretch"),
            figures::percent(stretch.value, units),
        )
        .with(say!(
            l,
            "from the weighed film alone; 95 % between {low} and {high}",
            low = figures::percent(stretch.low(), units),
            high = figures::percent(stretch.high(), units)
        )),
    );
    for cause in &found.causes {
        let (kind, tells) = (cause.kind.said(l), cause.kind.what_tells().said(l));
        block.note(match cause.needed {
            Some(needed) => format!("{kind} ({}). {tells}", if_alone(needed, to)),
            None => format!("{kind}. {tells}"),
        });
    }
    for assumption in &found.assumptions {
        block.note(assumption.said(l));
    }
}

fn if_alone(needed: Needed, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let style = units.style();
    match needed {
        Needed::Stretch(stretch) => say!(
            l,
            "alone it would take {stretch} in all",
            stretch = show_ratio(stretch, RatioUnit::Percent, &style)
        ),
        Needed::Turns(turns) => say!(
            l,
            "alone it would take {turns} turns",
            turns = figures::decimal(turns, 1, units)
        ),
        Needed::Thickness(thickness) => say!(
            l,
            "alone it would take {thickness}",
            thickness = show_thickness(thickness, units.thickness, &style)
        ),
        Needed::Film(length) => say!(
            l,
            "alone it would take {length} off the roll",
            length = show_length(length, units.length, &style)
        ),
    }
}

/// The stretch by ink marks beside what is set and what the wrapper is made for.
#[must_use]
pub fn stretch(material: &Material, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let mut block = Block::default();
    let good_to = Length::from_m(MARKS_GOOD_TO_M).unwrap_or(Length::ZERO);
    for (place, label) in [
        (MarkPlace::BeforeLoad, say!(l, "Pre-stretch by marks")),
        (
            MarkPlace::OnLoad,
            say!(l, "Whole stretch, marks on the load"),
        ),
    ] {
        if let Some(found) = stretch_by_marks(&material.marks, place, good_to) {
            block.facts.push(
                Fact::new(label, figures::percent(found.mean.fraction(), units)).with(say_count!(
                    l,
                    found.summary.n,
                    "give or take {half}, 95 %; {n} pair of marks",
                    "give or take {half}, 95 %; {n} pairs of marks",
                    half = figures::percent(found.half_width, units)
                )),
            );
        }
    }
    if block.facts.is_empty() {
        return block;
    }
    let set = &material.setup.settings.pre_stretch;
    let made_for = &material.line.wrapper.nominal_pre_stretch;
    for (label, ratio) in [
        (say!(l, "Set on the panel"), set),
        (say!(l, "Made for"), made_for),
    ] {
        if let Some(ratio) = ratio {
            block.facts.push(Fact::new(label, ratio.text.clone()));
        }
    }
    block
}
