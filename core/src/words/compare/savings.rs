//! What a year saves, in words.

use crate::analysis::comparison::FilmComparison;
use crate::analysis::containment::breaks::break_rates;
use crate::analysis::savings::{Breaks, Film, Missing, Outlook, Savings, Yearly, savings};
use crate::analysis::statistics::PoissonRate;
use crate::survey::{Id, Setup};
use crate::units::UnitChoice;

use super::Pair;
use crate::words::Tone;
use crate::words::figures;
use crate::words::{Block, Fact};

/// The confidence of the limits, as a fraction.
const SURE: f64 = 0.95;

/// What a year saves, in words.
pub fn block(pair: &Pair, film: Option<&FilmComparison>, units: UnitChoice) -> Block {
    let Some(film) = film else {
        return Block::plain(
            "What a year saves can be said once the film of both setups was weighed twice.",
        );
    };
    let loads = pair
        .line
        .volume
        .map_or(0, crate::survey::LoadVolume::loads_a_year);
    let roll = |setup: &crate::survey::Setup| {
        setup
            .film_roll
            .and_then(|id| pair.records.film_rolls.iter().find(|roll| roll.id == id))
            .map(|roll| Film::of(roll))
            .unwrap_or_default()
    };
    let (new, old) = (roll(&pair.new), roll(&pair.old));
    let mut factors = pair.line.factors.clone();
    if factors.currency.is_empty() {
        factors.currency.clone_from(if new.currency.is_empty() {
            &old.currency
        } else {
            &new.currency
        });
    }
    let breaks = breaks(pair);
    match savings(film, loads, (&new, &old), &factors, breaks.as_ref(), SURE) {
        Ok(found) => {
            let mut block = told(&found, units);
            if breaks.is_none() && factors.film_break.is_some() {
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

/// Film breaks a load with both setups: as counted, or else as seen on the loads that were wrapped.
/// `None` where either setup has neither.
fn breaks(pair: &Pair) -> Option<Breaks> {
    let of = |setup: Id<Setup>| -> Option<PoissonRate> {
        let records = &pair.records;
        let counts = records.film_breaks.iter().filter(|of| of.setup == setup);
        let loads = records.loads.iter().filter(|load| load.setup == setup);
        let counts: Vec<_> = counts.cloned().collect();
        let loads: Vec<_> = loads.cloned().collect();
        let rates = break_rates(&counts, &loads, SURE).ok()?;
        let over_loads = rates.counted_over_loads.or(rates.seen_on_loads)?;
        Some(over_loads.rate)
    };
    Some(Breaks {
        new: of(pair.new.id)?,
        old: of(pair.old.id)?,
    })
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
