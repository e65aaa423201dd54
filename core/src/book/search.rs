//! Full-text search over everything a person wrote.

use uuid::Uuid;

use super::{Book, BookError};
use crate::survey::{Id, Kind, RecordRef, Visit};

/// One thing found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// The record.
    pub record: RecordRef,
    /// The visit it belongs to, if it belongs to one.
    pub visit: Option<Id<Visit>>,
    /// The phrase in which the first word was found.
    pub phrase: String,
    /// Whether it was set aside.
    pub set_aside: bool,
}

impl Book {
    /// Records whose text has every word of `text`, each as a word's beginning, whatever the case
    /// and accents. Latest first, at most `most`. A blank `text` finds nothing.
    ///
    /// # Errors
    /// The store's errors.
    pub fn search(&self, text: &str, most: u32) -> Result<Vec<Hit>, BookError> {
        let words: Vec<String> = text
            .split(|letter: char| !letter.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .take(8)
            .map(|word| format!("\"{word}\"*"))
            .collect();
        if words.is_empty() {
            return Ok(Vec::new());
        }
        let mut statement = self.db.prepare_cached(
            "SELECT e.kind, e.record, e.aside, highlight(search, 0, char(2), char(3)) \
             FROM search JOIN search_entry e ON e.entry = search.rowid \
             WHERE search MATCH ?1 ORDER BY search.rowid DESC LIMIT ?2",
        )?;
        let rows = statement.query_map((words.join(" "), most), |row| {
            let (kind, marked): (String, String) = (row.get(0)?, row.get(3)?);
            Ok((kind, Uuid::from_bytes(row.get(1)?), row.get(2)?, marked))
        })?;
        let mut hits = Vec::new();
        for row in rows {
            let (kind, id, set_aside, marked) = row?;
            let Some(kind) = Kind::from_name(&kind) else {
                continue;
            };
            let record = RecordRef { kind, id };
            hits.push(Hit {
                record,
                visit: self.visit_of(record)?,
                phrase: phrase(&marked),
                set_aside,
            });
        }
        Ok(hits)
    }
}

/// The first line with a match, without the marks.
fn phrase(marked: &str) -> String {
    marked
        .lines()
        .find(|line| line.contains('\u{2}'))
        .or_else(|| marked.lines().next())
        .unwrap_or_default()
        .replace(['\u{2}', '\u{3}'], "")
}
