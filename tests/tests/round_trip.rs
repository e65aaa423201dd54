//! Records of every kind with any content come back from text, from the book, and from a file
//! taken into another book exactly as they were.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::Path;

use proptest::prelude::*;
use tautbook_core::book::{Book, OpenMode, SystemClock, Which};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{EachKind, Entity, Kind, Record, RecordSet, Tool};
use tautbook_tests::arbitrary::visit_whole;

fn open(path: &Path) -> Book {
    Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock))
        .unwrap()
        .0
}

/// The set as one visit of a book gives it: with the tools that were used on it.
fn as_a_visit(mut records: RecordSet) -> RecordSet {
    let used: Vec<_> = (records.readings.iter().filter_map(|one| one.tool))
        .chain(records.film_weights.iter().filter_map(|one| one.tool))
        .chain(records.thicknesses.iter().filter_map(|one| one.tool))
        .collect();
    let is_used = |tool: &Record<Tool>| used.contains(&tool.id);
    records.tools.retain(is_used);
    records
}

/// Each record through JSON text, through a JSON value as the history keeps it, and out of a book.
struct Back<'b>(&'b Book);

impl EachKind for Back<'_> {
    type Error = std::convert::Infallible;

    fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), Self::Error> {
        assert!(!records.is_empty(), "no {} was made", T::KIND.as_str());
        for record in records {
            let text = serde_json::to_string(record).unwrap();
            assert_eq!(serde_json::from_str::<Record<T>>(&text).unwrap(), *record);
            let value = serde_json::to_value(record).unwrap();
            assert_eq!(serde_json::from_value::<Record<T>>(value).unwrap(), *record);
            assert_eq!(self.0.get(record.id).unwrap(), *record);
        }
        Ok(())
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 100,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn records_come_back_as_they_were(records in visit_whole()) {
        let folder = tempfile::tempdir().unwrap();
        let here_path = folder.path().join("here.taut");
        let mut here = open(&here_path);
        let taken = here.import(&records).unwrap();
        prop_assert_eq!(taken.value.total().added, records.len());
        prop_assert_eq!(taken.value.kinds.len(), Kind::ALL.len());
        records.visit_kinds(&mut Back(&here)).unwrap();
        prop_assert_eq!(here.import(&records).unwrap().action, None);
        drop(here);

        let here = open(&here_path);
        prop_assert_eq!(here.verify().unwrap().faults, vec![]);
        let visit = records.visits[0].id;
        let whole = here.visit_records(visit, Which::All).unwrap();
        prop_assert_eq!(&whole, &as_a_visit(records.clone()));

        let file = RecordsFile::new(whole.clone()).write().unwrap();
        let read = RecordsFile::read(file.as_bytes()).unwrap();
        prop_assert_eq!(&read.records, &whole);
        let mut there = open(&folder.path().join("there.taut"));
        there.import(&read.records).unwrap();
        prop_assert_eq!(there.visit_records(visit, Which::All).unwrap(), whole);
        prop_assert_eq!(there.verify().unwrap().faults, vec![]);

        // What the list of visits shows is what was written, too.
        if records.visits[0].set_aside.is_none() {
            let summary = there.visits(0, 1).unwrap().remove(0);
            prop_assert_eq!(&summary.customer, &records.visits[0].customer);
            prop_assert_eq!(&summary.site, &records.visits[0].site);
            prop_assert_eq!(summary.date, records.visits[0].date);
        }
    }
}
