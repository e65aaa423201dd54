//! Taking in pictures is cut off at each call to the system, by a kill or by a failing disk:
//! whatever was confirmed is there, and what is there is whole.
//!
//! `strace` cuts it off (its `inject` option), so every instant that can be told apart from outside
//! comes up once, on every run the same.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tautbook_core::survey::RecordRef;
use tautbook_tests::photo_store::{half_written, hold, started};
use tautbook_tests::scene;

/// A book that was just started, and pictures to take in.
struct Before {
    folder: tempfile::TempDir,
    load: RecordRef,
    pictures: Vec<PathBuf>,
}

impl Before {
    fn make() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (book, shown) = started(folder.path());
        drop(book); // Closed in good order: the whole of it is in one file.
        let pictures = (0..2).map(|n| {
            let path = folder.path().join(format!("{n}.jpg"));
            std::fs::write(&path, scene::jpeg(96 + 8 * n, 64, false)).unwrap();
            path
        });
        Self {
            pictures: pictures.collect(),
            load: shown.load,
            folder,
        }
    }

    /// Takes the pictures into a copy of the book, under `strace` with those arguments.
    fn take(&self, into: &Path, arguments: &[&str]) -> Output {
        let book = into.join("book.taut");
        std::fs::copy(self.folder.path().join("book.taut"), &book).unwrap();
        Command::new("strace")
            .env("RUST_BACKTRACE", "0")
            .args(["-qq", "-o"])
            .arg(into.join("trace"))
            .args(arguments)
            .arg(env!("CARGO_BIN_EXE_photo-taker"))
            .arg(&book)
            .args(&self.pictures)
            .output()
            .unwrap_or_else(|error| panic!("strace (from strace) cannot be run: {error}"))
    }
}

/// What was confirmed: whole lines only.
fn confirmed(output: &Output) -> Vec<String> {
    let text = String::from_utf8(output.stdout.clone()).unwrap();
    let whole = text.rfind('\n').map_or("", |end| &text[..end]);
    whole.lines().map(str::to_owned).collect()
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
    "/^unlink",
    "close",
];

/// Cuts the taking in off at each of those calls in turn; with how often, how often files were left
/// half written, and how often something had been confirmed.
fn cut_at_each(fault: &str, calls: &[&str], told: impl Fn(&Output)) -> [usize; 3] {
    let before = Before::make();
    let (mut cuts, mut halves, mut some) = (0, 0, 0);
    for call in calls {
        for n in 1.. {
            let folder = tempfile::tempdir().unwrap();
            let inject = format!("inject={call}:{fault}:when={n}");
            let trace = format!("trace={call}");
            let output = before.take(folder.path(), &["-e", &trace, "-e", &inject]);
            let book = folder.path().join("book.taut");
            let seen = std::fs::read_to_string(folder.path().join("trace")).unwrap();
            let hit = seen.contains("INJECTED") || seen.contains("killed by SIGKILL");
            println!("{call} {n}: {:?}", output.status);
            halves += usize::from(half_written(&book) > 0);
            let confirmed = confirmed(&output);
            some += usize::from(hit && !confirmed.is_empty());
            hold(&book, before.load, &confirmed);
            if !hit {
                assert!(output.status.success(), "{output:?}");
                assert_eq!(confirmed.len(), before.pictures.len());
                break;
            }
            told(&output);
            cuts += 1;
        }
    }
    println!("{cuts} times cut off, {halves} left half written, {some} with something confirmed");
    [cuts, halves, some]
}

#[test]
fn a_kill_at_any_call_leaves_whole_pictures_and_all_that_were_confirmed() {
    let [cuts, halves, some] = cut_at_each("signal=KILL", &CALLS, |output| {
        assert_eq!(output.status.code(), None, "{output:?}");
    });
    assert!(cuts > 60, "{cuts}");
    assert!(halves > 3, "{halves}: no kill fell into the writing");
    assert!(
        some > 10,
        "{some}: every kill came before the first picture"
    );
}

#[test]
fn a_disk_that_fails_at_any_call_is_told_and_leaves_whole_pictures() {
    const CALLS: [&str; 5] = ["mkdir", "write", "fsync", "/^rename", "pwrite64"];
    for (fault, words) in [
        ("error=ENOSPC", "storage is full"),
        ("error=EIO", "storage"),
    ] {
        let [cuts, halves, _] = cut_at_each(fault, &CALLS, |output| {
            let told = String::from_utf8_lossy(&output.stderr);
            assert!(!told.contains("panicked"), "{told}");
            // SQLite may do without what only spares it work later, and tells every failing sync alike.
            let told_well = [words, "the book's file could not be", "standard output"]
                .iter()
                .any(|words| told.contains(words));
            assert!(output.status.success() || told_well, "{told}");
        });
        assert!(cuts > 10, "{cuts}");
        assert_eq!(halves, 0, "what could not be written was not cleared away");
    }
}

/// One call to the system of those that bring things to the disk: its name and the rest of the line.
fn calls(trace: &Path) -> Vec<(String, String)> {
    let text = std::fs::read_to_string(trace).unwrap();
    let lines = text.lines().filter_map(|line| line.split_once('('));
    lines
        .map(|(call, rest)| (call.to_owned(), rest.to_owned()))
        .collect()
}

#[test]
fn a_picture_is_on_the_disk_before_the_book_records_it() {
    let before = Before::make();
    let folder = tempfile::tempdir().unwrap();
    let trace = "trace=write,pwrite64,fsync,fdatasync,/^rename";
    let output = before.take(folder.path(), &["-y", "-s", "0", "-e", trace]);
    let confirmed = confirmed(&output);
    assert_eq!(confirmed.len(), before.pictures.len(), "{output:?}");
    let calls = calls(&folder.path().join("trace"));
    let mut from = 0;
    for sha in &confirmed {
        let mut next = |what: &str, is: &dyn Fn(&str, &str) -> bool| {
            let at = calls[from..].iter().position(|(call, rest)| is(call, rest));
            let at = at.unwrap_or_else(|| panic!("{what} of {sha} is missing after {from}"));
            from += at;
            println!("{what}: {}({}", calls[from].0, calls[from].1);
            from
        };
        // In the order of `PhotoFolder::keep`: the name that the file gets tells which it is.
        let named = next("the name", &|call, rest| {
            call.starts_with("rename")
                && rest.contains(&format!("{sha}.jpg"))
                && !rest.contains("thumbs")
        });
        let part = &calls[named].1[calls[named].1.find(".part-").unwrap()..];
        let part = &part[..part.find('"').unwrap()];
        let last_write = calls[..named]
            .iter()
            .rposition(|(call, rest)| call == "write" && rest.contains(part));
        let synced = calls[..named]
            .iter()
            .rposition(|(call, rest)| call == "fsync" && rest.contains(part));
        assert!(last_write.is_some() && synced > last_write, "{part}");
        next("the folder's sync", &|call, rest| {
            call == "fsync" && rest.contains(&format!("/photos/{}>", &sha[..2]))
        });
        next("the record", &|call, rest| {
            call == "pwrite64" && rest.contains("book.taut-wal")
        });
        next("the record's sync", &|call, rest| {
            call.ends_with("sync") && rest.contains("book.taut-wal")
        });
        next("the word that it is kept", &|call, rest| {
            call == "write" && rest.starts_with("1<")
        });
    }
    // And nothing of a picture is recorded before its file has its name.
    let first_name = calls
        .iter()
        .position(|(call, _)| call.starts_with("rename"));
    let first_log = calls
        .iter()
        .position(|(call, rest)| call == "pwrite64" && rest.contains("-wal"));
    assert!(first_name < first_log, "{first_name:?} {first_log:?}");
}
