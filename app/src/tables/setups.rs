//! The table of setups: film, settings, and what was measured on all loads of each together. The two
//! methods have columns of their own.

use tautbook_core::survey::{FilmRoll, Record, Setup, Spiral};
use tautbook_core::units::{Entered, Length};

use super::file::{Column, number, text, whole};
use super::visit::{Place, Placed, find, id, metres, place, word};
use crate::show::report::{SetupResult, ZoneNumbers, setup_result};

pub(super) struct Row<'a> {
    place: Place<'a>,
    setup: &'a Record<Setup>,
    roll: Option<&'a Record<FilmRoll>>,
    result: SetupResult,
}

impl<'a> Row<'a> {
    pub(super) fn of(place: Place<'a>, setup: &'a Record<Setup>) -> Self {
        let roll = setup.film_roll;
        Self {
            place,
            setup,
            roll: roll.and_then(|roll| find(&place.set.film_rolls, roll)),
            result: setup_result(place.set, setup),
        }
    }

    fn loads(&self) -> usize {
        let loads = self.place.set.loads.iter();
        loads.filter(|load| load.setup == self.setup.id).count()
    }
}

impl<'a> Placed<'a> for Row<'a> {
    fn place(&self) -> Place<'a> {
        self.place
    }
}

fn pitch(spiral: Option<&Spiral>) -> Option<f64> {
    match spiral? {
        Spiral::Pitch(length) => Some(length.value.m()),
        Spiral::Overlap(_) => None,
    }
}

fn overlap(spiral: Option<&Spiral>) -> Option<f64> {
    match spiral? {
        Spiral::Overlap(length) => Some(length.value.m()),
        Spiral::Pitch(_) => None,
    }
}

fn settings<'a>() -> Vec<Column<Row<'a>>> {
    vec![
        text("setup", |row: &Row<'a>| Some(row.setup.name.clone())),
        text("setup_role", |row| word(&row.setup.role)),
        text("film_roll_id", |row| id(row.roll?.id)),
        text("film", |row| Some(row.roll?.name.clone())),
        number("film_nominal_thickness_um", |row| {
            let nominal = row.roll?.nominal_thickness.as_ref();
            nominal.map(|thickness| thickness.value.um())
        }),
        number("film_roll_width_m", |row| metres(row.roll?.width.as_ref())),
        number("film_roll_length_m", |row| {
            metres(row.roll?.length.as_ref())
        }),
        number("film_roll_net_kg", |row| {
            row.roll?.net_mass.as_ref().map(|mass| mass.value.kg())
        }),
        number("film_recycled_fraction", |row| {
            let content = row.roll?.recycled_content.as_ref();
            content.map(|content| content.value.fraction())
        }),
        number("start_height_m", |row| {
            metres(row.setup.settings.start_height.as_ref())
        }),
        number("bottom_turns", |row| row.setup.settings.bottom_turns),
        number("top_turns", |row| row.setup.settings.top_turns),
        number("up_pitch_m", |row| pitch(row.setup.settings.up.as_ref())),
        number("up_overlap_m", |row| {
            overlap(row.setup.settings.up.as_ref())
        }),
        number("down_pitch_m", |row| {
            pitch(row.setup.settings.down.as_ref())
        }),
        number("down_overlap_m", |row| {
            overlap(row.setup.settings.down.as_ref())
        }),
        number("over_top_m", |row| {
            let over: Option<&Entered<Length>> = row.setup.settings.over_top.as_ref();
            metres(over)
        }),
        text("film_force_as_shown", |row| {
            Some(row.setup.settings.film_force.clone())
        }),
        number("pre_stretch_set_fraction", |row| {
            let set = row.setup.settings.pre_stretch.as_ref();
            set.map(|ratio| ratio.value.fraction())
        }),
    ]
}

/// Readings, lowest and mean of one zone by one method. The mean is absent where the pull plate was
/// used on faces of unlike length, which are not averaged.
macro_rules! zone {
    ($columns:ident, $method:ident, $name:literal, $zone:literal) => {
        $columns.extend([
            whole(concat!($name, "_", $zone, "_readings"), |row: &Row<'a>| {
                let zone = zone_of(&row.result.$method.zones, $zone)?;
                i64::try_from(zone.readings).ok()
            }),
            number(concat!($name, "_", $zone, "_lowest_n"), |row: &Row<'a>| {
                zone_of(&row.result.$method.zones, $zone)?.lowest_n
            }),
            number(concat!($name, "_", $zone, "_mean_n"), |row: &Row<'a>| {
                zone_of(&row.result.$method.zones, $zone)?.mean_n
            }),
        ]);
    };
}

fn zone_of<'r>(zones: &'r [ZoneNumbers], name: &str) -> Option<&'r ZoneNumbers> {
    zones.iter().find(|zone| zone.zone == name)
}

pub(super) fn columns<'a>() -> Vec<Column<Row<'a>>> {
    let mut columns = vec![text("setup_id", |row: &Row<'a>| id(row.setup.id))];
    columns.extend(place());
    columns.extend(settings());
    columns.push(whole("loads", |row: &Row<'a>| {
        i64::try_from(row.loads()).ok()
    }));
    zone!(columns, torsion_tool, "torsion_tool", "top");
    zone!(columns, torsion_tool, "torsion_tool", "middle");
    zone!(columns, torsion_tool, "torsion_tool", "bottom");
    zone!(columns, pull_plate, "pull_plate", "top");
    zone!(columns, pull_plate, "pull_plate", "middle");
    zone!(columns, pull_plate, "pull_plate", "bottom");
    columns.extend([
        whole("film_weighings", |row: &Row<'a>| {
            i64::try_from(row.result.film.as_ref()?.weighings).ok()
        }),
        number("film_kg_a_load", |row| {
            Some(row.result.film.as_ref()?.film_per_load_kg)
        }),
        number("film_kg_a_load_low", |row| {
            row.result.film.as_ref()?.mean_low_kg
        }),
        number("film_kg_a_load_high", |row| {
            row.result.film.as_ref()?.mean_high_kg
        }),
        number("film_confidence", |row| {
            Some(row.result.film.as_ref()?.confidence)
        }),
        text("notes", |row| Some(row.setup.notes.clone())),
    ]);
    columns
}
