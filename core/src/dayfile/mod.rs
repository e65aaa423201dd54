//! Records as files.
//!
//! A day file takes visits from one device to another. It is a ZIP file with these members:
//!
//! | name | what |
//! |---|---|
//! | `manifest.json` | version of the form, device, counts, size and SHA-256 of every other member |
//! | `records.json` | the records as they are ([`RecordsFile`]) |
//! | `history.json` | how they came to be so ([`crate::book::Journal`]): what merging goes by |
//! | `photos/<SHA-256>.jpg` | the pictures, stored as they are |
//! | `readings.csv`, `loads.csv` | tables for people and spreadsheets |
//! | `reports/*.pdf` | the customers' reports, where there are any |
//!
//! Texts are deflated, pictures and reports stored. With a passphrase the whole ZIP file is inside
//! an age file. [`DayFile::write`] makes one; [`VerifiedDayFile::open`] reads one and verifies every
//! byte before [`VerifiedDayFile::take_into`] changes anything.
//!
//! # Versions
//! The manifest's version goes up when an older Tautbook could misread what is new: it then refuses
//! the file with a clear word. What every version keeps is `format` and `version` in
//! `manifest.json`. A new member, kind or field also takes a new version, since what is not known is
//! refused, never dropped. Older versions stay readable for good.

mod error;
mod manifest;
mod member;
mod progress;
mod read;
mod reader;
mod records;
mod seal;
mod tables;
mod until_failed;
mod write;

pub use error::{DayFileError, MemberFault};
pub use manifest::{Manifest, MemberSum, PhotoLeftOut, VisitInFile};
pub use progress::{Progress, Step, Watch};
pub use read::{TakenIn, VerifiedDayFile};
pub use records::{RecordsError, RecordsFile};
pub use write::{DayFile, ReportFile, Written, write_whole};
