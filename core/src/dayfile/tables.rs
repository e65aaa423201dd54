//! Tables for people and spreadsheets.
//!
//! CSV after RFC 4180, in UTF-8 with a byte-order mark, by which spreadsheets know accents. Numbers
//! have a point and SI units, with what was written down beside them. Text that a spreadsheet would
//! take for a formula begins with an apostrophe.

use std::collections::HashMap;
use std::path::Path;

use super::error::DayFileError;
use crate::survey::{
    Entity, Face, Id, Line, Load, Measure, Reading, Record, RecordSet, Setup, SetupRole, Tool,
    Visit, Zone,
};
use crate::units::{Entered, Length, PullPlate, TorsionTool};

/// The visit, line and setup that a load belongs to.
struct Place<'r> {
    visit: Option<&'r Record<Visit>>,
    line: Option<&'r Record<Line>>,
    setup: Option<&'r Record<Setup>>,
}

/// What is looked up by id.
struct ById<'r> {
    visits: HashMap<Id<Visit>, &'r Record<Visit>>,
    lines: HashMap<Id<Line>, &'r Record<Line>>,
    setups: HashMap<Id<Setup>, &'r Record<Setup>>,
    loads: HashMap<Id<Load>, &'r Record<Load>>,
    tools: HashMap<Id<Tool>, &'r Record<Tool>>,
}

impl<'r> ById<'r> {
    fn new(records: &'r RecordSet) -> Self {
        fn by_id<T: Entity>(records: &[Record<T>]) -> HashMap<Id<T>, &Record<T>> {
            records.iter().map(|record| (record.id, record)).collect()
        }
        Self {
            visits: by_id(&records.visits),
            lines: by_id(&records.lines),
            setups: by_id(&records.setups),
            loads: by_id(&records.loads),
            tools: by_id(&records.tools),
        }
    }

    fn place(&self, load: Option<&Load>) -> Place<'r> {
        let setup = load.and_then(|load| self.setups.get(&load.setup)).copied();
        let line = setup.and_then(|setup| self.lines.get(&setup.line)).copied();
        let visit = line.and_then(|line| self.visits.get(&line.visit)).copied();
        Place { visit, line, setup }
    }
}

impl Place<'_> {
    const COLUMNS: [&'static str; 6] = ["date", "customer", "site", "line", "setup", "setup_role"];

    fn cells(&self) -> Vec<String> {
        let visit = |get: fn(&Visit) -> String| self.visit.map_or_else(String::new, |v| get(v));
        vec![
            visit(|visit| visit.date.to_string()),
            visit(|visit| text(&visit.customer)),
            visit(|visit| text(&visit.site)),
            self.line.map_or_else(String::new, |line| text(&line.name)),
            self.setup
                .map_or_else(String::new, |setup| text(&setup.name)),
            self.setup.map_or_else(String::new, |setup| {
                match setup.role {
                    SetupRole::AsFound => "as found",
                    SetupRole::Trial => "trial",
                    SetupRole::AsLeft => "as left",
                }
                .to_owned()
            }),
        ]
    }
}

/// Every reading, in the order of ids.
///
/// # Errors
/// [`DayFileError::Io`], which writing into memory does not give.
pub(super) fn readings(records: &RecordSet) -> Result<Vec<u8>, DayFileError> {
    let by_id = ById::new(records);
    let mut header = Place::COLUMNS.to_vec();
    header.extend([
        "load",
        "order",
        "method",
        "zone",
        "height_m",
        "face",
        "force_n",
        "force_written",
        "taken_at",
        "who",
        "tool",
        "minutes_since_wrapping",
        "film_celsius",
        "notes",
        "set_aside",
        "reading_id",
        "load_id",
    ]);
    table(&header, &records.readings, |reading: &Record<Reading>| {
        let load = by_id.loads.get(&reading.load).copied();
        let mut cells = by_id.place(load.map(|load| &load.body)).cells();
        let (zone, height) = match &reading.zone {
            Zone::Top => ("top", None),
            Zone::Middle => ("middle", None),
            Zone::Bottom => ("bottom", None),
            Zone::Height(height) => ("height", Some(height)),
        };
        // The method has its own column: the two are never to be averaged together.
        let (method, newtons) = match &reading.measure {
            Measure::TorsionTool(measure) => (
                "torsion tool",
                newtons::<TorsionTool>(measure.containment()),
            ),
            Measure::PullPlate(measure) => {
                ("pull plate", newtons::<PullPlate>(measure.containment()))
            }
        };
        let face = reading.face.map_or("", |face| match face {
            Face::Front => "front",
            Face::Right => "right",
            Face::Back => "back",
            Face::Left => "left",
        });
        let tool = reading.tool.and_then(|tool| by_id.tools.get(&tool));
        cells.extend([
            load.map_or_else(String::new, |load| text(&load.name)),
            reading.order.to_string(),
            method.to_owned(),
            zone.to_owned(),
            metres(height),
            face.to_owned(),
            newtons,
            text(reading.measure.entered()),
            reading.taken_at.to_string(),
            text(&reading.who),
            tool.map_or_else(String::new, |tool| text(&tool.name)),
            number(reading.minutes_since_wrapping),
            number(reading.film_temperature_celsius),
            text(&reading.notes),
            aside(reading),
            reading.id.to_string(),
            reading.load.to_string(),
        ]);
        cells
    })
}

/// Every load, in the order of ids.
///
/// # Errors
/// [`DayFileError::Io`], which writing into memory does not give.
pub(super) fn loads(records: &RecordSet) -> Result<Vec<u8>, DayFileError> {
    let by_id = ById::new(records);
    let mut header = Place::COLUMNS.to_vec();
    header.extend([
        "load",
        "length_m",
        "width_m",
        "height_m",
        "mass_kg",
        "mass_written",
        "film_weighings_kg_a_load",
        "readings",
        "film_breaks",
        "damage",
        "wrapped_at",
        "shipped_undamaged",
        "notes",
        "set_aside",
        "load_id",
    ]);
    let mut weighings: HashMap<Id<Load>, Vec<String>> = HashMap::new();
    for weight in records
        .film_weights
        .iter()
        .filter(|weight| weight.set_aside.is_none())
    {
        let tare = weight.tare.as_ref().map_or(0.0, |tare| tare.value.kg());
        let net = weight.gross.value.kg() - tare;
        let each = number(Some(net / f64::from(weight.loads_together)));
        weighings.entry(weight.load).or_default().push(each);
    }
    let mut readings: HashMap<Id<Load>, u32> = HashMap::new();
    for reading in records
        .readings
        .iter()
        .filter(|reading| reading.set_aside.is_none())
    {
        *readings.entry(reading.load).or_default() += 1;
    }
    table(&header, &records.loads, |load: &Record<Load>| {
        let mut cells = by_id.place(Some(&load.body)).cells();
        cells.extend([
            text(&load.name),
            metres(load.length.as_ref()),
            metres(load.width.as_ref()),
            metres(load.height.as_ref()),
            number(load.mass.as_ref().map(|mass| mass.value.kg())),
            load.mass
                .as_ref()
                .map_or_else(String::new, |mass| text(&mass.text)),
            weighings
                .get(&load.id)
                .map_or_else(String::new, |each| each.join(" ")),
            readings.get(&load.id).unwrap_or(&0).to_string(),
            load.film_breaks
                .map_or_else(String::new, |breaks| breaks.to_string()),
            text(&load.damage),
            load.wrapped_at
                .map_or_else(String::new, |at| at.to_string()),
            load.shipped_undamaged.map_or("", yes_or_no).to_owned(),
            text(&load.notes),
            aside(load),
            load.id.to_string(),
        ]);
        cells
    })
}

fn table<T>(
    header: &[&str],
    records: &[T],
    cells: impl Fn(&T) -> Vec<String>,
) -> Result<Vec<u8>, DayFileError> {
    let wrong = |detail: String| DayFileError::Io {
        path: Path::new("the table").to_owned(),
        detail,
    };
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer("\u{feff}".as_bytes().to_vec());
    writer
        .write_record(header)
        .map_err(|error| wrong(error.to_string()))?;
    for record in records {
        writer
            .write_record(cells(record))
            .map_err(|error| wrong(error.to_string()))?;
    }
    writer
        .into_inner()
        .map_err(|error| wrong(error.to_string()))
}

fn newtons<M: crate::units::Method>(force: crate::units::Containment<M>) -> String {
    number(Some(force.force().n()))
}

/// A number as it is, without more digits than say something.
fn number(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| {
        let rounded: f64 = format!("{value:.12e}").parse().unwrap_or(value);
        format!("{rounded}")
    })
}

fn metres(length: Option<&Entered<Length>>) -> String {
    number(length.map(|length| length.value.m()))
}

fn yes_or_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn aside<T>(record: &Record<T>) -> String {
    record
        .set_aside
        .as_ref()
        .map_or_else(String::new, |aside| match aside.reason.trim() {
            "" => "yes".to_owned(),
            reason => text(&format!("yes: {reason}")),
        })
}

/// Text of a person as a cell: what a spreadsheet would take for a formula is told as text.
fn text(written: &str) -> String {
    if written.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{written}")
    } else {
        written.to_owned()
    }
}
