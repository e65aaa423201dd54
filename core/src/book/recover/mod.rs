//! Saving what a damaged book still holds.
//!
//! The damaged file is copied and only the copy is opened. Each kind's records are read from both
//! ends up to the first bad page; those in between are looked up one by one, by the ids that the
//! history, the search index and the indexes of the kind still name. Records that belong to a lost
//! one get a stand-in for it. What comes out goes into a new book by [`Book::import`], and the files
//! of its pictures beside it. The history of changes stays behind; the records as they stood are
//! saved.

mod stand_ins;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags, OptionalExtension};
use uuid::Uuid;

use super::clock::Clock;
use super::history::for_kind;
use super::store::{ENVELOPE, Kept};
use super::{APPLICATION_ID, Book, BookError, OpenMode, open};
use crate::photos::{PhotoError, PhotoFolder};
use crate::survey::{EachKind, Entity, Id, Kind, Record, RecordRef, RecordSet, Tool, ToolKind};

/// Something that could not be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Lost {
    /// A record: its row or its content cannot be read.
    Record(RecordRef, String),
    /// A record that belongs to one that is lost.
    Orphan(RecordRef, RecordRef),
    /// A link to a record that is lost; the record itself was saved without it.
    Link(RecordRef, RecordRef),
    /// The file of a picture whose record was saved.
    PhotoFile(RecordRef, PhotoError),
    /// Rows of a kind whose ids nothing names any longer; how many there were is not known.
    Rows(Kind, String),
}

impl std::fmt::Display for Lost {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Record(record, detail) => write!(f, "{record}: {detail}"),
            Self::Orphan(record, parent) => {
                write!(f, "{record}: belongs to {parent}, which is lost")
            }
            Self::Link(record, to) => write!(f, "{record}: saved without its link to {to}"),
            Self::PhotoFile(record, error) => write!(f, "the file of {record}: {error}"),
            Self::Rows(kind, detail) => write!(
                f,
                "a part of the {} records could not be read through ({detail})",
                kind.as_str()
            ),
        }
    }
}

/// What recovering saved and what it could not.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Recovered {
    /// Records saved, by kind.
    pub saved: Vec<(Kind, usize)>,
    /// Among those, stand-ins for lost records that others belong to.
    pub stand_ins: Vec<RecordRef>,
    /// What is lost.
    pub lost: Vec<Lost>,
}

/// Reads every record that can still be read out of the book at `damaged` into a new book at
/// `new`. The damaged file is not changed.
///
/// # Errors
/// [`BookError::AlreadyThere`] when there is a file at `new`, [`BookError::Missing`],
/// [`BookError::NotABook`], [`BookError::Newer`], [`BookError::Damaged`] when nothing at all can
/// be read, or the store's errors. Then there is no file at `new`.
pub fn recover(damaged: &Path, new: &Path, clock: Box<dyn Clock>) -> Result<Recovered, BookError> {
    if !damaged.exists() {
        return Err(BookError::Missing {
            path: damaged.to_owned(),
        });
    }
    open::recognise(damaged)?;
    if new.exists() {
        return Err(BookError::AlreadyThere {
            path: new.to_owned(),
        });
    }
    let copy = Copy::of(damaged, new)?;
    let db = connect(&copy.path, damaged)?;
    let mut recovery = Recovered::default();
    let mut set = RecordSet::default();
    let mut belonged = BTreeMap::new();
    for kind in Kind::ALL {
        for_kind!(*kind, gather(&db, &mut set, &mut recovery.lost));
        belonged.extend(parents_by_index(&db, *kind));
    }
    drop(db);
    if set.is_empty() {
        return Err(BookError::Damaged {
            detail: "no record in it can be read".to_owned(),
        });
    }
    // The stand-ins are no device's work.
    let now = clock.now();
    recovery.stand_ins = stand_ins::add_stand_ins(&mut set, &belonged, now, Uuid::nil());
    for kind in Kind::ALL {
        for_kind!(*kind, settle_links(&mut set, &mut recovery.lost))?;
    }
    let written = write(&set, new, clock);
    if written.is_err() {
        for suffix in ["", "-wal", "-shm"] {
            std::fs::remove_file(beside(new, suffix)).ok();
        }
    }
    written?;
    carry_photos(&set, damaged, new, &mut recovery.lost);
    recovery.saved = set.counts();
    Ok(recovery)
}

fn write(set: &RecordSet, new: &Path, clock: Box<dyn Clock>) -> Result<(), BookError> {
    let (mut book, _) = Book::open(new, OpenMode::OpenOrStart, clock)?;
    book.import(set)?;
    Ok(())
}

/// Copies the files of the pictures that were saved beside the new book.
fn carry_photos(set: &RecordSet, damaged: &Path, new: &Path, lost: &mut Vec<Lost>) {
    let (from, to) = (PhotoFolder::beside(damaged), PhotoFolder::beside(new));
    let mut carried = BTreeSet::new();
    for photo in &set.photos {
        if !carried.insert(&photo.sha256) {
            continue;
        }
        let file = if from == to {
            from.check(&photo.sha256).map(|_| ())
        } else {
            from.carry(&photo.sha256, &to)
        };
        if let Err(error) = file {
            lost.push(Lost::PhotoFile(photo.reference(), error));
        }
    }
}

fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(suffix);
    PathBuf::from(name)
}

/// A copy of a book and its log beside the new book, removed when done with.
struct Copy {
    path: PathBuf,
}

impl Copy {
    fn of(damaged: &Path, new: &Path) -> Result<Self, BookError> {
        let path = beside(new, ".reading");
        if path.exists() {
            return Err(BookError::AlreadyThere { path });
        }
        let copy = Self { path };
        for suffix in ["", "-wal"] {
            let from = beside(damaged, suffix);
            if from.exists() {
                std::fs::copy(&from, beside(&copy.path, suffix))
                    .map_err(|error| BookError::io(new, &error))?;
            }
        }
        Ok(copy)
    }
}

impl Drop for Copy {
    fn drop(&mut self) {
        for suffix in ["", "-wal", "-shm"] {
            std::fs::remove_file(beside(&self.path, suffix)).ok();
        }
    }
}

fn connect(copy: &Path, damaged: &Path) -> Result<Connection, BookError> {
    let db = Connection::open_with_flags(
        copy,
        OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
    )?;
    // Lets a bad row of the schema stand instead of refusing the whole file.
    db.execute_batch("PRAGMA writable_schema = ON; PRAGMA trusted_schema = OFF;")?;
    let number = |pragma: &str| -> Result<i64, BookError> {
        Ok(db.query_row(&format!("PRAGMA {pragma}"), [], |row| row.get(0))?)
    };
    if number("application_id")? != APPLICATION_ID {
        return Err(BookError::NotABook {
            path: damaged.to_owned(),
        });
    }
    let known = open::UPGRADES.last().map_or(0, |upgrade| upgrade.to);
    let found = number("user_version")?;
    if found > known {
        return Err(BookError::Newer { found, known });
    }
    Ok(db)
}

/// Reads every record of a kind that can be read.
fn gather<T: Entity>(db: &Connection, set: &mut RecordSet, lost: &mut Vec<Lost>) {
    let kind = T::KIND.as_str();
    let mut found: BTreeMap<Uuid, Result<Record<T>, String>> = BTreeMap::new();
    let mut stopped = None;
    for order in ["ASC", "DESC"] {
        let sql = format!("SELECT {ENVELOPE} FROM {kind} ORDER BY id {order}");
        match scan(db, &sql, &mut found) {
            Ok(()) => {
                stopped = None;
                break;
            }
            Err(error) => stopped = Some(error.to_string()),
        }
    }
    if let Some(detail) = stopped {
        let sql = format!("SELECT {ENVELOPE} FROM {kind} WHERE id = ?1");
        let mut missing = 0_usize;
        for id in named_ids(db, T::KIND) {
            if found.contains_key(&id) {
                continue;
            }
            let row = db
                .prepare_cached(&sql)
                .and_then(|mut one| one.query_row([id.as_bytes()], Kept::read).optional());
            let read = match row {
                Ok(Some(kept)) => checked(kept),
                Ok(None) => Err("its place in the file is damaged".to_owned()),
                Err(error) => Err(error.to_string()),
            };
            missing += usize::from(read.is_err());
            found.insert(id, read);
        }
        if missing == 0 {
            lost.push(Lost::Rows(T::KIND, detail));
        }
    }
    let Some(records) = set.list_mut::<T>() else {
        return;
    };
    for (id, read) in found {
        match read {
            Ok(record) => records.push(record),
            Err(detail) => lost.push(Lost::Record(RecordRef { kind: T::KIND, id }, detail)),
        }
    }
}

/// Reads rows until the end or the first page that cannot be read.
fn scan<T: Entity>(
    db: &Connection,
    sql: &str,
    found: &mut BTreeMap<Uuid, Result<Record<T>, String>>,
) -> rusqlite::Result<()> {
    let mut statement = db.prepare(sql)?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        match Kept::read(row) {
            Ok(kept) => {
                let id = kept.id;
                found.entry(id).or_insert_with(|| checked(kept));
            }
            Err(error) => {
                if let Ok(id) = row.get(0).map(Uuid::from_bytes) {
                    found.entry(id).or_insert(Err(error.to_string()));
                }
            }
        }
    }
    Ok(())
}

/// A row as a record whose content holds together.
fn checked<T: Entity>(kept: Kept) -> Result<Record<T>, String> {
    let record: Record<T> = kept.record().map_err(|error| match error {
        BookError::Unreadable { detail, .. } => detail,
        other => other.to_string(),
    })?;
    record.body.check().map_err(|error| error.to_string())?;
    Ok(record)
}

/// Every id of a kind that the history, the search index or an index of the kind names.
fn named_ids(db: &Connection, kind: Kind) -> BTreeSet<Uuid> {
    let table = kind.as_str();
    let mut sources = vec![
        (
            format!("SELECT record FROM change WHERE kind = '{table}' AND field = ''"),
            vec!["stamp", "device", "n"],
        ),
        (
            format!("SELECT record FROM search_entry WHERE kind = '{table}'"),
            vec!["entry"],
        ),
    ];
    for parent in kind.parents() {
        sources.push((
            format!("SELECT id FROM {table} INDEXED BY {table}_{}", parent.field),
            vec![parent.field, "id"],
        ));
    }
    let mut ids = BTreeSet::new();
    for (select, columns) in sources {
        for way in [" ASC", " DESC"] {
            let order = columns.join(&format!("{way}, "));
            // An index that is not there or cannot be read names fewer ids, no more than that.
            let Ok(mut statement) = db.prepare(&format!("{select} ORDER BY {order}{way}")) else {
                continue;
            };
            let Ok(mut rows) = statement.query([]) else {
                continue;
            };
            while let Ok(Some(row)) = rows.next() {
                if let Ok(id) = row.get(0).map(Uuid::from_bytes) {
                    ids.insert(id);
                }
            }
        }
    }
    ids
}

/// What each record of a kind belongs to, by the index over it, as far as that can be read.
fn parents_by_index(db: &Connection, kind: Kind) -> BTreeMap<Uuid, Uuid> {
    let mut parents = BTreeMap::new();
    let Some(parent) = kind.parents().iter().find(|parent| parent.required) else {
        return parents;
    };
    let (table, field) = (kind.as_str(), parent.field);
    for way in ["ASC", "DESC"] {
        let sql = format!(
            "SELECT id, {field} FROM {table} INDEXED BY {table}_{field} ORDER BY {field} {way}, id {way}"
        );
        let Ok(mut statement) = db.prepare(&sql) else {
            continue;
        };
        let Ok(mut rows) = statement.query([]) else {
            continue;
        };
        while let Ok(Some(row)) = rows.next() {
            if let (Ok(id), Ok(parent)) = (row.get(0), row.get(1)) {
                parents.insert(Uuid::from_bytes(id), Uuid::from_bytes(parent));
            }
        }
    }
    parents
}

/// Leaves out records of a kind that belong to a lost one, and links to lost ones.
fn settle_links<T: Entity>(set: &mut RecordSet, lost: &mut Vec<Lost>) -> Result<(), BookError> {
    let mut here = Here::default();
    let Ok(()) = set.visit_kinds(&mut here);
    let Some(records) = set.list_mut::<T>() else {
        return Ok(());
    };
    let mut kept = Vec::with_capacity(records.len());
    'records: for mut record in std::mem::take(records) {
        for (parent, id) in T::KIND.parents().iter().zip(record.body.parents()) {
            let Some(id) = id else { continue };
            let named = RecordRef {
                kind: parent.kind,
                id,
            };
            let right_tool = record
                .body
                .tool_needed()
                .is_none_or(|(tool, kind)| tool.uuid() != id || here.tools.get(&id) == Some(&kind));
            if here.all.contains(&named) && right_tool {
                continue;
            }
            if parent.required {
                lost.push(Lost::Orphan(record.reference(), named));
                continue 'records;
            }
            record.body = without(&record, parent.field)?;
            lost.push(Lost::Link(record.reference(), named));
        }
        kept.push(record);
    }
    *records = kept;
    Ok(())
}

/// The content without what `field` names.
fn without<T: Entity>(record: &Record<T>, field: &str) -> Result<T, BookError> {
    let unreadable = |error| BookError::json(T::KIND, record.id.uuid(), &error);
    let mut body = serde_json::to_value(&record.body).map_err(unreadable)?;
    if let Some(value) = body.get_mut(field) {
        *value = serde_json::Value::Null;
    }
    serde_json::from_value(body).map_err(unreadable)
}

/// Which records there are, and what each tool is.
#[derive(Default)]
struct Here {
    all: BTreeSet<RecordRef>,
    tools: BTreeMap<Uuid, ToolKind>,
}

impl EachKind for Here {
    type Error = std::convert::Infallible;

    fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), Self::Error> {
        for record in records {
            self.all.insert(record.reference());
            let any: &dyn std::any::Any = &record.body;
            if let Some(tool) = any.downcast_ref::<Tool>() {
                let id: Id<T> = record.id;
                self.tools.insert(id.uuid(), tool.kind);
            }
        }
        Ok(())
    }
}
