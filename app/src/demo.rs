//! The book of sample surveys.

use std::path::{Path, PathBuf};

use anyhow::Context as _;
use tautbook_core::book::{Book, OpenMode, Opened};
use tautbook_core::dayfile::RecordsFile;

use crate::books;

/// The sample surveys, as files of records.
const SAMPLES: [(&str, &str); 3] = [
    (
        "tile-maker.json",
        include_str!("../../sample-surveys/tile-maker.json"),
    ),
    (
        "bottling-plant.json",
        include_str!("../../sample-surveys/bottling-plant.json"),
    ),
    (
        "parts-warehouse.json",
        include_str!("../../sample-surveys/parts-warehouse.json"),
    ),
];

/// Opens the sample book, started with the sample surveys where there is none. With `fresh` an
/// old one is moved aside first.
pub(crate) fn demo_book(book: Option<&Path>, fresh: bool) -> anyhow::Result<(Book, Opened)> {
    let path = match book {
        Some(path) => path.to_owned(),
        None => {
            let folder = books::data_folder()?;
            std::fs::create_dir_all(&folder)
                .with_context(|| format!("the folder {} could not be made", folder.display()))?;
            folder.join("demo.taut")
        }
    };
    if fresh && path.exists() {
        let aside = move_aside(&path)?;
        eprintln!("tautbook: the old sample book is now {}", aside.display());
    }
    let (mut book, opened) = books::open_at(&path, OpenMode::OpenOrStart)?;
    if opened.started {
        for (name, text) in SAMPLES {
            let records = RecordsFile::read(text.as_bytes())
                .with_context(|| format!("the sample {name}"))?
                .records;
            book.import(&records)
                .with_context(|| format!("the sample {name}"))?;
        }
    }
    Ok((book, opened))
}

/// Renames a book, with the log beside it, to the first free name.
fn move_aside(path: &Path) -> anyhow::Result<PathBuf> {
    let beside = |suffix: &str| {
        let mut name = path.as_os_str().to_owned();
        name.push(suffix);
        PathBuf::from(name)
    };
    let suffix = (1_u32..)
        .map(|n| format!(".old-{n}"))
        .find(|suffix| !beside(suffix).exists())
        .context("there is no free name")?;
    for log in ["-wal", "-shm"] {
        if beside(log).exists() {
            std::fs::rename(beside(log), beside(&format!("{suffix}{log}")))
                .with_context(|| format!("{} could not be moved aside", path.display()))?;
        }
    }
    let aside = beside(&suffix);
    std::fs::rename(path, &aside)
        .with_context(|| format!("{} could not be moved aside", path.display()))?;
    Ok(aside)
}
