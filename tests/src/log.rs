//! What the writing process has confirmed, and whether a book keeps it.

use std::collections::BTreeMap;

use serde_json::Value;
use tautbook_core::book::{Action, ActionKey, Book, Change};
use tautbook_core::survey::RecordRef;
use uuid::Uuid;

use crate::kinds;

/// The key under which the writing process remembers where it is.
pub const PLACE: &str = "place";

/// One thing that was confirmed.
#[derive(Debug, Clone, PartialEq)]
pub enum Confirmed {
    /// An action, with each record it touched as it then was.
    Action {
        /// Which.
        key: ActionKey,
        /// The records.
        records: Vec<(RecordRef, Value)>,
    },
    /// The device remembers this number as its place.
    Place(u64),
}

impl Confirmed {
    /// As one line of JSON.
    #[must_use]
    pub fn line(&self) -> String {
        match self {
            Self::Action { key, records } => {
                let records: Vec<_> = records
                    .iter()
                    .map(|(of, record)| serde_json::json!([of, record]))
                    .collect();
                serde_json::json!({"stamp": key.stamp, "device": key.device, "records": records})
            }
            Self::Place(place) => serde_json::json!({"place": place}),
        }
        .to_string()
    }

    /// From a line; `None` for one that was cut off.
    #[must_use]
    pub fn read(line: &str) -> Option<Self> {
        let json: Value = serde_json::from_str(line).ok()?;
        if let Some(place) = json.get("place") {
            return Some(Self::Place(place.as_u64()?));
        }
        let key = ActionKey {
            stamp: json.get("stamp")?.as_i64()?,
            device: Uuid::parse_str(json.get("device")?.as_str()?).ok()?,
        };
        let records = json.get("records")?.as_array()?.iter();
        let records = records.map(|pair| {
            let of = serde_json::from_value(pair.get(0)?.clone()).ok()?;
            Some((of, pair.get(1)?.clone()))
        });
        Some(Self::Action {
            key,
            records: records.collect::<Option<_>>()?,
        })
    }
}

/// How many lines of history each action of the writing process has: it is whole with as many.
fn whole(action: &Action, changes_of: &BTreeMap<ActionKey, usize>) -> usize {
    match action.name.as_str() {
        "start_visit" => 5,
        "edit_load" => 3,
        "fit_film" | "edit_setup" | "set_aside" => 2,
        "take_reading" | "add_load" | "bring_back" => 1,
        "undo" => action
            .undoes
            .and_then(|undone| changes_of.get(&undone).copied())
            .unwrap_or_else(|| panic!("{action:?} undoes nothing")),
        other => panic!("nobody did '{other}'"),
    }
}

/// Everything a book should hold.
#[derive(Debug, Clone, Default)]
pub struct Log {
    /// What was confirmed, in order.
    pub confirmed: Vec<Confirmed>,
}

impl Log {
    /// The records as they should be after the first `n` confirmations.
    #[must_use]
    pub fn records(&self, n: usize) -> BTreeMap<RecordRef, Value> {
        let mut records = BTreeMap::new();
        for confirmed in &self.confirmed[..n] {
            if let Confirmed::Action { records: now, .. } = confirmed {
                records.extend(now.iter().cloned());
            }
        }
        records
    }

    /// The actions among the first `n` confirmations.
    #[must_use]
    pub fn actions(&self, n: usize) -> Vec<ActionKey> {
        let keys = self.confirmed[..n]
            .iter()
            .filter_map(|confirmed| match confirmed {
                Confirmed::Action { key, .. } => Some(*key),
                Confirmed::Place(_) => None,
            });
        keys.collect()
    }

    /// The place after the first `n` confirmations; 0 before the first.
    #[must_use]
    pub fn place(&self, n: usize) -> u64 {
        let places = self.confirmed[..n].iter().rev();
        let mut places = places.filter_map(|confirmed| match confirmed {
            Confirmed::Place(place) => Some(*place),
            Confirmed::Action { .. } => None,
        });
        places.next().unwrap_or(0)
    }

    /// Holds a book against everything confirmed. It may have one thing more, done but killed
    /// before it could be confirmed; that is whole, and is taken into the log.
    ///
    /// # Panics
    /// When anything confirmed is missing or different, anything is half done, or the book is not
    /// sound.
    #[allow(clippy::unwrap_used)] // A check: what fails here is a failed test.
    pub fn hold(&mut self, book: &Book) {
        let n = self.confirmed.len();
        let known = self.actions(n);
        let actions = actions_in_order(book);
        let keys: Vec<_> = actions.iter().map(|action| action.key).collect();
        assert!(keys.len() >= known.len(), "confirmed actions are missing");
        assert_eq!(keys[..known.len()], known, "confirmed actions are missing");
        let more = &keys[known.len()..];
        assert!(more.len() <= 1, "{} actions nobody confirmed", more.len());

        let mut expected = self.records(n);
        if let Some(key) = more.first() {
            let mut records = BTreeMap::new();
            for change in book.changes(*key).unwrap().iter().rev() {
                let now = kinds::find(book, change.record).unwrap();
                let now = now.unwrap_or_else(|| panic!("{} is missing", change.record));
                undo_in(&mut expected, change, &now);
                records.insert(change.record, now);
            }
            expected.extend(records.clone());
            self.confirmed.push(Confirmed::Action {
                key: *key,
                records: records.into_iter().collect(),
            });
        }
        hold_content(book, &expected, &actions);

        let kept = place(book);
        let told = self.place(n);
        let one_more = more.is_empty() && kept == told + 1;
        assert!(
            kept == told || one_more,
            "place {kept}, but {told} was confirmed"
        );
        if one_more {
            self.confirmed.push(Confirmed::Place(kept));
        }
    }
}

/// The place the device remembers; 0 when it remembers none.
///
/// # Panics
/// When it cannot be read.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn place(book: &Book) -> u64 {
    let kept = book.state(PLACE).unwrap();
    kept.map_or(0, |place| place.parse().unwrap())
}

/// Every action of a book, oldest first.
///
/// # Panics
/// When they cannot be read.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn actions_in_order(book: &Book) -> Vec<Action> {
    let mut actions = book.actions(u32::MAX).unwrap();
    actions.reverse();
    actions
}

/// A record that an unconfirmed action changed was, before that, as confirmed.
fn undo_in(expected: &mut BTreeMap<RecordRef, Value>, change: &Change, now: &Value) {
    if change.field.is_empty() {
        let before = expected.get(&change.record);
        assert_eq!(before, None, "{} came to be twice", change.record);
        return;
    }
    let before = expected.get(&change.record);
    let before = before.unwrap_or_else(|| panic!("{} was never confirmed", change.record));
    let old = change.old.clone().unwrap_or(Value::Null);
    assert_eq!(*kinds::at(before, &change.field), old, "{change:?}");
    let new = change.new.clone().unwrap_or(Value::Null);
    assert_eq!(*kinds::at(now, &change.field), new, "{change:?}");
}

/// The book is sound, holds exactly these records, every action is whole, and the history tells
/// how each record came to be what it is.
///
/// # Panics
/// When it is not so.
#[allow(clippy::unwrap_used)]
pub fn hold_content(book: &Book, expected: &BTreeMap<RecordRef, Value>, actions: &[Action]) {
    let report = book.verify().unwrap();
    assert_eq!(report.faults, [], "the book is not sound");
    let count: usize = report.records.iter().map(|(_, count)| count).sum();
    assert_eq!(
        count,
        expected.len(),
        "records more or fewer than confirmed"
    );
    for (of, record) in expected {
        let kept = kinds::find(book, *of).unwrap();
        assert_eq!(kept.as_ref(), Some(record), "{of}");
        hold_history(&book.history(*of).unwrap(), *of, record);
    }
    let mut changes_of = BTreeMap::new();
    for action in actions {
        let changes = book.changes(action.key).unwrap().len();
        changes_of.insert(action.key, changes);
        assert_eq!(changes, whole(action, &changes_of), "half of {action:?}");
    }
}

/// A record's history begins with its coming to be, each change starts from where the one before
/// ended, and the last one of each field gives the content.
///
/// # Panics
/// When it is not so.
pub fn hold_history(history: &[Change], of: RecordRef, record: &Value) {
    let mut last: BTreeMap<&str, &Value> = BTreeMap::new();
    for (n, change) in history.iter().enumerate() {
        assert_eq!(
            n == 0,
            change.field.is_empty(),
            "{of} comes to be first and once"
        );
        if let (Some(old), Some(new)) = (&change.old, &change.new)
            && let Some(before) = last.insert(&change.field, new)
        {
            assert_eq!(before, old, "{of} {}: a gap in its history", change.field);
        }
    }
    assert!(!history.is_empty(), "{of} has no history");
    for (field, value) in last {
        assert_eq!(kinds::at(record, field), value, "{of} {field}");
    }
}
