//! Why a picture was not taken in, kept or found, told so that a person knows what to do.

use std::io;
use std::path::Path;

use thiserror::Error;

use super::Format;
use crate::language::{Language, Word};
use crate::say;

/// Why a picture could not be taken in, kept or read. Nothing was changed by the attempt.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}", self.for_the_desk())]
pub enum PhotoError {
    /// There is nothing in it.
    Empty,
    /// The file is larger than any picture that can be taken in.
    FileTooLarge {
        /// Its size in megabytes.
        megabytes: u64,
        /// The largest that is read, in megabytes.
        most: u64,
    },
    /// A kind of file that is recognised but not read.
    Foreign {
        /// What it is, with its article.
        what: Word,
        /// What to do.
        advice: Word,
    },
    /// Nothing that is known.
    Unknown,
    /// More pixels than may be decoded.
    TooManyPixels {
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
    },
    /// It ends too early.
    Truncated {
        /// What it is.
        format: Format,
    },
    /// It cannot be decoded.
    Damaged {
        /// What it is.
        format: Format,
        /// What the decoder said.
        detail: String,
    },
    /// A rare kind of a format that is read.
    Rare {
        /// What it is.
        format: Format,
        /// What is rare about it.
        what: &'static str,
    },
    /// The caller called it off.
    Cancelled,
    /// A file that is not there.
    Missing {
        /// Where it was looked for.
        path: String,
    },
    /// A file that may not be read.
    NotAllowed {
        /// Which.
        path: String,
    },
    /// The folder of the pictures may not be written.
    ReadOnly {
        /// Which.
        path: String,
    },
    /// There is no room.
    DiskFull,
    /// The file system failed.
    Io {
        /// Which.
        path: String,
        /// What the system said.
        detail: String,
    },
    /// A kept picture that is not there.
    Lost {
        /// The file's name.
        name: String,
    },
    /// A kept picture that is not what it was.
    Altered {
        /// The file's name.
        name: String,
    },
    /// A mark that cannot be drawn.
    Mark(Word),
    /// Something that was not expected.
    Internal(String),
}

impl PhotoError {
    /// It in a language.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        match self {
            Self::Empty => say!(
                language,
                "the picture's file is empty: take the picture again or choose another"
            ),
            Self::FileTooLarge { megabytes, most } => say!(
                language,
                "the file has {megabytes} MB, more than the {most} MB that are read: choose a smaller picture, or take it at a smaller size",
                megabytes = megabytes,
                most = most
            ),
            Self::Foreign { what, advice } => say!(
                language,
                "this is {what}: {advice}",
                what = what.said(language),
                advice = advice.said(language)
            ),
            Self::Unknown => say!(
                language,
                "this file is no picture that can be read: choose a JPEG, PNG or WebP"
            ),
            Self::TooManyPixels { width, height } => say!(
                language,
                "the picture is {width} x {height} pixels, more than can be opened here: take it at a smaller size, or save it smaller and choose that",
                width = width,
                height = height
            ),
            Self::Truncated { format } => say!(
                language,
                "the {format} picture is cut short: copy the whole file and choose it again, or take the picture again",
                format = format
            ),
            Self::Damaged { format, detail } => say!(
                language,
                "the {format} picture is damaged ({detail}): take it again or choose another",
                format = format,
                detail = detail
            ),
            Self::Rare { format, what } => say!(
                language,
                "this {format} picture is of a rare kind ({what}): save it as an ordinary JPEG and choose that",
                format = format,
                what = what
            ),
            Self::Cancelled => say!(
                language,
                "taking in the picture was called off: nothing was kept"
            ),
            Self::Missing { path } => say!(
                language,
                "there is no file {path}: choose the picture again",
                path = path
            ),
            Self::NotAllowed { path } => say!(
                language,
                "{path} may not be read: allow Tautbook to see your pictures, or choose another",
                path = path
            ),
            Self::ReadOnly { path } => say!(
                language,
                "the picture cannot be kept: the folder {path} is read-only or not ours to write; move the book to a folder you may write to. Nothing was saved by this step",
                path = path
            ),
            Self::DiskFull => say!(
                language,
                "the storage is full: the picture was not kept and what was saved before is safe; free some space and take it again"
            ),
            Self::Io { path, detail } => say!(
                language,
                "{path} could not be read or written ({detail}): check the storage",
                path = path,
                detail = detail
            ),
            Self::Lost { .. } => say!(
                language,
                "the file of this picture is missing: take in a day file that holds it, or put it back from a copy of the photos folder"
            ),
            Self::Altered { .. } => say!(
                language,
                "the file of this picture was changed or damaged since it was kept: take in a day file that holds it, or put it back from a copy of the photos folder"
            ),
            Self::Mark(why) => why.said(language).to_owned(),
            Self::Internal(detail) => say!(
                language,
                "the picture could not be worked on ({detail}); nothing was changed",
                detail = detail
            ),
        }
    }
}

impl PhotoError {
    /// In English, with the file's name, which a screen has no use for.
    fn for_the_desk(&self) -> String {
        let said = self.said(Language::English);
        match self {
            Self::Lost { name } | Self::Altered { name } => format!("{said} ({name})"),
            _ => said,
        }
    }

    pub(super) fn damaged(format: Format, detail: &dyn std::fmt::Display) -> Self {
        Self::Damaged {
            format,
            detail: detail.to_string(),
        }
    }

    /// What went wrong while reading somebody's picture.
    pub(super) fn reading(path: &Path, error: &io::Error) -> Self {
        let path = path.display().to_string();
        match error.kind() {
            io::ErrorKind::NotFound => Self::Missing { path },
            io::ErrorKind::PermissionDenied => Self::NotAllowed { path },
            _ => Self::Io {
                path,
                detail: error.to_string(),
            },
        }
    }

    /// What went wrong while writing in our own folder.
    pub(super) fn writing(path: &Path, error: &io::Error) -> Self {
        let path = path.display().to_string();
        match error.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Self::DiskFull,
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                Self::ReadOnly { path }
            }
            _ => Self::Io {
                path,
                detail: error.to_string(),
            },
        }
    }
}
