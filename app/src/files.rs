//! Files in and out: day files, and files of records.

use std::fmt::Write as _;
use std::io::{IsTerminal as _, Read as _, Write as _};
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, bail};
use chrono::NaiveDate;
use tautbook_core::book::{Book, GaveWay, Imported, Which};
use tautbook_core::dayfile::{DayFile, Progress, RecordsFile, Step, VerifiedDayFile};
use tautbook_core::survey::{Id, Kind, Visit};

use crate::{Outcome, books, print};

/// Values that gave way are listed up to this many a file.
const MOST_LISTED: usize = 20;

/// `tautbook import`: each file all or nothing. A file that cannot be taken in does not keep the
/// others out.
pub(crate) fn import(
    book: Option<&Path>,
    files: &[PathBuf],
    passphrase_file: Option<&Path>,
) -> anyhow::Result<Outcome> {
    let passphrase = passphrase_file.map(read_passphrase).transpose()?;
    let files = with_folders(files)?;
    let (mut book, opened) = books::open_or_start(book)?;
    if opened.started {
        eprintln!("tautbook: started a new book at {}", book.path().display());
    }
    let mut outcome = Outcome::Fine;
    for file in &files {
        match import_one(&mut book, file, passphrase.as_deref()) {
            Ok(text) => print(&text)?,
            Err(error) => {
                outcome = Outcome::Faults;
                eprintln!("tautbook: {}: {error:#}", file.display());
            }
        }
    }
    Ok(outcome)
}

/// The files named, with those in folders that are named, by name.
fn with_folders(named: &[PathBuf]) -> anyhow::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for path in named {
        if !path.is_dir() {
            files.push(path.clone());
            continue;
        }
        let wrong = || format!("the folder {} could not be read", path.display());
        let mut found = Vec::new();
        for entry in std::fs::read_dir(path).with_context(wrong)? {
            let entry = entry.with_context(wrong)?.path();
            let ending = entry.extension().and_then(|ending| ending.to_str());
            if entry.is_file() && matches!(ending, Some("zip" | "age" | "json")) {
                found.push(entry);
            }
        }
        if found.is_empty() {
            bail!(
                "there is no day file (.zip, .zip.age) and no file of records (.json) in {}",
                path.display()
            );
        }
        found.sort();
        files.append(&mut found);
    }
    Ok(files)
}

fn read_passphrase(file: &Path) -> anyhow::Result<String> {
    let text = std::fs::read_to_string(file)
        .with_context(|| format!("the passphrase in {} could not be read", file.display()))?;
    match text.lines().next() {
        Some(line) if !line.is_empty() => Ok(line.to_owned()),
        _ => bail!(
            "{} has no passphrase: write it as the first line",
            file.display()
        ),
    }
}

fn import_one(book: &mut Book, file: &Path, passphrase: Option<&str>) -> anyhow::Result<String> {
    let text = if is_json(file)? {
        let bytes = std::fs::read(file).context("the file could not be read")?;
        let records = RecordsFile::read(&bytes)?.records;
        let report = book
            .import(&records)
            .context("nothing of this file was taken in")?
            .value;
        counted(&report.kinds, report.total())?
    } else {
        let mut watch = told();
        let taken = VerifiedDayFile::open(file, passphrase, &mut watch)?
            .take_into(book, &mut watch)
            .context("nothing of this file was taken in");
        drop(watch);
        let taken = taken?;
        let mut text = counted(&taken.merged.kinds, taken.merged.total())?;
        writeln!(
            text,
            "  {:<16}{:>6} added {:>6} known before",
            "picture files", taken.photos_added, taken.photos_known
        )?;
        gave_way(&mut text, &taken.merged.gave_way)?;
        text
    };
    Ok(format!("{}\n{text}", file.display()))
}

/// Whether a file begins as JSON does; everything else is looked at as a day file.
fn is_json(file: &Path) -> anyhow::Result<bool> {
    let mut start = Vec::new();
    std::fs::File::open(file)
        .and_then(|file| file.take(64).read_to_end(&mut start))
        .context("the file could not be read")?;
    let first = start
        .strip_prefix("\u{feff}".as_bytes())
        .unwrap_or(&start)
        .iter()
        .find(|byte| !byte.is_ascii_whitespace());
    let ending = file.extension().and_then(|ending| ending.to_str());
    Ok(matches!(first, Some(b'{' | b'[')) || ending == Some("json"))
}

fn counted(kinds: &[(Kind, Imported)], total: Imported) -> anyhow::Result<String> {
    let mut text = String::new();
    let line = |text: &mut String, name: &str, count: Imported| {
        writeln!(
            text,
            "  {name:<16}{:>6} added {:>6} changed {:>6} unchanged",
            count.added, count.changed, count.unchanged
        )
    };
    for (kind, count) in kinds {
        line(&mut text, &kind.as_str().replace('_', " "), *count)?;
    }
    line(&mut text, "in all", total)?;
    Ok(text)
}

/// What two devices wrote without seeing each other's: a person decides whether the later is right.
fn gave_way(text: &mut String, values: &[GaveWay]) -> anyhow::Result<()> {
    if values.is_empty() {
        return Ok(());
    }
    let n = values.len();
    let s = if n == 1 { "" } else { "s" };
    writeln!(
        text,
        "  {n} value{s} gave way to later ones of another device; look whether that is right:"
    )?;
    for value in values.iter().take(MOST_LISTED) {
        writeln!(
            text,
            "    {} {}: {} gave way to {}{}",
            value.of,
            value.field,
            value.value,
            value.to,
            value
                .refused
                .as_ref()
                .map_or_else(String::new, |why| format!(" ({why})"))
        )?;
    }
    if n > MOST_LISTED {
        writeln!(text, "    and {} more", n - MOST_LISTED)?;
    }
    Ok(())
}

/// Tells on standard error how far it is, where a person looks at it.
fn told() -> impl FnMut(Progress) -> ControlFlow<()> {
    let seen = std::io::stderr().is_terminal();
    let mut last = String::new();
    move |progress| {
        if seen {
            let what = match progress.step {
                Step::Records => "reading the book",
                Step::Photos => "writing pictures",
                Step::Verifying => "verifying",
                Step::KeepingPhotos => "keeping pictures",
                Step::Merging => "merging",
            };
            let percent = (progress.done.saturating_mul(100))
                .checked_div(progress.of)
                .unwrap_or(100);
            let line = format!("{what} {percent} %");
            if line != last {
                let end = if progress.step == Step::Merging && percent == 100 {
                    "\r                          \r"
                } else {
                    ""
                };
                eprint!("\r{line:<26}{end}");
                last = line;
            }
        }
        ControlFlow::Continue(())
    }
}

/// `tautbook export`: what the ending of `out` says.
pub(crate) fn export(
    book: Option<&Path>,
    visits: &[String],
    day: Option<NaiveDate>,
    out: Option<&Path>,
    passphrase_file: Option<&Path>,
) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let mut chosen = Vec::new();
    if let Some(day) = day {
        let visits = book.visits(0, u32::MAX)?;
        chosen.extend(
            visits
                .iter()
                .filter(|v| v.date == day)
                .map(|visit| visit.id),
        );
        if chosen.is_empty() {
            bail!("there is no visit of {day} in this book: see them with `tautbook show`");
        }
    }
    for visit in visits {
        chosen.push(books::find_visit(&book, visit)?);
    }
    let ending = out
        .and_then(|out| out.extension())
        .and_then(|ending| ending.to_str());
    match (out, ending) {
        (Some(out), Some(ending @ ("zip" | "age"))) => {
            let passphrase = passphrase_file.map(read_passphrase).transpose()?;
            if (ending == "age") != passphrase.is_some() {
                bail!(
                    "a locked day file ends in .zip.age and is written with --passphrase-file, one \
                     that is not locked in .zip without: {} was not written",
                    out.display()
                );
            }
            export_day(&book, chosen, out, passphrase)
        }
        (None, _) | (_, Some("json")) => {
            let [visit] = chosen.as_slice() else {
                bail!(
                    "a file of records holds one visit: for {} of them name a day file with \
                     --out FILE.zip",
                    chosen.len()
                );
            };
            export_records(&book, *visit, out)
        }
        (Some(out), _) => bail!(
            "name the file {} with what it is to be: .zip a day file, .zip.age a locked one, .json \
             the records of one visit",
            out.display()
        ),
    }
}

fn export_day(
    book: &Book,
    visits: Vec<Id<Visit>>,
    out: &Path,
    passphrase: Option<String>,
) -> anyhow::Result<Outcome> {
    let day = DayFile {
        visits,
        passphrase,
        ..DayFile::default()
    };
    let mut watch = told();
    let written = day.write(book, out, &mut watch);
    drop(watch);
    if std::io::stderr().is_terminal() {
        eprint!("\r                          \r");
    }
    let written = written?;
    let mut text = format!("{}: {} bytes\n", out.display(), written.bytes);
    for visit in &written.manifest.visits {
        writeln!(text, "  {}  {}, {}", visit.date, visit.customer, visit.site)?;
    }
    let records: u64 = written.manifest.records.values().sum();
    writeln!(text, "  {records} records with their history")?;
    print(&text)?;
    let left_out = &written.manifest.photos_left_out;
    for photo in left_out {
        eprintln!("tautbook: left out: {}", photo.why);
    }
    if left_out.is_empty() {
        Ok(Outcome::Fine)
    } else {
        Ok(Outcome::Faults)
    }
}

fn export_records(book: &Book, visit: Id<Visit>, out: Option<&Path>) -> anyhow::Result<Outcome> {
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
