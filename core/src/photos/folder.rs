//! The pictures' files, in a folder beside the book.
//!
//! `photos/ab/abcdef….jpg` is the picture whose SHA-256 that is, `photos/thumbs/ab/…` its
//! thumbnail. A file is written under another name, brought to the disk and only then given its
//! own, so a picture is there whole or not at all. Files are never changed and never deleted; what
//! was left half-written by a kill is swept when the book is opened.

use std::fs::{self, File, TryLockError};
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

use chrono::NaiveDateTime;
use sha2::{Digest, Sha256};
use uuid::Uuid;

use super::intake::{hex, sha256};
use super::progress::Watch;
use super::{Note, Options, PhotoError, Prepared, decode, encode, format, jpeg_outline, resize};
use crate::survey::{Photo, is_sha256};

/// The folder of the pictures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoFolder {
    root: PathBuf,
}

/// A picture that is on disk, whole, and so may be recorded in the book. Only
/// [`PhotoFolder::keep`] makes one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    sha256: String,
    width: u32,
    height: u32,
    bytes: u64,
    taken_at: Option<NaiveDateTime>,
    notes: Vec<Note>,
}

impl Kept {
    /// SHA-256 of the file, 64 lower-case hexadecimal digits.
    #[must_use]
    pub fn sha256(&self) -> &str {
        &self.sha256
    }

    /// Width and height in pixels.
    #[must_use]
    pub fn size(&self) -> (u32, u32) {
        (self.width, self.height)
    }

    /// Size of the file.
    #[must_use]
    pub fn bytes(&self) -> u64 {
        self.bytes
    }

    /// When it was taken, by the camera's own clock and in its local time.
    #[must_use]
    pub fn taken_at(&self) -> Option<NaiveDateTime> {
        self.taken_at
    }

    /// What to tell the rep about it.
    #[must_use]
    pub fn notes(&self) -> &[Note] {
        &self.notes
    }
}

/// Beginning of the names of files that are being written.
const PART: &str = ".part-";
const FOLDER: &str = "photos";
const THUMBS: &str = "thumbs";

impl PhotoFolder {
    /// The folder beside a book.
    #[must_use]
    pub fn beside(book: &Path) -> Self {
        Self {
            root: book.with_file_name(FOLDER),
        }
    }

    /// Where the folder is. It is made with the first picture.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.root
    }

    /// Where a picture's file is or would be; `None` for what is not a SHA-256.
    #[must_use]
    pub fn photo(&self, sha256: &str) -> Option<PathBuf> {
        place(&self.root, sha256)
    }

    /// The files of all pictures that are there, without their thumbnails, in order.
    #[must_use]
    pub fn files(&self) -> Vec<PathBuf> {
        let within = |folder: &Path| {
            let entries = fs::read_dir(folder).into_iter().flatten().flatten();
            entries.map(|entry| entry.path()).collect::<Vec<_>>()
        };
        let mut files: Vec<PathBuf> = within(&self.root)
            .iter()
            .flat_map(|folder| within(folder))
            .filter(|file| {
                let sha256 = file.file_stem().and_then(|stem| stem.to_str());
                sha256.and_then(|sha256| self.photo(sha256)).as_ref() == Some(file)
            })
            .collect();
        files.sort();
        files
    }

    /// Where a picture's thumbnail is or would be; `None` for what is not a SHA-256.
    #[must_use]
    pub fn thumbnail(&self, sha256: &str) -> Option<PathBuf> {
        place(&self.root.join(THUMBS), sha256)
    }

    /// Brings a picture and its thumbnail to the disk. When this returns `Ok` both are there to
    /// stay; when it returns an error there is no part of them under a picture's name. The same
    /// picture twice is one file; one that was damaged since is put right.
    ///
    /// # Errors
    /// [`PhotoError::DiskFull`], [`PhotoError::ReadOnly`], [`PhotoError::Io`].
    pub fn keep(&self, picture: &Prepared) -> Result<Kept, PhotoError> {
        let name = &picture.sha256;
        let thumbnail = self.thumbnail(name).ok_or_else(|| lost(name))?;
        let photo = self.photo(name).ok_or_else(|| lost(name))?;
        if !is_whole_jpeg(&thumbnail) {
            self.write(&thumbnail, &picture.thumb)?;
        }
        if self.check(name).is_err() {
            self.write(&photo, &picture.jpeg)?;
        } else {
            // It may have got its name in a process that was killed before the folder was synced.
            sync_folder(&photo)?;
        }
        Ok(Kept {
            sha256: name.clone(),
            width: picture.width,
            height: picture.height,
            bytes: u64::try_from(picture.jpeg.len()).unwrap_or(u64::MAX),
            taken_at: picture.taken_at,
            notes: picture.notes.clone(),
        })
    }

    /// A picture's file, held against its SHA-256.
    ///
    /// # Errors
    /// [`PhotoError::Lost`], [`PhotoError::Altered`], or what the file system says.
    pub fn read(&self, sha: &str) -> Result<Vec<u8>, PhotoError> {
        let path = self.photo(sha).ok_or_else(|| lost(sha))?;
        let bytes = fs::read(&path).map_err(|error| gone(sha, &path, &error))?;
        if sha256(&bytes) != sha {
            return Err(altered(sha));
        }
        Ok(bytes)
    }

    /// A picture's thumbnail: as kept, or made again from the picture when its file is gone or
    /// damaged (and then kept, where the folder can be written).
    ///
    /// # Errors
    /// As [`PhotoFolder::read`]; [`PhotoError::Damaged`].
    pub fn read_thumbnail(&self, sha: &str, options: &Options) -> Result<Vec<u8>, PhotoError> {
        let path = self.thumbnail(sha).ok_or_else(|| lost(sha))?;
        if let Ok(bytes) = fs::read(&path)
            && jpeg_outline::outline(&bytes).is_ok()
        {
            return Ok(bytes);
        }
        let bytes = self.read(sha)?;
        let mut go_on = |_| std::ops::ControlFlow::Continue(());
        let format = format::recognise(&bytes)?;
        let picture = decode::decode(format, &bytes, options, &mut Watch::new(&mut go_on))?;
        let thumb = resize::thumbnail(&picture.pixels, options.thumb_side())?;
        let thumb = encode::jpeg(&thumb, options.quality(), None)?;
        let _ = self.write(&path, &thumb); // It can be made again every time.
        Ok(thumb)
    }

    /// Holds a picture's file against its SHA-256 without taking it into memory; its size.
    ///
    /// # Errors
    /// As [`PhotoFolder::read`].
    pub fn check(&self, sha: &str) -> Result<u64, PhotoError> {
        let path = self.photo(sha).ok_or_else(|| lost(sha))?;
        let wrong = |error: io::Error| gone(sha, &path, &error);
        let mut file = File::open(&path).map_err(wrong)?;
        let mut digest = Sha256::new();
        let mut part = [0; 16 * 1024];
        let mut bytes = 0;
        loop {
            let n = file.read(&mut part).map_err(wrong)?;
            if n == 0 {
                break;
            }
            digest.update(&part[..n]);
            bytes += u64::try_from(n).unwrap_or(0);
        }
        if hex(&digest.finalize()) == sha {
            Ok(bytes)
        } else {
            Err(altered(sha))
        }
    }

    /// What a screen has to say about a picture that it lists: whether its file is there and as
    /// long as its record says, without reading it. [`PhotoFolder::check`] reads it.
    ///
    /// # Errors
    /// [`PhotoError::Lost`], [`PhotoError::Altered`], or what the file system says: each says what
    /// to do.
    pub fn glance(&self, photo: &Photo) -> Result<(), PhotoError> {
        let sha = &photo.sha256;
        let path = self.photo(sha).ok_or_else(|| lost(sha))?;
        let file = fs::metadata(&path).map_err(|error| gone(sha, &path, &error))?;
        if file.is_file() && file.len() == photo.bytes {
            Ok(())
        } else {
            Err(altered(sha))
        }
    }

    /// Copies a picture, and its thumbnail where there is one, into another book's folder.
    ///
    /// # Errors
    /// As [`PhotoFolder::read`] and [`PhotoFolder::keep`].
    pub fn carry(&self, sha: &str, into: &Self) -> Result<(), PhotoError> {
        let bytes = self.read(sha)?;
        if into.check(sha).is_err() {
            into.write(&into.photo(sha).ok_or_else(|| lost(sha))?, &bytes)?;
        }
        if let (Some(from), Some(to)) = (self.thumbnail(sha), into.thumbnail(sha))
            && !to.exists()
            && let Ok(bytes) = fs::read(from)
            && jpeg_outline::outline(&bytes).is_ok()
        {
            into.write(&to, &bytes)?;
        }
        Ok(())
    }

    /// Brings a picture's file from elsewhere to the disk; its bytes are known to have that SHA-256.
    pub(crate) fn put(&self, sha: &str, bytes: &[u8]) -> Result<(), PhotoError> {
        self.write(&self.photo(sha).ok_or_else(|| lost(sha))?, bytes)
    }

    /// Removes a picture's file that was just put here and that no record names.
    pub(crate) fn take_back(&self, sha: &str) {
        if let Some(path) = self.photo(sha) {
            let _ = fs::remove_file(path); // A file more harms nothing.
        }
    }

    /// Removes what was left half-written by a process that was killed; how many files that was.
    /// Files that a living process is writing are left alone, and so is everything else.
    #[allow(clippy::must_use_candidate)] // How many there were is seldom of interest.
    pub fn sweep(&self) -> usize {
        let Ok(entries) = fs::read_dir(&self.root) else {
            return 0;
        };
        let left = entries.flatten().filter(|entry| {
            entry.file_name().to_string_lossy().starts_with(PART)
                && entry.file_type().is_ok_and(|kind| kind.is_file())
        });
        let swept = left.filter(|entry| {
            let path = entry.path();
            let written = File::open(&path).is_ok_and(|file| is_written(&file));
            !written && fs::remove_file(path).is_ok()
        });
        swept.count()
    }

    /// Writes a file so that it is there whole or not at all.
    fn write(&self, to: &Path, bytes: &[u8]) -> Result<(), PhotoError> {
        let wrong = |error: io::Error| PhotoError::writing(&self.root, &error);
        let folder = to.parent().unwrap_or(&self.root);
        make_folder(folder).map_err(wrong)?;
        let part = self.root.join(format!("{PART}{}", Uuid::new_v4()));
        let written = write_part(&part, bytes).and_then(|file| {
            fs::rename(&part, to)?;
            drop(file); // Its lock goes with it, now that it has its name.
            Ok(())
        });
        if written.is_err() {
            let _ = fs::remove_file(&part); // Otherwise it is swept later.
        }
        written.map_err(wrong)?;
        sync_folder(to)
    }
}

/// As long as a picture may take to be written.
const WRITING: Duration = Duration::from_hours(1);

/// Whether a living process is writing the file: it has it locked. Where there are no locks to be had,
/// as on a phone, what was written to lately is left alone.
fn is_written(file: &File) -> bool {
    match file.try_lock() {
        Ok(()) => false,
        Err(TryLockError::WouldBlock) => true,
        Err(TryLockError::Error(_)) => file
            .metadata()
            .and_then(|file| file.modified())
            .is_ok_and(|at| at.elapsed().is_ok_and(|age| age < WRITING)),
    }
}

/// Writes a file and brings it to the disk; it stays locked as long as it is held.
fn write_part(part: &Path, bytes: &[u8]) -> io::Result<File> {
    let mut file = File::create_new(part)?;
    // Tells the sweeping that somebody is at it. Storage without locks does without.
    let _ = file.try_lock();
    file.write_all(bytes)?;
    file.sync_all()?;
    Ok(file)
}

/// Makes a folder and those above it, each brought to the disk in the one above.
fn make_folder(folder: &Path) -> io::Result<()> {
    if folder.is_dir() {
        return Ok(());
    }
    if let Some(above) = folder
        .parent()
        .filter(|above| !above.as_os_str().is_empty())
    {
        make_folder(above)?;
    }
    match fs::create_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        Err(error) => Err(error),
        Ok(()) => sync_above(folder),
    }
}

/// Brings the entry of a file or folder to the disk.
pub(crate) fn sync_above(path: &Path) -> io::Result<()> {
    match path.parent() {
        Some(above) if !above.as_os_str().is_empty() => File::open(above)?.sync_all(),
        _ => File::open(".")?.sync_all(),
    }
}

fn sync_folder(of: &Path) -> Result<(), PhotoError> {
    sync_above(of).map_err(|error| PhotoError::writing(of, &error))
}

/// `folder/ab/abcdef….jpg`.
fn place(folder: &Path, sha256: &str) -> Option<PathBuf> {
    if !is_sha256(sha256) {
        return None; // Nor does a name from elsewhere lead out of the folder.
    }
    Some(folder.join(&sha256[..2]).join(format!("{sha256}.jpg")))
}

fn is_whole_jpeg(path: &Path) -> bool {
    fs::read(path).is_ok_and(|bytes| jpeg_outline::outline(&bytes).is_ok())
}

fn lost(sha: &str) -> PhotoError {
    PhotoError::Lost {
        name: format!("{sha}.jpg"),
    }
}

fn altered(sha: &str) -> PhotoError {
    PhotoError::Altered {
        name: format!("{sha}.jpg"),
    }
}

/// What went wrong with a kept picture's file.
fn gone(sha: &str, path: &Path, error: &io::Error) -> PhotoError {
    match error.kind() {
        io::ErrorKind::NotFound => lost(sha),
        _ => PhotoError::reading(path, error),
    }
}
