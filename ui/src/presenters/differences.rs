//! Differences: values that gave way to ones from other devices, to be looked through.

use serde_json::Value;
use tautbook_core::book::{BookError, GaveWay};
use tautbook_core::say;
use tautbook_core::survey::RecordRef;

use super::title::{place_of, title};
use crate::session::Session;

/// At most so many are shown; the rest comes up as these are looked through.
const MOST_SHOWN: usize = 60;

/// A value that gave way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its place in the list.
    pub index: usize,
    /// The record it belongs to.
    pub of: RecordRef,
    /// What of which record.
    pub title: String,
    /// The value that holds, and where it was written.
    pub holds: String,
    /// The value that gave way, and where it was written.
    pub gave_way: String,
    /// Why the other cannot stand; blank where both could.
    pub refused: String,
}

/// What the screen shows now: the values not looked through yet.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session) -> Result<Vec<Row>, BookError> {
    let left = session.book().to_look_through()?;
    left.iter()
        .take(MOST_SHOWN)
        .enumerate()
        .map(|(index, value)| row(session, index, value))
        .collect()
}

fn row(session: &Session, index: usize, value: &GaveWay) -> Result<Row, BookError> {
    let language = session.language();
    let book = session.book();
    let place = place_of(book, value.of)?;
    let name = place.map(|place| title(session, place)).transpose()?;
    let name = name.map(|title| title.name).unwrap_or_default();
    let field = value.field.replace(['_', '.'], " ");
    let kind = value.of.kind.word().said(language);
    let written = |text: String, by: tautbook_core::book::ActionKey| {
        if by.device == book.device() {
            say!(language, "{text}, written on this device", text = text)
        } else {
            say!(language, "{text}, written on another device", text = text)
        }
    };
    Ok(Row {
        index,
        of: value.of,
        title: say!(
            language,
            "{name}: {field} of the {kind}",
            name = name,
            field = field,
            kind = kind
        ),
        holds: written(shown(session, &value.to), value.to_by),
        gave_way: written(shown(session, &value.value), value.by),
        refused: value.refused.clone().unwrap_or_default(),
    })
}

/// A value as a person reads it: quantities as they were written.
fn shown(session: &Session, value: &Value) -> String {
    let language = session.language();
    match value {
        Value::Null => say!(language, "nothing"),
        Value::Bool(true) => say!(language, "yes"),
        Value::Bool(false) => say!(language, "no"),
        Value::String(text) if text.is_empty() => say!(language, "nothing"),
        Value::String(text) => text.replace('_', " "),
        Value::Object(parts) => match parts.get("text") {
            Some(Value::String(text)) => text.clone(),
            _ => value.to_string(),
        },
        other => other.to_string(),
    }
}

/// Opens the record that a value belongs to.
pub fn open(session: &mut Session, index: usize) {
    let Some(value) = at(session, index) else {
        return;
    };
    let place = place_of(session.book(), value.of);
    if let Some(Some(place)) = session.report(place) {
        session.go(place);
    }
}

/// Notes that a value was looked through.
pub fn looked_through(session: &mut Session, index: usize) {
    let Some(value) = at(session, index) else {
        return;
    };
    let done = session.book.looked_through(&value);
    session.report(done);
}

fn at(session: &mut Session, index: usize) -> Option<GaveWay> {
    let left = session.book().to_look_through();
    session.report(left)?.into_iter().nth(index)
}
