//! Day files taken in, into a book opened for that alone.

use std::path::{Path, PathBuf};

use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::{DayFileError, Progress, TakenIn, VerifiedDayFile};
use tautbook_core::language::Language;

use super::Tell;
use super::outgoing::share;

/// A day file that was taken in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Taken {
    /// The file.
    pub(crate) file: PathBuf,
    /// The visits in it: customer, site and date.
    pub(crate) visits: Vec<String>,
    /// What came of it.
    pub(crate) taken: TakenIn,
}

/// A day file that was not taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Refused {
    /// The file.
    pub(crate) file: PathBuf,
    /// Why.
    pub(crate) why: String,
    /// A passphrase would open it.
    pub(crate) locked: bool,
}

pub(super) fn take_in(
    book: &Path,
    file: &Path,
    passphrase: Option<&str>,
    language: Language,
    tell: &mut Tell<'_>,
) -> Result<Taken, Refused> {
    let refused = |why: String, locked| Refused {
        file: file.to_owned(),
        why,
        locked,
    };
    let faulty = |error: DayFileError| {
        let locked = matches!(
            error,
            DayFileError::NeedsPassphrase | DayFileError::WrongPassphrase
        );
        refused(error.said(language), locked)
    };
    let mut watch = |progress: Progress| tell(share(progress));
    let verified = VerifiedDayFile::open(file, passphrase, &mut watch).map_err(faulty)?;
    let visits = verified.manifest().visits.iter();
    let visits = visits
        .map(|visit| format!("{}, {}, {}", visit.customer, visit.site, visit.date))
        .collect();
    let (mut book, _) = Book::open(book, OpenMode::Existing, Box::new(SystemClock))
        .map_err(|error| refused(error.said(language), false))?;
    let taken = verified.take_into(&mut book, &mut watch).map_err(faulty)?;
    Ok(Taken {
        file: file.to_owned(),
        visits,
        taken,
    })
}
