//! One user action: one transaction, with everything it changed written to the history.

use rusqlite::Transaction;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use uuid::Uuid;

use super::{BookError, clock, store};
use crate::survey::{Entity, Id, Moment, Record, RecordRef, SetAside, Tool};
use crate::word;

/// Names one action of one device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ActionKey {
    /// Its place in the order of actions: a hybrid logical clock.
    pub stamp: i64,
    /// The device it was done on.
    pub device: Uuid,
}

/// What an action gave, and its key if it changed anything.
#[derive(Debug, Clone)]
pub struct Done<T> {
    /// What the work returned.
    pub value: T,
    /// The action, for undoing it. `None` when nothing changed.
    pub action: Option<ActionKey>,
}

/// An action under way. What it adds and changes is kept when the work succeeds, all or nothing.
pub struct Act<'t> {
    pub(super) tx: Transaction<'t>,
    pub(super) key: ActionKey,
    pub(super) now: Moment,
    pub(super) who: &'t str,
    pub(super) name: &'static str,
    pub(super) made: u16,
    pub(super) undoes: Option<ActionKey>,
    pub(super) changes: i64,
}

impl Act<'_> {
    /// When the action happens.
    #[must_use]
    pub fn now(&self) -> Moment {
        self.now
    }

    /// Adds a record.
    ///
    /// # Errors
    /// Content that contradicts itself, a parent that is not in the book, or the store's errors.
    pub fn add<T: Entity>(&mut self, body: T) -> Result<Record<T>, BookError> {
        let record = Record {
            id: Id::from_uuid(clock::new_id(self.key.stamp, self.made)),
            created: self.now,
            changed: self.now,
            device: self.key.device,
            set_aside: None,
            body,
        };
        self.made = self.made.wrapping_add(1);
        self.add_record(&record)?;
        Ok(record)
    }

    /// Adds a record that already has its identity and times.
    pub(super) fn add_record<T: Entity>(&mut self, record: &Record<T>) -> Result<(), BookError> {
        self.check(&record.body)?;
        store::insert(&self.tx, record)?;
        let whole = serde_json::to_value(record)
            .map_err(|error| BookError::json(T::KIND, record.id.uuid(), &error))?;
        self.note(record.reference(), "", None, Some(&whole))
    }

    /// Reads a record within the action.
    ///
    /// # Errors
    /// When it is not there or cannot be read.
    pub fn get<T: Entity>(&self, id: Id<T>) -> Result<Record<T>, BookError> {
        store::get(&self.tx, id)
    }

    /// Changes a record; each field that differs goes to the history.
    ///
    /// # Errors
    /// As [`Act::add`]; the record is not in the book.
    pub fn change<T: Entity>(
        &mut self,
        id: Id<T>,
        edit: impl FnOnce(&mut T),
    ) -> Result<Record<T>, BookError> {
        let old = store::get(&self.tx, id)?;
        let mut new = old.clone();
        edit(&mut new.body);
        if new.body == old.body {
            return Ok(old);
        }
        new.changed = self.now;
        self.replace(&old, &new)?;
        Ok(new)
    }

    /// Writes `new` over `old`, noting every field that differs.
    pub(super) fn replace<T: Entity>(
        &mut self,
        old: &Record<T>,
        new: &Record<T>,
    ) -> Result<(), BookError> {
        self.check(&new.body)?;
        store::update(&self.tx, new)?;
        let before = fields(&old.body, new.reference())?;
        let after = fields(&new.body, new.reference())?;
        for (field, was, is) in differences(&before, &after, T::NESTED) {
            self.note(new.reference(), &field, Some(&was), Some(&is))?;
        }
        Ok(())
    }

    /// Sets a record aside. It stays in the book and can be brought back.
    ///
    /// # Errors
    /// The record is not in the book, or the store's errors.
    pub fn set_aside<T: Entity>(
        &mut self,
        id: Id<T>,
        reason: impl Into<String>,
    ) -> Result<Record<T>, BookError> {
        let aside = SetAside {
            at: self.now,
            reason: reason.into(),
        };
        self.aside::<T>(id, Some(aside))
    }

    /// Brings back a record that was set aside.
    ///
    /// # Errors
    /// The record is not in the book, or the store's errors.
    pub fn bring_back<T: Entity>(&mut self, id: Id<T>) -> Result<Record<T>, BookError> {
        self.aside::<T>(id, None)
    }

    pub(super) fn aside<T: Entity>(
        &mut self,
        id: Id<T>,
        aside: Option<SetAside>,
    ) -> Result<Record<T>, BookError> {
        self.go_on()?;
        let old = store::get(&self.tx, id)?;
        if old.set_aside == aside {
            return Ok(old);
        }
        let mut new = old.clone();
        new.set_aside = aside;
        new.changed = self.now;
        store::update(&self.tx, &new)?;
        self.note_aside(&old, &new.set_aside)?;
        Ok(new)
    }

    /// Notes in the history that a record was set aside or brought back.
    pub(super) fn note_aside<T: Entity>(
        &mut self,
        old: &Record<T>,
        new: &Option<SetAside>,
    ) -> Result<(), BookError> {
        let json = |aside: &Option<SetAside>| {
            serde_json::to_value(aside)
                .map_err(|error| BookError::json(T::KIND, old.id.uuid(), &error))
        };
        let (was, is) = (json(&old.set_aside)?, json(new)?);
        self.note(old.reference(), SET_ASIDE, Some(&was), Some(&is))
    }

    /// Notes in the history that a record was last changed at another time than that of the action.
    pub(super) fn note_changed<T: Entity>(
        &mut self,
        old: &Record<T>,
        new: Moment,
    ) -> Result<(), BookError> {
        let (was, is) = (
            Value::from(old.changed.to_string()),
            Value::from(new.to_string()),
        );
        self.note(old.reference(), CHANGED, Some(&was), Some(&is))
    }

    /// Refuses to go on once SQLite has rolled the action back on its own, as it does when the
    /// storage is full: what came after would be kept bit by bit.
    pub(super) fn go_on(&self) -> Result<(), BookError> {
        if self.tx.is_autocommit() {
            return Err(BookError::Internal(
                "the action was given up after an error".to_owned(),
            ));
        }
        Ok(())
    }

    fn check<T: Entity>(&self, body: &T) -> Result<(), BookError> {
        self.go_on()?;
        body.check().map_err(|source| BookError::Content {
            kind: T::KIND,
            source,
        })?;
        if let Some((tool, needed)) = body.tool_needed()
            && let Some(tool) = store::find::<Tool>(&self.tx, tool)?
            && tool.kind != needed
        {
            let source = crate::survey::ContentError::new(
                "tool",
                word!("this is not the kind of tool it was measured with: choose another tool"),
            );
            return Err(BookError::Content {
                kind: T::KIND,
                source,
            });
        }
        Ok(())
    }

    /// Writes one line of history; the first also writes the action itself.
    pub(super) fn note(
        &mut self,
        record: RecordRef,
        field: &str,
        old: Option<&Value>,
        new: Option<&Value>,
    ) -> Result<(), BookError> {
        let device = self.key.device.as_bytes().as_slice();
        if self.changes == 0 {
            self.tx
                .prepare_cached(
                    "INSERT INTO action (stamp, device, at_ms, at_offset, who, name, \
                     undoes_stamp, undoes_device) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                )?
                .execute((
                    self.key.stamp,
                    device,
                    self.now.unix_ms(),
                    self.now.offset_minutes(),
                    self.who,
                    self.name,
                    self.undoes.map(|undone| undone.stamp),
                    self.undoes.map(|undone| undone.device.into_bytes()),
                ))?;
        }
        self.changes += 1;
        self.tx
            .prepare_cached(
                "INSERT INTO change (stamp, device, n, kind, record, field, old, new) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )?
            .execute((
                self.key.stamp,
                device,
                self.changes,
                record.kind.as_str(),
                record.id.as_bytes().as_slice(),
                field,
                old.map(Value::to_string),
                new.map(Value::to_string),
            ))?;
        Ok(())
    }
}

/// The field under which setting aside and bringing back stand in the history.
pub(super) const SET_ASIDE: &str = "set_aside";

/// The field under which the time of a record's last change stands in the history, where that is not
/// the time of the action: a version made elsewhere was taken in.
pub(super) const CHANGED: &str = "changed";

/// A record's content as JSON fields.
pub(super) fn fields<T: Entity>(body: &T, of: RecordRef) -> Result<Map<String, Value>, BookError> {
    match serde_json::to_value(body) {
        Ok(Value::Object(map)) => Ok(map),
        Ok(_) => Err(BookError::Unreadable {
            record: of,
            detail: "it has no fields".to_owned(),
        }),
        Err(error) => Err(BookError::json(of.kind, of.id, &error)),
    }
}

/// The fields that differ: path, value before, value after. Looks inside those that are `nested` only, see
/// [`Entity::NESTED`].
pub(super) fn differences(
    before: &Map<String, Value>,
    after: &Map<String, Value>,
    nested: &[&str],
) -> Vec<(String, Value, Value)> {
    let mut found = Vec::new();
    compare(before, after, "", nested, &mut found);
    found
}

fn compare(
    before: &Map<String, Value>,
    after: &Map<String, Value>,
    path: &str,
    nested: &[&str],
    found: &mut Vec<(String, Value, Value)>,
) {
    let keys: std::collections::BTreeSet<&String> = before.keys().chain(after.keys()).collect();
    for key in keys {
        let was = before.get(key).unwrap_or(&Value::Null);
        let is = after.get(key).unwrap_or(&Value::Null);
        if was == is {
            continue;
        }
        if nested.contains(&key.as_str())
            && let (Value::Object(was), Value::Object(is)) = (was, is)
        {
            compare(was, is, &format!("{path}{key}."), &[], found);
        } else {
            found.push((format!("{path}{key}"), was.clone(), is.clone()));
        }
    }
}

/// Puts `value` at `path` (fields joined by points) in `fields`.
pub(super) fn put(fields: &mut Map<String, Value>, path: &str, value: Value) {
    match path.split_once('.') {
        Some((outer, inner)) => {
            let entry = fields
                .entry(outer.to_owned())
                .or_insert_with(|| Value::Object(Map::new()));
            if let Value::Object(map) = entry {
                put(map, inner, value);
            }
        }
        None => {
            fields.insert(path.to_owned(), value);
        }
    }
}

/// The value at `path` in `fields`; null where there is none.
pub(super) fn at<'f>(fields: &'f Map<String, Value>, path: &str) -> &'f Value {
    const NOTHING: &Value = &Value::Null;
    match path.split_once('.') {
        Some((outer, inner)) => match fields.get(outer) {
            Some(Value::Object(map)) => at(map, inner),
            _ => NOTHING,
        },
        None => fields.get(path).unwrap_or(NOTHING),
    }
}
