//! The sample surveys are what they promise: whole, coherent visits that the app itself can read.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::{Path, PathBuf};

use tautbook_core::analysis::containment::{
    Taken, ZoneName, ZoneVerdict, containment, taken, targets_for,
};
use tautbook_core::analysis::film::film_per_load;
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{
    CheckItem, CheckResult, Entity, FilmTail, Line, Load, MarkPlace, Reading, Record, RecordSet,
    Setup, SetupRole, Spiral, Visit,
};
use tautbook_core::units::{Method, MethodId, PullPlate, TorsionTool};

/// The most bytes a sample may have.
const MOST_BYTES: u64 = 400_000;
/// How far film mass predicted from settings and measured stretch may lie from the weighed mass.
const MASS_BOUND: f64 = 0.04;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-surveys")
}

fn files() -> Vec<PathBuf> {
    let mut files: Vec<_> = std::fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| {
            path.extension()
                .is_some_and(|extension| extension == "json")
        })
        .collect();
    files.sort();
    files
}

fn read(path: &Path) -> RecordSet {
    RecordsFile::read(&std::fs::read(path).unwrap())
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()))
        .records
}

fn sample(name: &str) -> RecordSet {
    read(&folder().join(format!("{name}.json")))
}

fn which<T: Clone>(records: &[Record<T>], of: impl Fn(&T) -> bool) -> Vec<Record<T>> {
    records
        .iter()
        .filter(|record| of(&record.body))
        .cloned()
        .collect()
}

fn setups_of(set: &RecordSet, line: &Record<Line>) -> Vec<Record<Setup>> {
    which(&set.setups, |setup| setup.line == line.id)
}

fn loads_of(set: &RecordSet, setup: &Record<Setup>) -> Vec<Record<Load>> {
    which(&set.loads, |load| load.setup == setup.id)
}

fn readings_of(set: &RecordSet, load: &Record<Load>) -> Vec<Record<Reading>> {
    which(&set.readings, |reading| reading.load == load.id)
}

/// Every reading in use of a setup by method `M`.
fn taken_in<M: Method>(set: &RecordSet, setup: &Record<Setup>) -> Vec<Taken<M>> {
    loads_of(set, setup)
        .iter()
        .flat_map(|load| taken::<M>(load, &readings_of(set, load)))
        .collect()
}

fn mean(values: impl IntoIterator<Item = f64>) -> f64 {
    let values: Vec<f64> = values.into_iter().collect();
    assert!(!values.is_empty());
    values.iter().sum::<f64>() / f64::from(u32::try_from(values.len()).unwrap())
}

fn line<'a>(set: &'a RecordSet, name: &str) -> &'a Record<Line> {
    set.lines.iter().find(|line| line.name == name).unwrap()
}

fn setup(set: &RecordSet, line: &Record<Line>, name: &str) -> Record<Setup> {
    setups_of(set, line)
        .into_iter()
        .find(|setup| setup.name == name)
        .unwrap()
}

#[test]
fn every_sample_comes_into_an_empty_book_once() {
    assert!(files().len() >= 3);
    let folder = tempfile::tempdir().unwrap();
    for path in files() {
        assert!(std::fs::metadata(&path).unwrap().len() < MOST_BYTES);
        let set = read(&path);
        let kept = folder.path().join(path.file_name().unwrap());
        let (mut book, _) =
            Book::open(&kept, OpenMode::OpenOrStart, Box::new(SystemClock)).unwrap();
        let first = book.import(&set).unwrap();
        assert_eq!(first.value.total().added, set.len());
        assert_eq!(book.verify().unwrap().faults, [], "{}", path.display());
        let again = book.import(&set).unwrap();
        assert_eq!(again.value.total().unchanged, set.len());
        assert!(again.action.is_none(), "nothing was changed");
    }
}

#[test]
fn all_samples_live_in_one_book() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    let (mut book, _) = Book::open(&path, OpenMode::OpenOrStart, Box::new(SystemClock)).unwrap();
    for path in files() {
        book.import(&read(&path)).unwrap();
    }
    assert!(book.all::<Visit>().unwrap().len() >= 3);
    assert_eq!(book.verify().unwrap().faults, []);
}

#[test]
fn every_visit_has_what_it_promises() {
    let (mut without_targets, mut in_newtons) = (0, 0);
    for path in files() {
        let set = read(&path);
        let name = path.display();
        assert_eq!((set.visits.len(), set.lines.len()), (1, 2), "{name}");
        assert!(set.photos.is_empty(), "{name}");
        without_targets += usize::from(set.targets.is_empty());
        in_newtons += usize::from(
            set.readings
                .iter()
                .all(|reading| reading.measure.entered().ends_with(" N")),
        );
        for line in &set.lines {
            let roles: Vec<_> = setups_of(&set, line).iter().map(|s| s.role).collect();
            assert_eq!(roles.first(), Some(&SetupRole::AsFound), "{name}");
            assert!(roles.contains(&SetupRole::Trial), "{name}");
            assert_eq!(roles.last(), Some(&SetupRole::AsLeft), "{name}");
            for check in which(&set.machine_checks, |check| check.line == line.id) {
                let before = which(&set.cautions, |caution| {
                    caution.line == Some(line.id) && caution.acknowledged_at < check.created
                });
                assert!(!before.is_empty(), "{name}: the caution comes first");
            }
        }
        for setup in &set.setups {
            assert!(loads_of(&set, setup).len() >= 3, "{name}");
        }
        for load in &set.loads {
            let readings = readings_of(&set, load);
            let by = |method| {
                which(&readings, |reading| reading.measure.method() == method)
                    .iter()
                    .filter(|reading| reading.set_aside.is_none())
                    .count()
            };
            assert!(by(MethodId::TorsionTool) >= 9, "{name}, {}", load.name);
            assert!(by(MethodId::PullPlate) >= 3, "{name}, {}", load.name);
            for (tool, kind) in readings.iter().filter_map(|r| r.body.tool_needed()) {
                let tool = set.tools.iter().find(|kept| kept.id == tool).unwrap();
                assert_eq!(tool.kind, kind);
                assert!(tool.force_step.is_some() && tool.force_range.is_some());
            }
        }
        assert!(set.film_weights.iter().all(|w| w.loads_together > 1));
        assert!(!set.thicknesses.is_empty() && !set.stretch_marks.is_empty());
        assert_eq!(set.film_widths.len(), set.loads.len(), "{name}");
        assert!(!set.findings.is_empty(), "{name}");
        assert!(!set.samples.is_empty() && !set.sample_events.is_empty());
        let aside = set.readings.iter().filter(|r| r.set_aside.is_some());
        assert_eq!(aside.count(), 1, "{name}: set aside with its reason");
    }
    assert_eq!(without_targets, 1, "one customer has no standard");
    assert_eq!(in_newtons, 1, "one visit is in newtons");
}

#[test]
fn evidence_points_at_records_of_the_same_file() {
    for path in files() {
        let set = read(&path);
        let json = serde_json::to_value(&set).unwrap();
        let ids: Vec<&str> = json
            .as_object()
            .unwrap()
            .values()
            .flat_map(|records| records.as_array().unwrap())
            .map(|record| record["id"].as_str().unwrap())
            .collect();
        for evidence in set.findings.iter().flat_map(|finding| &finding.evidence) {
            let id = evidence.id.to_string();
            let found = ids.iter().filter(|candidate| **candidate == id).count();
            assert_eq!(found, 1, "{}: {evidence}", path.display());
        }
    }
}

/// Stretch from the marks of a setup at one place: (after - before) / before.
fn stretch(set: &RecordSet, setup: &Record<Setup>, place: MarkPlace) -> f64 {
    let marks = which(&set.stretch_marks, |mark| {
        mark.setup == setup.id && mark.place == place
    });
    mean(
        marks
            .iter()
            .map(|mark| mark.after.value.m() / mark.before.value.m() - 1.0),
    )
}

/// Thickness of the film of a setup in metres, by the micrometer.
fn thickness_m(set: &RecordSet, setup: &Record<Setup>) -> f64 {
    let measured = which(&set.thicknesses, |thickness| {
        Some(thickness.film_roll) == setup.film_roll
    });
    mean(
        measured
            .iter()
            .map(|thickness| thickness.value.value.m() / f64::from(thickness.plies)),
    )
}

/// Film mass of one load, computed here from the record alone: turns x perimeter / (1 + stretch)
/// x density x film width x thickness. The lower edge of the film starts at the floor.
fn predicted_kg(set: &RecordSet, setup: &Record<Setup>, stretch: f64, thickness_m: f64) -> f64 {
    let roll = &which(&set.film_rolls, |_| true)
        .into_iter()
        .find(|roll| Some(roll.id) == setup.film_roll)
        .unwrap();
    let loads = loads_of(set, setup);
    let side = |of: fn(&Load) -> f64| mean(loads.iter().map(|load| of(load)));
    let length = side(|load| load.length.as_ref().unwrap().value.m());
    let width = side(|load| load.width.as_ref().unwrap().value.m());
    let height = side(|load| load.height.as_ref().unwrap().value.m());
    let on_load = mean(
        which(&set.film_widths, |found| {
            loads.iter().any(|load| load.id == found.load)
        })
        .iter()
        .map(|found| found.value.value.m()),
    );
    let rise = |spiral: &Option<Spiral>| match spiral.as_ref().unwrap() {
        Spiral::Pitch(pitch) => pitch.value.m(),
        Spiral::Overlap(overlap) => on_load - overlap.value.m(),
    };
    let settings = &setup.settings;
    let travel = height + settings.over_top.as_ref().unwrap().value.m() - on_load;
    let turns = settings.bottom_turns.unwrap()
        + settings.top_turns.unwrap()
        + travel / rise(&settings.up)
        + travel / rise(&settings.down);
    roll.density.as_ref().unwrap().value.kg_per_m3()
        * (turns * 2.0 * (length + width) / (1.0 + stretch))
        * roll.width.as_ref().unwrap().value.m()
        * thickness_m
}

fn weighed_kg(set: &RecordSet, setup: &Record<Setup>) -> f64 {
    let loads = loads_of(set, setup);
    let weights = which(&set.film_weights, |weight| {
        loads.iter().any(|load| load.id == weight.load)
    });
    film_per_load(&weights, &[]).unwrap().mass.kg()
}

#[test]
fn weighed_film_agrees_with_settings_and_stretch() {
    for path in files() {
        let set = read(&path);
        for setup in &set.setups {
            let on_load = stretch(&set, setup, MarkPlace::OnLoad);
            let predicted = predicted_kg(&set, setup, on_load, thickness_m(&set, setup));
            let ratio = weighed_kg(&set, setup) / predicted;
            let name = &setup.name;
            assert!(
                (ratio - 1.0).abs() < MASS_BOUND,
                "{}, {name}: weighed / predicted = {ratio}",
                path.display()
            );
        }
    }
}

/// The readings of a zone in newtons.
fn newtons<M: Method>(readings: &[Taken<M>], zone: ZoneName) -> Vec<f64> {
    readings
        .iter()
        .filter(|reading| reading.zone == zone)
        .map(|reading| reading.value.force().n())
        .collect()
}

#[test]
fn readings_scatter_as_hand_readings_do() {
    fn spread(values: &[f64], name: &str) {
        let centre = mean(values.iter().copied());
        // One reading of all is an outlier; faces of unlike length read unlike by the pull plate.
        let far = values
            .iter()
            .filter(|n| (**n / centre - 1.0).abs() > 0.2)
            .count();
        assert!(far <= 1, "{name}: {values:?}");
        assert!(values.iter().any(|n| (n / centre - 1.0).abs() > 0.01));
    }
    for path in files() {
        let set = read(&path);
        for setup in &set.setups {
            for zone in ZoneName::ALL {
                spread(
                    &newtons(&taken_in::<TorsionTool>(&set, setup), zone),
                    &setup.name,
                );
                spread(
                    &newtons(&taken_in::<PullPlate>(&set, setup), zone),
                    &setup.name,
                );
            }
        }
    }
}

/// How the zones of a setup stand (top, middle, bottom).
fn verdicts<M: Method>(set: &RecordSet, setup: &Record<Setup>) -> [ZoneVerdict; 3] {
    let stability = loads_of(set, setup)[0].stability;
    let targets = targets_for::<M>(&set.targets, setup.line, stability);
    containment(&taken_in::<M>(set, setup), &targets)
        .zones
        .map(|zone| zone.verdict)
}

const REACHES: [ZoneVerdict; 3] = [ZoneVerdict::Reaches; 3];
const WEAK_BOTTOM: [ZoneVerdict; 3] = [
    ZoneVerdict::Reaches,
    ZoneVerdict::Reaches,
    ZoneVerdict::Below,
];

#[test]
fn the_warehouse_has_its_faults() {
    let set = sample("parts-warehouse");
    let dock = line(&set, "Dock 4");
    let found = setup(&set, dock, "As found");
    let left = setup(&set, dock, "As left");

    let light = which(&set.machine_checks, |check| {
        check.line == dock.id && check.item == CheckItem::RollerLight
    });
    assert_eq!(light[0].result, CheckResult::NeedsTechnician);

    let nominal = dock.wrapper.nominal_pre_stretch.as_ref().unwrap();
    let measured = stretch(&set, &found, MarkPlace::BeforeLoad);
    assert!(measured < 0.7 * nominal.value.fraction(), "{measured}");

    assert_eq!(verdicts::<TorsionTool>(&set, &found), WEAK_BOTTOM);
    assert_eq!(verdicts::<PullPlate>(&set, &found), WEAK_BOTTOM);
    assert_eq!(verdicts::<TorsionTool>(&set, &left), REACHES);
    assert_eq!(verdicts::<PullPlate>(&set, &left), REACHES);

    let loads = loads_of(&set, &found);
    assert!(loads.iter().all(|load| load.tail == Some(FilmTail::Loose)));
    assert!(loads.iter().any(|load| load.film_breaks == Some(1)));
    let breaks = which(&set.film_breaks, |breaks| breaks.setup == found.id);
    assert!(breaks[0].breaks >= 5);

    let zones = containment(&taken_in::<TorsionTool>(&set, &found), &Default::default()).zones;
    let outliers = zones.map(|zone| zone.outlier.is_some());
    assert_eq!(outliers, [false, true, false]);

    let overdue = which(&set.tools, |tool| {
        tool.check_overdue(set.readings[0].taken_at) == Some(true)
    });
    assert_eq!(overdue.len(), 1);

    let roll = which(&set.film_rolls, |roll| roll.name == "Clear 80 gauge");
    let label = roll[0].nominal_thickness.as_ref().unwrap().value.m();
    assert!(thickness_m(&set, &found) < 0.92 * label);

    let as_set = predicted_kg(&set, &found, nominal.value.fraction(), label);
    let ratio = weighed_kg(&set, &found) / as_set;
    assert!(ratio > 1.1, "the slip shows in the film balance: {ratio}");
}

#[test]
fn changed_settings_change_what_is_measured() {
    let tile = sample("tile-maker");
    let hall = line(&tile, "Hall 2");
    let [found, thin, left] = ["As found", "Thin film", "As left"].map(|n| setup(&tile, hall, n));
    assert!(weighed_kg(&tile, &left) < 0.85 * weighed_kg(&tile, &found));
    assert!(weighed_kg(&tile, &thin) < weighed_kg(&tile, &found));
    assert_eq!(verdicts::<PullPlate>(&tile, &found), REACHES);
    assert_eq!(verdicts::<PullPlate>(&tile, &left), REACHES);
    assert_eq!(verdicts::<TorsionTool>(&tile, &left), REACHES);
    assert_eq!(verdicts::<PullPlate>(&tile, &thin)[2], ZoneVerdict::Below);

    let hall = line(&tile, "Hall 5");
    let [found, left] = ["As found", "As left"].map(|n| setup(&tile, hall, n));
    assert_eq!(verdicts::<PullPlate>(&tile, &found), WEAK_BOTTOM);
    assert_eq!(verdicts::<PullPlate>(&tile, &left), REACHES);
}
