//! What a year saves, in words.

use crate::analysis::comparison::FilmComparison;
use crate::analysis::savings::{
    Missing, Outlook, Savings, Yearly, breaks_of_setups, savings_of_setups,
};
use crate::language::Word;
use crate::{say, word};

use super::Pair;
use crate::words::figures::{self, Round};
use crate::words::{Block, Fact, Reader, Tone};

/// The confidence of the limits, as a fraction.
const SURE: f64 = 0.95;

/// What a year saves, in words, and what that rests on, a sentence each.
#[must_use]
pub fn block(pair: &Pair, film: Option<&FilmComparison>, to: Reader) -> (Block, Vec<String>) {
    let l = to.language;
    let Some(film) = film else {
        let block = Block::plain(say!(
            l,
            "What a year saves can be said once the film of both setups was weighed twice."
        ));
        return (block, Vec::new());
    };
    let breaks = breaks_of_setups(&pair.records, pair.new.id, pair.old.id, SURE);
    let setups = (&pair.new, &pair.old);
    match savings_of_setups(&pair.records, &pair.line, setups, film, SURE) {
        Ok(found) => {
            let mut block = told(&found, to);
            if breaks.is_none() && pair.line.factors.film_break.is_some() {
                block.note(say!(
                    l,
                    "What film breaks cost can be said once they were counted over loads with both \
                     setups."
                ));
            }
            let rests_on = found.assumptions.iter().map(|of| of.said(l)).collect();
            (block, rests_on)
        }
        Err(error) => (Block::plain(figures::sentence(&error.said(l))), Vec::new()),
    }
}

/// What the sum in money is of, saved and spent; `None` where it is of one thing, which is told
/// already.
fn together(found: &Savings) -> Option<[Word; 2]> {
    let known = |of: &Option<Yearly>| of.is_some();
    let parts = (&found.film_cost, &found.roll_change_cost, &found.levy);
    match (known(parts.0), known(parts.1), known(parts.2)) {
        (true, true, true) => Some([
            word!("Film, roll changes and levy in money, saved"),
            word!("Film, roll changes and levy in money, more"),
        ]),
        (true, true, false) => Some([
            word!("Film and roll changes in money, saved"),
            word!("Film and roll changes in money, more"),
        ]),
        (true, false, true) => Some([
            word!("Film and levy in money, saved"),
            word!("Film and levy in money, more"),
        ]),
        (false, true, true) => Some([
            word!("Roll changes and levy in money, saved"),
            word!("Roll changes and levy in money, more"),
        ]),
        _ => None,
    }
}

/// How a figure of a year is shown: its value, what it is known to either way, and how to round it.
type Show<'a> = &'a dyn Fn(f64, f64, Round) -> String;

fn told(found: &Savings, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let of_film = &found.film_kg;
    let half = |of: &Yearly| 0.5 * (of.interval.high - of.interval.low);
    let mass = |kg: f64, half: f64, round: Round| figures::heavy_known(kg, half, round, units);
    let (lead, tone) = match of_film.outlook() {
        Outlook::Saving => (
            say!(
                l,
                "A year would save {mass} of film.",
                mass = mass(of_film.saved, half(of_film), Round::Nearest)
            ),
            // Good is only what holds the load as well: the verdict above says that.
            Tone::Info,
        ),
        Outlook::Cost => (
            say!(
                l,
                "A year would take {mass} more film.",
                mass = mass(-of_film.saved, half(of_film), Round::Nearest)
            ),
            Tone::Warning,
        ),
        Outlook::NotShown => (
            say!(l, "Neither a saving nor a cost of film is shown."),
            Tone::Info,
        ),
    };
    let mut block = Block {
        lead,
        tone: Some(tone),
        ..Block::default()
    };
    if found.missing.contains(&Missing::Loads) {
        block = Block::plain(Missing::Loads.said(l));
    }
    let money = |value: f64, half: f64, round: Round| {
        let known = figures::grouped(figures::as_known(value, half, round));
        format!("{known} {}", found.currency)
    };
    let plain = |value: f64, half: f64, round: Round| {
        let known = figures::as_known(value, half, round);
        figures::decimal(known, usize::from(known.abs() < 9.95), units)
    };
    let mut tell = |labels: [String; 2], of: Option<&Yearly>, show: Show<'_>| {
        if let Some(of) = of {
            let (saves, sign) = figures::saves(of.saved);
            let [less, more] = labels;
            let mut ends = [of.interval.low, of.interval.high].map(|value| sign * value);
            ends.sort_by(f64::total_cmp);
            let show = |value: f64, round: Round| show(value, half(of), round);
            let label = if saves { less } else { more };
            let fact = Fact::new(label, show(sign * of.saved, Round::Nearest));
            block.facts.push(fact.with(say!(
                l,
                "95 % between {low} and {high}; {old} with the old setup",
                low = show(ends[0], Round::Down),
                high = show(ends[1], Round::Up),
                old = show(of.old, Round::Nearest)
            )));
        }
    };
    let film = [say!(l, "Film saved"), say!(l, "More film")];
    tell(film, Some(&found.film_kg), &mass);
    let film = [
        say!(l, "Film in money, saved"),
        say!(l, "Film in money, more"),
    ];
    tell(film, found.film_cost.as_ref(), &money);
    let rolls = [
        say!(l, "Rolls saved, each with its change"),
        say!(l, "More rolls, each with its change"),
    ];
    tell(rolls, found.rolls.as_ref(), &plain);
    let hours = [
        say!(l, "Hours of roll changes saved"),
        say!(l, "More hours of roll changes"),
    ];
    tell(hours, found.roll_change_hours.as_ref(), &plain);
    let changes = [
        say!(l, "Roll changes in money, saved"),
        say!(l, "Roll changes in money, more"),
    ];
    tell(changes, found.roll_change_cost.as_ref(), &money);
    let breaks = [
        say!(l, "Film breaks in money, saved"),
        say!(l, "Film breaks in money, more"),
    ];
    tell(breaks, found.break_cost.as_ref(), &money);
    tell(
        [say!(l, "CO2e saved"), say!(l, "More CO2e")],
        found.co2e_kg.as_ref(),
        &mass,
    );
    tell(
        [say!(l, "Levy saved"), say!(l, "More levy")],
        found.levy.as_ref(),
        &money,
    );
    if let Some(labels) = together(found) {
        let labels = labels.map(|label| label.said(l).to_owned());
        tell(labels, found.money.as_ref(), &money);
    }
    for missing in found.missing.iter().filter(|of| **of != Missing::Loads) {
        block.note(missing.said(l));
    }
    block
}
