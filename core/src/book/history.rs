//! What was done, and undoing it.

use rusqlite::{Connection, OptionalExtension, Row};
use serde_json::Value;
use uuid::Uuid;

use super::act::{Act, ActionKey, CHANGED, SET_ASIDE, at, fields, put};
use super::{Book, BookError, Done, store};
use crate::survey::{Entity, Id, Kind, Moment, RecordRef, SetAside};

/// Runs `$work::<T>($args)` with `T` the entity of a kind.
macro_rules! for_kind {
    ($kind:expr, $work:ident($($argument:expr),*)) => {{
        use crate::survey as s;
        match $kind {
            Kind::Tool => $work::<s::Tool>($($argument),*),
            Kind::Visit => $work::<s::Visit>($($argument),*),
            Kind::Line => $work::<s::Line>($($argument),*),
            Kind::FilmRoll => $work::<s::FilmRoll>($($argument),*),
            Kind::Setup => $work::<s::Setup>($($argument),*),
            Kind::Load => $work::<s::Load>($($argument),*),
            Kind::Reading => $work::<s::Reading>($($argument),*),
            Kind::FilmWeight => $work::<s::FilmWeight>($($argument),*),
            Kind::Thickness => $work::<s::Thickness>($($argument),*),
            Kind::StretchMark => $work::<s::StretchMark>($($argument),*),
            Kind::FilmWidth => $work::<s::FilmWidth>($($argument),*),
            Kind::FilmBreaks => $work::<s::FilmBreaks>($($argument),*),
            Kind::Caution => $work::<s::Caution>($($argument),*),
            Kind::MachineCheck => $work::<s::MachineCheck>($($argument),*),
            Kind::Finding => $work::<s::Finding>($($argument),*),
            Kind::Target => $work::<s::Target>($($argument),*),
            Kind::Sample => $work::<s::Sample>($($argument),*),
            Kind::SampleEvent => $work::<s::SampleEvent>($($argument),*),
            Kind::Photo => $work::<s::Photo>($($argument),*),
        }
    }};
}
pub(super) use for_kind;

/// One thing a person did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Action {
    /// Which.
    pub key: ActionKey,
    /// When, by the clock of the device.
    pub at: Moment,
    /// Who.
    pub who: String,
    /// What, by its stable name, such as `take_reading`.
    pub name: String,
    /// The action it undoes.
    pub undoes: Option<ActionKey>,
    /// Whether it was undone, and that was not undone in its turn.
    pub undone: bool,
}

/// One field of one record that an action changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// The action.
    pub action: Action,
    /// Its place among the changes of the action, from 1.
    pub n: i64,
    /// The record.
    pub record: RecordRef,
    /// The field; empty for the record coming to be.
    pub field: String,
    /// Its value before; `None` for a record that comes to be.
    pub old: Option<Value>,
    /// Its value after; the whole record when it comes to be. `None` beside the value of an older
    /// version that was taken in after a newer one: that is kept here and never stood in the book.
    pub new: Option<Value>,
}

const ACTION: &str = "a.stamp, a.device, a.at_ms, a.at_offset, a.who, a.name, a.undoes_stamp, \
                      a.undoes_device";

fn read_action(row: &Row<'_>) -> rusqlite::Result<Action> {
    let undoes: Option<i64> = row.get(6)?;
    let undoes = match undoes {
        Some(stamp) => Some(ActionKey {
            stamp,
            device: Uuid::from_bytes(row.get(7)?),
        }),
        None => None,
    };
    Ok(Action {
        key: ActionKey {
            stamp: row.get(0)?,
            device: Uuid::from_bytes(row.get(1)?),
        },
        at: store::moment(row.get(2)?, row.get(3)?),
        who: row.get(4)?,
        name: row.get(5)?,
        undoes,
        undone: false,
    })
}

fn read_change(row: &Row<'_>) -> rusqlite::Result<Change> {
    let kind: String = row.get(8)?;
    let json = |column: usize| -> rusqlite::Result<Option<Value>> {
        let text: Option<String> = row.get(column)?;
        text.map(|text| {
            serde_json::from_str(&text).map_err(|error| {
                rusqlite::Error::FromSqlConversionFailure(
                    column,
                    rusqlite::types::Type::Text,
                    Box::new(error),
                )
            })
        })
        .transpose()
    };
    let kind = Kind::from_name(&kind).ok_or_else(|| {
        rusqlite::Error::InvalidColumnName(format!("history of an unknown kind '{kind}'"))
    })?;
    Ok(Change {
        action: read_action(row)?,
        record: RecordRef {
            kind,
            id: Uuid::from_bytes(row.get(9)?),
        },
        n: row.get(13)?,
        field: row.get(10)?,
        old: json(11)?,
        new: json(12)?,
    })
}

/// Whether an action was undone by one that still stands.
fn is_undone(db: &Connection, key: ActionKey) -> Result<bool, BookError> {
    let undoing: Vec<ActionKey> = {
        let mut statement = db.prepare_cached(
            "SELECT stamp, device FROM action WHERE undoes_stamp = ?1 AND undoes_device = ?2",
        )?;
        let rows = statement.query_map((key.stamp, key.device.as_bytes().as_slice()), |row| {
            Ok(ActionKey {
                stamp: row.get(0)?,
                device: Uuid::from_bytes(row.get(1)?),
            })
        })?;
        rows.collect::<Result<_, _>>()?
    };
    for undone_by in undoing {
        if !is_undone(db, undone_by)? {
            return Ok(true);
        }
    }
    Ok(false)
}

fn changes_where(
    db: &Connection,
    condition: &str,
    values: impl rusqlite::Params,
) -> Result<Vec<Change>, BookError> {
    let mut changes = plain_changes_where(db, condition, values)?;
    for change in &mut changes {
        change.action.undone = is_undone(db, change.action.key)?;
    }
    Ok(changes)
}

/// As [`changes_where`], without looking up which actions were undone.
fn plain_changes_where(
    db: &Connection,
    condition: &str,
    values: impl rusqlite::Params,
) -> Result<Vec<Change>, BookError> {
    let sql = format!(
        "SELECT {ACTION}, c.kind, c.record, c.field, c.old, c.new, c.n FROM change c \
         JOIN action a ON a.stamp = c.stamp AND a.device = c.device \
         WHERE {condition} ORDER BY c.stamp, c.device, c.n"
    );
    let mut statement = db.prepare_cached(&sql)?;
    let rows = statement.query_map(values, read_change)?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Every change of a record in order; which actions were undone is not looked up.
pub(super) fn changes_to(db: &Connection, of: RecordRef) -> Result<Vec<Change>, BookError> {
    plain_changes_where(
        db,
        "c.record = ?1 AND c.kind = ?2",
        (of.id.as_bytes().as_slice(), of.kind.as_str()),
    )
}

/// What one action changed, in order.
fn changes_of(db: &Connection, action: ActionKey) -> Result<Vec<Change>, BookError> {
    changes_where(
        db,
        "c.stamp = ?1 AND c.device = ?2",
        (action.stamp, action.device.as_bytes().as_slice()),
    )
}

impl Book {
    /// Everything that happened to a record, in order.
    ///
    /// # Errors
    /// The store's errors.
    pub fn history(&self, of: RecordRef) -> Result<Vec<Change>, BookError> {
        changes_where(
            &self.db,
            "c.record = ?1 AND c.kind = ?2",
            (of.id.as_bytes().as_slice(), of.kind.as_str()),
        )
    }

    /// What one action changed, in order.
    ///
    /// # Errors
    /// The store's errors.
    pub fn changes(&self, action: ActionKey) -> Result<Vec<Change>, BookError> {
        changes_of(&self.db, action)
    }

    /// The latest actions, newest first.
    ///
    /// # Errors
    /// The store's errors.
    pub fn actions(&self, most: u32) -> Result<Vec<Action>, BookError> {
        let sql =
            format!("SELECT {ACTION} FROM action a ORDER BY a.stamp DESC, a.device DESC LIMIT ?1");
        let mut statement = self.db.prepare_cached(&sql)?;
        let rows = statement.query_map([most], read_action)?;
        let mut actions: Vec<Action> = rows.collect::<Result<_, _>>()?;
        for action in &mut actions {
            action.undone = is_undone(&self.db, action.key)?;
        }
        Ok(actions)
    }

    /// The action by which a record came to be.
    ///
    /// # Errors
    /// [`BookError::NoSuchAction`] when the history does not know the record.
    pub fn action_that_made(&self, record: RecordRef) -> Result<ActionKey, BookError> {
        self.db
            .prepare_cached(
                "SELECT stamp, device FROM change WHERE record = ?1 AND field = '' \
                 ORDER BY stamp LIMIT 1",
            )?
            .query_row([record.id.as_bytes().as_slice()], |row| {
                Ok(ActionKey {
                    stamp: row.get(0)?,
                    device: Uuid::from_bytes(row.get(1)?),
                })
            })
            .optional()?
            .ok_or(BookError::NoSuchAction)
    }

    /// Undoes an action: records it added are set aside, fields it changed get their old values
    /// back. Undoing is an action itself and can be undone.
    ///
    /// # Errors
    /// [`BookError::AlreadyUndone`]; [`BookError::ChangedSince`] when a field was changed again
    /// after it, and then nothing is undone; [`BookError::NoSuchAction`].
    pub fn undo(&mut self, action: ActionKey) -> Result<Done<()>, BookError> {
        self.act_undoing("undo", Some(action), |act| {
            let mut changes = changes_of(&act.tx, action)?;
            let Some(first) = changes.first() else {
                return Err(BookError::NoSuchAction);
            };
            if first.action.undone {
                return Err(BookError::AlreadyUndone);
            }
            // The fields of one record go back together: one by itself may contradict those that
            // were changed with it.
            let same = |one: &Change, next: &Change| {
                one.record == next.record && is_content(one) && is_content(next)
            };
            changes.retain(|change| change.new.is_some() && change.field != CHANGED);
            let together: Vec<_> = changes.chunk_by(same).collect();
            for changes in together.into_iter().rev() {
                let kind = changes[0].record.kind;
                for_kind!(kind, undo_together(act, changes))?;
            }
            Ok(())
        })
    }
}

impl Book {
    /// Sets a record of any kind aside, as an action of its own. It can be brought back.
    ///
    /// # Errors
    /// The record is not in the book, or the store's errors.
    pub fn set_aside(&mut self, record: RecordRef, reason: &str) -> Result<Done<()>, BookError> {
        self.act("set_aside", |act| {
            for_kind!(record.kind, aside_one(act, record, Some(reason)))
        })
    }

    /// Brings back a record of any kind, as an action of its own.
    ///
    /// # Errors
    /// The record is not in the book, or the store's errors.
    pub fn bring_back(&mut self, record: RecordRef) -> Result<Done<()>, BookError> {
        self.act("bring_back", |act| {
            for_kind!(record.kind, aside_one(act, record, None))
        })
    }
}

fn aside_one<T: Entity>(
    act: &mut Act<'_>,
    record: RecordRef,
    reason: Option<&str>,
) -> Result<(), BookError> {
    let id: Id<T> = Id::from_uuid(record.id);
    match reason {
        Some(reason) => act.set_aside(id, reason)?,
        None => act.bring_back(id)?,
    };
    Ok(())
}

/// Whether a change is of a field of the content.
fn is_content(change: &Change) -> bool {
    !change.field.is_empty() && change.field != SET_ASIDE && change.field != CHANGED
}

/// Undoes changes of one record that follow each other: one that is not of its content, or any
/// number that are.
fn undo_together<T: Entity>(act: &mut Act<'_>, changes: &[Change]) -> Result<(), BookError> {
    let Some(first) = changes.first() else {
        return Ok(());
    };
    let id: Id<T> = Id::from_uuid(first.record.id);
    if first.field.is_empty() {
        act.set_aside(id, SetAside::UNDONE)?;
    } else if first.field == SET_ASIDE {
        let parse = |value: &Option<Value>| -> Result<Option<SetAside>, BookError> {
            serde_json::from_value(value.clone().unwrap_or(Value::Null))
                .map_err(|error| BookError::json(T::KIND, first.record.id, &error))
        };
        if act.get(id)?.set_aside != parse(&first.new)? {
            return Err(changed_since(first));
        }
        act.aside(id, parse(&first.old)?)?;
    } else {
        let mut map = fields(&act.get(id)?.body, first.record)?;
        for change in changes.iter().rev() {
            if *at(&map, &change.field) != change.new.clone().unwrap_or(Value::Null) {
                return Err(changed_since(change));
            }
            let old = change.old.clone().unwrap_or(Value::Null);
            put(&mut map, &change.field, old);
        }
        let body: T = serde_json::from_value(Value::Object(map))
            .map_err(|error| BookError::json(T::KIND, first.record.id, &error))?;
        act.change(id, |content| *content = body)?;
    }
    Ok(())
}

fn changed_since(change: &Change) -> BookError {
    BookError::ChangedSince {
        record: change.record,
        field: change.field.clone(),
    }
}
