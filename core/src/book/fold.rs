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

    fn body<T: Entity>(&self) -> Result<T, String> {
        let body: T = serde_json::from_value(Value::Object(self.body.clone()))
            .map_err(|error| error.to_string())?;
        body.check().map_err(|error| error.to_string())?;
        Ok(body)
    }

    fn aside(&self) -> Result<Option<SetAside>, String> {
        serde_json::from_value(self.set_aside.clone()).map_err(|error| error.to_string())
    }
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
    let of = RecordRef {
        kind: T::KIND,
        id: id.uuid(),
    };
    let unreadable = |detail: String| BookError::Unreadable { record: of, detail };
    let mut gave_way = Vec::new();
    let base = beginning::<T>(of, changes, &mut gave_way)?;
    let mut state = State {
        body: fields(&base.record.body, of)?,
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
        match next.body::<T>().and_then(|_| next.aside()) {
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
    let record = Record {
        id,
        created: base.record.created,
        changed: state.changed,
        device: base.record.device,
        set_aside: state.aside().map_err(unreadable)?,
        body: state.body().map_err(unreadable)?,
    };
    Ok(Folded { record, gave_way })
}

/// How a record began, and by which action.
struct Beginning<T> {
    record: Record<T>,
    key: ActionKey,
}

/// The version changed last of those as which the record came to be; what differs in the others gave
/// way, unless they only stood in for it.
fn beginning<T: Entity>(
    of: RecordRef,
    changes: &[Change],
    gave_way: &mut Vec<GaveWay>,
) -> Result<Beginning<T>, BookError> {
    let mut versions = Vec::new();
    for change in changes.iter().filter(|change| change.field.is_empty()) {
        let Some(whole) = &change.new else { continue };
        let record: Record<T> = serde_json::from_value(whole.clone())
            .map_err(|error| BookError::json(of.kind, of.id, &error))?;
        if record.id.uuid() != of.id {
            return Err(BookError::Unreadable {
                record: of,
                detail: "its history begins with another record".to_owned(),
            });
        }
        let key = change.action.key;
        versions.push(Beginning { record, key });
    }
    versions.sort_by_key(|version| (version.record.changed, version.key));
    let last = versions.pop().ok_or_else(|| BookError::Unreadable {
        record: of,
        detail: "its history does not say how it came to be".to_owned(),
    })?;
    let after = fields(&last.record.body, of)?;
    for earlier in versions {
        if earlier.record.device.is_nil() {
            continue;
        }
        let before = fields(&earlier.record.body, of)?;
        let mut differing = differences::<T>(&before, &after);
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
