//! A record from its history alone.
//!
//! The history of a record is a set of changes, each with a place in the order of all actions of all
//! devices ([`ActionKey`]). A record is what its changes give in that order: devices that know the
//! same changes hold the same record, in whatever order they learned of them. A value that another
//! device overwrote without having seen it is told, and stays in the history.

use serde_json::{Map, Value};

use super::act::{CHANGED, SET_ASIDE, at, differences, fields, put};
use super::{ActionKey, BookError, Change};
use crate::survey::{Entity, Id, Moment, Record, RecordRef, SetAside};

/// A value that had to give way to one from elsewhere, whose writer had not seen it.
#[derive(Debug, Clone, PartialEq)]
pub struct GaveWay {
    /// The record.
    pub of: RecordRef,
    /// The field, by its path; `set_aside` for setting aside and bringing back.
    pub field: String,
    /// The value that gave way. It stays in the history.
    pub value: Value,
    /// The action that had given that value.
    pub by: ActionKey,
    /// The value it gave way to.
    pub to: Value,
    /// The action that gave that one.
    pub to_by: ActionKey,
    /// Why the change does not stand, when it could not be made together with the others.
    pub refused: Option<String>,
}

/// A record and what gave way in it.
pub(super) struct Folded<T> {
    pub(super) record: Record<T>,
    pub(super) gave_way: Vec<GaveWay>,
}

/// The record under way.
#[derive(Clone)]
struct State {
    body: Map<String, Value>,
    set_aside: Value,
    changed: Moment,
}

impl State {
    fn get(&self, field: &str) -> &Value {
        match field {
            SET_ASIDE => &self.set_aside,
            field => at(&self.body, field),
        }
    }

    fn put(&mut self, field: &str, value: Value) {
        match field {
            SET_ASIDE => self.set_aside = value,
            field => put(&mut self.body, field, value),
        }
    }

    fn aside(&self) -> Result<Option<SetAside>, String> {
        serde_json::from_value(self.set_aside.clone()).map_err(|error| error.to_string())
    }
}

/// A record whose content is fields of JSON.
type Plain = Record<Map<String, Value>>;

/// What folding has to know of a kind of record. Everything else is the same for all.
struct Rules {
    of: RecordRef,
    /// As [`Entity::NESTED`].
    nested: &'static [&'static str],
    read: fn(RecordRef, &Value) -> Result<Plain, BookError>,
    check: fn(&Map<String, Value>) -> Result<(), String>,
}

/// A record from every change of it, in order.
///
/// It begins as it came to be; where it came to be more than once (the same file taken in on several
/// devices, a record recovered), as the version that was changed last. Then the changes follow, those of one action together: an action whose
/// changes contradict what others changed meanwhile is left out and told.
///
/// # Errors
/// [`BookError::Unreadable`] when it never came to be, or came to be unreadable.
pub(super) fn fold<T: Entity>(id: Id<T>, changes: &[Change]) -> Result<Folded<T>, BookError> {
    let of = id.reference();
    let rules = Rules {
        of,
        nested: T::NESTED,
        read: read::<T>,
        check: |fields| content::<T>(fields).map(|_| ()),
    };
    let (plain, gave_way) = rules.fold(changes)?;
    let body = content(&plain.body).map_err(|detail| unreadable(of, detail))?;
    let record = Record {
        id,
        created: plain.created,
        changed: plain.changed,
        device: plain.device,
        set_aside: plain.set_aside,
        body,
    };
    Ok(Folded { record, gave_way })
}

fn unreadable(record: RecordRef, detail: impl Into<String>) -> BookError {
    BookError::Unreadable {
        record,
        detail: detail.into(),
    }
}

fn content<T: Entity>(fields: &Map<String, Value>) -> Result<T, String> {
    let body: T =
        serde_json::from_value(Value::Object(fields.clone())).map_err(|error| error.to_string())?;
    body.check().map_err(|error| error.to_string())?;
    Ok(body)
}

/// A record as a kind writes it, with every field it has.
fn read<T: Entity>(of: RecordRef, whole: &Value) -> Result<Plain, BookError> {
    let record: Record<T> = serde_json::from_value(whole.clone())
        .map_err(|error| BookError::json(of.kind, of.id, &error))?;
    Ok(Record {
        id: Id::from_uuid(record.id.uuid()),
        created: record.created,
        changed: record.changed,
        device: record.device,
        set_aside: record.set_aside,
        body: fields(&record.body, of)?,
    })
}

impl Rules {
    fn fold(&self, changes: &[Change]) -> Result<(Plain, Vec<GaveWay>), BookError> {
        let of = self.of;
        let mut gave_way = Vec::new();
        let base = self.beginning(changes, &mut gave_way)?;
        let mut state = State {
            body: base.record.body,
            set_aside: json_of(base.record.set_aside.as_ref()),
            changed: base.record.changed,
        };
        // Who gave each field its value, once it was changed.
        let mut writers: Vec<(String, ActionKey)> = Vec::new();
        let content: Vec<&Change> = changes
            .iter()
            .filter(|change| !change.field.is_empty() && change.new.is_some())
            .collect();
        for group in content.chunk_by(|one, next| one.action.key == next.action.key) {
            let key = group[0].action.key;
            let mut next = state.clone();
            let mut unseen = Vec::new();
            next.changed = group[0].action.at;
            for change in group {
                let new = change.new.clone().unwrap_or(Value::Null);
                if change.field == CHANGED {
                    next.changed = new.as_str().and_then(Moment::parse).unwrap_or(next.changed);
                    continue;
                }
                let now = next.get(&change.field);
                let seen = change.old.as_ref().unwrap_or(&Value::Null);
                if now != seen && *now != new {
                    unseen.push(GaveWay {
                        of,
                        field: change.field.clone(),
                        value: now.clone(),
                        by: last_writer(&writers, &change.field).unwrap_or(base.key),
                        to: new.clone(),
                        to_by: key,
                        refused: None,
                    });
                }
                next.put(&change.field, new);
            }
            match (self.check)(&next.body).and_then(|()| next.aside()) {
                Ok(_) => {
                    gave_way.append(&mut unseen);
                    for change in group {
                        writers.push((change.field.clone(), key));
                    }
                    state = next;
                }
                Err(detail) => {
                    let content = group.iter().filter(|change| change.field != CHANGED);
                    gave_way.extend(content.map(|change| GaveWay {
                        of,
                        field: change.field.clone(),
                        value: change.new.clone().unwrap_or(Value::Null),
                        by: key,
                        to: state.get(&change.field).clone(),
                        to_by: last_writer(&writers, &change.field).unwrap_or(base.key),
                        refused: Some(detail.clone()),
                    }));
                }
            }
        }
        let record = Plain {
            changed: state.changed,
            set_aside: state.aside().map_err(|detail| unreadable(of, detail))?,
            body: state.body,
            ..base.record
        };
        Ok((record, gave_way))
    }

    /// The version changed last of those as which the record came to be; what differs in the others gave
    /// way, unless they only stood in for it.
    fn beginning(
        &self,
        changes: &[Change],
        gave_way: &mut Vec<GaveWay>,
    ) -> Result<Beginning, BookError> {
        let of = self.of;
        let mut versions = Vec::new();
        for change in changes.iter().filter(|change| change.field.is_empty()) {
            let Some(whole) = &change.new else { continue };
            let record = (self.read)(of, whole)?;
            if record.id.uuid() != of.id {
                return Err(unreadable(of, "its history begins with another record"));
            }
            let key = change.action.key;
            versions.push(Beginning { record, key });
        }
        versions.sort_by_key(|version| (version.record.changed, version.key));
        let last = versions
            .pop()
            .ok_or_else(|| unreadable(of, "its history does not say how it came to be"))?;
        for earlier in versions {
            if earlier.record.device.is_nil() {
                continue;
            }
            let mut differing = differences(&earlier.record.body, &last.record.body, self.nested);
            if earlier.record.set_aside != last.record.set_aside {
                differing.push((
                    SET_ASIDE.to_owned(),
                    json_of(earlier.record.set_aside.as_ref()),
                    json_of(last.record.set_aside.as_ref()),
                ));
            }
            gave_way.extend(differing.into_iter().map(|(field, value, to)| GaveWay {
                of,
                field,
                value,
                by: earlier.key,
                to,
                to_by: last.key,
                refused: None,
            }));
        }
        Ok(last)
    }
}

/// How a record began, and by which action.
struct Beginning {
    record: Plain,
    key: ActionKey,
}

fn json_of(aside: Option<&SetAside>) -> Value {
    serde_json::to_value(aside).unwrap_or(Value::Null)
}

/// Who wrote `field`, a field inside it, or what it is inside of, last.
fn last_writer(writers: &[(String, ActionKey)], field: &str) -> Option<ActionKey> {
    let within = |outer: &str, inner: &str| {
        inner
            .strip_prefix(outer)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    writers
        .iter()
        .rev()
        .find(|(written, _)| within(written, field) || within(field, written))
        .map(|(_, key)| *key)
}
