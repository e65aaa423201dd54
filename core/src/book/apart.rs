//! A book that cannot be opened makes room for another.

use std::io;
use std::path::{Path, PathBuf};

use super::pack::log_of;

/// Moves the file of the book at `book` and its log, which nobody may have open, into a folder of their own
/// beside it, so that another book can be started there. Nothing in them is changed. The pictures stay:
/// theirs is the same folder for every book there. Gives the folder: `kept-1`, or the next number that is
/// free.
///
/// # Errors
/// [`NotFound`](io::ErrorKind::NotFound) where there is no book; else what comes of making the folder and
/// of moving the files. All is as before then.
pub fn set_apart(book: &Path) -> io::Result<PathBuf> {
    if !book.is_file() {
        return Err(io::ErrorKind::NotFound.into());
    }
    let folder = folder_beside(book)?;
    let moved = move_into(&folder, book);
    if moved.is_err() {
        // There is a copy of the log in it at most.
        if let Some(log) = log_of(book).file_name() {
            std::fs::remove_file(folder.join(log)).ok();
        }
        std::fs::remove_dir(&folder).ok();
    }
    moved.map(|()| folder)
}

fn folder_beside(book: &Path) -> io::Result<PathBuf> {
    let mut number = 1;
    loop {
        let folder = book.with_file_name(format!("kept-{number}"));
        match std::fs::create_dir(&folder) {
            Ok(()) => return Ok(folder),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => number += 1,
            Err(error) => return Err(error),
        }
    }
}

fn move_into(folder: &Path, book: &Path) -> io::Result<()> {
    let log = log_of(book);
    let into = |file: &Path| folder.join(file.file_name().unwrap_or_default());
    // Whenever this is ended, the book and its log are together in one of the two places. What is left
    // of the log here belongs to no book.
    if log.exists() {
        std::fs::copy(&log, into(&log))?;
        std::fs::File::open(into(&log))?.sync_all()?;
    }
    std::fs::rename(book, into(book))?;
    std::fs::remove_file(&log).ok();
    Ok(())
}
