//! What can befall a book from outside: each fault is told plainly and leaves the data unharmed.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::{Path, PathBuf};

use rusqlite::Connection;
use tautbook_core::book::{Book, BookError, FixedClock, OpenMode, Opened, SystemClock};
use tautbook_core::survey::{Moment, Purpose, Record, Tool, ToolKind, Visit};
use tautbook_tests::namespace::{given_folder, run_again};

fn open(path: &Path, mode: OpenMode) -> Result<(Book, Opened), BookError> {
    Book::open(path, mode, Box::new(SystemClock))
}

fn error(path: &Path, mode: OpenMode) -> BookError {
    match open(path, mode) {
        Ok(_) => panic!("{} opened", path.display()),
        Err(error) => error,
    }
}

fn visit(customer: &str) -> Visit {
    Visit {
        customer: customer.to_owned(),
        site: "Kiln Lane".to_owned(),
        date: chrono::NaiveDate::from_ymd_opt(2026, 3, 4).unwrap(),
        rep: String::new(),
        purpose: Purpose::Baseline,
        bag: Vec::new(),
        safety: Vec::new(),
        notes: "x".repeat(2_000),
    }
}

fn add(book: &mut Book, customer: &str) -> Result<Record<Visit>, BookError> {
    Ok(book
        .act("start_visit", |act| act.add(visit(customer)))?
        .value)
}

fn says(error: &BookError, words: &[&str]) {
    let text = error.to_string();
    for word in words {
        assert!(text.contains(word), "'{text}' does not say '{word}'");
    }
}

/// A book with one visit, closed.
fn book(folder: &Path) -> PathBuf {
    let path = folder.join("book.taut");
    let (mut book, _) = open(&path, OpenMode::OpenOrStart).unwrap();
    add(&mut book, "Harrow Tile").unwrap();
    path
}

#[test]
fn a_full_disk_is_told_and_nothing_saved_is_lost() {
    let Some(folder) = given_folder() else {
        let folder = tempfile::tempdir().unwrap();
        return run_again(
            "a_full_disk_is_told_and_nothing_saved_is_lost",
            folder.path(),
            "mount -t tmpfs -o size=1m tmpfs \"$1\"",
        );
    };
    let filler = folder.join("filler");
    std::fs::write(&filler, vec![0; 300_000]).unwrap();
    let path = folder.join("book.taut");
    let (mut book, _) = open(&path, OpenMode::OpenOrStart).unwrap();
    let mut kept = Vec::new();
    let error = loop {
        match add(&mut book, &format!("Customer {}", kept.len())) {
            Ok(visit) => kept.push(visit),
            Err(error) => break error,
        }
        assert!(kept.len() < 10_000, "the disk never fills");
    };
    assert!(matches!(error, BookError::DiskFull), "{error}");
    says(&error, &["storage is full", "free some space", "safe"]);
    assert!(!kept.is_empty());
    assert_eq!(
        book.all::<Visit>().unwrap(),
        kept,
        "all that was saved and no more"
    );
    std::fs::remove_file(filler).unwrap();
    kept.push(add(&mut book, "After").unwrap());
    drop(book);
    let (book, _) = open(&path, OpenMode::Existing).unwrap();
    assert_eq!(book.all::<Visit>().unwrap(), kept);
    assert_eq!(book.verify().unwrap().faults, []);
}

#[test]
fn a_disk_too_full_to_start_a_book_is_told() {
    let Some(folder) = given_folder() else {
        let folder = tempfile::tempdir().unwrap();
        return run_again(
            "a_disk_too_full_to_start_a_book_is_told",
            folder.path(),
            "mount -t tmpfs -o size=16k tmpfs \"$1\"",
        );
    };
    let error = error(&folder.join("book.taut"), OpenMode::OpenOrStart);
    assert!(matches!(error, BookError::DiskFull), "{error:?}");
}

#[test]
fn a_read_only_folder_is_told_and_the_book_can_still_be_looked_at() {
    let Some(folder) = given_folder() else {
        let folder = tempfile::tempdir().unwrap();
        book(folder.path());
        return run_again(
            "a_read_only_folder_is_told_and_the_book_can_still_be_looked_at",
            folder.path(),
            "mount --bind \"$1\" \"$1\" && mount -o remount,bind,ro \"$1\"",
        );
    };
    let path = folder.join("book.taut");
    std::fs::write(folder.join("try"), "").unwrap_err();
    for mode in [OpenMode::Existing, OpenMode::OpenOrStart] {
        let error = error(&path, mode);
        assert!(matches!(error, BookError::ReadOnly), "{error:?}");
        says(&error, &["read-only", "move it"]);
    }
    let elsewhere = error(&folder.join("new.taut"), OpenMode::OpenOrStart);
    assert!(matches!(elsewhere, BookError::ReadOnly), "{elsewhere:?}");
    let (book, _) = open(&path, OpenMode::ReadOnly).unwrap();
    assert_eq!(book.all::<Visit>().unwrap()[0].customer, "Harrow Tile");
}

#[test]
fn a_file_that_is_no_book_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let foreign = folder.path().join("other.sqlite");
    Connection::open(&foreign)
        .unwrap()
        .execute_batch("CREATE TABLE t (a);")
        .unwrap();
    let marked = folder.path().join("marked.sqlite");
    Connection::open(&marked)
        .unwrap()
        .execute_batch("PRAGMA user_version = 1; PRAGMA application_id = 7; CREATE TABLE t (a);")
        .unwrap();
    let text = folder.path().join("notes.txt");
    std::fs::write(&text, "SQLite is not what this is about").unwrap();
    let picture = folder.path().join("load.png");
    std::fs::write(&picture, b"\x89PNG\r\n\x1a\n and so on").unwrap();
    let short = folder.path().join("short");
    std::fs::write(&short, b"SQL").unwrap();
    for path in [foreign, marked, text, picture, short] {
        let before = std::fs::read(&path).unwrap();
        for mode in [
            OpenMode::OpenOrStart,
            OpenMode::Existing,
            OpenMode::ReadOnly,
        ] {
            let error = error(&path, mode);
            assert!(
                matches!(error, BookError::NotABook { .. }),
                "{}: {error}",
                path.display()
            );
            says(&error, &["not a Tautbook book", "choose another file"]);
        }
        assert_eq!(std::fs::read(&path).unwrap(), before, "{}", path.display());
    }
    let error = error(folder.path(), OpenMode::OpenOrStart);
    assert!(
        matches!(error, BookError::NotABook { .. }),
        "a folder: {error}"
    );
}

#[test]
fn a_book_that_is_not_there_is_told() {
    let folder = tempfile::tempdir().unwrap();
    for path in [
        folder.path().join("none.taut"),
        folder.path().join("no/folder/none.taut"),
    ] {
        for mode in [OpenMode::Existing, OpenMode::ReadOnly] {
            let error = error(&path, mode);
            assert!(matches!(error, BookError::Missing { .. }), "{error:?}");
            says(&error, &["no book at", "check the name"]);
        }
    }
    let error = error(
        &folder.path().join("no/folder/none.taut"),
        OpenMode::OpenOrStart,
    );
    assert!(matches!(error, BookError::Missing { .. }), "{error:?}");
}

#[test]
fn an_empty_file_becomes_a_book() {
    // What is left of a book whose very first transaction was cut off.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    std::fs::write(&path, "").unwrap();
    let (mut book, opened) = open(&path, OpenMode::OpenOrStart).unwrap();
    assert!(opened.started);
    add(&mut book, "Harrow Tile").unwrap();
}

#[test]
fn damage_is_noticed_and_the_file_left_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = book(folder.path());
    let sound = std::fs::read(&path).unwrap();
    let half = sound[..sound.len() / 2].to_vec();
    let mut head = sound.clone();
    head[20..100].fill(0xA5);
    let page = usize::from(u16::from_be_bytes([sound[16], sound[17]]));
    let mut tables = sound.clone();
    for start in (page..tables.len()).step_by(page) {
        tables[start..start + 64].fill(0xA5);
    }
    for (what, bytes) in [
        ("cut in half", half),
        ("head", head),
        ("every table", tables),
    ] {
        std::fs::write(&path, &bytes).unwrap();
        let (told, words) = match open(&path, OpenMode::ReadOnly) {
            Err(error) => (
                matches!(
                    error,
                    BookError::Damaged { .. } | BookError::NotABook { .. }
                ),
                error.to_string(),
            ),
            Ok((book, _)) => match book.verify() {
                Ok(report) => (!report.faults.is_empty(), format!("{:?}", report.faults)),
                Err(error) => (
                    matches!(error, BookError::Damaged { .. }),
                    error.to_string(),
                ),
            },
        };
        assert!(told, "{what}: {words}");
        assert_eq!(
            std::fs::read(&path).unwrap(),
            bytes,
            "{what}: the file is as it was"
        );
    }
}

#[test]
fn a_damaged_book_says_how_to_save_what_is_left() {
    says(
        &BookError::Damaged {
            detail: "x".to_owned(),
        },
        &["damaged", "copy it", "tautbook recover"],
    );
}

#[test]
fn a_book_from_a_newer_tautbook_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = book(folder.path());
    Connection::open(&path)
        .unwrap()
        .pragma_update(None, "user_version", 99)
        .unwrap();
    let before = std::fs::read(&path).unwrap();
    for mode in [
        OpenMode::OpenOrStart,
        OpenMode::Existing,
        OpenMode::ReadOnly,
    ] {
        let error = error(&path, mode);
        assert!(
            matches!(error, BookError::Newer { found: 99, .. }),
            "{error}"
        );
        says(&error, &["newer Tautbook", "update", "nothing was changed"]);
    }
    assert_eq!(std::fs::read(&path).unwrap(), before);
}

#[test]
fn a_clock_set_back_by_years_is_told_and_upsets_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    let at = |text: &str| Box::new(FixedClock(Moment::parse(text).unwrap()));
    let (mut now, _) =
        Book::open(&path, OpenMode::OpenOrStart, at("2026-03-04T09:00:00Z")).unwrap();
    let first = add(&mut now, "First").unwrap();
    drop(now);
    let (mut past, opened) =
        Book::open(&path, OpenMode::Existing, at("1999-12-31T23:59:59Z")).unwrap();
    assert!(opened.clock_behind_ms.unwrap() > 26 * 365 * 24 * 60 * 60 * 1_000);
    let second = add(&mut past, "Second").unwrap();
    let edit = past
        .act("edit_visit", |act| {
            act.change(first.id, |visit| visit.site = "Dock".to_owned())
        })
        .unwrap();
    past.undo(edit.action.unwrap()).unwrap();
    assert_eq!(past.get(first.id).unwrap().site, "Kiln Lane");
    let order: Vec<_> = past
        .all::<Visit>()
        .unwrap()
        .into_iter()
        .map(|visit| visit.id)
        .collect();
    assert_eq!(order, [first.id, second.id]);
    assert_eq!(past.verify().unwrap().faults, []);
}

#[test]
fn a_book_another_program_holds_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = book(folder.path());
    let (mut book, _) = open(&path, OpenMode::Existing).unwrap();
    let other = Connection::open(&path).unwrap();
    other.execute_batch("BEGIN IMMEDIATE").unwrap();
    let error = add(&mut book, "Meanwhile").unwrap_err();
    assert!(matches!(error, BookError::Busy), "{error}");
    says(&error, &["another program", "try again"]);
    other.execute_batch("ROLLBACK").unwrap();
    add(&mut book, "Afterwards").unwrap();
    assert_eq!(book.all::<Visit>().unwrap().len(), 2);
}

#[test]
fn two_that_write_at_once_both_keep_everything() {
    let folder = tempfile::tempdir().unwrap();
    let path = book(folder.path());
    let writers: Vec<_> = ["one", "other"]
        .into_iter()
        .map(|who| {
            let path = path.clone();
            std::thread::spawn(move || {
                let (mut book, _) = open(&path, OpenMode::Existing).unwrap();
                for n in 0..150 {
                    let tool = Tool::new(ToolKind::Tape, format!("{who} {n}"));
                    book.act("add_tool", |act| act.add(tool)).unwrap();
                }
            })
        })
        .collect();
    for writer in writers {
        writer.join().unwrap();
    }
    let (book, _) = open(&path, OpenMode::Existing).unwrap();
    let tools = book.all::<Tool>().unwrap();
    for who in ["one", "other"] {
        let own: Vec<&str> = tools
            .iter()
            .filter_map(|tool| tool.name.strip_prefix(who))
            .map(str::trim)
            .collect();
        let wanted: Vec<String> = (0..150).map(|n| n.to_string()).collect();
        assert_eq!(own, wanted, "{who}, each in its order");
    }
    assert_eq!(book.verify().unwrap().faults, []);
    assert_eq!(book.actions(1_000).unwrap().len(), 301);
}
