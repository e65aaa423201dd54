//! The numbers savings are worked out with, each typed with where it is from.

use tautbook_core::say;
use tautbook_core::survey::{Factor, FactorUnit, Factors};
use tautbook_core::units::{UnitChoice, parse_number, parse_percent};

use super::super::figures;
use crate::place::Place;
use crate::session::{Entry, FieldError, Session, optional};

/// A number of the savings, or where it is from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// Minutes one roll change takes.
    RollChange,
    /// Where that is from.
    RollChangeSource,
    /// Minutes one film break takes.
    FilmBreak,
    /// Where that is from.
    FilmBreakSource,
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
    /// Recycled content, in percent, from which on the levy is not due.
    LevyFreeFrom,
    /// Where that is from.
    LevyFreeFromSource,
}

impl Field {
    /// All, each number before where it is from.
    pub const ALL: [Self; 12] = [
        Self::RollChange,
        Self::RollChangeSource,
        Self::FilmBreak,
        Self::FilmBreakSource,
        Self::Labour,
        Self::LabourSource,
        Self::Carbon,
        Self::CarbonSource,
        Self::Levy,
        Self::LevySource,
        Self::LevyFreeFrom,
        Self::LevyFreeFromSource,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::RollChange => "roll_change",
            Self::RollChangeSource => "roll_change_source",
            Self::FilmBreak => "film_break",
            Self::FilmBreakSource => "film_break_source",
            Self::Labour => "labour",
            Self::LabourSource => "labour_source",
            Self::Carbon => "co2e",
            Self::CarbonSource => "co2e_source",
            Self::Levy => "levy",
            Self::LevySource => "levy_source",
            Self::LevyFreeFrom => "levy_free_from",
            Self::LevyFreeFromSource => "levy_free_from_source",
        }
    }

    const fn is_source(self) -> bool {
        matches!(
            self,
            Self::RollChangeSource
                | Self::FilmBreakSource
                | Self::LabourSource
                | Self::CarbonSource
                | Self::LevySource
                | Self::LevyFreeFromSource
        )
    }

    const fn unit(self) -> FactorUnit {
        match self {
            Self::RollChange | Self::RollChangeSource | Self::FilmBreak | Self::FilmBreakSource => {
                FactorUnit::Minutes
            }
            Self::Labour | Self::LabourSource => FactorUnit::MoneyPerHour,
            Self::Carbon | Self::CarbonSource => FactorUnit::KilogramsCo2ePerKilogram,
            Self::Levy | Self::LevySource => FactorUnit::MoneyPerTonne,
            Self::LevyFreeFrom | Self::LevyFreeFromSource => FactorUnit::Fraction,
        }
    }

    fn of(self, factors: &mut Factors) -> &mut Option<Factor> {
        match self {
            Self::RollChange | Self::RollChangeSource => &mut factors.roll_change,
            Self::FilmBreak | Self::FilmBreakSource => &mut factors.film_break,
            Self::Labour | Self::LabourSource => &mut factors.labour,
            Self::Carbon | Self::CarbonSource => &mut factors.co2e,
            Self::Levy | Self::LevySource => &mut factors.levy,
            Self::LevyFreeFrom | Self::LevyFreeFromSource => &mut factors.levy_free_from,
        }
    }

    /// The number as typed, in the unit it is kept in; a blank is none.
    fn read(self, text: &str, units: UnitChoice) -> Result<Option<f64>, FieldError> {
        if self.unit() == FactorUnit::Fraction {
            let share = optional(parse_percent(text, units.decimal))?;
            return Ok(share.map(|share| share.value.fraction()));
        }
        optional(parse_number(text, units.decimal))
    }

    /// The number as it would be typed.
    fn show(self, value: f64, units: UnitChoice) -> String {
        if self.unit() == FactorUnit::Fraction {
            format!("{} %", figures::decimal(value * 100.0, 2, units))
        } else {
            figures::decimal(value, 4, units)
        }
    }
}

/// The numbers as the screen shows them, in the order of [`Field::ALL`].
pub(super) fn entries(session: &Session, kept: &Factors) -> [Entry; 12] {
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
                field.show(factor.value, units)
            }
        });
        session.entry(field.name(), &text, "")
    })
}

/// Whether one of them stands typed and is not kept.
pub(super) fn any_typed(session: &Session) -> bool {
    Field::ALL
        .iter()
        .any(|field| session.drafted(field.name()).is_some())
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
                None => {
                    return Err(FieldError::Text(say!(
                        session.language(),
                        "write the number first"
                    )));
                }
            }
        } else {
            let value = field.read(text, session.units())?;
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
