//! Pictures: taken in from a camera or a file, kept beside the book, marked.
//!
//! [`prepare`] turns what a camera or a picker gives into what is kept: upright, not larger than
//! need be, without the position. It touches no file and no book, so it can run on a worker thread
//! with its progress told and its work called off. [`PhotoFolder`] puts the outcome on disk; only
//! what is there, a [`Kept`], can be recorded in the book ([`crate::book::Act::add_photo`]).
//! [`mark`] draws on a copy.

mod colour;
mod decode;
mod encode;
mod error;
mod exif;
mod folder;
mod format;
mod intake;
mod jpeg_outline;
mod mark;
mod options;
mod orient;
mod pixels;
mod progress;
mod resize;
mod shown;
mod text;

pub use error::PhotoError;
pub(crate) use folder::sync_above;
pub use folder::{Kept, PhotoFolder};
pub use format::{Format, recognise};
pub(crate) use intake::hex;
pub use intake::{Note, Prepared, Source, prepare};
pub use mark::{Mark, Shape, Spot, mark};
pub use options::{Keep, Options};
pub use progress::{Progress, Step};
pub use shown::{Shown, shown};
