//! Day files: written and taken in over a book opened for that alone.

use std::fs;
use std::path::{Path, PathBuf};

use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::{DayFile, DayFileError, Progress, Step, TakenIn, VerifiedDayFile};
use tautbook_core::survey::{Id, Visit};

use super::Tell;

/// A day file to be written.
#[derive(Debug)]
pub(crate) struct Outgoing {
    /// The book.
    pub(crate) book: PathBuf,
    /// Where the file goes; a number is put behind its name where there is one already.
    pub(crate) folder: PathBuf,
    /// Its name without an ending.
    pub(crate) name: String,
    /// What goes in.
    pub(crate) visits: Vec<Id<Visit>>,
    /// What locks it.
    pub(crate) passphrase: Option<String>,
}

/// A day file that is on the disk.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Sent {
    /// The file.
    pub(crate) file: PathBuf,
    /// Its length in bytes.
    pub(crate) bytes: u64,
    /// The records in it.
    pub(crate) records: u64,
    /// The pictures in it.
    pub(crate) photos: usize,
    /// Why pictures were left out, a sentence each.
    pub(crate) left_out: Vec<String>,
    /// It is locked.
    pub(crate) locked: bool,
}

/// A day file that was taken in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Taken {
    /// Its name.
    pub(crate) name: String,
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

impl Outgoing {
    pub(super) fn write(&self, tell: &mut Tell<'_>) -> Result<Sent, String> {
        let said = |error: DayFileError| error.to_string();
        let (book, _) = Book::open(&self.book, OpenMode::ReadOnly, Box::new(SystemClock))
            .map_err(|error| error.to_string())?;
        fs::create_dir_all(&self.folder).map_err(|error| {
            let io = DayFileError::Io {
                path: self.folder.clone(),
                detail: error.to_string(),
            };
            io.to_string()
        })?;
        let day = DayFile {
            visits: self.visits.clone(),
            passphrase: self.passphrase.clone(),
            ..DayFile::default()
        };
        let mut watch = |progress: Progress| tell(share(progress));
        let ending = if self.passphrase.is_some() {
            "zip.age"
        } else {
            "zip"
        };
        let mut n = 1;
        let (file, written) = loop {
            let behind = if n == 1 {
                String::new()
            } else {
                format!("-{n}")
            };
            let file = self.folder.join(format!("{}{behind}.{ending}", self.name));
            match day.write(&book, &file, &mut watch) {
                Err(DayFileError::AlreadyThere { .. }) => n += 1,
                written => break (file, written.map_err(said)?),
            }
        };
        let photos = written.manifest.photos();
        let left_out = written.manifest.photos_left_out;
        Ok(Sent {
            file,
            bytes: written.bytes,
            records: written.manifest.records.values().sum(),
            photos,
            left_out: left_out.into_iter().map(|photo| photo.why).collect(),
            locked: self.passphrase.is_some(),
        })
    }
}

pub(super) fn take_in(
    book: &Path,
    file: &Path,
    passphrase: Option<&str>,
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
        refused(error.to_string(), locked)
    };
    let mut watch = |progress: Progress| tell(share(progress));
    let verified = VerifiedDayFile::open(file, passphrase, &mut watch).map_err(faulty)?;
    let visits = verified.manifest().visits.iter();
    let visits = visits
        .map(|visit| format!("{}, {}, {}", visit.customer, visit.site, visit.date))
        .collect();
    let (mut book, _) = Book::open(book, OpenMode::Existing, Box::new(SystemClock))
        .map_err(|error| refused(error.to_string(), false))?;
    let taken = verified.take_into(&mut book, &mut watch).map_err(faulty)?;
    let name = file.file_name().unwrap_or_default();
    Ok(Taken {
        name: name.to_string_lossy().into_owned(),
        visits,
        taken,
    })
}

/// How far it is: each step with its share of the whole, as long as it usually takes.
fn share(progress: Progress) -> f32 {
    let (from, to) = match progress.step {
        Step::Records => (0.0, 0.05),
        Step::Photos => (0.05, 1.0),
        Step::Verifying => (0.0, 0.6),
        Step::KeepingPhotos => (0.6, 0.95),
        Step::Merging => (0.95, 1.0),
    };
    #[allow(clippy::cast_precision_loss)] // A share to show.
    let part = progress.done as f32 / progress.of.max(1) as f32;
    from + (to - from) * part.clamp(0.0, 1.0)
}
