//! What a year saves, in words.

use crate::analysis::comparison::FilmComparison;
use crate::analysis::savings::{
    Missing, Outlook, Savings, Yearly, breaks_of_setups, savings_of_setups,
};
use crate::units::UnitChoice;

use super::Pair;
use crate::words::Tone;
use crate::words::figures;
use crate::words::{Block, Fact};

/// The confidence of the limits, as a fraction.
const SURE: f64 = 0.95;

/// What a year saves, in words.
#[must_use]
pub fn block(pair: &Pair, film: Option<&FilmComparison>, units: UnitChoice) -> Block {
    let Some(film) = film else {
        return Block::plain(
            "What a year saves can be said once the film of both setups was weighed twice.",
        );
    };
    let breaks = breaks_of_setups(&pair.records, pair.new.id, pair.old.id, SURE);
    let setups = (&pair.new, &pair.old);
    match savings_of_setups(&pair.records, &pair.line, setups, film, SURE) {
        Ok(found) => {
            let mut block = told(&found, units);
            if breaks.is_none() && pair.line.factors.film_break.is_some() {
                block.note(
                    "What film breaks cost can be said once they were counted over loads with both \
                     setups.",
                );
            }
            block
        }
        Err(error) => Block::plain(figures::sentence(&error.to_string())),
    }
}

fn told(found: &Savings, units: UnitChoice) -> Block {
    let film = &found.film_kg;
    let (lead, tone) = match film.outlook() {
        Outlook::Saving => (
            format!(
                "A year saves {} of film.",
                figures::heavy_signed(film.saved, units)
            ),
            Tone::Good,
        ),
        Outlook::Cost => (
            format!(
                "A year takes {} more film.",
                figures::heavy_signed(-film.saved, units)
            ),
            Tone::Warning,
        ),
        Outlook::NotShown => (
            "Neither a saving nor a cost of film is shown.".to_owned(),
            Tone::Info,
        ),
    };
    let mut block = Block {
        lead,
        tone: Some(tone),
        ..Block::default()
    };
    if found.missing.contains(&Missing::Loads) {
        block = Block::plain(Missing::Loads.to_string());
    }
    let mass = |kg: f64| figures::heavy_signed(kg, units);
    let money = |value: f64| format!("{} {}", figures::grouped(value), found.currency);
    let plain = |value: f64| figures::decimal(value, 1, units);
    let mut tell = |label: &str, of: Option<&Yearly>, show: &dyn Fn(f64) -> String| {
        if let Some(of) = of {
            block
                .facts
                .push(Fact::new(label, show(of.saved)).with(format!(
                    "95 % between {} and {}; {} with the old setup",
                    show(of.interval.low),
                    show(of.interval.high),
                    show(of.old)
                )));
        }
    };
    tell("Film saved", Some(&found.film_kg), &mass);
    tell("Film in money", found.film_cost.as_ref(), &money);
    tell("Rolls, and changes of them", found.rolls.as_ref(), &plain);
    tell(
        "Hours of roll changes",
        found.roll_change_hours.as_ref(),
        &plain,
    );
    tell(
        "Roll changes in money",
        found.roll_change_cost.as_ref(),
        &money,
    );
    tell("Film breaks in money", found.break_cost.as_ref(), &money);
    tell("CO2e", found.co2e_kg.as_ref(), &mass);
    tell("Levy", found.levy.as_ref(), &money);
    tell(
        "Film, roll changes and levy in money",
        found.money.as_ref(),
        &money,
    );
    for missing in found.missing.iter().filter(|of| **of != Missing::Loads) {
        block.note(missing.to_string());
    }
    for assumption in &found.assumptions {
        block.note(assumption.to_string());
    }
    block
}
