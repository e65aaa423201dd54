//! The files of a book in one archive, to be taken where it can be looked after.

use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use zip::write::{SimpleFileOptions, StreamWriter};
use zip::{CompressionMethod, ZipWriter};

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
/// [`NotFound`](io::ErrorKind::NotFound) where there is no book; else what comes of writing to `to`.
pub fn pack<W: Write>(book: &Path, to: W) -> io::Result<(W, Packed)> {
    if !book.is_file() {
        return Err(io::ErrorKind::NotFound.into());
    }
    let mut zip = ZipWriter::new_stream(to);
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
    let opened = File::open(file).and_then(|file| Ok((file.metadata()?.len(), file)));
    let Ok((length, file)) = opened else {
        return Ok(false);
    };
    let mut from = Patched::new(file, length);
    io::copy(&mut from, zip)?;
    Ok(!from.broken)
}

/// A file with zeros where it cannot be read.
struct Patched<R> {
    file: R,
    length: u64,
    at: u64,
    broken: bool,
}

impl<R> Patched<R> {
    fn new(file: R, length: u64) -> Self {
        Self {
            file,
            length,
            at: 0,
            broken: false,
        }
    }
}

impl<R: Read + Seek> Read for Patched<R> {
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
pub(super) fn log_of(book: &Path) -> PathBuf {
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A file of a storage that cannot read one of its blocks.
    struct Bad {
        file: io::Cursor<Vec<u8>>,
        block: std::ops::Range<u64>,
    }

    impl Read for Bad {
        fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
            let at = self.file.position();
            if self.block.contains(&at) {
                return Err(io::Error::other("a block that cannot be read"));
            }
            let before = if at < self.block.start {
                usize::try_from(self.block.start - at)
                    .unwrap()
                    .min(into.len())
            } else {
                into.len()
            };
            self.file.read(&mut into[..before])
        }
    }

    impl Seek for Bad {
        fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
            self.file.seek(to)
        }
    }

    #[test]
    fn only_what_cannot_be_read_is_zeros() {
        let sound: Vec<u8> = (0..20_000_u32).map(|n| n.to_le_bytes()[0] | 1).collect();
        for (from, to) in [(8192, 12288), (8192, 16384), (16384, 20_000), (0, 4096)] {
            let file = Bad {
                file: io::Cursor::new(sound.clone()),
                block: from..to,
            };
            let mut patched = Patched::new(file, 20_000);
            let mut read = Vec::new();
            patched.read_to_end(&mut read).unwrap();
            assert!(patched.broken);
            let (from, to) = (usize::try_from(from).unwrap(), usize::try_from(to).unwrap());
            let mut with_zeros = sound.clone();
            with_zeros[from..to].fill(0);
            assert!(read == with_zeros, "{from} to {to}: {} bytes", read.len());
        }
    }
}
