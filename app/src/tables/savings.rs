//! The table of savings: every other setup of a line against each one it was found with. All of it
//! is estimated: from the weighings, with the line's own factors.

use tautbook_core::analysis::comparison::{FilmComparison, FilmError, compare_films};
use tautbook_core::analysis::containment::CONFIDENCE;
use tautbook_core::analysis::savings::{Savings, Yearly, savings_of_setups};
use tautbook_core::survey::{LoadVolume, Record, Setup, SetupRole};

use super::file::{Column, number, text, whole};
use super::visit::{Place, Placed, id, place, word};

pub(super) struct Row<'a> {
    place: Place<'a>,
    new: &'a Record<Setup>,
    old: &'a Record<Setup>,
    film: Result<FilmComparison, FilmError>,
    savings: Option<Savings>,
}

impl<'a> Row<'a> {
    /// The rows of a line.
    pub(super) fn of(place: Place<'a>) -> Vec<Self> {
        let own = || {
            let setups = place.set.setups.iter();
            setups.filter(|setup| setup.line == place.line.id)
        };
        let mut rows = Vec::new();
        for old in own().filter(|setup| setup.role == SetupRole::AsFound) {
            for new in own().filter(|setup| setup.role != SetupRole::AsFound) {
                let film = compare_films(place.set, new.id, old.id);
                let savings = film.as_ref().ok().and_then(|film| {
                    savings_of_setups(place.set, place.line, (new, old), film, CONFIDENCE).ok()
                });
                rows.push(Self {
                    place,
                    new,
                    old,
                    film,
                    savings,
                });
            }
        }
        rows
    }

    fn missing(&self) -> String {
        match (&self.film, &self.savings) {
            (Err(error), _) => error.to_string(),
            (Ok(_), Some(savings)) => sentences(&savings.missing),
            (Ok(_), None) => "the figures are beyond what can be worked with".to_owned(),
        }
    }
}

fn sentences<T: ToString>(said: &[T]) -> String {
    let said: Vec<String> = said.iter().map(ToString::to_string).collect();
    said.join(" ")
}

impl<'a> Placed<'a> for Row<'a> {
    fn place(&self) -> Place<'a> {
        self.place
    }
}

/// What a year saves of one thing, with its limits. Nothing of it where the loads of a year are not
/// known.
macro_rules! yearly {
    ($columns:ident, $name:literal, $unit:literal, $of:expr) => {
        $columns.extend([
            number(
                concat!($name, "_saved_", $unit, "_a_year"),
                |row: &Row<'a>| Some(year(row, $of)?.saved),
            ),
            number(
                concat!($name, "_saved_", $unit, "_a_year_low"),
                |row: &Row<'a>| Some(year(row, $of)?.interval.low),
            ),
            number(
                concat!($name, "_saved_", $unit, "_a_year_high"),
                |row: &Row<'a>| Some(year(row, $of)?.interval.high),
            ),
        ]);
    };
}

fn year<'r>(row: &'r Row<'_>, of: fn(&Savings) -> Option<&Yearly>) -> Option<&'r Yearly> {
    row.place.line.volume?;
    of(row.savings.as_ref()?)
}

pub(super) fn columns<'a>() -> Vec<Column<Row<'a>>> {
    let mut columns = vec![
        text("new_setup_id", |row: &Row<'a>| id(row.new.id)),
        text("old_setup_id", |row| id(row.old.id)),
    ];
    columns.extend(place());
    columns.extend([
        text("new_setup", |row: &Row<'a>| Some(row.new.name.clone())),
        text("new_setup_role", |row| word(&row.new.role)),
        text("old_setup", |row| Some(row.old.name.clone())),
        whole("loads_a_year", |row| {
            let loads = row.place.line.volume.map(LoadVolume::loads_a_year)?;
            i64::try_from(loads).ok()
        }),
        text("estimated_from", |row| {
            Some(sentences(&row.savings.as_ref()?.assumptions))
        }),
        text("missing", |row| Some(row.missing())),
        number("confidence", |_| Some(CONFIDENCE)),
        number("old_film_kg_a_load", |row| {
            Some(row.film.as_ref().ok()?.old.kg)
        }),
        number("new_film_kg_a_load", |row| {
            Some(row.film.as_ref().ok()?.new.kg)
        }),
        number("film_saved_kg_a_load", |row| {
            Some(row.film.as_ref().ok()?.saved.difference)
        }),
        number("film_saved_kg_a_load_low", |row| {
            Some(row.film.as_ref().ok()?.interval(CONFIDENCE)?.low)
        }),
        number("film_saved_kg_a_load_high", |row| {
            Some(row.film.as_ref().ok()?.interval(CONFIDENCE)?.high)
        }),
    ]);
    yearly!(columns, "film", "kg", |of| Some(&of.film_kg));
    columns.push(text("currency", |row: &Row<'a>| {
        Some(row.savings.as_ref()?.currency.clone())
    }));
    yearly!(columns, "film", "money", |of| of.film_cost.as_ref());
    yearly!(columns, "rolls", "count", |of| of.rolls.as_ref());
    yearly!(columns, "roll_change", "h", |of| of
        .roll_change_hours
        .as_ref());
    yearly!(columns, "roll_change", "money", |of| of
        .roll_change_cost
        .as_ref());
    yearly!(columns, "co2e", "kg", |of| of.co2e_kg.as_ref());
    yearly!(columns, "levy", "money", |of| of.levy.as_ref());
    yearly!(columns, "film_breaks", "money", |of| of.break_cost.as_ref());
    columns
}
