//! Files of records in and out.

use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail};
use tautbook_core::book::{Book, Imported, Which};
use tautbook_core::dayfile::RecordsFile;

use crate::{Outcome, books, print};

/// `tautbook import`: each file all or nothing. A file that cannot be taken in does not keep the
/// others out.
pub(crate) fn import(book: Option<&Path>, files: &[PathBuf]) -> anyhow::Result<Outcome> {
    let (mut book, opened) = books::open_or_start(book)?;
    if opened.started {
        eprintln!("tautbook: started a new book at {}", book.path().display());
    }
    let mut outcome = Outcome::Fine;
    for file in files {
        match import_one(&mut book, file) {
            Ok(text) => print(&text)?,
            Err(error) => {
                outcome = Outcome::Faults;
                eprintln!("tautbook: {}: {error:#}", file.display());
            }
        }
    }
    Ok(outcome)
}

fn import_one(book: &mut Book, file: &Path) -> anyhow::Result<String> {
    let bytes = std::fs::read(file).context("the file could not be read")?;
    let records = RecordsFile::read(&bytes)?.records;
    let report = book
        .import(&records)
        .context("nothing of this file was taken in")?
        .value;
    let mut text = format!("{}\n", file.display());
    let line = |text: &mut String, name: &str, count: Imported| {
        writeln!(
            text,
            "  {name:<16}{:>6} added {:>6} changed {:>6} unchanged",
            count.added, count.changed, count.unchanged
        )
    };
    for (kind, count) in &report.kinds {
        line(&mut text, &kind.as_str().replace('_', " "), *count)?;
    }
    line(&mut text, "in all", report.total())?;
    Ok(text)
}

/// `tautbook export`: one visit with everything on it, set aside or not.
pub(crate) fn export(
    book: Option<&Path>,
    visit: &str,
    out: Option<&Path>,
) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let visit = books::find_visit(&book, visit)?;
    let text = RecordsFile::new(book.visit_records(visit, Which::All)?).write()?;
    let Some(out) = out else {
        print(&text)?;
        return Ok(Outcome::Fine);
    };
    let mut file = match std::fs::File::create_new(out) {
        Ok(file) => file,
        Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
            bail!(
                "{} is there already and was left as it is: name another file",
                out.display()
            )
        }
        Err(error) => {
            return Err(error).with_context(|| format!("{} could not be written", out.display()));
        }
    };
    let written = file
        .write_all(text.as_bytes())
        .and_then(|()| file.sync_all());
    if let Err(error) = written {
        // Half a file is worse than none.
        std::fs::remove_file(out).ok();
        return Err(error).with_context(|| format!("{} could not be written", out.display()));
    }
    Ok(Outcome::Fine)
}
