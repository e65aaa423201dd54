//! Recovering books whose bytes were really destroyed.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use tautbook_core::book::{
    Book, BookError, Lost, OpenMode, SystemClock, Which, pack, recover, set_apart,
};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{Kind, RecordSet, Visit};

const SAMPLES: [&str; 2] = ["parts-warehouse", "bottling-plant"];

/// A book of two sample visits, open.
fn open_book(path: &Path) -> (Book, RecordSet) {
    let (mut book, _) = Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock)).unwrap();
    let mut all = RecordSet::default();
    for name in SAMPLES {
        let sample = format!(
            "{}/../sample-surveys/{name}.json",
            env!("CARGO_MANIFEST_DIR")
        );
        let records = RecordsFile::read(&std::fs::read(sample).unwrap())
            .unwrap()
            .records;
        book.import(&records).unwrap();
        all.append(records);
    }
    (book, all)
}

/// A book of two sample visits, closed well.
fn book(folder: &Path) -> (PathBuf, RecordSet) {
    let path = folder.join("book.taut");
    let (book, all) = open_book(&path);
    drop(book);
    assert!(
        !folder.join("book.taut-wal").exists(),
        "all of it is in the one file"
    );
    (path, all)
}

fn page_size(bytes: &[u8]) -> usize {
    usize::from(u16::from_be_bytes([bytes[16], bytes[17]]))
}

/// Every record as JSON by its id, without the name of its kind.
fn by_id(set: &RecordSet) -> HashMap<String, serde_json::Value> {
    let json = serde_json::to_value(set).unwrap();
    json.as_object()
        .unwrap()
        .values()
        .flat_map(|records| records.as_array().unwrap().clone())
        .map(|record| (record["id"].as_str().unwrap().to_owned(), record))
        .collect()
}

fn everything(path: &Path) -> HashMap<String, serde_json::Value> {
    let (book, _) = Book::open(path, OpenMode::ReadOnly, Box::new(SystemClock)).unwrap();
    assert_eq!(book.verify().unwrap().faults, []);
    let mut all = HashMap::new();
    for visit in book.all::<Visit>().unwrap() {
        all.extend(by_id(&book.visit_records(visit.id, Which::All).unwrap()));
    }
    all
}

#[test]
fn a_sound_book_is_saved_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (path, set) = book(folder.path());
    let new = folder.path().join("new.taut");
    let recovered = recover(&path, &new, Box::new(SystemClock)).unwrap();
    assert_eq!(recovered.lost, []);
    assert_eq!(recovered.stand_ins, []);
    let tapes = 2; // A tape measures nothing that names its tool: it belongs to no visit.
    assert_eq!(everything(&new).len() + tapes, set.len());
    let names: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert!(names.len() <= 6, "nothing is left lying about: {names:?}");
    assert!(!folder.path().join("new.taut.reading").exists());
}

#[test]
fn a_book_is_packed_with_its_log_and_its_pictures_and_recovered_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    let (open, set) = open_book(&path);
    let log = folder.path().join("book.taut-wal");
    assert!(log.metadata().unwrap().len() > 0, "some of it is there");
    let photos = folder.path().join("photos");
    let (photo, other) = ("0f".repeat(32), "0e".repeat(32));
    for (within, name) in [
        ("0f", format!("{photo}.jpg")),
        ("0e", format!("{other}.jpg")),
        ("0f", ".part-1".to_owned()),
        ("thumbs/0f", format!("{photo}.jpg")),
    ] {
        std::fs::create_dir_all(photos.join(within)).unwrap();
        std::fs::write(photos.join(within).join(name), within).unwrap();
    }
    let (packed, made) = pack(&path, Vec::new()).unwrap();
    assert_eq!((made.photos, made.broken), (2, 0));
    drop(open);

    let elsewhere = tempfile::tempdir().unwrap();
    zip::ZipArchive::new(std::io::Cursor::new(packed))
        .unwrap()
        .extract(elsewhere.path())
        .unwrap();
    let there = |name: &str| std::fs::read(elsewhere.path().join(name)).unwrap();
    assert_eq!(there(&format!("photos/0f/{photo}.jpg")), b"0f");
    assert_eq!(there(&format!("photos/0e/{other}.jpg")), b"0e");
    assert!(!elsewhere.path().join("photos/0f/.part-1").exists());
    assert!(!elsewhere.path().join("photos/thumbs").exists());
    let new = elsewhere.path().join("new.taut");
    let recovered = recover(
        &elsewhere.path().join("book.taut"),
        &new,
        Box::new(SystemClock),
    )
    .unwrap();
    let saved: usize = recovered.saved.iter().map(|(_, count)| count).sum();
    assert_eq!(saved, set.len());
}

#[test]
fn a_book_that_is_set_apart_leaves_room_for_another_and_can_be_recovered() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    let (open, set) = open_book(&path);
    let log = |folder: &std::path::Path| folder.join("book.taut-wal");
    let written = std::fs::read(log(folder.path())).unwrap();
    assert!(!written.is_empty(), "some of it is in the log");
    let as_it_was = std::fs::read(&path).unwrap();
    // Left in the midst, as by a loss of power.
    std::mem::forget(open);
    std::fs::create_dir(folder.path().join("kept-1")).unwrap();

    let apart = set_apart(&path).unwrap();
    assert_eq!(
        apart,
        folder.path().join("kept-2"),
        "nothing is written over"
    );
    assert_eq!(std::fs::read(apart.join("book.taut")).unwrap(), as_it_was);
    assert_eq!(std::fs::read(log(&apart)).unwrap(), written);
    assert!(!log(folder.path()).exists());
    let clock = || Box::new(SystemClock);
    let (new, opened) = Book::open(&path, OpenMode::OpenOrStart, clock()).unwrap();
    drop(new);
    assert!(opened.started && everything(&path).is_empty());

    let recovered = recover(&apart.join("book.taut"), &apart.join("new.taut"), clock()).unwrap();
    let saved: usize = recovered.saved.iter().map(|(_, count)| count).sum();
    assert_eq!(saved, set.len());

    let none = set_apart(&folder.path().join("none.taut")).unwrap_err();
    assert_eq!(none.kind(), std::io::ErrorKind::NotFound);
    assert!(!folder.path().join("kept-3").exists());
}

/// The storage fails: here by a folder, which can be opened and not read, where a picture's file should be.
#[test]
fn what_cannot_be_read_keeps_nothing_else_from_being_packed() {
    let folder = tempfile::tempdir().unwrap();
    let (path, _) = book(folder.path());
    let photo = format!("photos/0d/{}.jpg", "0d".repeat(32));
    std::fs::create_dir_all(folder.path().join(&photo)).unwrap();
    let (packed, made) = pack(&path, Vec::new()).unwrap();
    assert_eq!((made.photos, made.broken), (1, 1));
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(packed)).unwrap();
    let mut of_book = Vec::new();
    let mut member = archive.by_name("book.taut").unwrap();
    std::io::Read::read_to_end(&mut member, &mut of_book).unwrap();
    assert_eq!(of_book, std::fs::read(&path).unwrap());
    drop(member);
    assert!(archive.by_name(&photo).is_ok(), "with zeros in its place");

    let missing = pack(&folder.path().join("other.taut"), Vec::new());
    assert_eq!(missing.unwrap_err().kind(), std::io::ErrorKind::NotFound);
}

#[test]
fn whatever_page_is_destroyed_the_rest_is_saved_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let (path, set) = book(folder.path());
    let sound = std::fs::read(&path).unwrap();
    let before = by_id(&set);
    let size = page_size(&sound);
    let pages = sound.len() / size;
    assert!(pages > 100);
    let (mut with_loss, mut nearly_whole, mut tried) = (0, 0, 0);
    for page in (1..pages).step_by(9) {
        let mut bytes = sound.clone();
        bytes[page * size..(page + 1) * size].fill(0xA5);
        let damaged = folder.path().join(format!("damaged-{page}.taut"));
        let new = folder.path().join(format!("new-{page}.taut"));
        std::fs::write(&damaged, &bytes).unwrap();
        tried += 1;
        let recovered = match recover(&damaged, &new, Box::new(SystemClock)) {
            Ok(recovered) => recovered,
            Err(error) => {
                assert!(
                    matches!(error, BookError::Damaged { .. }),
                    "page {page}: {error}"
                );
                assert!(!new.exists(), "nothing half made is left");
                continue;
            }
        };
        assert_eq!(
            std::fs::read(&damaged).unwrap(),
            bytes,
            "page {page}: touched"
        );
        let saved = everything(&new);
        for (id, record) in &saved {
            if recovered
                .stand_ins
                .iter()
                .any(|of| of.id.to_string() == *id)
            {
                continue;
            }
            let linked =
                |lost: &Lost| matches!(lost, Lost::Link(of, _) if of.id.to_string() == *id);
            if !recovered.lost.iter().any(linked) {
                assert_eq!(Some(record), before.get(id), "page {page}: changed");
            }
        }
        let all: usize = recovered.saved.iter().map(|(_, count)| count).sum();
        let count = all - recovered.stand_ins.len();
        let named = |lost: &&Lost| matches!(lost, Lost::Record(..) | Lost::Orphan(..));
        let lost = recovered.lost.iter().filter(named).count();
        let unnamed = recovered
            .lost
            .iter()
            .any(|lost| matches!(lost, Lost::Rows(..)));
        assert!(
            unnamed || count + lost >= set.len(),
            "page {page}: {count} saved and {lost} lost of {}",
            set.len()
        );
        with_loss += usize::from(!recovered.lost.is_empty());
        nearly_whole += usize::from(count * 10 >= set.len() * 9);
    }
    assert!(with_loss >= 3, "{with_loss} of {tried} pages held records");
    assert!(nearly_whole * 10 >= tried * 9, "{nearly_whole} of {tried}");
}

/// The page of the table that holds all visits.
fn root_page(path: &Path, table: &str) -> usize {
    let db = rusqlite::Connection::open(path).unwrap();
    let page: u32 = db
        .query_row(
            "SELECT rootpage FROM sqlite_schema WHERE name = ?1",
            [table],
            |row| row.get(0),
        )
        .unwrap();
    usize::try_from(page).unwrap()
}

#[test]
fn readings_outlive_their_visit_and_the_real_visit_takes_its_place_again() {
    let folder = tempfile::tempdir().unwrap();
    let (path, set) = book(folder.path());
    let page = root_page(&path, "visit");
    let mut bytes = std::fs::read(&path).unwrap();
    let size = page_size(&bytes);
    bytes[(page - 1) * size..page * size].fill(0);
    let damaged = folder.path().join("damaged.taut");
    std::fs::write(&damaged, &bytes).unwrap();
    let new = folder.path().join("new.taut");
    let recovered = recover(&damaged, &new, Box::new(SystemClock)).unwrap();
    assert_eq!(recovered.stand_ins.len(), 2);
    assert_eq!(
        recovered.lost.len(),
        2,
        "the two visits: {:?}",
        recovered.lost
    );
    let readings = recovered
        .saved
        .iter()
        .find(|(kind, _)| *kind == Kind::Reading);
    assert_eq!(readings, Some(&(Kind::Reading, set.readings.len())));
    let before = everything(&new);
    assert!(
        set.visits
            .iter()
            .all(|visit| before.contains_key(&visit.id.to_string()))
    );

    // Another copy of the visits turns up.
    let (mut book, _) = Book::open(&new, OpenMode::Existing, Box::new(SystemClock)).unwrap();
    book.import(&set).unwrap();
    let mut visits = set.visits.clone();
    visits.sort_by_key(|visit| visit.id);
    assert_eq!(book.all::<Visit>().unwrap(), visits);
}

#[test]
fn what_cannot_be_recovered_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let (path, _) = book(folder.path());
    let new = folder.path().join("new.taut");
    let refuse = |from: &Path, to: &Path| recover(from, to, Box::new(SystemClock)).unwrap_err();

    let error = refuse(&path, &path);
    assert!(matches!(error, BookError::AlreadyThere { .. }), "{error}");
    let error = refuse(&folder.path().join("none.taut"), &new);
    assert!(matches!(error, BookError::Missing { .. }), "{error}");
    let text = folder.path().join("letter.txt");
    std::fs::write(&text, "Dear customer, the film came loose again.").unwrap();
    let error = refuse(&text, &new);
    assert!(matches!(error, BookError::NotABook { .. }), "{error}");

    // The first page names every other.
    let mut bytes = std::fs::read(&path).unwrap();
    let size = page_size(&bytes);
    bytes[100..size].fill(0xA5);
    let damaged = folder.path().join("damaged.taut");
    std::fs::write(&damaged, &bytes).unwrap();
    let error = refuse(&damaged, &new);
    assert!(matches!(error, BookError::Damaged { .. }), "{error}");
    assert!(!new.exists());
}
