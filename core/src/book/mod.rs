//! The book: every record on SQLite, with its history.
//!
//! What is promised: an action that returned `Ok` is on disk, whatever happens next (WAL with
//! `synchronous = FULL`); an action that failed changed nothing; nothing is ever deleted; every
//! value that was overwritten stands in the history.

mod act;
mod apart;
mod aside;
mod clock;
mod error;
mod fold;
mod history;
mod import;
mod journal;
mod merge;
mod open;
mod pack;
mod photos;
mod recover;
mod samples;
mod search;
mod state;
mod store;
mod verify;
mod visits;

use std::path::{Path, PathBuf};

use rusqlite::{Connection, TransactionBehavior};
use uuid::Uuid;

pub use act::{Act, ActionKey, Done};
pub use apart::set_apart;
pub use clock::{Clock, FixedClock, SystemClock};
pub use error::BookError;
pub use fold::GaveWay;
pub use history::{Action, Change};
pub use import::{ImportReport, Imported};
pub use journal::{Journal, JournalAction, JournalChange};
pub use merge::{MergeError, Merged};
pub use open::{APPLICATION_ID, OpenMode, Opened};
pub use pack::{Packed, pack};
pub use recover::{Lost, Recovered, recover};
pub use samples::KeptSamples;
pub use search::Hit;
pub use store::Which;
pub use verify::{CheckReport, Fault, PhotoFault};
pub use visits::VisitSummary;

use crate::survey::{Entity, Id, Moment, Record};

/// An open book.
pub struct Book {
    db: Connection,
    path: PathBuf,
    clock: Box<dyn Clock>,
    device: Uuid,
    who: String,
}

impl std::fmt::Debug for Book {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Book")
            .field("path", &self.path)
            .finish_non_exhaustive()
    }
}

impl Book {
    fn assemble(db: Connection, path: &Path, clock: Box<dyn Clock>, device: Uuid) -> Self {
        Self {
            db,
            path: path.to_owned(),
            clock,
            device,
            who: String::new(),
        }
    }

    /// Where it is kept.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The device it is kept on.
    #[must_use]
    pub fn device(&self) -> Uuid {
        self.device
    }

    /// Now, by the book's clock.
    #[must_use]
    pub fn now(&self) -> Moment {
        self.clock.now()
    }

    /// Whose name goes into the history from now on.
    pub fn set_who(&mut self, who: impl Into<String>) {
        self.who = who.into();
    }

    /// Does one thing a person asked for, as one transaction. When this returns `Ok` it is on
    /// disk; when it returns an error nothing changed.
    ///
    /// `name` is the action's stable name in the history, such as `take_reading`.
    ///
    /// # Errors
    /// Whatever `work` returns, or the store's errors.
    pub fn act<T>(
        &mut self,
        name: &'static str,
        work: impl FnOnce(&mut Act<'_>) -> Result<T, BookError>,
    ) -> Result<Done<T>, BookError> {
        self.act_undoing(name, None, work)
    }

    fn act_undoing<T>(
        &mut self,
        name: &'static str,
        undoes: Option<ActionKey>,
        work: impl FnOnce(&mut Act<'_>) -> Result<T, BookError>,
    ) -> Result<Done<T>, BookError> {
        let now = self.clock.now();
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)?;
        let stamp = clock::next_stamp(last_stamp(&tx)?, now.unix_ms());
        let mut act = Act {
            tx,
            key: ActionKey {
                stamp,
                device: self.device,
            },
            now,
            who: &self.who,
            name,
            made: 0,
            undoes,
            changes: 0,
        };
        let value = work(&mut act)?;
        act.go_on()?;
        let Act {
            tx, key, changes, ..
        } = act;
        tx.commit()?;
        Ok(Done {
            value,
            action: (changes > 0).then_some(key),
        })
    }

    /// How many actions are in the book, its own and those taken in: another number after each. Nothing
    /// that was read of the book before is out of date while it is the same.
    ///
    /// # Errors
    /// The store's errors.
    pub fn action_count(&self) -> Result<u64, BookError> {
        let count: i64 = self
            .db
            .prepare_cached("SELECT count(*) FROM action")?
            .query_row([], |row| row.get(0))?;
        Ok(count.unsigned_abs())
    }

    fn last_stamp(&self) -> Result<i64, BookError> {
        last_stamp(&self.db)
    }

    /// The record of that id, set aside or not.
    ///
    /// # Errors
    /// [`BookError::NotFound`], [`BookError::Unreadable`], or the store's errors.
    pub fn get<T: Entity>(&self, id: Id<T>) -> Result<Record<T>, BookError> {
        store::get(&self.db, id)
    }

    /// The record of that id, or `None`.
    ///
    /// # Errors
    /// [`BookError::Unreadable`], or the store's errors.
    pub fn find<T: Entity>(&self, id: Id<T>) -> Result<Option<Record<T>>, BookError> {
        store::find(&self.db, id)
    }

    /// Records of kind `T` that belong to `parent` and are in use, in the order they were made.
    ///
    /// # Errors
    /// [`BookError::Internal`] when `T` cannot belong to a `P`; the store's errors.
    pub fn children<T: Entity, P: Entity>(
        &self,
        parent: Id<P>,
    ) -> Result<Vec<Record<T>>, BookError> {
        self.children_which(parent, Which::InUse)
    }

    /// As [`Book::children`], with those set aside as well when asked for.
    ///
    /// # Errors
    /// As [`Book::children`].
    pub fn children_which<T: Entity, P: Entity>(
        &self,
        parent: Id<P>,
        which: Which,
    ) -> Result<Vec<Record<T>>, BookError> {
        let field = T::KIND
            .parents()
            .iter()
            .find(|candidate| candidate.kind == P::KIND)
            .map(|candidate| candidate.field)
            .ok_or_else(|| {
                BookError::Internal(format!(
                    "a {} does not belong to a {}",
                    T::KIND.as_str(),
                    P::KIND.as_str()
                ))
            })?;
        store::list(&self.db, Some((field, parent.uuid())), which)
    }

    /// Every record of a kind that is in use, in the order they were made. For kinds with few
    /// records, such as tools.
    ///
    /// # Errors
    /// The store's errors.
    pub fn all<T: Entity>(&self) -> Result<Vec<Record<T>>, BookError> {
        self.all_which(Which::InUse)
    }

    /// As [`Book::all`], with those set aside as well when asked for.
    ///
    /// # Errors
    /// The store's errors.
    pub fn all_which<T: Entity>(&self, which: Which) -> Result<Vec<Record<T>>, BookError> {
        store::list(&self.db, None, which)
    }
}

fn last_stamp(db: &Connection) -> Result<i64, BookError> {
    let last: Option<i64> = db
        .prepare_cached("SELECT max(stamp) FROM action")?
        .query_row([], |row| row.get(0))?;
    Ok(last.unwrap_or(0))
}
