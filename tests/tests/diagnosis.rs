//! Findings on whole visits: the samples', and any records there may be.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;
use std::path::Path;

use proptest::prelude::*;
use tautbook_core::analysis::diagnosis::{Diagnosis, Finding, Need, RuleId, diagnose};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::language::{Language, Reader};
use tautbook_core::survey::{EachKind, Entity, Record, RecordRef, RecordSet};
use tautbook_core::units::UnitChoice;
use tautbook_tests::arbitrary::visit_whole;

fn sample(name: &str) -> RecordSet {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../sample-surveys")
        .join(format!("{name}.json"));
    RecordsFile::read(&std::fs::read(path).unwrap())
        .unwrap()
        .records
}

/// References to every record in use.
struct InUse(BTreeSet<RecordRef>);

impl EachKind for InUse {
    type Error = std::convert::Infallible;

    fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), Self::Error> {
        let used = records.iter().filter(|record| record.set_aside.is_none());
        self.0.extend(used.map(Record::reference));
        Ok(())
    }
}

fn in_use(records: &RecordSet) -> BTreeSet<RecordRef> {
    let mut all = InUse(BTreeSet::new());
    let Ok(()) = records.visit_kinds(&mut all);
    all.0
}

/// What every diagnosis promises, whatever the records.
fn holds_together(records: &RecordSet, found: &Diagnosis) {
    // A tool set aside is still the one a reading was taken with.
    let mut known = in_use(records);
    known.extend(records.tools.iter().map(Record::reference));
    for finding in &found.findings {
        for record in finding.evidence.iter() {
            assert!(known.contains(&record), "{:?}: {record}", finding.rule);
        }
        for against in &finding.against {
            assert!(known.contains(&against.record), "{finding:?}");
        }
        for text in [&finding.what]
            .into_iter()
            .chain(finding.against.iter().map(|one| &one.says))
        {
            assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
            assert!(text.ends_with('.'), "{text}");
        }
        let line = &records.lines[0];
        let kept = finding.to_record(line.visit, line.id, Language::English);
        kept.check().unwrap();
        assert!(
            finding
                .evidence
                .iter()
                .all(|one| kept.evidence.contains(&one))
        );
    }
    for missing in &found.not_known {
        assert!(!missing.stops.is_empty());
        assert!(missing.to_string().starts_with("Not known: "));
    }
}

/// The rules that found something on a line: of a setup by its name, or of the line itself.
fn found(records: &RecordSet, line: &str) -> BTreeSet<(RuleId, String)> {
    let line = records.lines.iter().find(|one| one.name == line).unwrap();
    let found = diagnose(records, line.id, Reader::english(UnitChoice::metric())).unwrap();
    holds_together(records, &found);
    let of = |finding: &Finding| {
        let setup = records
            .setups
            .iter()
            .find(|one| Some(one.id) == finding.setup);
        let name = setup.map_or("", |setup| &setup.name);
        println!("[{}] {name}: {}", finding.rule.as_str(), finding.what);
        (finding.rule, name.to_owned())
    };
    found.findings.iter().map(of).collect()
}

fn expected(rules: &[(RuleId, &str)]) -> BTreeSet<(RuleId, String)> {
    rules
        .iter()
        .map(|&(rule, setup)| (rule, setup.to_owned()))
        .collect()
}

/// A slipping carriage with thin film and a weak bottom, as the sample tells it.
#[test]
fn the_warehouse_with_the_slipping_carriage() {
    use RuleId::{
        BottomWeak, Damage, LessFilmPossible, LooseTail, MachineWork, PreStretchLow,
        StretchAfterRollers, ThinFilm, ToolPastCheck,
    };
    let records = sample("parts-warehouse");
    assert_eq!(
        found(&records, "Dock 4"),
        expected(&[
            (Damage, "As found"),
            (BottomWeak, "As found"),
            (PreStretchLow, "As found"),
            (PreStretchLow, "Four turns at the bottom"),
            (PreStretchLow, "Second maker's film"),
            (PreStretchLow, "As left"),
            (StretchAfterRollers, "As found"),
            (StretchAfterRollers, "As left"),
            (ThinFilm, ""),
            (LooseTail, "As found"),
            (MachineWork, ""),
            (LessFilmPossible, "Four turns at the bottom"),
            (LessFilmPossible, "Second maker's film"),
            (LessFilmPossible, "As left"),
            (ToolPastCheck, ""),
        ])
    );
    assert_eq!(
        found(&records, "Dock 6"),
        expected(&[
            (PreStretchLow, "As left"),
            (LessFilmPossible, "As found"),
            (LessFilmPossible, "Wider spiral"),
            (LessFilmPossible, "As left"),
            (ToolPastCheck, ""),
        ])
    );
}

/// Without targets nothing is weak and nothing is strong; that a target is missing is said.
#[test]
fn the_bottler_without_targets() {
    let records = sample("bottling-plant");
    assert_eq!(found(&records, "Case line 1"), expected(&[]));
    // The spring that needs a technician has a finding the rep wrote, which stands for itself.
    assert!(
        records
            .findings
            .iter()
            .any(|noted| noted.what.contains("spring"))
    );
    assert_eq!(
        found(&records, "Shrink-pack line 3"),
        expected(&[
            (RuleId::PreStretchLow, "Less overlap"),
            (RuleId::PreStretchLow, "As left"),
        ])
    );
    for line in &records.lines {
        let found = diagnose(&records, line.id, Reader::english(UnitChoice::metric())).unwrap();
        assert!(found.not_known.iter().any(|one| one.need == Need::Targets));
    }
}

/// Heavy tiles: one line wraps more than it has to, the other is weak at the bottom.
#[test]
fn the_tile_maker() {
    use RuleId::{BottomWeak, LessFilmPossible};
    let records = sample("tile-maker");
    assert_eq!(
        found(&records, "Hall 2"),
        expected(&[
            (BottomWeak, "Thin film"),
            (LessFilmPossible, "As found"),
            (LessFilmPossible, "Wider spiral"),
            (LessFilmPossible, "As left"),
        ])
    );
    assert_eq!(
        found(&records, "Hall 5"),
        expected(&[
            (BottomWeak, "As found"),
            (LessFilmPossible, "More stretch, third turn at the bottom"),
            (LessFilmPossible, "As left"),
        ])
    );
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 300,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn any_records_can_be_looked_at(records in visit_whole()) {
        for line in &records.lines {
            if let Some(found) = diagnose(&records, line.id, Reader::english(UnitChoice::metric())) {
                holds_together(&records, &found);
            }
        }
    }
}
