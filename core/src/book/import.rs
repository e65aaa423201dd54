//! Taking in records that were made elsewhere.

use serde_json::Value;

use super::act::{Act, SET_ASIDE, differences, fields};
use super::merge::refold;
use super::{Book, BookError, Done, store};
use crate::survey::{EachKind, Entity, Kind, Record, RecordRef, RecordSet};

/// What became of one kind's records.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Imported {
    /// New in this book.
    pub added: usize,
    /// Here before, and changed by this.
    pub changed: usize,
    /// Here before, the same or newer.
    pub unchanged: usize,
}

/// What an import did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ImportReport {
    /// By kind, in the order of [`Kind::ALL`]; kinds without records are left out.
    pub kinds: Vec<(Kind, Imported)>,
}

impl ImportReport {
    /// All kinds together.
    #[must_use]
    pub fn total(&self) -> Imported {
        total(&self.kinds)
    }
}

/// All kinds together.
pub(super) fn total(kinds: &[(Kind, Imported)]) -> Imported {
    kinds
        .iter()
        .fold(Imported::default(), |sum, (_, kind)| Imported {
            added: sum.added + kind.added,
            changed: sum.changed + kind.changed,
            unchanged: sum.unchanged + kind.unchanged,
        })
}

impl Book {
    /// Takes in records in one transaction. New ones are added as they are. Of a record that is
    /// here already, the later-changed content stands; each value that had to give way is kept
    /// in the history. Taking in the same records again changes nothing.
    ///
    /// # Errors
    /// Content that contradicts itself, a parent that is neither in the set nor in the book, or
    /// the store's errors. Then nothing was taken in.
    pub fn import(&mut self, records: &RecordSet) -> Result<Done<ImportReport>, BookError> {
        self.act("import", |act| {
            let mut taking = Taking {
                act,
                report: ImportReport::default(),
            };
            records.visit_kinds(&mut taking)?;
            Ok(taking.report)
        })
    }
}

struct Taking<'a, 't> {
    act: &'a mut Act<'t>,
    report: ImportReport,
}

impl EachKind for Taking<'_, '_> {
    type Error = BookError;

    fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), BookError> {
        if records.is_empty() {
            return Ok(());
        }
        let mut done = Imported::default();
        for record in in_order(records) {
            match store::find::<T>(&self.act.tx, record.id)? {
                None => {
                    self.act.add_record(record)?;
                    done.added += 1;
                }
                Some(kept) if kept.body == record.body && kept.set_aside == record.set_aside => {
                    done.unchanged += 1;
                }
                Some(kept) if record.changed > kept.changed => {
                    if (kept.created, kept.device) == (record.created, record.device) {
                        self.act.replace(&kept, record)?;
                        if kept.set_aside != record.set_aside {
                            self.act.note_aside(&kept, &record.set_aside)?;
                        }
                        self.act.note_changed(&kept, record.changed)?;
                    } else {
                        self.begin_anew(record)?;
                    }
                    done.changed += 1;
                }
                Some(kept) => {
                    if self.keep_older(&kept, record)? {
                        done.changed += 1;
                    } else {
                        done.unchanged += 1;
                    }
                }
            }
        }
        self.report.kinds.push((T::KIND, done));
        Ok(())
    }
}

impl Taking<'_, '_> {
    /// Lets the real record take the place of one that only stood in for it.
    fn begin_anew<T: Entity>(&mut self, record: &Record<T>) -> Result<(), BookError> {
        let whole = serde_json::to_value(record)
            .map_err(|error| BookError::json(T::KIND, record.id.uuid(), &error))?;
        self.act.note(record.reference(), "", None, Some(&whole))?;
        refold::<T>(&self.act.tx, record.id.uuid(), &mut Vec::new())?;
        Ok(())
    }

    /// Notes in the history each value of an older version that differs from what stands, once.
    /// It has no value after it: nothing of the record changes, and nothing is there to undo.
    fn keep_older<T: Entity>(
        &mut self,
        kept: &Record<T>,
        older: &Record<T>,
    ) -> Result<bool, BookError> {
        let reference = kept.reference();
        let before = fields(&older.body, reference)?;
        let after = fields(&kept.body, reference)?;
        let mut noted = false;
        let mut gave_way: Vec<(String, Value)> = differences(&before, &after, T::NESTED)
            .into_iter()
            .map(|(field, was, _)| (field, was))
            .collect();
        if let Some(aside) = &older.set_aside
            && older.set_aside != kept.set_aside
        {
            let aside = serde_json::to_value(aside)
                .map_err(|error| BookError::json(T::KIND, reference.id, &error))?;
            gave_way.push((SET_ASIDE.to_owned(), aside));
        }
        for (field, was) in gave_way {
            if !self.known(reference, &field, &was)? {
                self.act.note(reference, &field, Some(&was), None)?;
                noted = true;
            }
        }
        Ok(noted)
    }

    /// Whether the history of `field` already holds `value`.
    fn known(&self, of: RecordRef, field: &str, value: &Value) -> Result<bool, BookError> {
        let text = value.to_string();
        Ok(self
            .act
            .tx
            .prepare_cached(
                "SELECT 1 FROM change WHERE record = ?1 AND field = ?2 AND (old = ?3 OR new = ?3)",
            )?
            .exists((of.id.as_bytes().as_slice(), field, text))?)
    }
}

/// Records with those they name of their own kind before them (a line and its earlier self).
fn in_order<T: Entity>(records: &[Record<T>]) -> Vec<&Record<T>> {
    let own = T::KIND
        .parents()
        .iter()
        .position(|parent| parent.kind == T::KIND);
    let mut left: Vec<&Record<T>> = records.iter().collect();
    let Some(own) = own else { return left };
    let mut ordered = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let waiting: std::collections::HashSet<_> =
            left.iter().map(|record| record.id.uuid()).collect();
        let (now, later): (Vec<_>, Vec<_>) = left.into_iter().partition(|record| {
            record.body.parents()[own].is_none_or(|parent| !waiting.contains(&parent))
        });
        if now.is_empty() {
            ordered.extend(later); // A ring: the foreign keys will say so.
            break;
        }
        ordered.extend(now);
        left = later;
    }
    ordered
}
