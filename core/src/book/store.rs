//! Records to rows and back: free functions on a connection or transaction.

use rusqlite::types::Value as Sql;
use rusqlite::{Connection, OptionalExtension, Row, params_from_iter};
use uuid::Uuid;

use super::BookError;
use crate::survey::{Entity, Id, Kind, Moment, Record, RecordRef, SetAside};

/// Which records of a kind are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Which {
    /// Those in use.
    #[default]
    InUse,
    /// Those set aside as well.
    All,
}

pub(super) const ENVELOPE: &str = "id, created_ms, created_offset, changed_ms, changed_offset, device, \
                        aside_ms, aside_offset, aside_reason, body";

pub(super) fn moment(ms: i64, offset: i32) -> Moment {
    Moment::from_unix_ms(ms, offset).unwrap_or_default()
}

/// A row as read, before its content is parsed.
pub(super) struct Kept {
    pub(super) id: Uuid,
    created: Moment,
    changed: Moment,
    device: Uuid,
    set_aside: Option<SetAside>,
    body: String,
}

impl Kept {
    pub(super) fn read(row: &Row<'_>) -> rusqlite::Result<Self> {
        let aside: Option<i64> = row.get(6)?;
        let set_aside = match aside {
            Some(ms) => Some(SetAside {
                at: moment(ms, row.get(7)?),
                reason: row.get(8)?,
            }),
            None => None,
        };
        Ok(Self {
            id: Uuid::from_bytes(row.get(0)?),
            created: moment(row.get(1)?, row.get(2)?),
            changed: moment(row.get(3)?, row.get(4)?),
            device: Uuid::from_bytes(row.get(5)?),
            set_aside,
            body: row.get(9)?,
        })
    }

    pub(super) fn record<T: Entity>(self) -> Result<Record<T>, BookError> {
        let body = serde_json::from_str(&self.body)
            .map_err(|error| BookError::json(T::KIND, self.id, &error))?;
        Ok(Record {
            id: Id::from_uuid(self.id),
            created: self.created,
            changed: self.changed,
            device: self.device,
            set_aside: self.set_aside,
            body,
        })
    }
}

/// The record of that id, set aside or not.
pub(super) fn find<T: Entity>(db: &Connection, id: Id<T>) -> Result<Option<Record<T>>, BookError> {
    let sql = format!("SELECT {ENVELOPE} FROM {} WHERE id = ?1", T::KIND.as_str());
    db.prepare_cached(&sql)?
        .query_row([id.uuid().as_bytes().as_slice()], Kept::read)
        .optional()?
        .map(Kept::record)
        .transpose()
}

/// The record of that id, or an error that names it.
pub(super) fn get<T: Entity>(db: &Connection, id: Id<T>) -> Result<Record<T>, BookError> {
    find(db, id)?.ok_or(BookError::NotFound(id.reference()))
}

/// Records of a kind whose column `field` names `parent`; every record of it for `None`.
/// In the order they were made.
pub(super) fn list<T: Entity>(
    db: &Connection,
    under: Option<(&'static str, Uuid)>,
    which: Which,
) -> Result<Vec<Record<T>>, BookError> {
    let aside = match which {
        Which::InUse => "aside_ms IS NULL",
        Which::All => "TRUE",
    };
    let (condition, values) = match under {
        Some((field, parent)) => (
            format!("{field} = ?1 AND {aside}"),
            vec![Sql::Blob(parent.as_bytes().to_vec())],
        ),
        None => (aside.to_owned(), Vec::new()),
    };
    query(db, &condition, values)
}

/// Records of a kind under a SQL condition of our own, in the order they were made.
pub(super) fn query<T: Entity>(
    db: &Connection,
    condition: &str,
    values: Vec<Sql>,
) -> Result<Vec<Record<T>>, BookError> {
    let sql = format!(
        "SELECT {ENVELOPE} FROM {} WHERE {condition} ORDER BY id",
        T::KIND.as_str()
    );
    let mut statement = db.prepare_cached(&sql)?;
    let rows = statement.query_map(params_from_iter(values), Kept::read)?;
    let mut records = Vec::new();
    for row in rows {
        records.push(row?.record()?);
    }
    Ok(records)
}

/// Puts a new record in its table and in the search index.
pub(super) fn insert<T: Entity>(db: &Connection, record: &Record<T>) -> Result<(), BookError> {
    let parents = T::KIND.parents();
    let mut columns = String::from(ENVELOPE);
    for parent in parents {
        columns.push_str(", ");
        columns.push_str(parent.field);
    }
    let marks = vec!["?"; 10 + parents.len()].join(", ");
    let sql = format!(
        "INSERT INTO {} ({columns}) VALUES ({marks})",
        T::KIND.as_str()
    );
    let mut values = envelope(record)?;
    values.extend(parent_values(&record.body));
    db.prepare_cached(&sql)?
        .execute(params_from_iter(values))
        .map_err(|error| missing_parent::<T>(db, record, error))?;
    index(db, record, true)
}

/// Writes a changed record over the old one.
pub(super) fn update<T: Entity>(db: &Connection, record: &Record<T>) -> Result<(), BookError> {
    let mut assignments: Vec<String> = ENVELOPE
        .split(", ")
        .map(|column| format!("{column} = ?"))
        .collect();
    assignments.extend(
        T::KIND
            .parents()
            .iter()
            .map(|parent| format!("{} = ?", parent.field)),
    );
    let sql = format!(
        "UPDATE {} SET {} WHERE id = ?",
        T::KIND.as_str(),
        assignments.join(", ")
    );
    let mut values = envelope(record)?;
    values.extend(parent_values(&record.body));
    values.push(blob(record.id.uuid()));
    db.prepare_cached(&sql)?
        .execute(params_from_iter(values))
        .map_err(|error| missing_parent::<T>(db, record, error))?;
    index(db, record, false)
}

fn envelope<T: Entity>(record: &Record<T>) -> Result<Vec<Sql>, BookError> {
    let body = serde_json::to_string(&record.body)
        .map_err(|error| BookError::json(T::KIND, record.id.uuid(), &error))?;
    let aside = record.set_aside.as_ref();
    Ok(vec![
        blob(record.id.uuid()),
        Sql::Integer(record.created.unix_ms()),
        Sql::Integer(record.created.offset_minutes().into()),
        Sql::Integer(record.changed.unix_ms()),
        Sql::Integer(record.changed.offset_minutes().into()),
        blob(record.device),
        aside.map_or(Sql::Null, |aside| Sql::Integer(aside.at.unix_ms())),
        aside.map_or(Sql::Null, |aside| {
            Sql::Integer(aside.at.offset_minutes().into())
        }),
        aside.map_or(Sql::Null, |aside| Sql::Text(aside.reason.clone())),
        Sql::Text(body),
    ])
}

fn parent_values<T: Entity>(body: &T) -> impl Iterator<Item = Sql> {
    body.parents()
        .into_iter()
        .map(|parent| parent.map_or(Sql::Null, blob))
}

pub(super) fn blob(id: Uuid) -> Sql {
    Sql::Blob(id.as_bytes().to_vec())
}

/// A foreign key that failed, told by the field and the record it names.
fn missing_parent<T: Entity>(
    db: &Connection,
    record: &Record<T>,
    error: rusqlite::Error,
) -> BookError {
    if error.sqlite_error_code() == Some(rusqlite::ErrorCode::ConstraintViolation) {
        for (parent, id) in T::KIND.parents().iter().zip(record.body.parents()) {
            if let Some(id) = id
                && !exists(db, parent.kind, id).unwrap_or(true)
            {
                let parent_ref = RecordRef {
                    kind: parent.kind,
                    id,
                };
                return BookError::NoParent {
                    kind: T::KIND,
                    field: parent.field,
                    parent: parent_ref,
                };
            }
        }
    }
    error.into()
}

/// Whether there is a record of that kind and id.
pub(super) fn exists(db: &Connection, kind: Kind, id: Uuid) -> Result<bool, BookError> {
    let sql = format!("SELECT 1 FROM {} WHERE id = ?1", kind.as_str());
    Ok(db
        .prepare_cached(&sql)?
        .exists([id.as_bytes().as_slice()])?)
}

/// The visit a record belongs to, by its required parents; the record itself if it is one.
pub(super) fn visit_of(db: &Connection, of: RecordRef) -> Result<Option<Uuid>, BookError> {
    let mut at = of;
    while at.kind != Kind::Visit {
        let Some(parent) = at.kind.parents().iter().find(|parent| parent.required) else {
            return Ok(None);
        };
        let sql = format!(
            "SELECT {} FROM {} WHERE id = ?1",
            parent.field,
            at.kind.as_str()
        );
        let id: Option<[u8; 16]> = db
            .prepare_cached(&sql)?
            .query_row([at.id.as_bytes().as_slice()], |row| row.get(0))
            .optional()?;
        let Some(id) = id else { return Ok(None) };
        at = RecordRef {
            kind: parent.kind,
            id: Uuid::from_bytes(id),
        };
    }
    Ok(Some(at.id))
}

/// Brings the search index in line with a record. A record that is `new` has no entry yet.
fn index<T: Entity>(db: &Connection, record: &Record<T>, new: bool) -> Result<(), BookError> {
    let text = record.body.search_text();
    let id = record.id.uuid();
    let kept = if new { None } else { search_entry(db, id)? };
    let aside = record.set_aside.is_some();
    match kept {
        Some(kept) if kept.text == text && kept.aside == aside => {}
        Some(kept) => {
            db.prepare_cached(
                "INSERT INTO search (search, rowid, text) VALUES ('delete', ?1, ?2)",
            )?
            .execute((kept.entry, kept.text))?;
            db.prepare_cached("UPDATE search_entry SET text = ?2, aside = ?3 WHERE entry = ?1")?
                .execute((kept.entry, &text, aside))?;
            db.prepare_cached("INSERT INTO search (rowid, text) VALUES (?1, ?2)")?
                .execute((kept.entry, &text))?;
        }
        None if text.is_empty() => {}
        None => {
            db.prepare_cached(
                "INSERT INTO search_entry (record, kind, aside, text) VALUES (?1, ?2, ?3, ?4)",
            )?
            .execute((id.as_bytes().as_slice(), T::KIND.as_str(), aside, &text))?;
            db.prepare_cached("INSERT INTO search (rowid, text) VALUES (?1, ?2)")?
                .execute((db.last_insert_rowid(), &text))?;
        }
    }
    Ok(())
}

/// What the search index holds of a record.
pub(super) struct SearchEntry {
    entry: i64,
    pub(super) text: String,
    pub(super) aside: bool,
}

/// What the search index holds of a record; `None` when it has nothing to find.
pub(super) fn search_entry(db: &Connection, id: Uuid) -> Result<Option<SearchEntry>, BookError> {
    Ok(db
        .prepare_cached("SELECT entry, text, aside FROM search_entry WHERE record = ?1")?
        .query_row([id.as_bytes().as_slice()], |row| {
            Ok(SearchEntry {
                entry: row.get(0)?,
                text: row.get(1)?,
                aside: row.get(2)?,
            })
        })
        .optional()?)
}
