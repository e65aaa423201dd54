//! Merging what other devices did.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::{Connection, OptionalExtension, TransactionBehavior};
use serde_json::Value;
use thiserror::Error;
use uuid::Uuid;

use super::fold::{Folded, GaveWay, fold};
use super::history::{changes_to, for_kind};
use super::import::Imported;
use super::journal::{Journal, JournalAction, JournalChange, action};
use super::{ActionKey, Book, BookError, store};
use crate::language::Language;
use crate::say;
use crate::survey::{Entity, Id, Kind, RecordRef};

/// The latest stamp that is taken in: beyond it (the year 4199) the order of actions could run out.
const LATEST_STAMP: i64 = 1 << 62;

/// Why a history was not merged. Nothing of it was taken in.
#[derive(Debug, Error)]
#[error("{}", self.said(Language::English))]
pub enum MergeError {
    /// It does not hold together.
    Broken {
        /// What is wrong.
        detail: String,
    },
    /// It tells of an action otherwise than this book knows it.
    Contradicts {
        /// The record.
        record: String,
    },
    /// The book could not take it.
    Book(#[from] BookError),
}

impl MergeError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Broken { detail } => say!(
                language,
                "the history in this file does not hold together ({detail}): ask for it to be sent again",
                detail = detail
            ),
            Self::Contradicts { record } => say!(
                language,
                "this file tells of {record} otherwise than the book does: the file was altered; ask for it to be sent again",
                record = record
            ),
            Self::Book(error) => error.said(language),
        }
    }
}

impl From<rusqlite::Error> for MergeError {
    fn from(error: rusqlite::Error) -> Self {
        Self::Book(error.into())
    }
}

fn broken(detail: impl Into<String>) -> MergeError {
    MergeError::Broken {
        detail: detail.into(),
    }
}

/// What a merge did.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Merged {
    /// Records by kind, in the order of [`Kind::ALL`]; kinds without records are left out.
    pub kinds: Vec<(Kind, Imported)>,
    /// Lines of history that this book did not know.
    pub learned: usize,
    /// Values that gave way in the records this touched: to be looked through.
    pub gave_way: Vec<GaveWay>,
}

impl Merged {
    /// All kinds together.
    #[must_use]
    pub fn total(&self) -> Imported {
        super::import::total(&self.kinds)
    }
}

impl Book {
    /// Merges the history of records made or changed elsewhere, in one transaction.
    ///
    /// Each field has the value given to it last in the order of actions of all devices; what gave
    /// way stays in the history and is told. Books that have merged the same histories, in whatever
    /// order and however often, hold the same records and the same history.
    ///
    /// # Errors
    /// [`MergeError`]; nothing was taken in then.
    pub fn merge(&mut self, journal: &Journal) -> Result<Merged, MergeError> {
        self.merge_with(journal, |_| Ok(()))
    }

    /// As [`Book::merge`]; `before_keeping` is asked last, inside the transaction, and may still
    /// refuse it all.
    pub(crate) fn merge_with(
        &mut self,
        journal: &Journal,
        before_keeping: impl FnOnce(&Connection) -> Result<(), BookError>,
    ) -> Result<Merged, MergeError> {
        hold_together(journal)?;
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        // Records come in the order of their kinds, but one may name another of its own kind, and an
        // action one that comes later in the list: links are looked at in the end.
        tx.execute_batch("PRAGMA defer_foreign_keys = ON")?;
        let mut merged = Merged::default();
        for action in &journal.actions {
            take_action(&tx, action)?;
        }
        let mut touched = BTreeSet::new();
        let mut mentioned = BTreeSet::new();
        for change in &journal.changes {
            mentioned.insert(change.of);
            if take_change(&tx, change)? {
                merged.learned += 1;
                touched.insert(change.of);
            }
        }
        let mut kinds: BTreeMap<Kind, Imported> = BTreeMap::new();
        for of in &mentioned {
            let count = kinds.entry(of.kind).or_default();
            if touched.contains(of) {
                let taken = for_kind!(of.kind, refold(&tx, of.id, &mut merged.gave_way))?;
                match taken {
                    Taken::Added => count.added += 1,
                    Taken::Changed => count.changed += 1,
                    Taken::Same => count.unchanged += 1,
                }
            } else {
                count.unchanged += 1;
            }
        }
        for of in &touched {
            for_kind!(of.kind, links_hold(&tx, of.id))?;
        }
        merged.kinds = Kind::ALL
            .iter()
            .filter_map(|kind| Some((*kind, *kinds.get(kind)?)))
            .collect();
        if tx.is_autocommit() {
            return Err(
                BookError::Internal("the merge was given up after an error".to_owned()).into(),
            );
        }
        before_keeping(&tx)?;
        tx.commit()?;
        Ok(merged)
    }

    /// Values of a record that gave way to ones from elsewhere whose writer had not seen them, in
    /// the order in which they did.
    ///
    /// # Errors
    /// [`BookError::Unreadable`]; the store's errors.
    pub fn gave_way(&self, of: RecordRef) -> Result<Vec<GaveWay>, BookError> {
        for_kind!(of.kind, gave_way_in(&self.db, of.id))
    }

    /// Every value that gave way and was not looked through yet ([`Book::looked_through`]).
    ///
    /// # Errors
    /// [`BookError::Unreadable`]; the store's errors.
    pub fn to_look_through(&self) -> Result<Vec<GaveWay>, BookError> {
        // Only what more than one device wrote can have given way.
        let mut statement = self.db.prepare_cached(
            "SELECT DISTINCT kind, record FROM change WHERE record IN \
             (SELECT record FROM change GROUP BY record HAVING min(device) < max(device)) \
             ORDER BY kind, record",
        )?;
        let rows = statement.query_map([], |row| {
            let kind: String = row.get(0)?;
            Ok((kind, Uuid::from_bytes(row.get(1)?)))
        })?;
        let mut left = Vec::new();
        for row in rows {
            let (kind, id) = row?;
            let Some(kind) = Kind::from_name(&kind) else {
                continue;
            };
            for value in self.gave_way(RecordRef { kind, id })? {
                if self.state(&looked_through_key(&value))?.is_none() {
                    left.push(value);
                }
            }
        }
        Ok(left)
    }

    /// Remembers on this device that a person has looked at a value that gave way.
    ///
    /// # Errors
    /// The store's errors.
    pub fn looked_through(&mut self, value: &GaveWay) -> Result<(), BookError> {
        self.set_state(&looked_through_key(value), "yes")
    }
}

fn looked_through_key(value: &GaveWay) -> String {
    format!(
        "looked_through {} {} {} {} {} {}",
        value.of.id,
        value.field,
        value.by.stamp,
        value.by.device,
        value.to_by.stamp,
        value.to_by.device
    )
}

fn gave_way_in<T: Entity>(db: &Connection, id: Uuid) -> Result<Vec<GaveWay>, BookError> {
    let of = RecordRef { kind: T::KIND, id };
    let changes = changes_to(db, of)?;
    if changes.is_empty() {
        return Err(BookError::NotFound(of));
    }
    Ok(fold::<T>(Id::from_uuid(id), &changes)?.gave_way)
}

/// Refuses a journal that cannot be the history of a book.
pub(super) fn hold_together(journal: &Journal) -> Result<(), MergeError> {
    let mut keys = BTreeSet::new();
    for action in &journal.actions {
        if !(0..=LATEST_STAMP).contains(&action.stamp) {
            return Err(broken("an action is dated after the year 4199"));
        }
        let key = ActionKey {
            stamp: action.stamp,
            device: action.device,
        };
        if !keys.insert(key) {
            return Err(broken("an action stands in it twice"));
        }
        if action.undoes.is_some_and(|undone| undone >= key) {
            return Err(broken("an action undoes a later one"));
        }
    }
    for action in &journal.actions {
        if action.undoes.is_some_and(|undone| !keys.contains(&undone)) {
            return Err(broken("an action that was undone is missing"));
        }
    }
    let mut places = BTreeSet::new();
    let mut begun = BTreeSet::new();
    for change in &journal.changes {
        let key = ActionKey {
            stamp: change.stamp,
            device: change.device,
        };
        if !keys.contains(&key) {
            return Err(broken(format!(
                "the action that changed {} is missing",
                change.of
            )));
        }
        if change.n < 1 || !places.insert((key, change.n)) {
            return Err(broken(format!(
                "a change of {} has no place of its own",
                change.of
            )));
        }
        if change.field.is_empty() {
            let id = change.new.as_ref().and_then(|whole| whole.get("id"));
            if id.and_then(Value::as_str) != Some(change.of.id.to_string().as_str()) {
                return Err(broken(format!("{} comes to be as another", change.of)));
            }
            begun.insert(change.of);
        }
    }
    match journal
        .changes
        .iter()
        .find(|change| !begun.contains(&change.of))
    {
        Some(change) => Err(broken(format!("how {} came to be is missing", change.of))),
        None => Ok(()),
    }
}

/// Takes in an action, unless it is known.
fn take_action(db: &Connection, taken: &JournalAction) -> Result<(), MergeError> {
    let key = ActionKey {
        stamp: taken.stamp,
        device: taken.device,
    };
    if let Some(known) = action(db, key)? {
        if known != *taken {
            return Err(MergeError::Contradicts {
                record: format!("an action of {}", taken.at),
            });
        }
        return Ok(());
    }
    db.prepare_cached(
        "INSERT INTO action (stamp, device, at_ms, at_offset, who, name, undoes_stamp, \
         undoes_device) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    )?
    .execute((
        taken.stamp,
        taken.device.as_bytes().as_slice(),
        taken.at.unix_ms(),
        taken.at.offset_minutes(),
        &taken.who,
        &taken.name,
        taken.undoes.map(|undone| undone.stamp),
        taken.undoes.map(|undone| undone.device.into_bytes()),
    ))?;
    Ok(())
}

/// Takes in a change, unless it is known. Whether it was new.
fn take_change(db: &Connection, taken: &JournalChange) -> Result<bool, MergeError> {
    let device = taken.device.as_bytes().as_slice();
    let known = db
        .prepare_cached(
            "SELECT kind, record, field, old, new FROM change \
             WHERE stamp = ?1 AND device = ?2 AND n = ?3",
        )?
        .query_row((taken.stamp, device, taken.n), |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get::<_, [u8; 16]>(1)?,
                row.get::<_, String>(2)?,
                row.get::<_, Option<String>>(3)?,
                row.get::<_, Option<String>>(4)?,
            ))
        })
        .optional()?;
    let (old, new) = (
        taken.old.as_ref().map(Value::to_string),
        taken.new.as_ref().map(Value::to_string),
    );
    if let Some((kind, record, field, known_old, known_new)) = known {
        let same = kind == taken.of.kind.as_str()
            && record == *taken.of.id.as_bytes()
            && field == taken.field
            && same_json(known_old.as_deref(), old.as_deref())
            && same_json(known_new.as_deref(), new.as_deref());
        return if same {
            Ok(false)
        } else {
            Err(MergeError::Contradicts {
                record: taken.of.to_string(),
            })
        };
    }
    db.prepare_cached(
        "INSERT INTO change (stamp, device, n, kind, record, field, old, new) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    )?
    .execute((
        taken.stamp,
        device,
        taken.n,
        taken.of.kind.as_str(),
        taken.of.id.as_bytes().as_slice(),
        &taken.field,
        old,
        new,
    ))?;
    Ok(true)
}

/// Whether two texts are the same JSON, whatever the order of their fields.
fn same_json(one: Option<&str>, other: Option<&str>) -> bool {
    one == other
        || match (one, other) {
            (Some(one), Some(other)) => {
                let read = |text| serde_json::from_str::<Value>(text).ok();
                read(one) == read(other)
            }
            _ => false,
        }
}

pub(super) enum Taken {
    Added,
    Changed,
    Same,
}

/// Makes a record anew from its history, which has grown.
pub(super) fn refold<T: Entity>(
    db: &Connection,
    id: Uuid,
    gave_way: &mut Vec<GaveWay>,
) -> Result<Taken, BookError> {
    let of = RecordRef { kind: T::KIND, id };
    let id: Id<T> = Id::from_uuid(id);
    let Folded {
        record,
        gave_way: told,
    } = fold::<T>(id, &changes_to(db, of)?)?;
    record.body.check().map_err(|source| BookError::Content {
        kind: T::KIND,
        source,
    })?;
    gave_way.extend(told);
    match store::find::<T>(db, id)? {
        None => {
            store::insert(db, &record)?;
            Ok(Taken::Added)
        }
        Some(kept) if kept == record => Ok(Taken::Same),
        Some(_) => {
            store::update(db, &record)?;
            Ok(Taken::Changed)
        }
    }
}

/// Whether everything a record names is in the book.
fn links_hold<T: Entity>(db: &Connection, id: Uuid) -> Result<(), BookError> {
    let record = store::get::<T>(db, Id::from_uuid(id))?;
    for (parent, named) in T::KIND.parents().iter().zip(record.body.parents()) {
        let Some(named) = named else { continue };
        if !store::exists(db, parent.kind, named)? {
            return Err(BookError::NoParent {
                kind: T::KIND,
                field: parent.field,
                parent: RecordRef {
                    kind: parent.kind,
                    id: named,
                },
            });
        }
    }
    Ok(())
}
