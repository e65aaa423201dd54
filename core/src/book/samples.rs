//! Kept samples whose day has come.

use chrono::NaiveDate;
use rusqlite::types::Value as Sql;

use super::{Book, BookError, store};
use crate::survey::{Record, Sample, SampleEvent};

/// Samples with what became of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct KeptSamples {
    /// The samples, in the order they were made.
    pub samples: Vec<Record<Sample>>,
    /// The events of all of them, in the order they were made.
    pub events: Vec<Record<SampleEvent>>,
}

/// Samples in use that were to be kept until a day before `?1`.
const OVERDUE: &str = "aside_ms IS NULL AND body ->> '$.retain_until' < ?1";

impl Book {
    /// The samples in use that were to be kept until a day before `on`, with their events in use.
    ///
    /// # Errors
    /// [`BookError::Unreadable`]; the store's errors.
    pub fn samples_kept_until_before(&self, on: NaiveDate) -> Result<KeptSamples, BookError> {
        let day = || vec![Sql::Text(on.to_string())];
        let theirs =
            format!("aside_ms IS NULL AND sample IN (SELECT id FROM sample WHERE {OVERDUE})");
        Ok(KeptSamples {
            samples: store::query(&self.db, OVERDUE, day())?,
            events: store::query(&self.db, &theirs, day())?,
        })
    }
}
