//! Verifying a book from end to end.

use std::collections::BTreeMap;

use rusqlite::Connection;
use uuid::Uuid;

use super::act::{differences, fields};
use super::fold::fold;
use super::history::{changes_to, for_kind};
use super::store;
use super::{Book, BookError};
use crate::photos::{PhotoError, PhotoFolder};
use crate::survey::{Entity, Id, Kind, RecordRef};

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// The file itself.
    File(String),
    /// A record that cannot be read or contradicts itself.
    Record(RecordRef, String),
    /// A record that is not what its history makes it.
    History(RecordRef, String),
    /// A record that names one that is not there.
    Link(String),
    /// The search index, which can be made again.
    Search(String),
}

/// What verifying found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CheckReport {
    /// Records read, by kind.
    pub records: Vec<(Kind, usize)>,
    /// Actions in the history.
    pub actions: usize,
    /// What is wrong; empty for a sound book.
    pub faults: Vec<Fault>,
    /// Files of pictures that were read and are as they were kept.
    pub photo_files: usize,
    /// What is wrong with the files of pictures; the book itself may be sound for all that.
    pub photo_faults: Vec<PhotoFault>,
}

/// A picture whose file is missing, altered or cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoFault {
    /// The picture.
    pub photo: RecordRef,
    /// What is wrong and what to do.
    pub error: PhotoError,
}

/// How many faults of the file SQLite is asked to name.
const MOST_FILE_FAULTS: u32 = 20;

impl Book {
    /// Reads everything: the file's structure, every link, every record's content, the search index
    /// and the file of every picture. Changes nothing.
    ///
    /// # Errors
    /// The store's errors, other than damage, which is reported.
    pub fn verify(&self) -> Result<CheckReport, BookError> {
        let db = &self.db;
        let mut report = CheckReport::default();
        let sound = rows(
            db,
            &format!("PRAGMA integrity_check({MOST_FILE_FAULTS})"),
            |row| row.get::<_, String>(0),
        );
        let sound = told("the file", sound, &mut report.faults)?;
        report.faults.extend(
            sound
                .into_iter()
                .filter(|line| line != "ok")
                .map(Fault::File),
        );
        let links = rows(db, "PRAGMA foreign_key_check", |row| {
            let (table, parent): (String, String) = (row.get(0)?, row.get(2)?);
            Ok(format!(
                "a {table} names a {parent} that is not in the book"
            ))
        });
        let links = told("every link", links, &mut report.faults)?;
        report.faults.extend(links.into_iter().map(Fault::Link));
        for kind in Kind::ALL {
            let count = for_kind!(*kind, contents(db, &mut report.faults));
            let what = format!("every {}", kind.as_str());
            let count = told(&what, count, &mut report.faults)?;
            report.records.push((*kind, count));
        }
        let actions = rows(db, "SELECT count(*) FROM action", |row| {
            Ok(usize::try_from(row.get::<_, i64>(0)?).unwrap_or(0))
        });
        let actions = told("the history", actions, &mut report.faults)?;
        report.actions = actions.into_iter().sum();
        search_faults(db, &mut report.faults)?;
        let photos = rows(
            db,
            "SELECT id, body ->> '$.sha256' FROM photo ORDER BY id",
            |row| {
                Ok((
                    Uuid::from_bytes(row.get(0)?),
                    row.get::<_, Option<String>>(1)?,
                ))
            },
        );
        let photos = told("the pictures", photos, &mut report.faults)?;
        check_files(&self.photo_folder(), photos, &mut report);
        Ok(report)
    }
}

/// Holds the file of every picture against its SHA-256.
fn check_files(
    folder: &PhotoFolder,
    photos: Vec<(Uuid, Option<String>)>,
    report: &mut CheckReport,
) {
    let mut seen: BTreeMap<String, Result<u64, PhotoError>> = BTreeMap::new();
    for (id, sha256) in photos {
        let sha256 = sha256.unwrap_or_default();
        let found = seen
            .entry(sha256)
            .or_insert_with_key(|sha256| folder.check(sha256));
        if let Err(error) = found {
            report.photo_faults.push(PhotoFault {
                photo: RecordRef {
                    kind: Kind::Photo,
                    id,
                },
                error: error.clone(),
            });
        }
    }
    report.photo_files = seen.values().filter(|found| found.is_ok()).count();
}

/// What a step of verifying gave; damage that stopped it is a fault, not an end.
fn told<T: Default>(
    what: &str,
    step: Result<T, BookError>,
    faults: &mut Vec<Fault>,
) -> Result<T, BookError> {
    match step {
        Err(BookError::Damaged { detail }) => {
            faults.push(Fault::File(format!("{what} cannot be read: {detail}")));
            Ok(T::default())
        }
        step => step,
    }
}

fn rows<T>(
    db: &Connection,
    sql: &str,
    read: impl FnMut(&rusqlite::Row<'_>) -> rusqlite::Result<T>,
) -> Result<Vec<T>, BookError> {
    let mut statement = db.prepare(sql)?;
    let found = statement.query_map([], read)?;
    Ok(found.collect::<Result<_, _>>()?)
}

/// Reads every record of one kind; how many there are.
fn contents<T: Entity>(db: &Connection, faults: &mut Vec<Fault>) -> Result<usize, BookError> {
    let mut columns = String::from("id, body, aside_ms IS NOT NULL");
    for parent in T::KIND.parents() {
        columns.push_str(", ");
        columns.push_str(parent.field);
    }
    let mut statement = db.prepare(&format!("SELECT {columns} FROM {}", T::KIND.as_str()))?;
    let mut rows = statement.query([])?;
    let mut count = 0;
    while let Some(row) = rows.next()? {
        count += 1;
        let id = Uuid::from_bytes(row.get(0)?);
        let reference = RecordRef { kind: T::KIND, id };
        let body: String = row.get(1)?;
        let body: T = match serde_json::from_str(&body) {
            Ok(body) => body,
            Err(error) => {
                faults.push(Fault::Record(reference, error.to_string()));
                continue;
            }
        };
        if let Err(error) = body.check() {
            faults.push(Fault::Record(reference, error.to_string()));
        }
        if let Some(differs) = differs_from_history::<T>(db, id)? {
            faults.push(Fault::History(reference, differs));
        }
        let found = store::search_entry(db, id)?.map(|entry| (entry.text, entry.aside));
        let wanted = (body.search_text(), row.get(2)?);
        if found.unwrap_or((String::new(), wanted.1)) != wanted {
            faults.push(Fault::Search(format!(
                "{reference} is not found by what it says"
            )));
        }
        for (n, (parent, named)) in T::KIND.parents().iter().zip(body.parents()).enumerate() {
            let column: Option<[u8; 16]> = row.get(3 + n)?;
            if column.map(Uuid::from_bytes) != named {
                let what = format!("{} is not the one in its column", parent.field);
                faults.push(Fault::Record(reference, what));
            }
        }
    }
    Ok(count)
}

/// How a record differs from what its history makes of it.
fn differs_from_history<T: Entity>(db: &Connection, id: Uuid) -> Result<Option<String>, BookError> {
    let reference = RecordRef { kind: T::KIND, id };
    let id: Id<T> = Id::from_uuid(id);
    let folded = match fold::<T>(id, &changes_to(db, reference)?) {
        Ok(folded) => folded.record,
        Err(BookError::Unreadable { detail, .. }) => return Ok(Some(detail)),
        Err(error) => return Err(error),
    };
    let kept = store::get::<T>(db, id)?;
    if kept == folded {
        return Ok(None);
    }
    let (before, after) = (
        fields(&kept.body, reference)?,
        fields(&folded.body, reference)?,
    );
    let named: Vec<String> = differences(&before, &after, T::NESTED)
        .into_iter()
        .map(|(field, ..)| field)
        .collect();
    Ok(Some(if named.is_empty() {
        "its times or whether it is set aside are not as its history says".to_owned()
    } else {
        format!("{} not as its history says", named.join(", "))
    }))
}

/// Compares the search index with the text it was made from.
fn search_faults(db: &Connection, faults: &mut Vec<Fault>) -> Result<(), BookError> {
    // Rank 1 makes the index compare itself with the text (an INSERT by form, which writes nothing).
    match db.execute(
        "INSERT INTO search (search, rank) VALUES ('integrity-check', 1)",
        [],
    ) {
        Ok(_) => Ok(()),
        Err(error) => match error.sqlite_error_code() {
            Some(rusqlite::ErrorCode::DatabaseCorrupt) => {
                faults.push(Fault::Search("the search index is out of step".to_owned()));
                Ok(())
            }
            Some(rusqlite::ErrorCode::ReadOnly) => Ok(()), // A read-only book is taken at its word.
            _ => Err(error.into()),
        },
    }
}
