//! A day's work in a book, with pictures, for what goes out as a day file.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::{Progress, RecordsFile};
use tautbook_core::photos::{Options, Source, prepare};
use tautbook_core::survey::{Id, RecordSet, Visit};

use crate::scene;

/// Goes on whatever is told.
pub fn go_on(_: Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

/// SHA-256 as pictures and members are named by it.
#[must_use]
pub fn sha256(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A sample survey of the repository.
///
/// # Panics
/// When it cannot be read.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn sample(name: &str) -> RecordSet {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../sample-surveys/{name}.json"));
    RecordsFile::read(&std::fs::read(path).unwrap())
        .unwrap()
        .records
}

/// An empty book in a folder.
///
/// # Panics
/// When it cannot be started.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn empty(folder: &Path) -> Book {
    let path = folder.join("book.taut");
    let opened = Book::open(&path, OpenMode::OpenOrStart, Box::new(SystemClock));
    opened.unwrap().0
}

/// A book in a folder with a sample survey in it and pictures of its first readings; the visit.
///
/// # Panics
/// When it cannot be made.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn worked(folder: &Path, sample_name: &str, photos: u16) -> (Book, Id<Visit>) {
    let mut book = empty(folder);
    let records = sample(sample_name);
    let visit = records.visits[0].id;
    book.import(&records).unwrap();
    for n in 0..photos {
        let jpeg = scene::jpeg(320 + 16 * n, 240, false);
        let options = Options::default();
        let picture = prepare(Source::Bytes(&jpeg), &options, &mut |_| {
            ControlFlow::Continue(())
        });
        let kept = book.photo_folder().keep(&picture.unwrap()).unwrap();
        let of = records.readings[usize::from(n) % records.readings.len()].reference();
        book.act("add_photo", |act| act.add_photo(&kept, of, "=as seen"))
            .unwrap();
    }
    (book, visit)
}

/// Every file in a folder and below it, with its size, but for the book's own files.
///
/// # Panics
/// When the folder cannot be read.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn files(folder: &Path) -> Vec<(PathBuf, u64)> {
    let mut found = Vec::new();
    let mut folders = vec![folder.to_owned()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let entry = entry.unwrap();
            if entry.file_type().unwrap().is_dir() {
                folders.push(entry.path());
            } else if !entry.file_name().to_string_lossy().starts_with("book.taut") {
                found.push((entry.path(), entry.metadata().unwrap().len()));
            }
        }
    }
    found.sort();
    found
}
