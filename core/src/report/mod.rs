//! The customer's report and the roll-loading card, as PDF.
//!
//! In four steps, each of its own: [`gather`] takes a visit out of the book and computes what the
//! screens show; `words` says it in the reader's language and units, as pieces of content; `set`
//! measures text, breaks lines and fills pages; `draw` puts them into a file that those who hear
//! it can follow as well (PDF/UA-1). The same book gives the same bytes: no clock, no chance.
//!
//! Readings by the two methods never stand in one table, mean or chart.

mod card;
mod content;
mod draw;
mod gather;
mod paper;
mod set;
mod words;

use thiserror::Error;

use crate::book::{Book, BookError};
use crate::dayfile::{Progress, Step, Watch};
use crate::language::Language;
use crate::say;
use crate::survey::{Id, RecordSet, Visit};
use crate::words::{Reader, units_written};

pub use card::{CardOf, card};
pub use paper::Paper;

/// How a report is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Options {
    /// The paper.
    pub paper: Paper,
    /// The language and the units.
    pub reader: Reader,
}

impl Options {
    /// For the records of a visit in a language: in the units they were written in, with a comma in
    /// numbers where the language has one.
    #[must_use]
    pub fn of(records: &RecordSet, language: Language, paper: Paper) -> Self {
        Self {
            paper,
            reader: Reader {
                units: units_written(records).with_decimal(language.decimal_mark()),
                language,
            },
        }
    }
}

/// A file that was made, and what to know of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// The PDF file.
    pub pdf: Vec<u8>,
    /// How many pages it has.
    pub pages: usize,
    /// Letters its typeface does not have: they stand as question marks.
    pub missing: Vec<char>,
    /// How many pictures are not in it because their files are gone or damaged.
    pub photos_missing: usize,
}

/// A report could not be made.
#[derive(Debug, Error)]
#[error("{}", self.said(Language::English))]
pub enum ReportError {
    /// The book.
    Book(#[from] BookError),
    /// The caller wants no more of it.
    Cancelled,
    /// There are too many pages.
    TooLong,
    /// No line to make a card for.
    NoLine,
    /// The PDF library.
    Drawing(String),
}

impl ReportError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Book(error) => error.said(language),
            Self::Cancelled => say!(language, "called off: nothing was written"),
            Self::TooLong => say!(
                language,
                "the report would have more than 5000 pages: report fewer loads at once"
            ),
            Self::NoLine => say!(
                language,
                "there is no line to make a loading card for: add one to the visit"
            ),
            Self::Drawing(detail) => say!(
                language,
                "the report could not be drawn ({detail})",
                detail = detail
            ),
        }
    }
}

/// All pictures together take about so many bytes at most, so that a report can go by mail; those
/// that would take more are made smaller.
const PHOTO_BYTES: u64 = 18_000_000;

/// The report of a visit.
///
/// # Errors
/// [`ReportError`]: what is wrong with the book, a report called off by `watch`, or a failure of
/// the PDF library.
pub fn report(
    book: &Book,
    visit: Id<Visit>,
    options: Options,
    watch: &mut Watch<'_>,
) -> Result<Made, ReportError> {
    tell(watch, Step::Records, 0, 2)?;
    let report = gather::gather(book, visit)?;
    tell(watch, Step::Records, 1, 2)?;
    let content = words::report(&report, options.reader);
    finish(book, &content, options.paper, watch)
}

/// Sets and draws content.
fn finish(
    book: &Book,
    content: &content::Content,
    paper: Paper,
    watch: &mut Watch<'_>,
) -> Result<Made, ReportError> {
    let set = set::set(content, paper)?;
    tell(watch, Step::Records, 2, 2)?;
    let photos: Vec<u64> = set
        .pages
        .iter()
        .flat_map(|page| &page.marks)
        .filter_map(|placed| match &placed.mark {
            set::Mark::Photo(photo) => Some(photo.bytes),
            _ => None,
        })
        .collect();
    let many = u64::try_from(photos.len().max(1)).unwrap_or(u64::MAX);
    let all: u64 = photos
        .iter()
        .fold(0, |sum, bytes| sum.saturating_add(*bytes));
    let budget = if all <= PHOTO_BYTES {
        u64::MAX
    } else {
        PHOTO_BYTES / many
    };
    let folder = book.photo_folder();
    let photos = draw::Photos::new(&folder, budget);
    let pdf = draw::draw(&set, content, &photos, watch)?;
    Ok(Made {
        pdf,
        pages: set.pages.len(),
        missing: set.missing,
        photos_missing: photos.missing(),
    })
}

fn tell(watch: &mut Watch<'_>, step: Step, done: u64, of: u64) -> Result<(), ReportError> {
    if watch(Progress { step, done, of }).is_break() {
        return Err(ReportError::Cancelled);
    }
    Ok(())
}
