//! What is said on a phone in place of the screens when its book cannot be opened. A phone has one book, at a
//! place that nobody sees: nothing there is to be chosen, moved or named.

use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::say;

/// Why the book cannot be opened, within a sentence.
#[must_use]
pub fn why(error: &BookError, language: Language) -> String {
    match error {
        BookError::NotABook { .. } => say!(language, "its file holds something else"),
        BookError::Damaged { detail } => {
            say!(language, "it is damaged ({detail})", detail = detail)
        }
        error => error.said(language),
    }
}

/// Whether another book can be started in its place: it is no book that will open again by itself, as one that
/// another program holds or that a newer Tautbook wrote.
#[must_use]
pub const fn can_be_replaced(error: &BookError) -> bool {
    matches!(
        error,
        BookError::NotABook { .. } | BookError::Damaged { .. } | BookError::Unreadable { .. }
    )
}

/// What the window says: why the book cannot be opened, and what can be done.
#[must_use]
pub fn said(why: &str, replaceable: bool, language: Language) -> String {
    let said = say!(
        language,
        "Your book cannot be opened: {why}. Nothing in it was changed.",
        why = why
    );
    if !replaceable {
        return said;
    }
    let then = say!(
        language,
        "Send a copy to whoever can look after it; then you can start a new book here."
    );
    format!("{said} {then}")
}

/// What is said beside the way to a new book.
#[must_use]
pub fn before_new(language: Language) -> String {
    say!(
        language,
        "A new book starts empty. This one stays on the phone as it is, and its copy among the downloads. What \
         is recovered from it comes back by a day file."
    )
}
