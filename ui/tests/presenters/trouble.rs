//! Which books another may be started in place of.

use tautbook_core::book::{Book, BookError, FixedClock, OpenMode};
use tautbook_ui::trouble;

use crate::{Desk, at};

fn refused(path: &std::path::Path) -> BookError {
    Book::open(path, OpenMode::OpenOrStart, Box::new(FixedClock(at(0))))
        .err()
        .unwrap()
}

#[test]
fn only_a_book_that_will_not_open_again_may_be_replaced() {
    let desk = Desk::new();
    let newer = BookError::Newer { found: 9, known: 1 };
    for passing in [
        BookError::Busy,
        BookError::DiskFull,
        BookError::ReadOnly,
        newer,
    ] {
        assert!(!trouble::can_be_replaced(&passing), "{passing}");
    }

    let folder = tempfile::tempdir().unwrap();
    let letter = folder.path().join("book.taut");
    std::fs::write(&letter, "Dear customer, ".repeat(400)).unwrap();
    let other = refused(&letter);
    assert!(matches!(other, BookError::NotABook { .. }), "{other}");
    assert!(trouble::can_be_replaced(&other));

    let path = desk.path();
    let copy = folder.path().join("copy.taut");
    let folder_kept = desk.close();
    let mut bytes = std::fs::read(&path).unwrap();
    // Of a healthy book, all but its head.
    let from = bytes.len() / 8;
    bytes[from..].fill(0xa5);
    std::fs::write(&copy, bytes).unwrap();
    let damaged = refused(&copy);
    assert!(trouble::can_be_replaced(&damaged), "{damaged}");
    assert!(Book::open(&path, OpenMode::OpenOrStart, Box::new(FixedClock(at(0)))).is_ok());
    drop(folder_kept);
}
