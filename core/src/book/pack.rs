//! The files of a book in one archive, to be taken where it can be looked after.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use zip::write::{SimpleFileOptions, StreamWriter};
use zip::{CompressionMethod, ZipWriter};

use super::BookError;
use crate::photos::PhotoFolder;

/// A part that cannot be read is passed over in steps of so many bytes.
const STEP: u64 = 4096;

/// What came into the archive.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Packed {
    /// Files of pictures.
    pub photos: usize,
    /// Files of which not all could be read.
    pub broken: usize,
}

/// Writes the file of the book at `book`, its log and its pictures to `to` as an archive, as they are. The
/// book is not opened, so that one that is damaged, or of a later Tautbook, can be taken elsewhere:
/// unpacked, it is the folder that [`recover`](super::recover) reads.
///
/// Where a file cannot be read there are zeros in its place.
///
/// # Errors
/// [`BookError::Missing`]; and what comes of writing: [`BookError::DiskFull`], [`BookError::ReadOnly`],
/// [`BookError::Io`].
pub fn pack<W: Write>(book: &Path, to: W) -> Result<(W, Packed), BookError> {
    if !book.is_file() {
        return Err(BookError::Missing {
            path: book.to_owned(),
        });
    }
    fill(book, ZipWriter::new_stream(to)).map_err(|error| BookError::io(book, &error))
}

fn fill<W: Write>(book: &Path, mut zip: ZipWriter<StreamWriter<W>>) -> io::Result<(W, Packed)> {
    let mut packed = Packed::default();
    for file in [book.to_owned(), log_of(book)] {
        if file.exists() {
            packed.broken += usize::from(!add(&mut zip, &name_of(&file), &file)?);
        }
    }
    let photos = PhotoFolder::beside(book);
    for file in photos.files() {
        let within = file.strip_prefix(photos.path()).unwrap_or(&file);
        let name = format!("{}/{}", name_of(photos.path()), in_archive(within));
        packed.broken += usize::from(!add(&mut zip, &name, &file)?);
        packed.photos += 1;
    }
    Ok((zip.finish()?.into_inner(), packed))
}

/// Adds a file; whether all of it could be read.
fn add<W: Write>(
    zip: &mut ZipWriter<StreamWriter<W>>,
    name: &str,
    file: &Path,
) -> io::Result<bool> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .large_file(true);
    zip.start_file(name, options)?;
    let Ok(mut from) = Patched::open(file) else {
        return Ok(false);
    };
    io::copy(&mut from, zip)?;
    Ok(!from.broken)
}

/// A file with zeros where it cannot be read.
struct Patched {
    file: File,
    length: u64,
    at: u64,
    broken: bool,
}

impl Patched {
    fn open(path: &Path) -> io::Result<Self> {
        let file = File::open(path)?;
        let length = file.metadata()?.len();
        Ok(Self {
            file,
            length,
            at: 0,
            broken: false,
        })
    }
}

impl Read for Patched {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let read = match self.file.read(into) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => return Err(error),
            Err(_) => {
                self.broken = true;
                let left = self
                    .length
                    .saturating_sub(self.at)
                    .min(STEP - self.at % STEP);
                let zeros = usize::try_from(left).unwrap_or(usize::MAX).min(into.len());
                into[..zeros].fill(0);
                zeros
            }
            Ok(read) => read,
        };
        self.at += read as u64;
        if self.broken {
            // Where that goes wrong too, the next read says so.
            let _ = self.file.seek(SeekFrom::Start(self.at));
        }
        Ok(read)
    }
}

/// The log of what was written last.
fn log_of(book: &Path) -> PathBuf {
    let mut name = book.as_os_str().to_owned();
    name.push("-wal");
    PathBuf::from(name)
}

fn name_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().into_owned()
}

/// A path within an archive has strokes everywhere.
fn in_archive(path: &Path) -> String {
    let parts: Vec<_> = path.iter().map(|part| part.to_string_lossy()).collect();
    parts.join("/")
}
