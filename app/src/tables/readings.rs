//! The table of readings. The two methods have columns of their own: no column holds both, so that
//! no average is taken over both by accident.

use tautbook_core::survey::{
    Load, Measure, PullReading, Reading, Record, Setup, TorsionReading, Zone,
};
use tautbook_core::units::{Method, PullPlate, TorsionTool};

use super::file::{Column, number, text, time, whole};
use super::visit::{Place, Placed, find, id, metres, place, word};

pub(super) struct Row<'a> {
    pub(super) place: Place<'a>,
    pub(super) setup: &'a Record<Setup>,
    pub(super) load: &'a Record<Load>,
    pub(super) reading: &'a Record<Reading>,
}

impl<'a> Placed<'a> for Row<'a> {
    fn place(&self) -> Place<'a> {
        self.place
    }
}

impl Row<'_> {
    fn by<M: Method>(&self) -> Option<f64> {
        let force = self.reading.measure.containment::<M>()?;
        Some(force.force().n())
    }

    fn torsion(&self) -> Option<&TorsionReading> {
        match &self.reading.measure {
            Measure::TorsionTool(torsion) => Some(torsion),
            Measure::PullPlate(_) => None,
        }
    }

    fn pull(&self) -> Option<&PullReading> {
        match &self.reading.measure {
            Measure::PullPlate(pull) => Some(pull),
            Measure::TorsionTool(_) => None,
        }
    }
}

pub(super) fn columns<'a>() -> Vec<Column<Row<'a>>> {
    let mut columns = vec![text("reading_id", |row: &Row<'a>| id(row.reading.id))];
    columns.extend(place());
    columns.extend([
        text("setup_id", |row: &Row<'a>| id(row.setup.id)),
        text("setup", |row| Some(row.setup.name.clone())),
        text("setup_role", |row| word(&row.setup.role)),
        text("load_id", |row| id(row.load.id)),
        text("load", |row| Some(row.load.name.clone())),
        time("taken_at", |row| Some(row.reading.taken_at)),
        whole("taken_at_offset_min", |row| {
            Some(row.reading.taken_at.offset_minutes().into())
        }),
        text("who", |row| Some(row.reading.who.clone())),
        text("method", |row| {
            Some(row.reading.measure.method().as_str().to_owned())
        }),
        text("zone", |row| {
            let zone = match &row.reading.zone {
                Zone::Top => "top",
                Zone::Middle => "middle",
                Zone::Bottom => "bottom",
                Zone::Height(_) => "height",
            };
            Some(zone.to_owned())
        }),
        number("zone_height_m", |row| match &row.reading.zone {
            Zone::Height(height) => Some(height.value.m()),
            Zone::Top | Zone::Middle | Zone::Bottom => None,
        }),
        text("face", |row| row.reading.face.as_ref().and_then(word)),
        number("face_length_m", |row| {
            row.reading
                .face_length(row.load)
                .map(tautbook_core::units::Length::m)
        }),
        whole("order", |row| Some(row.reading.order.into())),
        number("torsion_tool_n", Row::by::<TorsionTool>),
        number("torsion_tool_from_right_edge_m", |row| {
            metres(row.torsion()?.from_right_edge.as_ref())
        }),
        number("pull_plate_n", Row::by::<PullPlate>),
        number("pull_plate_from_side_m", |row| {
            metres(row.pull()?.from_side.as_ref())
        }),
        number("pull_plate_from_top_m", |row| {
            metres(row.pull()?.from_top.as_ref())
        }),
        number("pull_plate_pulled_m", |row| {
            metres(row.pull()?.pulled.as_ref())
        }),
        text("pull_plate_reference", |row| {
            word(&row.pull()?.plate_reference)
        }),
        text("entered", |row| {
            Some(row.reading.measure.entered().to_owned())
        }),
        text("tool_id", |row| row.reading.tool.and_then(id)),
        text("tool", |row| {
            let tool = find(&row.place.set.tools, row.reading.tool?)?;
            Some(tool.name.clone())
        }),
        time("tool_zeroed_at", |row| row.reading.zeroed_at),
        number("since_wrapping_s", |row| {
            row.reading
                .minutes_since_wrapping
                .map(|minutes| minutes * 60.0)
        }),
        number("film_temperature_degc", |row| {
            row.reading.film_temperature_celsius
        }),
        text("notes", |row| Some(row.reading.notes.clone())),
    ]);
    columns
}
