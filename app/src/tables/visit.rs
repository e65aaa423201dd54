//! What every row says of where it was measured.

use serde::Serialize;
use tautbook_core::survey::{Id, Line, Load, Record, RecordSet, Setup, Visit};
use tautbook_core::units::{Entered, Length};

use super::file::{Column, day, text};

/// The visit and, where there is one, the line a row belongs to.
#[derive(Clone, Copy)]
pub(super) struct Place<'a> {
    pub(super) set: &'a RecordSet,
    pub(super) visit: &'a Record<Visit>,
    pub(super) line: &'a Record<Line>,
}

/// A row that was measured somewhere.
pub(super) trait Placed<'a> {
    fn place(&self) -> Place<'a>;
}

/// The columns that every table has after its own id.
pub(super) fn place<'a, R: Placed<'a>>() -> Vec<Column<R>> {
    vec![
        text("visit_id", |row: &R| id(row.place().visit.id)),
        day("visit_date", |row| Some(row.place().visit.date)),
        text("customer", |row| Some(row.place().visit.customer.clone())),
        text("site", |row| Some(row.place().visit.site.clone())),
        text("rep", |row| Some(row.place().visit.rep.clone())),
        text("device_id", |row| {
            Some(row.place().visit.device.to_string())
        }),
        text("purpose", |row| word(&row.place().visit.purpose)),
        text("line_id", |row| id(row.place().line.id)),
        text("line", |row| Some(row.place().line.name.clone())),
    ]
}

/// An id as text.
#[allow(clippy::unnecessary_wraps)] // As every column wants it.
pub(super) fn id<T>(id: Id<T>) -> Option<String> {
    Some(id.to_string())
}

/// The stable name of a value that is written as a word.
pub(super) fn word<T: Serialize>(value: &T) -> Option<String> {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(name)) => Some(name),
        _ => None,
    }
}

/// A length in metres.
pub(super) fn metres(length: Option<&Entered<Length>>) -> Option<f64> {
    length.map(|length| length.value.m())
}

/// A record of the visit by its id.
pub(super) fn find<T>(records: &[Record<T>], id: Id<T>) -> Option<&Record<T>> {
    records.iter().find(|record| record.id == id)
}

/// A setup with its place, found from a load.
pub(super) fn of_load<'a>(
    set: &'a RecordSet,
    visit: &'a Record<Visit>,
    load: &Load,
) -> Option<(Place<'a>, &'a Record<Setup>)> {
    let setup = find(&set.setups, load.setup)?;
    let line = find(&set.lines, setup.line)?;
    Some((Place { set, visit, line }, setup))
}
