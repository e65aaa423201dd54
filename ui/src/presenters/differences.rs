//! Differences: values that gave way to ones from other devices, to be looked through.

use serde_json::Value;
use tautbook_core::book::{BookError, GaveWay};
use tautbook_core::language::{Language, Word};
use tautbook_core::say;
use tautbook_core::survey::{Kind, RecordRef};
use tautbook_core::words::fields;

use super::title::{place_of, title};
use crate::session::Session;

/// At most so many are shown; the rest comes up as these are looked through. In the largest words on a sharp
/// screen more would be longer than can be drawn (32767 pixels).
const MOST_SHOWN: usize = 12;

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
    let field = field_words(language, &value.field);
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
        holds: written(shown(session, value, &value.to), value.to_by),
        gave_way: written(shown(session, value, &value.value), value.by),
        refused: value.refused.clone().unwrap_or_default(),
    })
}

/// A field in words, the widest part first where it is one of several.
fn field_words(language: Language, path: &str) -> String {
    let part = |name: &str| named(language, name);
    path.split('.').map(part).collect::<Vec<_>>().join(", ")
}

/// One part of a field's name; one that later versions write, as it is written.
fn named(language: Language, name: &str) -> String {
    fields::field(name).map_or_else(
        || name.replace('_', " "),
        |word| word.said(language).to_owned(),
    )
}

/// One of the two values as a person reads it.
fn shown(session: &Session, of: &GaveWay, value: &Value) -> String {
    let field = of.field.rsplit('.').next().unwrap_or_default();
    shown_in(session.language(), of.of.kind, field, value)
}

/// What stands in a field as a person reads it: quantities and texts as they were written.
fn shown_in(language: Language, kind: Kind, field: &str, value: &Value) -> String {
    let all = |parts: Vec<String>| match parts.is_empty() {
        true => say!(language, "nothing"),
        false => parts.join("; "),
    };
    match value {
        Value::Null => say!(language, "nothing"),
        Value::Bool(true) => say!(language, "yes"),
        Value::Bool(false) => say!(language, "no"),
        Value::String(text) if text.is_empty() => say!(language, "nothing"),
        Value::String(text) => choice(text)
            .filter(|_| fields::is_chosen(kind, field))
            .map_or_else(|| text.clone(), |word| word.said(language).to_owned()),
        Value::Array(parts) => all(parts
            .iter()
            .map(|part| shown_in(language, kind, field, part))
            .collect()),
        Value::Object(parts) => match parts.get("entered") {
            Some(Value::String(text)) if parts.len() == 2 => text.clone(),
            _ => all(parts
                .iter()
                .filter(|(_, part)| !part.is_null())
                .map(|(name, part)| {
                    say!(
                        language,
                        "{name}: {value}",
                        name = named(language, name),
                        value = shown_in(language, kind, name, part)
                    )
                })
                .collect()),
        },
        Value::Number(number) => number.to_string(),
    }
}

/// What is chosen from a list, in words; a kind of record among it.
fn choice(name: &str) -> Option<Word> {
    fields::choice(name).or_else(|| Kind::from_name(name).map(Kind::word))
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
