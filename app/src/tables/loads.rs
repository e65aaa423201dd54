//! The table of loads.

use tautbook_core::analysis::film::{FilmPerLoad, film_per_load};
use tautbook_core::survey::{Load, PalletFit, Record, RecordSet, Setup};
use tautbook_core::units::MethodId;

use super::file::{Column, number, text, time, whole, yes_no};
use super::visit::{Place, Placed, id, metres, place, word};

pub(super) struct Row<'a> {
    place: Place<'a>,
    setup: &'a Record<Setup>,
    load: &'a Record<Load>,
    film: Option<FilmPerLoad>,
}

impl<'a> Row<'a> {
    pub(super) fn of(place: Place<'a>, setup: &'a Record<Setup>, load: &'a Record<Load>) -> Self {
        let weights = place.set.film_weights.iter();
        let own: Vec<_> = weights
            .filter(|weight| weight.load == load.id)
            .cloned()
            .collect();
        Self {
            place,
            setup,
            load,
            film: film_per_load(&own, &place.set.tools),
        }
    }

    fn readings(&self, method: MethodId) -> Option<i64> {
        count(self.place.set, self.load, method)
    }
}

fn count(set: &RecordSet, load: &Record<Load>, method: MethodId) -> Option<i64> {
    let own = set
        .readings
        .iter()
        .filter(|reading| reading.load == load.id && reading.measure.method() == method);
    i64::try_from(own.count()).ok()
}

impl<'a> Placed<'a> for Row<'a> {
    fn place(&self) -> Place<'a> {
        self.place
    }
}

pub(super) fn columns<'a>() -> Vec<Column<Row<'a>>> {
    let mut columns = vec![text("load_id", |row: &Row<'a>| id(row.load.id))];
    columns.extend(place());
    columns.extend([
        text("setup_id", |row: &Row<'a>| id(row.setup.id)),
        text("setup", |row| Some(row.setup.name.clone())),
        text("setup_role", |row| word(&row.setup.role)),
        text("load", |row| Some(row.load.name.clone())),
        time("wrapped_at", |row| row.load.wrapped_at),
        number("length_m", |row| metres(row.load.length.as_ref())),
        number("width_m", |row| metres(row.load.width.as_ref())),
        number("height_m", |row| metres(row.load.height.as_ref())),
        number("mass_kg", |row| {
            row.load.mass.as_ref().map(|mass| mass.value.kg())
        }),
        text("stability", |row| {
            row.load.stability.as_ref().and_then(word)
        }),
        number("overhang_m", |row| match row.load.pallet_fit.as_ref()? {
            PalletFit::Flush => Some(0.0),
            PalletFit::Overhang(length) => Some(length.value.m()),
            PalletFit::Inset(length) => Some(-length.value.m()),
        }),
        whole("film_breaks", |row| row.load.film_breaks.map(i64::from)),
        text("film_tail", |row| row.load.tail.as_ref().and_then(word)),
        text("damage", |row| Some(row.load.damage.clone())),
        yes_no("shipped_undamaged", |row| row.load.shipped_undamaged),
        whole("torsion_tool_readings", |row| {
            row.readings(MethodId::TorsionTool)
        }),
        whole("pull_plate_readings", |row| {
            row.readings(MethodId::PullPlate)
        }),
        number("film_kg_a_load", |row| {
            row.film.as_ref().map(|film| film.mass.kg())
        }),
        whole("film_loads_weighed_together", |row| {
            row.film.as_ref().map(|film| film.loads.into())
        }),
        text("notes", |row| Some(row.load.notes.clone())),
    ]);
    columns
}
