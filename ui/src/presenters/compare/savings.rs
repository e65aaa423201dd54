//! What a year saves, and the numbers it is worked out with: each typed with where it is from.

use tautbook_core::analysis::comparison::FilmComparison;
use tautbook_core::analysis::savings::{Film, Missing, Outlook, Savings, Yearly, savings};
use tautbook_core::survey::{Factor, FactorUnit, Factors};
use tautbook_core::units::{UnitChoice, parse_number};

use super::super::block::{Block, Fact};
use super::super::figures;
use super::Pair;
use crate::place::Place;
use crate::session::{Entry, FieldError, Session, Tone, optional};

/// A number of the savings, or where it is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// Minutes one roll change takes.
    RollChange,
    /// Where that is from.
    RollChangeSource,
    /// What an hour of that work costs.
    Labour,
    /// Where that is from.
    LabourSource,
    /// Emissions of making the film.
    Carbon,
    /// Where that is from.
    CarbonSource,
    /// Levy on a tonne.
    Levy,
    /// Where that is from.
    LevySource,
}

impl Field {
    /// All, each number before where it is from.
    pub const ALL: [Self; 8] = [
        Self::RollChange,
        Self::RollChangeSource,
        Self::Labour,
        Self::LabourSource,
        Self::Carbon,
        Self::CarbonSource,
        Self::Levy,
        Self::LevySource,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::RollChange => "roll_change",
            Self::RollChangeSource => "roll_change_source",
            Self::Labour => "labour",
            Self::LabourSource => "labour_source",
            Self::Carbon => "co2e",
            Self::CarbonSource => "co2e_source",
            Self::Levy => "levy",
            Self::LevySource => "levy_source",
        }
    }

    const fn is_source(self) -> bool {
        matches!(
            self,
            Self::RollChangeSource | Self::LabourSource | Self::CarbonSource | Self::LevySource
        )
    }

    const fn unit(self) -> FactorUnit {
        match self {
            Self::RollChange | Self::RollChangeSource => FactorUnit::Minutes,
            Self::Labour | Self::LabourSource => FactorUnit::MoneyPerHour,
            Self::Carbon | Self::CarbonSource => FactorUnit::KilogramsCo2ePerKilogram,
            Self::Levy | Self::LevySource => FactorUnit::MoneyPerTonne,
        }
    }

    fn of(self, factors: &mut Factors) -> &mut Option<Factor> {
        match self {
            Self::RollChange | Self::RollChangeSource => &mut factors.roll_change,
            Self::Labour | Self::LabourSource => &mut factors.labour,
            Self::Carbon | Self::CarbonSource => &mut factors.co2e,
            Self::Levy | Self::LevySource => &mut factors.levy,
        }
    }
}

/// The numbers as the screen shows them, in the order of [`Field::ALL`].
pub(super) fn entries(session: &Session, kept: &Factors) -> [Entry; 8] {
    let mut factors = kept.clone();
    let units = session.units();
    Field::ALL.map(|field| {
        let kept = field.of(&mut factors).as_ref();
        let text = kept.map_or_else(String::new, |factor| {
            if field.is_source() {
                match factor.year {
                    Some(year) => format!("{}, {year}", factor.source),
                    None => factor.source.clone(),
                }
            } else {
                figures::decimal(factor.value, 4, units)
            }
        });
        session.entry(field.name(), &text, "")
    })
}

/// What a year saves, in words.
pub(super) fn block(pair: &Pair, film: Option<&FilmComparison>, units: UnitChoice) -> Block {
    let Some(film) = film else {
        return Block::plain(
            "What a year saves can be said once the film of both setups was weighed twice.",
        );
    };
    let loads = pair
        .line
        .volume
        .map_or(0, tautbook_core::survey::LoadVolume::loads_a_year);
    let roll = |setup: &tautbook_core::survey::Setup| {
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
    match savings(film, loads, (&new, &old), &factors, None, 0.95) {
        Ok(found) => told(&found, units),
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
    tell("CO2e", found.co2e_kg.as_ref(), &mass);
    tell("Levy", found.levy.as_ref(), &money);
    tell("Money in all", found.money.as_ref(), &money);
    for missing in found.missing.iter().filter(|of| **of != Missing::Loads) {
        block.note(missing.to_string());
    }
    for assumption in &found.assumptions {
        block.note(assumption.to_string());
    }
    block
}

/// Notes a number half typed.
pub fn draft_factor(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Keeps a number, or where it is from, on the line; blank takes it away.
pub fn edit_factor(session: &mut Session, field: Field, text: &str) {
    let Place::Compare { new, .. } = session.here() else {
        return;
    };
    session.settle(field.name(), text, |session, text| {
        let line = session.book().get(new)?.line;
        let mut factors = session.book().get(line)?.body.factors;
        let kept = field.of(&mut factors);
        if field.is_source() {
            match kept {
                Some(factor) => (factor.source, factor.year) = source(text),
                None if text.trim().is_empty() => {}
                None => return Err(FieldError::Text("write the number first".to_owned())),
            }
        } else {
            let value = optional(parse_number(text, session.units().decimal))?;
            *kept = value.map(|value| match kept.take() {
                Some(factor) => Factor { value, ..factor },
                None => Factor::new(value, field.unit(), String::new(), None),
            });
        }
        session.change("edit_factors", line, |line| line.factors = factors)
    });
}

/// A source and its year, where the text ends in one.
fn source(text: &str) -> (String, Option<u16>) {
    let text = text.trim();
    let (words, last) = text.rsplit_once([' ', ',']).unwrap_or(("", text));
    match last.parse::<u16>() {
        Ok(year) if (1900..2200).contains(&year) => {
            (words.trim().trim_end_matches(',').to_owned(), Some(year))
        }
        Ok(_) | Err(_) => (text.to_owned(), None),
    }
}

/// Tries to keep whatever stands half typed.
pub(super) fn settle(session: &mut Session) {
    for field in Field::ALL {
        if let Some(text) = session.unsettled(field.name()) {
            edit_factor(session, field, &text);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_at_the_end_is_the_year() {
        assert_eq!(
            source("the site, 2026"),
            ("the site".to_owned(), Some(2026))
        );
        assert_eq!(
            source("clocked by hand"),
            ("clocked by hand".to_owned(), None)
        );
        assert_eq!(source("dock 4"), ("dock 4".to_owned(), None));
        assert_eq!(source(""), (String::new(), None));
    }
}
