//! Small things this device remembers that are no part of the record: where the person is in the
//! app, half-typed values, choices.

use std::time::Duration;

use rusqlite::OptionalExtension;

use super::open::BUSY_MS;
use super::{Book, BookError};

/// How long a jot waits for another program that holds the book.
const JOT_MS: u64 = 20;

impl Book {
    /// What is remembered under `key`.
    ///
    /// # Errors
    /// The store's errors.
    pub fn state(&self, key: &str) -> Result<Option<String>, BookError> {
        Ok(self
            .db
            .prepare_cached("SELECT value FROM state WHERE key = ?1")?
            .query_row([key], |row| row.get(0))
            .optional()?)
    }

    /// Remembers `value` under `key`; on disk when this returns.
    ///
    /// # Errors
    /// The store's errors.
    pub fn set_state(&mut self, key: &str, value: &str) -> Result<(), BookError> {
        self.db
            .prepare_cached(
                "INSERT INTO state (key, value) VALUES (?1, ?2) \
                 ON CONFLICT (key) DO UPDATE SET value = excluded.value \
                 WHERE value <> excluded.value",
            )?
            .execute([key, value])?;
        Ok(())
    }

    /// Remembers `value` under `key` without waiting for the disk: it outlives the process, and a
    /// power cut may lose it. For what changes with every key, never for the record. It does not wait
    /// long for somebody else who writes in the book either: a hand waits for it.
    ///
    /// # Errors
    /// [`BookError::Busy`], and the store's other errors.
    pub fn jot(&mut self, key: &str, value: &str) -> Result<(), BookError> {
        self.db.busy_timeout(Duration::from_millis(JOT_MS))?;
        let kept = self.jot_now(key, value);
        self.db.busy_timeout(Duration::from_millis(BUSY_MS))?;
        kept
    }

    fn jot_now(&mut self, key: &str, value: &str) -> Result<(), BookError> {
        self.db.execute_batch("PRAGMA synchronous = NORMAL")?;
        let kept = self.set_state(key, value);
        self.db.execute_batch("PRAGMA synchronous = FULL")?;
        kept
    }

    /// Forgets what is remembered under `key`.
    ///
    /// # Errors
    /// The store's errors.
    pub fn forget_state(&mut self, key: &str) -> Result<(), BookError> {
        self.db
            .prepare_cached("DELETE FROM state WHERE key = ?1")?
            .execute([key])?;
        Ok(())
    }
}
