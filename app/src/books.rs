//! Where books are kept, opening them, verifying them.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail};
use etcetera::BaseStrategy as _;
use tautbook_core::book::{Book, Fault, OpenMode, Opened, SystemClock};
use tautbook_core::survey::{Id, Visit};

use crate::{Outcome, print};

/// The folder of this user's books.
pub(crate) fn data_folder() -> anyhow::Result<PathBuf> {
    let strategy = etcetera::choose_base_strategy()
        .context("there is no home folder to keep your book in: name the book with --book PATH")?;
    Ok(strategy.data_dir().join("tautbook"))
}

/// The book asked for, or the user's own.
fn path_of(book: Option<&Path>) -> anyhow::Result<PathBuf> {
    match book {
        Some(path) => Ok(path.to_owned()),
        None => Ok(data_folder()?.join("book.taut")),
    }
}

/// Opens the book and starts it where there is none, with its folder if it is the user's own.
pub(crate) fn open_or_start(book: Option<&Path>) -> anyhow::Result<(Book, Opened)> {
    let path = path_of(book)?;
    if book.is_none()
        && let Some(folder) = path.parent()
    {
        std::fs::create_dir_all(folder).with_context(|| {
            format!(
                "the folder {} could not be made for your book",
                folder.display()
            )
        })?;
    }
    open_at(&path, OpenMode::OpenOrStart)
}

/// Opens a book that is there, to read it only.
pub(crate) fn open_to_read(book: Option<&Path>) -> anyhow::Result<Book> {
    Ok(open_at(&path_of(book)?, OpenMode::ReadOnly)?.0)
}

/// Opens a book and says on standard error what was noticed.
pub(crate) fn open_at(path: &Path, mode: OpenMode) -> anyhow::Result<(Book, Opened)> {
    if mode == OpenMode::OpenOrStart
        && let Some(folder) = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty())
        && !folder.is_dir()
    {
        bail!(
            "there is no folder {}: make it first, or name another",
            folder.display()
        );
    }
    let (book, opened) = Book::open(path, mode, Box::new(SystemClock))?;
    if let Some(copy) = &opened.upgraded_from {
        eprintln!(
            "tautbook: the book was upgraded; as it was before it is kept in {}",
            copy.display()
        );
    }
    if let Some(ms) = opened.clock_behind_ms {
        eprintln!(
            "tautbook: this computer's clock is {} minutes behind the last entry in the book: \
             check it",
            ms / 60_000
        );
    }
    Ok((book, opened))
}

/// The visit that `wanted` names: an id, the beginning of one, or `latest`.
pub(crate) fn find_visit(book: &Book, wanted: &str) -> anyhow::Result<Id<Visit>> {
    let visits = book.visits(0, u32::MAX)?;
    let Some(latest) = visits.first() else {
        bail!("there is no visit in this book: take one in with `tautbook import FILE`");
    };
    let wanted = wanted.trim().to_lowercase();
    if wanted == "latest" {
        return Ok(latest.id);
    }
    let matching: Vec<_> = visits
        .iter()
        .filter(|visit| !wanted.is_empty() && visit.id.to_string().starts_with(&wanted))
        .collect();
    match matching.as_slice() {
        [one] => Ok(one.id),
        [] => {
            bail!("no visit has an id that begins with '{wanted}': see them with `tautbook show`")
        }
        several => {
            let mut text = format!(
                "{} visits have ids that begin with '{wanted}': type more of the one you mean",
                several.len()
            );
            for visit in several {
                write!(text, "\n  {}  {}  {}", visit.id, visit.date, visit.customer)?;
            }
            bail!(text)
        }
    }
}

/// `tautbook check`.
pub(crate) fn check(book: Option<&Path>) -> anyhow::Result<Outcome> {
    let path = path_of(book)?;
    let book = open_at(&path, OpenMode::ReadOnly)?.0;
    let report = book.verify()?;
    let mut text = format!("{}\n", path.display());
    for (kind, count) in report.records.iter().filter(|(_, count)| *count > 0) {
        writeln!(text, "  {:<16}{count:>7}", kind.as_str().replace('_', " "))?;
    }
    writeln!(text, "  {:<16}{:>7}", "actions", report.actions)?;
    if report.photo_files > 0 {
        writeln!(text, "  {:<16}{:>7}", "photo files", report.photo_files)?;
    }
    if !report.photo_faults.is_empty() {
        writeln!(
            text,
            "Photos without their file: {}",
            report.photo_faults.len()
        )?;
        for fault in &report.photo_faults {
            writeln!(text, "  {}: {}", fault.photo, fault.error)?;
        }
    }
    if report.faults.is_empty() {
        if report.photo_faults.is_empty() {
            text.push_str("No faults.\n");
            print(&text)?;
            return Ok(Outcome::Fine);
        }
        text.push_str("No faults in the records.\n");
        print(&text)?;
        eprintln!("tautbook: the files of some photos are missing or were changed");
        return Ok(Outcome::Faults);
    }
    let n = report.faults.len();
    writeln!(text, "{n} fault{}:", if n == 1 { "" } else { "s" })?;
    for fault in &report.faults {
        match fault {
            Fault::File(what) => writeln!(text, "  file: {what}")?,
            Fault::Record(record, what) | Fault::History(record, what) => {
                writeln!(text, "  {record}: {what}")?;
            }
            Fault::Link(what) => writeln!(text, "  link: {what}")?,
            Fault::Search(what) => writeln!(text, "  search: {what}")?,
        }
    }
    print(&text)?;
    eprintln!(
        "tautbook: faults were found; copy the book to a safe place, then save what can be read \
         with `tautbook recover {} --to NEW`",
        path.display()
    );
    Ok(Outcome::Faults)
}
