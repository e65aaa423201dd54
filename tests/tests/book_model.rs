//! Any sequence of actions and undoings leaves the book as a plain model of it says: content,
//! history, what is undone, and what is refused.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use proptest::prelude::*;
use serde_json::{Map, Value, json};
use tautbook_core::book::{ActionKey, Book, BookError, Clock, OpenMode};
use tautbook_core::survey::{Id, Kind, Line, Moment, Purpose, RecordRef, Setup, SetupRole, Visit};
use tautbook_tests::{kinds, log};

/// What a person may do; records and actions are numbered in the order they came to be.
#[derive(Debug, Clone)]
enum Step {
    /// A visit with a line and a setup.
    Start,
    /// Another setup on the line of an existing one.
    AddSetup(usize),
    /// Edits in one action: which record, which of its fields, which value.
    Edit(Vec<(usize, usize, u8)>),
    /// Edits after which the action fails.
    Fail(Vec<(usize, usize, u8)>),
    SetAside(usize, u8),
    BringBack(usize),
    Undo(usize),
    Reopen,
}

fn step() -> impl Strategy<Value = Step> {
    let edits = || prop::collection::vec((0..12_usize, 0..4_usize, 0..3_u8), 1..5);
    prop_oneof![
        1 => Just(Step::Start),
        2 => (0..12_usize).prop_map(Step::AddSetup),
        6 => edits().prop_map(Step::Edit),
        1 => edits().prop_map(Step::Fail),
        3 => (0..12_usize, 0..2_u8).prop_map(|(record, reason)| Step::SetAside(record, reason)),
        2 => (0..12_usize).prop_map(Step::BringBack),
        8 => (0..8_usize).prop_map(Step::Undo),
        1 => Just(Step::Reopen),
    ]
}

/// A clock that goes on when it is told to, and sometimes back.
#[derive(Clone)]
struct Told(Arc<AtomicI64>);

impl Clock for Told {
    fn now(&self) -> Moment {
        Moment::from_unix_ms(self.0.load(Ordering::Relaxed), -300).unwrap()
    }
}

/// One line of history: record, field, value before, value after.
type Noted = (RecordRef, String, Option<Value>, Option<Value>);

/// One action as the model knows it.
#[derive(Debug, Clone)]
struct Done {
    key: ActionKey,
    lines: Vec<Noted>,
    undoes: Option<usize>,
}

/// What the book should hold.
#[derive(Debug, Clone, Default)]
struct Model {
    /// Each record's fields, the nested ones by their path, and `set_aside`.
    records: BTreeMap<RecordRef, BTreeMap<String, Value>>,
    order: Vec<RecordRef>,
    actions: Vec<Done>,
}

#[derive(Debug, PartialEq)]
enum Refused {
    ChangedSince,
    AlreadyUndone,
}

fn flat(record: &Value) -> BTreeMap<String, Value> {
    fn into(prefix: &str, fields: &Map<String, Value>, all: &mut BTreeMap<String, Value>) {
        for (field, value) in fields {
            match value {
                Value::Object(inner) if matches!(field.as_str(), "settings" | "wrapper") => {
                    into(&format!("{prefix}{field}."), inner, all);
                }
                value => {
                    all.insert(format!("{prefix}{field}"), value.clone());
                }
            }
        }
    }
    let mut all = BTreeMap::new();
    into("", record.as_object().unwrap(), &mut all);
    for envelope in ["id", "created", "changed", "device"] {
        all.remove(envelope);
    }
    all.entry("set_aside".to_owned()).or_insert(Value::Null);
    all
}

impl Model {
    fn set(&mut self, of: RecordRef, field: &str, value: &Value) -> Option<Noted> {
        let fields = self.records.get_mut(&of).unwrap();
        let old = fields.insert(field.to_owned(), value.clone()).unwrap();
        (old != *value).then(|| (of, field.to_owned(), Some(old), Some(value.clone())))
    }

    fn undone(&self, action: usize) -> bool {
        let mut undoing =
            (0..self.actions.len()).filter(|n| self.actions[*n].undoes == Some(action));
        undoing.any(|n| !self.undone(n))
    }

    /// The lines of history that undoing `action` makes, done.
    fn undo(&mut self, action: usize, now: Moment) -> Result<Vec<Noted>, Refused> {
        if self.undone(action) {
            return Err(Refused::AlreadyUndone);
        }
        let mut made = Vec::new();
        let lines = self.actions[action].lines.clone();
        let mut net: Vec<Noted> = Vec::new();
        let content = |line: &Noted| !line.1.is_empty() && line.1 != "set_aside";
        for (n, line) in lines.iter().enumerate().rev() {
            let (of, field, old, new) = line;
            if field.is_empty() {
                let aside = json!({"at": now.to_string(), "reason": "undone"});
                made.extend(self.set(*of, "set_aside", &aside));
                continue;
            }
            if self.records[of].get(field) != new.as_ref() {
                return Err(Refused::ChangedSince);
            }
            let was = self.set(*of, field, old.as_ref().unwrap());
            if !content(line) {
                made.extend(was);
                continue;
            }
            // Fields of one record that follow each other go back as one change.
            if let Some((.., kept)) = net.iter_mut().find(|(_, other, ..)| other == field) {
                kept.clone_from(old);
            } else {
                net.extend(was);
            }
            let last = n == 0 || !content(&lines[n - 1]) || lines[n - 1].0 != *of;
            if last {
                net.sort_by(|one, other| one.1.cmp(&other.1));
                made.extend(net.drain(..).filter(|(_, _, old, new)| old != new));
            }
        }
        Ok(made)
    }
}

/// The book and its model side by side.
struct Pair {
    book: Book,
    model: Model,
    clock: Told,
}

fn open(path: &Path, clock: &Told) -> Book {
    Book::open(path, OpenMode::OpenOrStart, Box::new(clock.clone()))
        .unwrap()
        .0
}

const WORDS: [&str; 3] = ["", "gate 4", "près du quai"];

/// The field that an edit names, and its value.
fn field_and_value(kind: Kind, field: usize, value: u8) -> (&'static str, Value) {
    let word = Value::from(WORDS[usize::from(value)]);
    match (kind, field) {
        (Kind::Visit, 0) => ("site", word),
        (Kind::Visit, 1) => ("customer", word),
        (Kind::Line, 0) => ("wrapper.make_model", word),
        (Kind::Line, 1) => ("product", word),
        (Kind::Setup, 0) => ("settings.film_force", word),
        (Kind::Setup, 1) => {
            let turns = (value > 0).then(|| f64::from(value) * 1.1);
            ("settings.bottom_turns", turns.into())
        }
        _ => ("notes", word),
    }
}

fn text(value: &Value) -> String {
    value.as_str().unwrap().to_owned()
}

/// Makes one edit in the book.
fn edit(
    act: &mut tautbook_core::book::Act<'_>,
    of: RecordRef,
    field: &str,
    value: &Value,
) -> Result<(), BookError> {
    match of.kind {
        Kind::Visit => {
            act.change(Id::<Visit>::from_uuid(of.id), |visit| match field {
                "site" => visit.site = text(value),
                "customer" => visit.customer = text(value),
                _ => visit.notes = text(value),
            })?;
        }
        Kind::Line => {
            act.change(Id::<Line>::from_uuid(of.id), |line| match field {
                "wrapper.make_model" => line.wrapper.make_model = text(value),
                "product" => line.product = text(value),
                _ => line.notes = text(value),
            })?;
        }
        _ => {
            act.change(Id::<Setup>::from_uuid(of.id), |setup| match field {
                "settings.film_force" => setup.settings.film_force = text(value),
                "settings.bottom_turns" => setup.settings.bottom_turns = value.as_f64(),
                _ => setup.notes = text(value),
            })?;
        }
    }
    Ok(())
}

impl Pair {
    fn record(&self, n: usize) -> Option<RecordRef> {
        let order = &self.model.order;
        (!order.is_empty()).then(|| order[n % order.len()])
    }

    fn now(&self) -> Moment {
        self.clock.now()
    }

    /// Takes in what an action did.
    fn did(&mut self, key: Option<ActionKey>, lines: Vec<Noted>, undoes: Option<usize>) {
        assert_eq!(key.is_some(), !lines.is_empty(), "{lines:?}");
        if let Some(key) = key {
            self.model.actions.push(Done { key, lines, undoes });
        }
    }

    /// Takes in records that came to be.
    fn came_to_be(&mut self, key: Option<ActionKey>, records: &[RecordRef]) {
        for of in records {
            let record = kinds::find(&self.book, *of).unwrap().unwrap();
            self.model.records.insert(*of, flat(&record));
            self.model.order.push(*of);
        }
        let lines = records.iter().map(|of| {
            let whole = kinds::find(&self.book, *of).unwrap();
            (*of, String::new(), None, whole)
        });
        let lines = lines.collect();
        self.did(key, lines, None);
    }

    fn start(&mut self) {
        let done = self.book.act("start_visit", |act| {
            let visit = act.add(Visit {
                customer: "Harrow Tile".to_owned(),
                site: String::new(),
                date: act.now().date_time().date_naive(),
                rep: String::new(),
                purpose: Purpose::Baseline,
                bag: Vec::new(),
                safety: Vec::new(),
                notes: String::new(),
            })?;
            let line = act.add(Line::new(visit.id, "Line 1"))?;
            let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
            Ok([visit.reference(), line.reference(), setup.reference()])
        });
        let done = done.unwrap();
        self.came_to_be(done.action, &done.value);
    }

    fn add_setup(&mut self, n: usize) {
        let lines: Vec<_> = self
            .model
            .order
            .iter()
            .filter(|of| of.kind == Kind::Line)
            .collect();
        if lines.is_empty() {
            return;
        }
        let line = Id::<Line>::from_uuid(lines[n % lines.len()].id);
        let done = self.book.act("add_setup", |act| {
            act.add(Setup::new(line, "Trial", SetupRole::Trial))
        });
        let done = done.unwrap();
        self.came_to_be(done.action, &[done.value.reference()]);
    }

    fn edits(&self, edits: &[(usize, usize, u8)]) -> Vec<(RecordRef, &'static str, Value)> {
        let edits = edits.iter().filter_map(|(record, field, value)| {
            let of = self.record(*record)?;
            let (field, value) = field_and_value(of.kind, *field, *value);
            Some((of, field, value))
        });
        edits.collect()
    }

    fn edit(&mut self, edits: &[(usize, usize, u8)]) {
        let edits = self.edits(edits);
        let done = self.book.act("edit", |act| {
            edits
                .iter()
                .try_for_each(|(of, field, value)| edit(act, *of, field, value))
        });
        let model = &mut self.model;
        let lines = edits
            .iter()
            .filter_map(|(of, field, value)| model.set(*of, field, value));
        let lines = lines.collect();
        self.did(done.unwrap().action, lines, None);
    }

    fn fail(&mut self, edits: &[(usize, usize, u8)]) {
        let edits = self.edits(edits);
        let Some((of, ..)) = edits.first().cloned() else {
            return;
        };
        let failed = self.book.act("edit", |act| {
            edits
                .iter()
                .try_for_each(|(of, field, value)| edit(act, *of, field, value))?;
            act.add(Line::new(Id::from_uuid(of.id), " "))
        });
        assert!(
            matches!(failed, Err(BookError::Content { .. })),
            "{failed:?}"
        );
    }

    fn aside(&mut self, n: usize, reason: Option<u8>) {
        let Some(of) = self.record(n) else { return };
        let (done, value) = match reason {
            Some(reason) => {
                let reason = WORDS[usize::from(reason)];
                let at = self.now().to_string();
                (
                    self.book.set_aside(of, reason),
                    json!({"at": at, "reason": reason}),
                )
            }
            None => (self.book.bring_back(of), Value::Null),
        };
        let lines = self
            .model
            .set(of, "set_aside", &value)
            .into_iter()
            .collect();
        self.did(done.unwrap().action, lines, None);
    }

    fn undo(&mut self, n: usize) {
        if self.model.actions.is_empty() {
            return;
        }
        // The latest ones: those a person undoes.
        let action = self.model.actions.len() - 1 - n % self.model.actions.len();
        let before = self.model.clone();
        let now = self.now();
        let expected = self.model.undo(action, now);
        let done = self.book.undo(self.model.actions[action].key);
        match (done, expected) {
            (Ok(done), Ok(lines)) => self.did(done.action, lines, Some(action)),
            (Err(BookError::ChangedSince { .. }), Err(Refused::ChangedSince))
            | (Err(BookError::AlreadyUndone), Err(Refused::AlreadyUndone)) => self.model = before,
            (done, expected) => panic!("{done:?}, but the model says {expected:?}"),
        }
    }

    fn hold(&self) {
        for (of, fields) in &self.model.records {
            let record = kinds::find(&self.book, *of).unwrap().unwrap();
            assert_eq!(flat(&record), *fields, "{of}");
        }
        let actions = log::actions_in_order(&self.book);
        assert_eq!(actions.len(), self.model.actions.len());
        for (n, (action, done)) in actions.iter().zip(&self.model.actions).enumerate() {
            assert_eq!(action.key, done.key, "in the order of doing");
            assert_eq!(action.undone, self.model.undone(n), "{action:?}");
        }
        if let Some(last) = self.model.actions.last() {
            let lines: Vec<Noted> = self
                .book
                .changes(last.key)
                .unwrap()
                .into_iter()
                .map(|change| (change.record, change.field, change.old, change.new))
                .collect();
            assert_eq!(lines, last.lines);
        }
        let in_use = |of: &&RecordRef| self.model.records[of]["set_aside"].is_null();
        let visits = self.model.order.iter().filter(|of| of.kind == Kind::Visit);
        assert_eq!(
            self.book.visits(0, 1_000).unwrap().len(),
            visits.filter(in_use).count()
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_book_does_as_its_model(
        steps in prop::collection::vec((step(), -2_000_i64..5_000), 1..40),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.taut");
        let clock = Told(Arc::new(AtomicI64::new(1_772_634_600_250)));
        let mut pair = Pair { book: open(&path, &clock), model: Model::default(), clock };
        pair.start();
        for (step, ms) in steps {
            pair.clock.0.fetch_add(ms, Ordering::Relaxed);
            match step {
                Step::Start => pair.start(),
                Step::AddSetup(n) => pair.add_setup(n),
                Step::Edit(edits) => pair.edit(&edits),
                Step::Fail(edits) => pair.fail(&edits),
                Step::SetAside(n, reason) => pair.aside(n, Some(reason)),
                Step::BringBack(n) => pair.aside(n, None),
                Step::Undo(n) => pair.undo(n),
                Step::Reopen => pair.book = open(&path, &pair.clock),
            }
            pair.hold();
        }
        pair.book = open(&path, &pair.clock);
        pair.hold();
        assert_eq!(pair.book.verify().unwrap().faults, []);
        for of in pair.model.records.keys() {
            let record = kinds::find(&pair.book, *of).unwrap().unwrap();
            log::hold_history(&pair.book.history(*of).unwrap(), *of, &record);
        }
    }
}
