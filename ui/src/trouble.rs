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

/// What the window says: why the book cannot be opened, and what can be done.
#[must_use]
pub fn said(why: &str, language: Language) -> String {
    say!(
        language,
        "Your book cannot be opened: {why}. Nothing in it was changed. Send a copy to whoever can look after \
         it; then you can start a new book here.",
        why = why
    )
}

/// What is said beside the way to a new book.
#[must_use]
pub fn before_new(language: Language) -> String {
    say!(
        language,
        "A new book starts empty. This one stays on the phone as it is, and its copy where you sent it. What is \
         recovered from it comes back by a day file."
    )
}
