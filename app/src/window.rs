//! The window on a book.

use std::path::Path;

use tautbook_core::book::{Book, Opened};

/// Opens the window on `book` and returns when it is closed. With `pictures`, writes pictures of
/// the main screens to that folder and closes by itself.
///
/// # Errors
/// Without a display, or when a picture cannot be written.
pub(crate) fn open_window(
    book: Book,
    opened: Opened,
    pictures: Option<&Path>,
) -> anyhow::Result<()> {
    drop((book, opened));
    let wanted = pictures.map_or(String::new(), |folder| format!(" ({})", folder.display()));
    anyhow::bail!("the window is not wired in yet{wanted}")
}
