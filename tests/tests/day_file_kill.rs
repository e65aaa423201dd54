//! Writing and taking in a day file are cut off at each call to the system, by a kill or by a failing
//! disk: the book is exactly as before or has all of it, every picture's file is whole, and a day
//! file is there whole or not at all.
//!
//! `strace` cuts it off (its `inject` option), so every instant that can be told apart from outside
//! comes up once, on every run the same.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tautbook_core::book::{Book, Journal, OpenMode, SystemClock};
use tautbook_core::dayfile::{DayFile, VerifiedDayFile};
use tautbook_core::survey::RecordRef;
use tautbook_tests::day::{empty, go_on};
use tautbook_tests::photo_store::{half_written, hold, picture, started};

/// A representative's book with three pictures, the office's with two others, and the day file
/// that goes from the one to the other.
struct Before {
    folder: tempfile::TempDir,
    load: RecordRef,
    day: Journal,
    office_load: RecordRef,
    office: Journal,
}

fn journal(book: &Book) -> Journal {
    let visits = book.visits(0, 10).unwrap();
    let visits: Vec<_> = visits.iter().map(|visit| visit.id).collect();
    book.journal(&visits).unwrap()
}

fn with_pictures(folder: &Path, first: u16, count: u16) -> (Book, RecordRef) {
    std::fs::create_dir(folder).unwrap();
    let (mut book, shown) = started(folder);
    for n in first..first + count {
        let kept = book.photo_folder().keep(&picture(8 * n)).unwrap();
        book.act("add_photo", |act| act.add_photo(&kept, shown.load, ""))
            .unwrap();
    }
    (book, shown.load)
}

impl Before {
    fn make() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (rep, load) = with_pictures(&folder.path().join("rep"), 0, 3);
        // One of the pictures is the same.
        let (office, office_load) = with_pictures(&folder.path().join("office"), 2, 2);
        let file = DayFile {
            visits: rep.visits(0, 1).unwrap().iter().map(|v| v.id).collect(),
            ..DayFile::default()
        };
        let at = folder.path().join("day.zip");
        file.write(&rep, &at, &mut go_on).unwrap();
        Self {
            load,
            day: journal(&rep),
            office_load,
            office: journal(&office),
            folder,
        }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Does the work on a copy of a book, under `strace` with those arguments.
    fn cut(&self, what: &str, of: &str, into: &Path, file: &Path, arguments: &[&str]) -> Output {
        copy(&self.at(of), into);
        Command::new("strace")
            .env("RUST_BACKTRACE", "0")
            .args(["-qq", "-o"])
            .arg(into.join("trace"))
            .args(arguments)
            .arg(env!("CARGO_BIN_EXE_day-taker"))
            .arg(what)
            .arg(into.join("book.taut"))
            .arg(file)
            .output()
            .unwrap_or_else(|error| panic!("strace (from strace) cannot be run: {error}"))
    }

    /// Holds the office's book after whatever befell the taking in; whether it has the day.
    fn hold_office(&self, folder: &Path, done: bool) -> bool {
        let path = folder.join("book.taut");
        hold(&path, self.office_load, &[]);
        let book = open(&path);
        let now = journal(&book);
        let taken = now != self.office;
        assert!(taken || !done, "it was said to be done and is not there");
        if taken {
            let visits = self.day.records().unwrap().visits;
            let visits: Vec<_> = visits.iter().map(|visit| visit.id).collect();
            assert_eq!(book.journal(&visits).unwrap(), self.day, "not all of it");
            hold(&path, self.load, &[]);
        }
        // Neither what was there before nor what another try brings is harmed.
        let mut book = book;
        let file = VerifiedDayFile::open(&self.at("day.zip"), None, &mut go_on).unwrap();
        let again = file.take_into(&mut book, &mut go_on).unwrap();
        assert_eq!(again.merged.learned == 0, taken);
        hold(&path, self.load, &[]);
        taken
    }
}

fn open(path: &Path) -> Book {
    let opened = Book::open(path, OpenMode::Existing, Box::new(SystemClock));
    opened
        .unwrap_or_else(|error| panic!("the book does not open: {error}"))
        .0
}

/// A book with its pictures.
fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let to = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy(&entry.path(), &to);
        } else {
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
}

/// Calls that change what is on the disk, or are about to.
const CALLS: [&str; 9] = [
    "openat",
    "mkdir",
    "write",
    "pwrite64",
    "fsync",
    "fdatasync",
    "/^rename",
    "/^unlink|^link",
    "close",
];

/// Those that a failing disk fails at.
const FAILING: [&str; 6] = ["mkdir", "write", "pwrite64", "fsync", "/^rename", "/^link"];

/// Runs a piece of work once for each of those calls with a fault at it, and holds what is left;
/// how often that was.
fn at_each(
    fault: &str,
    calls: &[&str],
    mut work: impl FnMut(&Path, &[&str]) -> Output,
    mut left: impl FnMut(&Path, &Output, bool),
) -> usize {
    let mut cuts = 0;
    for call in calls {
        for n in 1.. {
            let folder = tempfile::tempdir().unwrap();
            let inject = format!("inject={call}:{fault}:when={n}");
            let trace = format!("trace={call}");
            let output = work(folder.path(), &["-e", &trace, "-e", &inject]);
            let seen = std::fs::read_to_string(folder.path().join("trace")).unwrap();
            let hit = seen.contains("INJECTED") || seen.contains("killed by SIGKILL");
            println!("{call} {n}: {:?}", output.status);
            left(folder.path(), &output, hit);
            if !hit {
                assert!(output.status.success(), "{output:?}");
                break;
            }
            cuts += 1;
        }
    }
    cuts
}

fn done(output: &Output) -> bool {
    output.stdout == b"done\n"
}

/// Whatever fails, it is told as what it is.
fn told_well(output: &Output, words: &[&str]) {
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(!told.contains("panicked"), "{told}");
    let known = ["the book's file could not be", "standard output"];
    let told_well = words.iter().chain(&known).any(|word| told.contains(word));
    assert!(output.status.success() || told_well, "{told}");
}

#[test]
fn a_kill_while_taking_in_leaves_all_of_it_or_nothing() {
    let before = Before::make();
    let file = before.at("day.zip");
    let (mut taken, mut halves) = (0, 0);
    let cuts = at_each(
        "signal=KILL",
        &CALLS,
        |folder, arguments| before.cut("take", "office", folder, &file, arguments),
        |folder, output, _| {
            halves += usize::from(half_written(&folder.join("book.taut")) > 0);
            taken += usize::from(before.hold_office(folder, done(output)));
        },
    );
    println!("{cuts} kills, {taken} books with the day, {halves} times a picture half written");
    assert!(
        cuts > 60 && taken > 10 && cuts - taken > 30,
        "{cuts} {taken}"
    );
    assert!(halves > 3, "{halves}: no kill fell into a picture");
}

#[test]
fn a_disk_that_fails_while_taking_in_is_told_and_leaves_all_of_it_or_nothing() {
    let before = Before::make();
    let file = before.at("day.zip");
    for (fault, words) in [
        ("error=ENOSPC", ["storage is full"]),
        ("error=EIO", ["storage"]),
    ] {
        let mut refused = 0;
        let cuts = at_each(
            fault,
            &FAILING,
            |folder, arguments| before.cut("take", "office", folder, &file, arguments),
            |folder, output, _| {
                told_well(output, &words);
                assert_eq!(
                    half_written(&folder.join("book.taut")),
                    0,
                    "left half written"
                );
                let taken = before.hold_office(folder, done(output));
                refused += usize::from(!taken);
            },
        );
        println!("{fault}: {cuts} times, {refused} refused");
        assert!(cuts > 20 && refused > 10, "{cuts} {refused}");
    }
}

/// Holds what a writing that was cut off left behind.
fn hold_written(before: &Before, file: &Path, done: bool) {
    if file.exists() {
        let day = VerifiedDayFile::open(file, None, &mut go_on).unwrap();
        assert_eq!(day.records(), &before.day.records().unwrap());
        std::fs::remove_file(file).unwrap();
    } else {
        assert!(!done, "it was said to be written and is not there");
    }
    // What was left half-written is in nobody's way.
    let book = open(&before.at("rep/book.taut"));
    let visits = book.visits(0, 1).unwrap();
    let day = DayFile {
        visits: visits.iter().map(|visit| visit.id).collect(),
        ..DayFile::default()
    };
    day.write(&book, file, &mut go_on).unwrap();
}

#[test]
fn a_kill_while_writing_leaves_a_whole_file_or_none() {
    let before = Before::make();
    let (mut halves, mut whole) = (0, 0);
    let cuts = at_each(
        "signal=KILL",
        &CALLS,
        |folder, arguments| before.cut("write", "rep", folder, &folder.join("day.zip"), arguments),
        |folder, output, _| {
            let file = folder.join("day.zip");
            whole += usize::from(file.exists());
            halves += usize::from(folder.join("day.zip.part").exists() && !file.exists());
            hold_written(&before, &file, done(output));
            assert!(!folder.join("day.zip.part").exists());
        },
    );
    println!("{cuts} kills, {whole} whole files, {halves} begun");
    assert!(
        cuts > 20 && whole > 5 && halves > 3,
        "{cuts} {whole} {halves}"
    );
}

#[test]
fn a_disk_that_fails_while_writing_is_told_and_leaves_a_whole_file_or_none() {
    let before = Before::make();
    for (fault, words) in [
        ("error=ENOSPC", ["storage is full"]),
        ("error=EIO", ["storage"]),
    ] {
        let mut refused = 0;
        let cuts = at_each(
            fault,
            &FAILING,
            |folder, arguments| {
                before.cut("write", "rep", folder, &folder.join("day.zip"), arguments)
            },
            |folder, output, _| {
                told_well(output, &words);
                let file = folder.join("day.zip");
                assert!(!folder.join("day.zip.part").exists(), "left half written");
                refused += usize::from(!file.exists());
                hold_written(&before, &file, done(output));
            },
        );
        println!("{fault}: {cuts} times, {refused} refused");
        assert!(cuts > 3 && refused > 2, "{cuts} {refused}");
    }
}

#[test]
fn an_empty_office_takes_a_day_that_was_killed_while_it_was_taken_in() {
    // The very first pictures: their folders are made too.
    let before = Before::make();
    let fresh = before.at("fresh");
    std::fs::create_dir(&fresh).unwrap();
    drop(empty(&fresh));
    let file = before.at("day.zip");
    let cuts = at_each(
        "signal=KILL",
        &["mkdir", "/^rename", "fsync"],
        |folder, arguments| before.cut("take", "fresh", folder, &file, arguments),
        |folder, output, _| {
            let path = folder.join("book.taut");
            let mut book = open(&path);
            assert_eq!(half_written(&path), 0);
            let report = book.verify().unwrap();
            assert_eq!((report.faults, report.photo_faults), (vec![], vec![]));
            let visits = book.visits(0, 10).unwrap();
            assert!(visits.len() == 1 || !done(output));
            let day = VerifiedDayFile::open(&file, None, &mut go_on).unwrap();
            day.take_into(&mut book, &mut go_on).unwrap();
            assert_eq!(journal(&book), before.day);
            hold(&path, before.load, &[]);
        },
    );
    assert!(cuts > 10, "{cuts}");
}
