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
        // Empty again.
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
    // The book first: without its log it could be opened as it was before.
    std::fs::rename(book, into(book))?;
    if log.exists()
        && let Err(error) = std::fs::rename(&log, into(&log))
    {
        std::fs::rename(into(book), book)?;
        return Err(error);
    }
    Ok(())
}
