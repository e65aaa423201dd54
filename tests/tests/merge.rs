//! Books of any number of devices, whatever was done on each and in whatever order and however often
//! they take in each other's histories, come to hold the same, and no value that was ever entered is
//! missing from the history.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::book::{Book, BookError, Clock, GaveWay, Journal, MergeError, OpenMode, Which};
use tautbook_core::survey::{
    Entity, Id, Line, Load, MarkPlace, Moment, Purpose, RecordRef, Setup, SetupRole, StretchMark,
    Visit,
};
use tautbook_core::units::{Entered, Length};
use tautbook_tests::kinds;

#[derive(Clone)]
struct Told(Arc<AtomicI64>);

impl Clock for Told {
    fn now(&self) -> Moment {
        Moment::from_unix_ms(self.0.load(Ordering::Relaxed), 0).unwrap()
    }
}

struct Device {
    book: Book,
    clock: Told,
    _folder: tempfile::TempDir,
}

impl Device {
    fn new(now_ms: i64) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let clock = Told(Arc::new(AtomicI64::new(now_ms)));
        let path = folder.path().join("book.taut");
        let (book, _) = Book::open(&path, OpenMode::OpenOrStart, Box::new(clock.clone())).unwrap();
        Self {
            book,
            clock,
            _folder: folder,
        }
    }

    fn visits(&self) -> Vec<Id<Visit>> {
        self.book
            .all_which::<Visit>(Which::All)
            .unwrap()
            .iter()
            .map(|visit| visit.id)
            .collect()
    }

    fn journal(&self) -> Journal {
        self.book.journal(&self.visits()).unwrap()
    }

    fn records(&self) -> BTreeMap<RecordRef, Value> {
        let mut records = BTreeMap::new();
        for visit in self.visits() {
            let set = self.book.visit_records(visit, Which::All).unwrap();
            records.extend(kinds::all(&set));
        }
        records
    }

    fn all<T: Entity>(&self) -> Vec<Id<T>> {
        self.book
            .all_which::<T>(Which::All)
            .unwrap()
            .iter()
            .map(|record| record.id)
            .collect()
    }

    fn start(&mut self) {
        let started = self.book.act("start_visit", |act| {
            let visit = act.add(visit(act.now()))?;
            let line = act.add(Line::new(visit.id, "Line 1"))?;
            act.add(Setup::new(line.id, "As found", SetupRole::AsFound))
        });
        started.unwrap();
    }

    fn does(&mut self, deed: &Deed) {
        match *deed {
            Deed::Start => self.start(),
            Deed::Wait(ms) => {
                let now = self.clock.0.load(Ordering::Relaxed).saturating_add(ms);
                self.clock
                    .0
                    .store(now.clamp(0, 4_000_000_000_000), Ordering::Relaxed);
            }
            Deed::AddLoad(n) => {
                if let Some(setup) = pick(&self.all::<Setup>(), n) {
                    self.book
                        .act("add_load", |act| act.add(Load::new(setup, "Load 1")))
                        .unwrap();
                }
            }
            Deed::Edit(n, field, value) => self.edit(n, field, value),
            Deed::Mark(n, before, after) => self.mark(n, before, after),
            Deed::Aside(n) => {
                if let Some(of) = self.any(n) {
                    self.book.set_aside(of, "seen twice").unwrap();
                }
            }
            Deed::Back(n) => {
                if let Some(of) = self.any(n) {
                    self.book.bring_back(of).unwrap();
                }
            }
            Deed::Undo(n) => {
                let actions = self.book.actions(6).unwrap();
                if let Some(action) = actions.get(n % 6) {
                    match self.book.undo(action.key) {
                        Ok(_)
                        | Err(
                            BookError::AlreadyUndone
                            | BookError::ChangedSince { .. }
                            | BookError::Content { .. },
                        ) => {}
                        Err(error) => panic!("{error}"),
                    }
                }
            }
        }
    }

    fn any(&self, n: usize) -> Option<RecordRef> {
        let records: Vec<RecordRef> = self.records().into_keys().collect();
        pick(&records, n)
    }

    /// Draws marks so far apart before and after stretch, or corrects one of the two distances: marks
    /// that lie closer after are refused, which two devices can bring about together.
    fn mark(&mut self, n: usize, before: u8, after: u8) {
        let marks = self.all::<StretchMark>();
        let done = match pick(&marks, n) {
            Some(mark) if n > 0 => self.book.act("edit_mark", |act| {
                act.change(mark, |mark| {
                    if n.is_multiple_of(2) {
                        mark.before = inches(before);
                    } else {
                        mark.after = inches(after);
                    }
                })
            }),
            _ => {
                let Some(setup) = pick(&self.all::<Setup>(), n) else {
                    return;
                };
                self.book.act("add_mark", |act| {
                    act.add(mark(setup, before, after, act.now()))
                })
            }
        };
        match done {
            Ok(_) | Err(BookError::Content { .. }) => {}
            Err(error) => panic!("{error}"),
        }
    }

    fn edit(&mut self, n: usize, field: usize, value: u8) {
        let words = format!("as {value} says");
        let turns = f64::from(value) / 10.0;
        if field < 2 {
            let Some(visit) = pick(&self.all::<Visit>(), n) else {
                return;
            };
            let edited = self.book.act("edit_visit", |act| {
                act.change(visit, |visit| match field {
                    0 => visit.site.clone_from(&words),
                    _ => visit.notes.clone_from(&words),
                })
            });
            edited.unwrap();
        } else {
            let Some(setup) = pick(&self.all::<Setup>(), n) else {
                return;
            };
            let edited = self.book.act("edit_setup", |act| {
                act.change(setup, |setup| match field {
                    2 => setup.settings.bottom_turns = Some(turns),
                    3 => setup.settings.top_turns = Some(turns),
                    4 => {
                        setup.settings.top_turns = Some(turns + 1.0);
                        setup.settings.bottom_turns = None;
                    }
                    _ => {
                        setup.name = if value == 0 {
                            " ".to_owned()
                        } else {
                            words.clone()
                        }
                    }
                })
            });
            match edited {
                Ok(_) | Err(BookError::Content { .. }) => {}
                Err(error) => panic!("{error}"),
            }
        }
    }
}

fn inches(n: u8) -> Entered<Length> {
    format!("{n} in").parse().unwrap()
}

fn mark(setup: Id<Setup>, before: u8, after: u8, now: Moment) -> StretchMark {
    StretchMark {
        setup,
        load: None,
        place: MarkPlace::BeforeLoad,
        before: inches(before),
        after: inches(after),
        taken_at: now,
        notes: String::new(),
    }
}

fn visit(now: Moment) -> Visit {
    Visit {
        customer: "Harrow Tile".to_owned(),
        site: "Kiln Lane".to_owned(),
        date: now.date_time().date_naive(),
        rep: String::new(),
        purpose: Purpose::Baseline,
        bag: Vec::new(),
        safety: Vec::new(),
        notes: String::new(),
    }
}

fn pick<T: Copy>(list: &[T], n: usize) -> Option<T> {
    list.get(n.checked_rem(list.len())?).copied()
}

#[derive(Debug, Clone)]
enum Deed {
    Start,
    Wait(i64),
    AddLoad(usize),
    Edit(usize, usize, u8),
    Mark(usize, u8, u8),
    Aside(usize),
    Back(usize),
    Undo(usize),
}

fn deed() -> impl Strategy<Value = Deed> {
    const YEARS: i64 = 10 * 365 * 86_400_000;
    prop_oneof![
        1 => Just(Deed::Start),
        2 => prop_oneof![-5_000_i64..5_000, -YEARS..YEARS].prop_map(Deed::Wait),
        2 => (0..9_usize).prop_map(Deed::AddLoad),
        8 => (0..9_usize, 0..6_usize, 0..9_u8).prop_map(|(n, field, value)| Deed::Edit(n, field, value)),
        4 => (0..4_usize, 1..9_u8, 1..9_u8).prop_map(|(n, before, after)| Deed::Mark(n, before, after)),
        2 => (0..20_usize).prop_map(Deed::Aside),
        1 => (0..20_usize).prop_map(Deed::Back),
        3 => (0..6_usize).prop_map(Deed::Undo),
    ]
}

/// What one device does, or takes in from another.
#[derive(Debug, Clone)]
enum Step {
    Does(usize, Deed),
    TakesIn(usize, usize),
}

fn step(devices: usize) -> impl Strategy<Value = Step> {
    prop_oneof![
        4 => (0..devices, deed()).prop_map(|(device, deed)| Step::Does(device, deed)),
        1 => (0..devices, 0..devices).prop_map(|(to, from)| Step::TakesIn(to, from)),
    ]
}

fn take_in(devices: &mut [Device], to: usize, from: usize) {
    let journal = devices[from].journal();
    devices[to].book.merge(&journal).unwrap();
}

/// Every value that stands in the history, by record and field.
fn values(journal: &Journal) -> Vec<(RecordRef, String, Value)> {
    let entered = journal
        .changes
        .iter()
        .filter_map(|change| Some((change.of, change.field.clone(), change.new.clone()?)));
    entered.collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_order_of_taking_in_comes_to_the_same(
        clocks in prop::collection::vec(0_i64..4_000_000_000_000, 3),
        steps in prop::collection::vec(step(3), 1..50),
        orders in prop::collection::vec((0..3_usize, 0..3_usize), 0..8),
    ) {
        let mut devices: Vec<Device> = clocks.into_iter().map(Device::new).collect();
        devices[0].start();
        let mut entered = Vec::new();
        for step in steps {
            match step {
                Step::Does(device, deed) => {
                    devices[device].does(&deed);
                    entered.extend(values(&devices[device].journal()));
                }
                Step::TakesIn(to, from) => take_in(&mut devices, to, from),
            }
        }
        for (to, from) in orders {
            take_in(&mut devices, to, from);
        }
        // Then everyone hears of everything.
        for _ in 0..2 {
            for to in 0..3 {
                for from in 0..3 {
                    take_in(&mut devices, to, from);
                }
            }
        }
        let (records, journal) = (devices[0].records(), devices[0].journal());
        for device in &devices {
            prop_assert_eq!(&device.records(), &records);
            prop_assert_eq!(&device.journal(), &journal);
            prop_assert_eq!(device.book.verify().unwrap().faults, vec![]);
            prop_assert_eq!(
                device.book.to_look_through().unwrap(),
                devices[0].book.to_look_through().unwrap()
            );
        }
        let kept = values(&journal);
        for value in entered {
            prop_assert!(kept.contains(&value), "{value:?} was entered and is not in the history");
        }
        // Once more changes nothing.
        let again = devices[0].book.merge(&journal).unwrap();
        prop_assert_eq!(again.learned, 0);
        prop_assert_eq!(again.total().unchanged, again.kinds.iter().map(|(_, kind)| kind.unchanged).sum::<usize>());
    }
}

/// Two devices that know the same visit, the first with its clock at `ms`.
fn two_who_know(ms: i64, other_ms: i64) -> (Device, Device) {
    let mut one = Device::new(ms);
    one.start();
    let mut other = Device::new(other_ms);
    other.book.merge(&one.journal()).unwrap();
    (one, other)
}

const MARCH: i64 = 1_772_634_600_000; // 2026-03-04T14:30:00Z

fn name_site(device: &mut Device, site: &str) {
    let visit = device.all::<Visit>()[0];
    let named = device.book.act("edit_visit", |act| {
        act.change(visit, |visit| visit.site = site.to_owned())
    });
    named.unwrap();
}

fn site(device: &Device) -> String {
    device
        .book
        .get(device.all::<Visit>()[0])
        .unwrap()
        .site
        .clone()
}

#[test]
fn fields_merge_one_by_one_and_what_gave_way_is_told_once() {
    let (mut one, mut other) = two_who_know(MARCH, MARCH + 5_000);
    name_site(&mut one, "Gate 4");
    one.clock.0.fetch_add(60_000, Ordering::Relaxed);
    other.clock.0.fetch_add(10_000, Ordering::Relaxed);
    name_site(&mut other, "Gate 5");
    let visit = one.all::<Visit>()[0];
    let noted = one.book.act("edit_visit", |act| {
        act.change(visit, |visit| visit.notes = "Ask for Dana".to_owned())
    });
    noted.unwrap();

    let merged = one.book.merge(&other.journal()).unwrap();
    let merged_there = other.book.merge(&one.journal()).unwrap();
    for device in [&one, &other] {
        let visit = device.book.get(visit).unwrap();
        assert_eq!(
            (visit.site.as_str(), visit.notes.as_str()),
            ("Gate 5", "Ask for Dana")
        );
    }
    for gave_way in [&merged.gave_way, &merged_there.gave_way] {
        let [
            GaveWay {
                field,
                value,
                to,
                refused,
                ..
            },
        ] = gave_way.as_slice()
        else {
            panic!("{gave_way:?}");
        };
        assert_eq!((field.as_str(), refused), ("site", &None));
        assert_eq!(
            (value, to),
            (&Value::from("Gate 4"), &Value::from("Gate 5"))
        );
    }
    let open = one.book.to_look_through().unwrap();
    assert_eq!(open, merged.gave_way);
    one.book.looked_through(&open[0]).unwrap();
    assert_eq!(one.book.to_look_through().unwrap(), []);
    assert_eq!(
        other.book.to_look_through().unwrap().len(),
        1,
        "each device looks for itself"
    );
}

#[test]
fn changes_that_contradict_each_other_leave_the_earlier_and_say_so() {
    let (mut one, mut other) = two_who_know(MARCH, MARCH + 5_000);
    let setup = one.all::<Setup>()[0];
    let added = one
        .book
        .act("add_mark", |act| act.add(mark(setup, 10, 30, act.now())));
    let id = added.unwrap().value.id;
    other.book.merge(&one.journal()).unwrap();
    one.clock.0.fetch_add(10_000, Ordering::Relaxed);
    let longer = one.book.act("edit_mark", |act| {
        act.change(id, |mark| mark.before = inches(25))
    });
    longer.unwrap();
    other.clock.0.fetch_add(60_000, Ordering::Relaxed);
    let shorter = other.book.act("edit_mark", |act| {
        act.change(id, |mark| mark.after = inches(20))
    });
    shorter.unwrap();
    one.book.merge(&other.journal()).unwrap();
    other.book.merge(&one.journal()).unwrap();
    for device in [&one, &other] {
        let mark = device.book.get(id).unwrap();
        assert_eq!(
            (mark.before.text.as_str(), mark.after.text.as_str()),
            ("25 in", "30 in")
        );
        let [left_out] = &device.book.to_look_through().unwrap()[..] else {
            panic!("one value was left out");
        };
        assert_eq!(left_out.field, "after");
        assert_eq!(left_out.value["entered"], "20 in");
        assert_eq!(left_out.to["entered"], "30 in");
        assert!(
            left_out
                .refused
                .as_ref()
                .unwrap()
                .contains("cannot lie closer"),
            "{left_out:?}"
        );
    }
}

#[test]
fn who_had_seen_the_other_value_takes_nothing_away() {
    let (mut one, mut other) = two_who_know(MARCH, MARCH);
    name_site(&mut one, "Gate 4");
    other.book.merge(&one.journal()).unwrap();
    name_site(&mut other, "Gate 5");
    let merged = one.book.merge(&other.journal()).unwrap();
    assert_eq!(site(&one), "Gate 5");
    assert_eq!(merged.gave_way, []);
}

#[test]
fn a_clock_years_behind_does_not_lose_to_what_it_has_seen() {
    let years = 20 * 365 * 86_400_000;
    let (mut one, mut other) = two_who_know(MARCH, MARCH - years);
    name_site(&mut one, "Gate 4");
    other.book.merge(&one.journal()).unwrap();
    name_site(&mut other, "Gate 5");
    one.book.merge(&other.journal()).unwrap();
    assert_eq!(
        site(&one),
        "Gate 5",
        "done after what it had seen, whatever its clock says"
    );
    name_site(&mut one, "Gate 6");
    other.book.merge(&one.journal()).unwrap();
    assert_eq!(site(&other), "Gate 6");
}

#[test]
fn the_same_file_taken_in_on_two_devices_is_one() {
    let mut one = Device::new(MARCH);
    one.start();
    let visit = one.all::<Visit>()[0];
    let records = one.book.visit_records(visit, Which::All).unwrap();
    let (mut a, mut b) = (Device::new(MARCH + 1), Device::new(MARCH + 2));
    a.book.import(&records).unwrap();
    b.book.import(&records).unwrap();
    name_site(&mut a, "Gate 4");
    let merged = b.book.merge(&a.journal()).unwrap();
    assert_eq!(
        site(&b),
        "Gate 4",
        "a record that comes to be again undoes no change"
    );
    assert_eq!(merged.gave_way, []);
    a.book.merge(&b.journal()).unwrap();
    assert_eq!(a.records(), b.records());
    assert_eq!(a.journal(), b.journal());
}

#[test]
fn a_history_that_does_not_hold_together_is_refused_whole() {
    let (mut one, mut other) = two_who_know(MARCH, MARCH);
    name_site(&mut one, "Gate 4");
    let journal = one.journal();
    let before = (other.records(), other.journal());
    let mut spoil = |what: &str, spoil: &dyn Fn(&mut Journal)| {
        let mut spoilt = journal.clone();
        spoil(&mut spoilt);
        let error = other.book.merge(&spoilt).unwrap_err();
        let text = error.to_string();
        assert!(text.contains("sent again"), "{what}: {text}");
        assert_eq!((other.records(), other.journal()), before, "{what}");
    };
    spoil("an action missing", &|journal| {
        journal.actions.pop();
    });
    spoil("a beginning missing", &|journal| {
        journal.changes.remove(0);
    });
    spoil("an action twice", &|journal| {
        journal.actions.push(journal.actions[0].clone());
    });
    spoil("a change twice", &|journal| {
        journal.changes.push(journal.changes[0].clone());
    });
    spoil("far in the future", &|journal| {
        let last = journal.actions.last_mut().unwrap();
        last.stamp = i64::MAX;
        journal.changes.last_mut().unwrap().stamp = i64::MAX;
    });
    spoil("another record's beginning", &|journal| {
        journal.changes[0].new = journal.changes[1].new.clone();
    });
    spoil("told otherwise", &|journal| {
        let whole = journal.changes[0].new.as_mut().unwrap();
        whole["site"] = Value::from("Elsewhere");
    });
    spoil("undoes what comes later", &|journal| {
        let last = journal.actions.last().unwrap();
        let key = tautbook_core::book::ActionKey {
            stamp: last.stamp,
            device: last.device,
        };
        journal.actions[0].undoes = Some(key);
    });
}

#[test]
fn what_a_record_needs_has_to_come_with_it() {
    let mut one = Device::new(MARCH);
    one.start();
    let mut other = Device::new(MARCH);
    let mut journal = one.journal();
    journal
        .changes
        .retain(|change| change.of.kind != tautbook_core::survey::Kind::Line);
    let error = other.book.merge(&journal).unwrap_err();
    assert!(
        matches!(
            error,
            MergeError::Book(BookError::NoParent { field: "line", .. })
        ),
        "{error}"
    );
    assert_eq!(other.records().len(), 0);
}
