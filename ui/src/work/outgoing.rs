//! Files to hand over, made over a book opened for that alone.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::{
    DayFile, DayFileError, PhotoLeftOut, Progress, ReportFile, Step, write_whole,
};
use tautbook_core::language::Language;
use tautbook_core::report::{CardOf, Made, Options, ReportError, card, report};
use tautbook_core::survey::{Id, Line, Visit};

use super::Tell;

/// A file to be made.
#[derive(Debug)]
pub(crate) struct Outgoing {
    /// The book.
    pub(crate) book: PathBuf,
    /// Where the file goes; a number is put behind its name where there is one already.
    pub(crate) folder: PathBuf,
    /// Its name without an ending.
    pub(crate) name: String,
    /// What it is.
    pub(crate) what: What,
}

/// What is made.
#[derive(Debug)]
pub(crate) enum What {
    /// A day file.
    Day {
        /// What goes in.
        visits: Vec<Id<Visit>>,
        /// How the report of each visit is made that goes with it, and its title.
        reports: Vec<(Id<Visit>, String, Options)>,
        /// What locks it.
        passphrase: Option<String>,
    },
    /// The customer's report of a visit.
    Report(Id<Visit>, Options),
    /// The loading card of a line of a visit.
    Card(Id<Visit>, Id<Line>, Options),
}

/// A file that is on the disk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Sent {
    /// The file.
    pub(crate) file: PathBuf,
    /// Its length in bytes.
    pub(crate) bytes: u64,
    /// What is in it.
    pub(crate) holds: Holds,
    /// How many actions the book had when it was read for this: with more of them it is out of date.
    #[serde(default)]
    pub(crate) actions: u64,
}

/// What is in a file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Holds {
    /// A day's work.
    Day {
        /// The records in it.
        records: u64,
        /// The pictures in it.
        photos: usize,
        /// The reports in it.
        reports: usize,
        /// Why pictures were left out, a sentence each.
        left_out: Vec<String>,
        /// It is locked.
        locked: bool,
    },
    /// Pages for people.
    Pages {
        /// How many.
        pages: usize,
        /// Letters that stand as question marks.
        missing: String,
        /// How many pictures are missing or damaged.
        photos_missing: usize,
    },
}

/// How much of the work on a day file the reports in it are.
const REPORTS_PART: f32 = 0.5;

impl Outgoing {
    pub(super) fn write(&self, language: Language, tell: &mut Tell<'_>) -> Result<Sent, String> {
        let (book, _) = Book::open(&self.book, OpenMode::ReadOnly, Box::new(SystemClock))
            .map_err(|error| error.said(language))?;
        fs::create_dir_all(&self.folder).map_err(|error| {
            let io = DayFileError::Io {
                path: self.folder.clone(),
                detail: error.to_string(),
            };
            io.said(language)
        })?;
        let actions = book.action_count().map_err(|error| error.said(language))?;
        let made = self.made(&book, language, tell)?;
        Ok(Sent { actions, ..made })
    }

    fn made(&self, book: &Book, language: Language, tell: &mut Tell<'_>) -> Result<Sent, String> {
        match &self.what {
            What::Day {
                visits,
                reports,
                passphrase,
            } => {
                let reports = made_reports(book, reports, language, tell)?;
                let from = if reports.is_empty() {
                    0.0
                } else {
                    REPORTS_PART
                };
                let day = DayFile {
                    visits: visits.clone(),
                    reports,
                    passphrase: passphrase.clone(),
                };
                let mut tell = |part: f32| tell(from + (1.0 - from) * part);
                self.day(book, &day, language, &mut tell)
            }
            What::Report(visit, options) => {
                let made = pages(language, tell, |watch| {
                    report(book, *visit, *options, watch)
                })?;
                self.pages(&made, language)
            }
            What::Card(_, line, options) => {
                let of = CardOf::Line(*line);
                let made = pages(language, tell, |watch| card(book, of, *options, watch))?;
                self.pages(&made, language)
            }
        }
    }

    /// Gives the file the first name that is free.
    fn named<T>(
        &self,
        ending: &str,
        language: Language,
        mut write: impl FnMut(&Path) -> Result<T, DayFileError>,
    ) -> Result<(PathBuf, T), String> {
        let mut n = 1;
        loop {
            let behind = if n == 1 {
                String::new()
            } else {
                format!("-{n}")
            };
            let file = self.folder.join(format!("{}{behind}.{ending}", self.name));
            match write(&file) {
                Err(DayFileError::AlreadyThere { .. }) => n += 1,
                Ok(written) => return Ok((file, written)),
                Err(error) => return Err(error.said(language)),
            }
        }
    }

    fn day(
        &self,
        book: &Book,
        day: &DayFile,
        language: Language,
        tell: &mut Tell<'_>,
    ) -> Result<Sent, String> {
        let locked = day.passphrase.is_some();
        let ending = if locked { "zip.age" } else { "zip" };
        let mut watch = |progress: Progress| tell(share(progress));
        let (file, written) =
            self.named(ending, language, |file| day.write(book, file, &mut watch))?;
        let photos = written.manifest.photos();
        let left_out = written.manifest.photos_left_out;
        // The file says why in English; the screen, in the language of the person.
        let folder = book.photo_folder();
        let why = |photo: PhotoLeftOut| match folder.read(&photo.sha256) {
            Ok(_) => photo.why,
            Err(error) => error.said(language),
        };
        Ok(Sent {
            file,
            bytes: written.bytes,
            holds: Holds::Day {
                records: written.manifest.records.values().sum(),
                photos,
                reports: day.reports.len(),
                left_out: left_out.into_iter().map(why).collect(),
                locked,
            },
            actions: 0,
        })
    }

    fn pages(&self, made: &Made, language: Language) -> Result<Sent, String> {
        let (file, ()) = self.named("pdf", language, |file| write_whole(file, &made.pdf))?;
        Ok(Sent {
            file,
            bytes: u64::try_from(made.pdf.len()).unwrap_or(u64::MAX),
            holds: Holds::Pages {
                pages: made.pages,
                missing: made.missing.iter().take(40).collect(),
                photos_missing: made.photos_missing,
            },
            actions: 0,
        })
    }
}

/// Makes pages, telling how far they are.
fn pages(
    language: Language,
    tell: &mut Tell<'_>,
    make: impl FnOnce(
        &mut dyn FnMut(Progress) -> std::ops::ControlFlow<()>,
    ) -> Result<Made, ReportError>,
) -> Result<Made, String> {
    make(&mut |progress: Progress| tell(pages_share(progress)))
        .map_err(|error| error.said(language))
}

fn made_reports(
    book: &Book,
    wanted: &[(Id<Visit>, String, Options)],
    language: Language,
    tell: &mut Tell<'_>,
) -> Result<Vec<ReportFile>, String> {
    #[allow(clippy::cast_precision_loss)] // A share to show.
    let each = REPORTS_PART / wanted.len().max(1) as f32;
    let mut made: Vec<ReportFile> = Vec::new();
    for (visit, title, options) in wanted {
        #[allow(clippy::cast_precision_loss)]
        let from = each * made.len() as f32;
        let mut tell = |part: f32| tell(from + each * part);
        made.push(ReportFile {
            title: title.clone(),
            pdf: pages(language, &mut tell, |watch| {
                report(book, *visit, *options, watch)
            })?
            .pdf,
        });
    }
    Ok(made)
}

/// How far a step is by its own count.
#[allow(clippy::cast_precision_loss)] // A share to show.
fn part(progress: Progress) -> f32 {
    (progress.done as f32 / progress.of.max(1) as f32).clamp(0.0, 1.0)
}

/// How far pages are: what is in them, then the pages themselves.
fn pages_share(progress: Progress) -> f32 {
    match progress.step {
        Step::Records => 0.3 * part(progress),
        _ => 0.3 + 0.7 * part(progress),
    }
}

/// How far the work on a day file is: each step with its share of the whole, as long as it usually
/// takes.
pub(super) fn share(progress: Progress) -> f32 {
    let (from, to) = match progress.step {
        Step::Records => (0.0, 0.05),
        Step::Photos => (0.05, 1.0),
        Step::Verifying => (0.0, 0.6),
        Step::KeepingPhotos => (0.6, 0.95),
        Step::Merging => (0.95, 1.0),
    };
    from + (to - from) * part(progress)
}
