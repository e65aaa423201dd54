//! The members of a day file, read with bounds.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use zip::read::ZipFile;
use zip::result::ZipError;
use zip::{CompressionMethod, ZipArchive};

use super::error::{DayFileError, MemberFault};
use super::manifest::{Manifest, MemberSum};
use super::member::{HISTORY, MANIFEST, MOST_MEMBERS, Member, RECORDS};
use super::progress::{Step, Watch, tell};
use super::seal::Source;
use crate::photos::hex;

/// How a ZIP file begins.
const MAGIC: &[u8] = b"PK";

/// A day file's members.
pub(super) struct Reader {
    zip: ZipArchive<Box<dyn Source>>,
    path: PathBuf,
}

impl Reader {
    /// Reads the list of a file's members, refusing what no day file has; their names.
    ///
    /// # Errors
    /// [`DayFileError`].
    pub(super) fn open(
        mut source: Box<dyn Source>,
        path: &Path,
    ) -> Result<(Self, BTreeSet<String>), DayFileError> {
        let wrong = |error: io::Error| DayFileError::io(path, &error);
        let mut start = Vec::new();
        source
            .by_ref()
            .take(MAGIC.len() as u64)
            .read_to_end(&mut start)
            .map_err(|error| unlocking(path, &error))?;
        if start != MAGIC {
            return Err(DayFileError::NotADayFile);
        }
        source.seek(SeekFrom::Start(0)).map_err(wrong)?;
        let mut zip = ZipArchive::new(source).map_err(|error| zip_error(path, error))?;
        if zip.has_duplicate_names() {
            return Err(match twice(zip) {
                Some(name) => DayFileError::member(&name, MemberFault::Twice),
                None => DayFileError::CutOff {
                    detail: "two of its members have one name".to_owned(),
                },
            });
        }
        let names = names(&zip, path)?;
        zip.validate_header_consistency()
            .map_err(|error| zip_error(path, error))?;
        let reader = Self {
            zip,
            path: path.to_owned(),
        };
        Ok((reader, names))
    }

    /// A member whole, unless it has more than `most` bytes.
    ///
    /// # Errors
    /// [`DayFileError::Member`]; what the file system says.
    pub(super) fn whole(&mut self, name: &str, most: u64) -> Result<Vec<u8>, DayFileError> {
        let mut bytes = Vec::new();
        let member = self.member(name)?;
        let read = member.take(most.saturating_add(1)).read_to_end(&mut bytes);
        read.map_err(|error| self.reading(name, &error))?;
        if bytes.len() as u64 > most {
            return Err(DayFileError::member(name, MemberFault::TooLarge { most }));
        }
        Ok(bytes)
    }

    /// Reads every listed member and holds it against its sum; the texts that are used afterwards,
    /// by name.
    ///
    /// # Errors
    /// [`DayFileError`], which names the member at fault.
    pub(super) fn verify(
        &mut self,
        manifest: &Manifest,
        watch: &mut Watch<'_>,
    ) -> Result<BTreeMap<String, Vec<u8>>, DayFileError> {
        let of = manifest
            .members
            .values()
            .fold(0_u64, |sum, member| sum.saturating_add(member.bytes));
        let mut done = 0;
        let mut texts = BTreeMap::new();
        tell(watch, Step::Verifying, 0, of)?;
        for (name, sum) in &manifest.members {
            let keep = name == RECORDS || name == HISTORY;
            let mut text = Vec::new();
            let mut each = |bytes: &[u8]| {
                done += bytes.len() as u64;
                if keep {
                    text.extend_from_slice(bytes);
                }
                tell(watch, Step::Verifying, done, of)
            };
            self.verify_one(name, sum, &mut each)?;
            if keep {
                texts.insert(name.clone(), text);
            }
        }
        Ok(texts)
    }

    fn verify_one(
        &mut self,
        name: &str,
        sum: &MemberSum,
        each: &mut dyn FnMut(&[u8]) -> Result<(), DayFileError>,
    ) -> Result<(), DayFileError> {
        let altered = || DayFileError::member(name, MemberFault::Altered);
        let mut member = self.member(name)?;
        if member.size() != sum.bytes {
            return Err(altered());
        }
        let mut digest = Sha256::new();
        let mut part = vec![0; 64 * 1024];
        let mut bytes = 0_u64;
        loop {
            let n = match member.read(&mut part) {
                Ok(0) => break,
                Ok(n) => n,
                Err(error) => {
                    drop(member);
                    return Err(self.reading(name, &error));
                }
            };
            bytes += n as u64;
            if bytes > sum.bytes {
                return Err(altered());
            }
            digest.update(&part[..n]);
            each(&part[..n])?;
        }
        if bytes != sum.bytes || hex(&digest.finalize()) != sum.sha256 {
            return Err(altered());
        }
        Ok(())
    }

    fn member(&mut self, name: &str) -> Result<ZipFile<'_, Box<dyn Source>>, DayFileError> {
        self.zip.by_name(name).map_err(|error| match error {
            ZipError::FileNotFound => DayFileError::member(name, MemberFault::Missing),
            ZipError::Io(error) if error.kind() != io::ErrorKind::UnexpectedEof => {
                DayFileError::io(&self.path, &error)
            }
            _ => DayFileError::member(name, MemberFault::Altered),
        })
    }

    /// What went wrong while a member's bytes were read: the storage, or the bytes.
    fn reading(&self, name: &str, error: &io::Error) -> DayFileError {
        match error.kind() {
            io::ErrorKind::InvalidData
            | io::ErrorKind::InvalidInput
            | io::ErrorKind::UnexpectedEof
            | io::ErrorKind::Other => DayFileError::member(name, MemberFault::Altered),
            _ => DayFileError::io(&self.path, error),
        }
    }
}

/// The names of the members, each of which is looked at without being read.
fn names(zip: &ZipArchive<Box<dyn Source>>, path: &Path) -> Result<BTreeSet<String>, DayFileError> {
    if zip.len() > MOST_MEMBERS {
        return Err(DayFileError::TooMany {
            found: zip.len(),
            most: MOST_MEMBERS,
        });
    }
    let mut names = BTreeSet::new();
    for n in 0..zip.len() {
        let file = zip
            .by_index_data(n)
            .map_err(|error| zip_error(path, error))?;
        let raw = String::from_utf8_lossy(file.name_raw()).into_owned();
        let fault = |fault| Err(DayFileError::member(&raw, fault));
        let Some(member) = Member::of(&raw) else {
            return fault(MemberFault::Name);
        };
        if file.is_symlink() || file.is_dir() {
            return fault(MemberFault::NotAFile("a link or a folder"));
        }
        if file.encrypted() {
            return fault(MemberFault::NotAFile("locked by itself"));
        }
        if !matches!(
            file.compression(),
            CompressionMethod::Stored | CompressionMethod::Deflated
        ) {
            return fault(MemberFault::NotAFile("packed in an unknown way"));
        }
        if file.size() > member.most() {
            return fault(MemberFault::TooLarge {
                most: member.most(),
            });
        }
        names.insert(raw);
    }
    if names.contains(MANIFEST) {
        Ok(names)
    } else {
        Err(DayFileError::NotADayFile)
    }
}

/// The first name that the list of members has twice. (The library tells only that there is one.)
fn twice(zip: ZipArchive<Box<dyn Source>>) -> Option<String> {
    // The record of a member in the list, after the ZIP specification (APPNOTE.TXT 4.3.12): a
    // signature, and the lengths of name, extra field and comment at 28, 30 and 32.
    const SIGNATURE: &[u8] = b"PK\x01\x02";
    const FIXED: usize = 46;
    let mut names = BTreeSet::new();
    let start = zip.central_directory_start();
    let mut source = zip.into_inner();
    source.seek(SeekFrom::Start(start)).ok()?;
    loop {
        let mut fixed = [0; FIXED];
        source.read_exact(&mut fixed).ok()?;
        if !fixed.starts_with(SIGNATURE) {
            return None;
        }
        let length = |at: usize| usize::from(u16::from_le_bytes([fixed[at], fixed[at + 1]]));
        let mut rest = vec![0; length(28) + length(30) + length(32)];
        source.read_exact(&mut rest).ok()?;
        rest.truncate(length(28));
        if !names.insert(rest.clone()) {
            return Some(String::from_utf8_lossy(&rest).into_owned());
        }
    }
}

fn zip_error(path: &Path, error: ZipError) -> DayFileError {
    match error {
        ZipError::Io(error) => unlocking(path, &error),
        error => DayFileError::CutOff {
            detail: error.to_string(),
        },
    }
}

/// What went wrong while reading: the storage, or the bytes (which a locked file tells so).
fn unlocking(path: &Path, error: &io::Error) -> DayFileError {
    match error.kind() {
        io::ErrorKind::InvalidData
        | io::ErrorKind::InvalidInput
        | io::ErrorKind::UnexpectedEof
        | io::ErrorKind::Other => DayFileError::CutOff {
            detail: error.to_string(),
        },
        _ => DayFileError::io(path, error),
    }
}
