//! The history of chosen records, to be taken to another book.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use rusqlite::{Connection, OptionalExtension};
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value;
use uuid::Uuid;

use super::fold::fold;
use super::history::{changes_to, for_kind};
use super::merge::hold_together;
use super::visits::belongs_to_visit;
use super::{Action, ActionKey, Book, BookError, Change, MergeError, store};
use crate::survey::{Entity, Id, Kind, Moment, RecordRef, RecordSet, Visit};

/// One action of one device.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct JournalAction {
    /// Its place in the order of actions of all devices: a hybrid logical clock, milliseconds since
    /// 1970 in the upper 48 bits and a counter in the lower 16.
    pub stamp: i64,
    /// The device it was done on.
    pub device: Uuid,
    /// When, by that device's clock.
    pub at: Moment,
    /// Who.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub who: String,
    /// What, by its stable name, such as `take_reading`.
    pub name: String,
    /// The action it undoes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub undoes: Option<ActionKey>,
}

/// One field of one record that an action changed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct JournalChange {
    /// The action's place in the order of actions.
    pub stamp: i64,
    /// The action's device.
    pub device: Uuid,
    /// Its place among the changes of the action, from 1.
    pub n: i64,
    /// The record.
    pub of: RecordRef,
    /// The field, by its path; empty for the record coming to be.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub field: String,
    /// Its value before.
    #[serde(
        default,
        deserialize_with = "present",
        skip_serializing_if = "Option::is_none"
    )]
    pub old: Option<Value>,
    /// Its value after; the whole record when it comes to be.
    #[serde(
        default,
        deserialize_with = "present",
        skip_serializing_if = "Option::is_none"
    )]
    pub new: Option<Value>,
}

/// A value that is there, were it null.
fn present<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Value>, D::Error> {
    Value::deserialize(deserializer).map(Some)
}

/// The whole history of some records: enough to make them anew and to merge them with what another
/// book knows of them.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Journal {
    /// What was done, in order; also what later was undone.
    pub actions: Vec<JournalAction>,
    /// What that changed in these records, in order.
    pub changes: Vec<JournalChange>,
}

impl Journal {
    /// The records as this history gives them, each kind in the order of its ids.
    ///
    /// # Errors
    /// [`MergeError::Broken`] when it does not hold together, [`BookError::Unreadable`] for a record
    /// that it does not give.
    pub fn records(&self) -> Result<RecordSet, MergeError> {
        hold_together(self)?;
        let actions: BTreeMap<ActionKey, Action> = self
            .actions
            .iter()
            .map(|action| {
                let key = ActionKey {
                    stamp: action.stamp,
                    device: action.device,
                };
                let action = Action {
                    key,
                    at: action.at,
                    who: action.who.clone(),
                    name: action.name.clone(),
                    undoes: action.undoes,
                    undone: false,
                };
                (key, action)
            })
            .collect();
        let mut by_record: BTreeMap<RecordRef, Vec<Change>> = BTreeMap::new();
        for change in &self.changes {
            let key = ActionKey {
                stamp: change.stamp,
                device: change.device,
            };
            let Some(action) = actions.get(&key) else {
                continue; // It holds together, so there is one.
            };
            by_record.entry(change.of).or_default().push(Change {
                action: action.clone(),
                n: change.n,
                record: change.of,
                field: change.field.clone(),
                old: change.old.clone(),
                new: change.new.clone(),
            });
        }
        let mut records = RecordSet::default();
        for (of, mut changes) in by_record {
            changes.sort_by_key(|change| (change.action.key, change.n));
            for_kind!(of.kind, put_folded(&mut records, of.id, &changes))?;
        }
        Ok(records)
    }
}

fn put_folded<T: Entity>(
    records: &mut RecordSet,
    id: Uuid,
    changes: &[Change],
) -> Result<(), BookError> {
    let folded = fold::<T>(Id::from_uuid(id), changes)?;
    if let Some(list) = records.list_mut::<T>() {
        list.push(folded.record);
    }
    Ok(())
}

impl Book {
    /// The history of everything on these visits, set aside or not, and of what it belongs to or
    /// ever used: tools, and the line of an earlier visit that a line is the same as.
    ///
    /// # Errors
    /// [`BookError::NotFound`]; the store's errors.
    pub fn journal(&self, visits: &[Id<Visit>]) -> Result<Journal, BookError> {
        let mut records = VecDeque::new();
        for visit in visits {
            records.extend(on_visit(&self.db, *visit)?);
        }
        journal_of(&self.db, records)
    }
}

/// Every record that belongs to a visit, with the visit itself.
fn on_visit(db: &Connection, visit: Id<Visit>) -> Result<Vec<RecordRef>, BookError> {
    let of = visit.reference();
    if !store::exists(db, Kind::Visit, visit.uuid())? {
        return Err(BookError::NotFound(of));
    }
    let mut records = vec![of];
    for kind in Kind::ALL {
        let sql = format!(
            "SELECT id FROM {} WHERE {}",
            kind.as_str(),
            belongs_to_visit(*kind, super::Which::All)
        );
        let mut statement = db.prepare_cached(&sql)?;
        // A kind that belongs to no visit has no visit in its condition.
        let with_visit = statement.parameter_count() > 0;
        let mut rows = if with_visit {
            statement.query([visit.uuid().as_bytes().as_slice()])?
        } else {
            continue;
        };
        while let Some(row) = rows.next()? {
            records.push(RecordRef {
                kind: *kind,
                id: Uuid::from_bytes(row.get(0)?),
            });
        }
    }
    Ok(records)
}

/// The history of these records and of all they ever named as what they belong to or use.
fn journal_of(db: &Connection, mut left: VecDeque<RecordRef>) -> Result<Journal, BookError> {
    let mut seen: BTreeSet<RecordRef> = left.iter().copied().collect();
    let mut actions: BTreeMap<ActionKey, JournalAction> = BTreeMap::new();
    let mut changes = BTreeMap::new();
    let mut undone = Vec::new();
    while let Some(of) = left.pop_front() {
        for change in changes_to(db, of)? {
            for named in named_by(&change) {
                if !seen.contains(&named) && store::exists(db, named.kind, named.id)? {
                    seen.insert(named);
                    left.push_back(named);
                }
            }
            let key = change.action.key;
            undone.extend(change.action.undoes);
            actions.entry(key).or_insert_with(|| JournalAction {
                stamp: key.stamp,
                device: key.device,
                at: change.action.at,
                who: change.action.who.clone(),
                name: change.action.name.clone(),
                undoes: change.action.undoes,
            });
            changes.insert(
                (key, change.n),
                JournalChange {
                    stamp: key.stamp,
                    device: key.device,
                    n: change.n,
                    of,
                    field: change.field,
                    old: change.old,
                    new: change.new,
                },
            );
        }
    }
    while let Some(key) = undone.pop() {
        if !actions.contains_key(&key)
            && let Some(action) = action(db, key)?
        {
            undone.extend(action.undoes);
            actions.insert(key, action);
        }
    }
    Ok(Journal {
        actions: actions.into_values().collect(),
        changes: changes.into_values().collect(),
    })
}

/// The records that a change names as what its record belongs to or uses.
fn named_by(change: &Change) -> Vec<RecordRef> {
    let parents = change.record.kind.parents().iter();
    let named = parents.filter_map(|parent| {
        let value = match change.field.as_str() {
            "" => change.new.as_ref()?.get(parent.field)?,
            field if field == parent.field => change.new.as_ref()?,
            _ => return None,
        };
        let id = Uuid::parse_str(value.as_str()?).ok()?;
        Some(RecordRef {
            kind: parent.kind,
            id,
        })
    });
    named.collect()
}

/// The action of that key, as a journal has it.
pub(super) fn action(db: &Connection, key: ActionKey) -> Result<Option<JournalAction>, BookError> {
    Ok(db
        .prepare_cached(
            "SELECT at_ms, at_offset, who, name, undoes_stamp, undoes_device FROM action \
             WHERE stamp = ?1 AND device = ?2",
        )?
        .query_row((key.stamp, key.device.as_bytes().as_slice()), |row| {
            let undoes: Option<i64> = row.get(4)?;
            let undoes = match undoes {
                Some(stamp) => Some(ActionKey {
                    stamp,
                    device: Uuid::from_bytes(row.get(5)?),
                }),
                None => None,
            };
            Ok(JournalAction {
                stamp: key.stamp,
                device: key.device,
                at: store::moment(row.get(0)?, row.get(1)?),
                who: row.get(2)?,
                name: row.get(3)?,
                undoes,
            })
        })
        .optional()?)
}
