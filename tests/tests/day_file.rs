//! A day's work goes out as one file and comes back whole, on any device, read by anything.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;
use tautbook_core::book::{Book, Which};
use tautbook_core::dayfile::{
    DayFile, DayFileError, Progress, ReportFile, Step, VerifiedDayFile, Written,
};
use tautbook_core::survey::{Id, Photo, RecordRef, Visit};
use tautbook_tests::day::{empty, files, go_on, sample, worked};
use tautbook_tests::kinds;

const SAMPLE: &str = "tile-maker";

fn send(book: &Book, visit: Id<Visit>, path: &Path) -> Written {
    let day = DayFile {
        visits: vec![visit],
        ..DayFile::default()
    };
    day.write(book, path, &mut go_on).unwrap()
}

fn records(book: &Book) -> BTreeMap<RecordRef, Value> {
    let mut records = BTreeMap::new();
    for visit in book.all_which::<Visit>(Which::All).unwrap() {
        records.extend(kinds::all(
            &book.visit_records(visit.id, Which::All).unwrap(),
        ));
    }
    records
}

fn run(program: &str, arguments: &[&str], file: &Path) -> String {
    let output = Command::new(program)
        .args(arguments)
        .arg(file)
        .output()
        .unwrap_or_else(|error| panic!("{program}: {error}"));
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program}: {text}{said}");
    text
}

struct Sent {
    book: Book,
    visit: Id<Visit>,
    file: PathBuf,
    written: Written,
    folder: tempfile::TempDir,
}

fn sent(photos: u16) -> Sent {
    let folder = tempfile::tempdir().unwrap();
    let (book, visit) = worked(folder.path(), SAMPLE, photos);
    let file = folder.path().join("day.zip");
    let written = send(&book, visit, &file);
    Sent {
        book,
        visit,
        file,
        written,
        folder,
    }
}

/// An empty book, and the folder it is in as long as this is held.
fn other_device() -> (Book, tempfile::TempDir) {
    let folder = tempfile::tempdir().unwrap();
    (empty(folder.path()), folder)
}

#[test]
fn a_day_comes_back_whole_and_taking_it_in_again_changes_nothing() {
    let sent = sent(5);
    assert_eq!(
        sent.written.bytes,
        std::fs::metadata(&sent.file).unwrap().len()
    );
    let office_folder = tempfile::tempdir().unwrap();
    let mut office = empty(office_folder.path());
    for round in 0..2 {
        let file = VerifiedDayFile::open(&sent.file, None, &mut go_on).unwrap();
        assert_eq!(file.manifest(), &sent.written.manifest);
        let taken = file.take_into(&mut office, &mut go_on).unwrap();
        let total = taken.merged.total();
        if round == 0 {
            assert_eq!((taken.photos_added, taken.photos_known), (5, 0));
            assert!(total.added > 50 && total.changed == 0, "{total:?}");
        } else {
            assert_eq!((taken.photos_added, taken.photos_known), (0, 5));
            assert_eq!((total.added, total.changed), (0, 0));
            assert_eq!(taken.merged.learned, 0);
        }
        assert_eq!(records(&office), records(&sent.book));
        assert_eq!(
            office.journal(&[sent.visit]).unwrap(),
            sent.book.journal(&[sent.visit]).unwrap()
        );
    }
    for photo in office.all::<Photo>().unwrap() {
        let bytes = office.photo_folder().read(&photo.sha256).unwrap();
        assert_eq!(bytes, sent.book.photo_folder().read(&photo.sha256).unwrap());
    }
    assert!(office.verify().unwrap().faults.is_empty());
    // And it can go on from there: the office's own file gives the same again.
    let again = office_folder.path().join("again.zip");
    let day = DayFile {
        visits: vec![sent.visit],
        ..DayFile::default()
    };
    day.write(&office, &again, &mut go_on).unwrap();
    let (mut third, _folder) = other_device();
    let file = VerifiedDayFile::open(&again, None, &mut go_on).unwrap();
    file.take_into(&mut third, &mut go_on).unwrap();
    assert_eq!(records(&third), records(&sent.book));
}

#[test]
fn the_manifest_tells_what_is_in_it() {
    let sent = sent(2);
    let manifest = &sent.written.manifest;
    let survey = sample(SAMPLE);
    assert_eq!(manifest.visits.len(), 1);
    assert_eq!(manifest.visits[0].customer, survey.visits[0].customer);
    assert_eq!(manifest.device, sent.book.device());
    let in_book = sent.book.visit_records(sent.visit, Which::All).unwrap();
    let counted: BTreeMap<String, u64> = in_book
        .counts()
        .into_iter()
        .filter(|(_, count)| *count > 0)
        .map(|(kind, count)| (kind.as_str().to_owned(), count as u64))
        .collect();
    assert_eq!(manifest.records, counted);
    assert!(manifest.photos_left_out.is_empty());
}

/// By Info-ZIP, Python's zipfile, hashlib and csv, none of which shares code with ours.
#[test]
fn other_programs_read_it() {
    let sent = sent(3);
    run("unzip", &["-tqq"], &sent.file);
    let script = r#"
import csv, hashlib, io, json, sys, zipfile
z = zipfile.ZipFile(sys.argv[1])
assert z.testzip() is None
m = json.loads(z.read('manifest.json'))
assert sorted(m['members']) == sorted(n for n in z.namelist() if n != 'manifest.json')
for name, listed in m['members'].items():
    data = z.read(name)
    assert len(data) == listed['bytes'], name
    assert hashlib.sha256(data).hexdigest() == listed['sha256'], name
records = json.loads(z.read('records.json'))['records']
history = json.loads(z.read('history.json'))
assert {c['of']['id'] for c in history['changes']} == {r['id'] for k in records.values() for r in k}
table = lambda name: list(csv.DictReader(io.TextIOWrapper(z.open(name), 'utf-8-sig', newline='')))
readings, loads = table('readings.csv'), table('loads.csv')
assert [r['reading_id'] for r in readings] == [r['id'] for r in records['readings']]
assert [l['load_id'] for l in loads] == [l['id'] for l in records['loads']]
for row, record in zip(readings, records['readings']):
    si = record['measure']['force']
    assert row['force_written'].lstrip("'") == si['entered'], (row, si)
    assert abs(float(row['force_n']) - si['n']) < 1e-9 * si['n'], (row, si)
    assert row['method'].replace(' ', '_') == record['measure']['method']
for info in z.infolist():
    assert info.compress_type == (zipfile.ZIP_STORED if info.filename.startswith('photos/') else zipfile.ZIP_DEFLATED)
print(len(readings), len(loads), sum(int(l['readings']) for l in loads))
"#;
    let said = run("python3", &["-c", script], &sent.file);
    let survey = sample(SAMPLE);
    let in_use = survey.readings.iter().filter(|r| r.set_aside.is_none());
    assert_eq!(
        said.trim(),
        format!(
            "{} {} {}",
            survey.readings.len(),
            survey.loads.len(),
            in_use.count()
        )
    );
}

#[test]
fn the_same_content_at_the_same_moment_is_the_same_file() {
    use tautbook_core::book::{FixedClock, OpenMode};
    use tautbook_core::survey::Moment;
    let sent = sent(2);
    let path = sent.book.path().to_owned();
    drop(sent.book);
    let moment = Moment::from_unix_ms(1_900_000_000_000, 0).unwrap();
    let write = |name: &str| {
        let clock = Box::new(FixedClock(moment));
        let (book, _) = Book::open(&path, OpenMode::ReadOnly, clock).unwrap();
        let file = sent.folder.path().join(name);
        send(&book, sent.visit, &file);
        std::fs::read(file).unwrap()
    };
    assert!(write("one.zip") == write("two.zip"));
}

#[test]
fn reports_go_with_it_under_names_of_their_own() {
    let sent = sent(0);
    let report = |title: &str| ReportFile {
        title: title.to_owned(),
        pdf: title.as_bytes().to_vec(),
    };
    let day = DayFile {
        visits: vec![sent.visit],
        reports: vec![report("Kiln Lane"), report("Kiln Lane"), report("Ñ/../Ñ")],
        passphrase: None,
    };
    let path = sent.folder.path().join("with reports.zip");
    let written = day.write(&sent.book, &path, &mut go_on).unwrap();
    let names: Vec<&String> = written
        .manifest
        .members
        .keys()
        .filter(|name| name.starts_with("reports/"))
        .collect();
    assert_eq!(
        names,
        [
            "reports/2-Kiln-Lane.pdf",
            "reports/Kiln-Lane.pdf",
            "reports/report.pdf"
        ]
    );
    VerifiedDayFile::open(&path, None, &mut go_on).unwrap();
}

#[test]
fn a_passphrase_locks_it() {
    let sent = sent(2);
    let path = sent.folder.path().join("day.zip.age");
    let day = |passphrase: &str| DayFile {
        visits: vec![sent.visit],
        reports: Vec::new(),
        passphrase: Some(passphrase.to_owned()),
    };
    let error = day("short")
        .write(&sent.book, &path, &mut go_on)
        .unwrap_err();
    assert!(
        matches!(error, DayFileError::ShortPassphrase { .. }),
        "{error}"
    );
    assert!(!path.exists());
    day("pallet corner board")
        .write(&sent.book, &path, &mut go_on)
        .unwrap();
    let bytes = std::fs::read(&path).unwrap();
    assert!(bytes.starts_with(b"age-encryption.org/v1\n-> scrypt "));
    let open = |passphrase: Option<&str>| VerifiedDayFile::open(&path, passphrase, &mut go_on);
    assert!(matches!(open(None), Err(DayFileError::NeedsPassphrase)));
    assert!(matches!(open(Some("")), Err(DayFileError::NeedsPassphrase)));
    assert!(matches!(
        open(Some("pallet corner boards")),
        Err(DayFileError::WrongPassphrase)
    ));
    let (mut office, _folder) = other_device();
    open(Some("pallet corner board"))
        .unwrap()
        .take_into(&mut office, &mut go_on)
        .unwrap();
    assert_eq!(records(&office), records(&sent.book));
    // A bit of it altered anywhere behind the header, or its end cut off.
    for (at, cut) in [
        (bytes.len() / 2, false),
        (bytes.len() - 1, false),
        (bytes.len() - 40, true),
    ] {
        let mut spoilt = bytes.clone();
        spoilt[at] ^= 1;
        if cut {
            spoilt.truncate(at);
        }
        let error = VerifiedDayFile::from_bytes(spoilt, Some("pallet corner board"), &mut go_on);
        assert!(error.is_err(), "{at}");
    }
}

#[test]
fn a_picture_whose_file_is_gone_keeps_nothing_else_back() {
    let sent = sent(3);
    let photos = sent.book.all::<Photo>().unwrap();
    let folder = sent.book.photo_folder();
    std::fs::remove_file(folder.photo(&photos[0].sha256).unwrap()).unwrap();
    let spoilt = folder.photo(&photos[1].sha256).unwrap();
    std::fs::write(&spoilt, b"spoilt").unwrap();
    let path = sent.folder.path().join("rest.zip");
    let written = send(&sent.book, sent.visit, &path);
    let left_out = &written.manifest.photos_left_out;
    assert_eq!(left_out.len(), 2);
    let (mut office, _folder) = other_device();
    let file = VerifiedDayFile::open(&path, None, &mut go_on).unwrap();
    let taken = file.take_into(&mut office, &mut go_on).unwrap();
    assert_eq!(taken.photos_added, 1);
    assert_eq!(records(&office), records(&sent.book));
    // Once it is found again, the next file brings it.
    assert_eq!(office.verify().unwrap().photo_faults.len(), 2);
    let file = VerifiedDayFile::open(&sent.file, None, &mut go_on).unwrap();
    assert_eq!(
        file.take_into(&mut office, &mut go_on)
            .unwrap()
            .photos_added,
        2
    );
    assert!(office.verify().unwrap().photo_faults.is_empty());
}

#[test]
fn nothing_is_written_over() {
    let sent = sent(0);
    let day = DayFile {
        visits: vec![sent.visit],
        ..DayFile::default()
    };
    let before = std::fs::read(&sent.file).unwrap();
    let error = day.write(&sent.book, &sent.file, &mut go_on).unwrap_err();
    assert!(
        matches!(error, DayFileError::AlreadyThere { .. }),
        "{error}"
    );
    assert_eq!(std::fs::read(&sent.file).unwrap(), before);
    let none = DayFile::default();
    let error = none.write(&sent.book, &sent.folder.path().join("none.zip"), &mut go_on);
    assert!(matches!(error, Err(DayFileError::NothingChosen)));
}

/// Calls the work off when it is told for the `n`th time.
fn until(n: usize) -> impl FnMut(Progress) -> ControlFlow<()> {
    let mut told = 0;
    move |_| {
        told += 1;
        if told > n {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    }
}

#[test]
fn called_off_at_any_step_nothing_is_left_half_done() {
    let sent = sent(3);
    let before = files(sent.folder.path());
    let path = sent.folder.path().join("again.zip");
    let day = DayFile {
        visits: vec![sent.visit],
        ..DayFile::default()
    };
    let mut steps = 0;
    loop {
        match day.write(&sent.book, &path, &mut until(steps)) {
            Ok(_) => break,
            Err(DayFileError::Cancelled) => assert_eq!(files(sent.folder.path()), before),
            Err(error) => panic!("{error}"),
        }
        steps += 1;
    }
    assert!(steps > 4, "{steps}");
    let office_folder = tempfile::tempdir().unwrap();
    let mut office = empty(office_folder.path());
    let mut steps = 0;
    loop {
        let mut watch = until(steps);
        let taken = VerifiedDayFile::open(&path, None, &mut watch)
            .and_then(|file| file.take_into(&mut office, &mut watch));
        match taken {
            Ok(_) => break,
            Err(DayFileError::Cancelled) => {
                assert!(files(office_folder.path()).is_empty());
                assert!(records(&office).is_empty());
            }
            Err(error) => panic!("{error}"),
        }
        steps += 1;
    }
    assert!(steps > 10, "{steps}");
    assert_eq!(records(&office), records(&sent.book));
}

#[test]
fn progress_goes_forward_to_the_end() {
    let sent = sent(3);
    let mut told: Vec<Progress> = Vec::new();
    let (mut office, _folder) = other_device();
    let mut watch = |progress: Progress| {
        if let Some(last) = told.last() {
            assert!(progress.step >= last.step);
            assert!(progress.step > last.step || progress.done >= last.done);
        }
        assert!(progress.done <= progress.of);
        told.push(progress);
        ControlFlow::Continue(())
    };
    VerifiedDayFile::open(&sent.file, None, &mut watch)
        .unwrap()
        .take_into(&mut office, &mut watch)
        .unwrap();
    assert_eq!(
        told.last().map(|last| (last.step, last.done)),
        Some((Step::Merging, 1))
    );
    let verified = told
        .iter()
        .rfind(|progress| progress.step == Step::Verifying);
    assert!(verified.is_some_and(|progress| progress.done == progress.of));
}
