//! Reports of the sample surveys, for other readers to be held against.

use std::ops::ControlFlow;
use std::path::Path;

use anyhow::{Context as _, Result};
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::language::Language;
use tautbook_core::report::{CardOf, Made, Options, Paper, card, report};
use tautbook_core::survey::{Id, RecordSet, Visit};

/// The sample surveys by the names of their files.
pub const SAMPLES: [&str; 3] = ["bottling-plant", "parts-warehouse", "tile-maker"];

/// The records of a sample survey.
///
/// # Errors
/// Its file cannot be read.
pub fn sample(name: &str) -> Result<RecordSet> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-surveys");
    let file = std::fs::read(folder.join(format!("{name}.json")))?;
    Ok(RecordsFile::read(&file)?.records)
}

/// A new book at `path` that holds records, and their visits.
///
/// # Errors
/// What the book says.
pub fn book_of(path: &Path, records: &RecordSet) -> Result<(Book, Vec<Id<Visit>>)> {
    let (mut book, _) = Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock))?;
    book.import(records)?;
    let visits = records.visits.iter().map(|visit| visit.id).collect();
    Ok((book, visits))
}

/// The report of a visit.
///
/// # Errors
/// It cannot be made.
pub fn made(book: &Book, visit: Id<Visit>, options: Options) -> Result<Made> {
    let mut watch = |_| ControlFlow::Continue(());
    Ok(report(book, visit, options, &mut watch)?)
}

/// The report and the card of every sample survey in a folder, in every language.
///
/// # Errors
/// One of them cannot be made or written.
pub fn write_all(folder: &Path) -> Result<()> {
    std::fs::create_dir_all(folder)?;
    let books = tempfile::tempdir()?;
    for name in SAMPLES {
        let records = sample(name)?;
        let (book, visits) = book_of(&books.path().join(format!("{name}.taut")), &records)?;
        let visit = *visits.first().context("a visit")?;
        for language in Language::ALL {
            let paper = match language {
                Language::English => Paper::Letter,
                Language::Spanish | Language::French => Paper::A4,
            };
            let options = Options::of(&records, language, paper);
            let code = language.code();
            let made = made(&book, visit, options)?;
            std::fs::write(folder.join(format!("{name}-{code}.pdf")), made.pdf)?;
            for (at, line) in records.lines.iter().enumerate() {
                let mut watch = |_| ControlFlow::Continue(());
                let made = card(&book, CardOf::Line(line.id), options, &mut watch)?;
                std::fs::write(folder.join(format!("{name}-card{at}-{code}.pdf")), made.pdf)?;
            }
        }
    }
    Ok(())
}
