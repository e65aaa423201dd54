//! Writing a day file.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, BufWriter, Seek, Write};
use std::path::{Path, PathBuf};

use chrono::{Datelike, Timelike, Utc};
use serde::Serialize;
use sha2::{Digest, Sha256};
use zip::result::ZipError;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use super::error::DayFileError;
use super::manifest::{Manifest, MemberSum, PhotoLeftOut, VisitInFile};
use super::member::{self, HISTORY, LOADS, MANIFEST, Member, READINGS, RECORDS};
use super::progress::{Step, Watch, tell};
use super::until_failed::UntilFailed;
use super::{RecordsFile, seal, tables};
use crate::book::{Book, Journal};
use crate::photos::{PhotoError, hex, sync_above};
use crate::survey::{Id, Moment, RecordSet, Visit};

/// A report to go with the records, for people.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportFile {
    /// What it is of; the name of its file is made from it.
    pub title: String,
    /// The PDF.
    pub pdf: Vec<u8>,
}

/// What goes into a day file.
#[derive(Clone, Default)]
pub struct DayFile {
    /// The visits, with everything on them, also what was set aside.
    pub visits: Vec<Id<Visit>>,
    /// Reports to go with them.
    pub reports: Vec<ReportFile>,
    /// The passphrase to lock it with; `None` or empty for none.
    pub passphrase: Option<String>,
}

/// What was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written {
    /// Its manifest.
    pub manifest: Manifest,
    /// Size of the file in bytes.
    pub bytes: u64,
}

impl DayFile {
    /// Writes the day file to `path`, where there must be none yet. It has that name only once it
    /// is whole and on the disk.
    ///
    /// Pictures whose file is gone or damaged are left out and told in the manifest, so that a bad
    /// spot in the storage never keeps the rest from being sent.
    ///
    /// # Errors
    /// [`DayFileError`]; there is no file then.
    pub fn write(
        &self,
        book: &Book,
        path: &Path,
        watch: &mut Watch<'_>,
    ) -> Result<Written, DayFileError> {
        let passphrase = seal::passphrase(self.passphrase.as_deref())?;
        if path.symlink_metadata().is_ok() {
            return Err(already_there(path));
        }
        tell(watch, Step::Records, 0, 1)?;
        let content = self.content(book)?;
        let part = part_of(path);
        let written = content
            .write(book, &part, passphrase, watch)
            .and_then(|manifest| {
                tell(watch, Step::Photos, content.photos(), content.photos())?;
                let bytes = fs::metadata(&part).map_or(0, |file| file.len());
                give_name(&part, path)?;
                Ok(Written { manifest, bytes })
            });
        if written.is_err() {
            let _ = fs::remove_file(&part);
        }
        written
    }

    /// Everything but the pictures' files.
    fn content(&self, book: &Book) -> Result<Content<'_>, DayFileError> {
        let chosen: BTreeSet<Id<Visit>> = self.visits.iter().copied().collect();
        if chosen.is_empty() {
            return Err(DayFileError::NothingChosen);
        }
        let chosen: Vec<Id<Visit>> = chosen.into_iter().collect();
        let journal = book.journal(&chosen)?;
        let records = journal.records()?;
        let mut visits: Vec<VisitInFile> = records
            .visits
            .iter()
            .filter(|visit| chosen.contains(&visit.id))
            .map(|visit| VisitInFile {
                id: visit.id,
                customer: visit.customer.clone(),
                site: visit.site.clone(),
                date: visit.date,
            })
            .collect();
        visits.sort_by_key(|visit| (visit.date, visit.id));
        let mut manifest = Manifest::new(book.now(), book.device(), visits);
        manifest.records = records
            .counts()
            .into_iter()
            .filter(|(_, count)| *count > 0)
            .map(|(kind, count)| (kind.as_str().to_owned(), count as u64))
            .collect();
        Ok(Content {
            records: RecordsFile::new(records),
            journal,
            reports: &self.reports,
            manifest,
        })
    }
}

/// What goes into a day file, but for the pictures' files.
struct Content<'f> {
    records: RecordsFile,
    journal: Journal,
    reports: &'f [ReportFile],
    manifest: Manifest,
}

impl Content<'_> {
    fn photos(&self) -> u64 {
        self.records.records.photos.len() as u64
    }

    /// Writes it all and brings it to the disk.
    fn write(
        &self,
        book: &Book,
        path: &Path,
        passphrase: Option<&str>,
        watch: &mut Watch<'_>,
    ) -> Result<Manifest, DayFileError> {
        let wrong = |error: io::Error| DayFileError::io(path, &error);
        let file = UntilFailed::new(File::create(path).map_err(wrong)?);
        let file = BufWriter::with_capacity(256 * 1024, file);
        let (manifest, file) = match passphrase {
            None => {
                let mut members = Members::new(ZipWriter::new(file), path, self.manifest.made);
                let manifest = self.fill(book, &mut members, watch)?;
                (manifest, members.finish()?)
            }
            Some(passphrase) => {
                // What is locked cannot be gone back in.
                let locked = seal::lock(file, passphrase).map_err(wrong)?;
                let zip = ZipWriter::new_stream(locked);
                let mut members = Members::new(zip, path, self.manifest.made);
                let manifest = self.fill(book, &mut members, watch)?;
                let locked = members.finish()?.into_inner();
                (manifest, locked.finish().map_err(wrong)?)
            }
        };
        let file = file
            .into_inner()
            .map_err(|error| wrong(error.into_error()))?;
        let file = file.into_inner().map_err(wrong)?;
        file.sync_all().map_err(wrong)?;
        Ok(manifest)
    }

    /// Writes the members, the manifest as the last.
    fn fill<W: Write + Seek>(
        &self,
        book: &Book,
        members: &mut Members<'_, W>,
        watch: &mut Watch<'_>,
    ) -> Result<Manifest, DayFileError> {
        let mut manifest = self.manifest.clone();
        members.json(HISTORY, &self.journal)?;
        let records = &self.records.records;
        members.bytes(LOADS, &tables::loads(records)?, true)?;
        members.bytes(READINGS, &tables::readings(records)?, true)?;
        members.json(RECORDS, &self.records)?;
        let mut names = BTreeSet::new();
        for report in self.reports {
            let name = free_name(&report.title, &mut names);
            members.bytes(&name, &report.pdf, false)?;
        }
        let folder = book.photo_folder();
        let photos = photo_names(records);
        for (done, sha256) in (0..).zip(&photos) {
            tell(watch, Step::Photos, done, photos.len() as u64)?;
            match folder.read(sha256) {
                Ok(bytes) => members.photo(sha256, &bytes)?,
                Err(error @ (PhotoError::Lost { .. } | PhotoError::Altered { .. })) => {
                    manifest.photos_left_out.push(PhotoLeftOut {
                        sha256: (*sha256).to_owned(),
                        why: error.to_string(),
                    });
                }
                Err(error) => return Err(error.into()),
            }
        }
        manifest.members = members.sums.iter().cloned().collect();
        members.json(MANIFEST, &manifest)?;
        Ok(manifest)
    }
}

/// The pictures' files, each once, in order.
pub(super) fn photo_names(records: &RecordSet) -> BTreeSet<&str> {
    let photos = records.photos.iter();
    photos.map(|photo| photo.sha256.as_str()).collect()
}

/// The members on their way into the file.
struct Members<'p, W: Write + Seek> {
    zip: ZipWriter<W>,
    path: &'p Path,
    made: DateTime,
    sums: Vec<(String, MemberSum)>,
}

impl<'p, W: Write + Seek> Members<'p, W> {
    fn new(zip: ZipWriter<W>, path: &'p Path, made: Moment) -> Self {
        Self {
            zip,
            path,
            made: zip_time(made),
            sums: Vec::new(),
        }
    }

    fn start(&mut self, name: &str, packed: bool) -> Result<(), DayFileError> {
        let options = SimpleFileOptions::default()
            .compression_method(if packed {
                CompressionMethod::Deflated
            } else {
                CompressionMethod::Stored
            })
            .last_modified_time(self.made)
            .unix_permissions(0o644);
        self.zip
            .start_file(name, options)
            .map_err(|error| zip_error(self.path, error))
    }

    fn store(&mut self, name: &str, bytes: &[u8], packed: bool) -> Result<(), DayFileError> {
        self.start(name, packed)?;
        self.zip
            .write_all(bytes)
            .map_err(|error| DayFileError::io(self.path, &error))
    }

    fn bytes(&mut self, name: &str, bytes: &[u8], packed: bool) -> Result<(), DayFileError> {
        self.store(name, bytes, packed)?;
        self.add(name, bytes.len() as u64, hex(&Sha256::digest(bytes)))
    }

    /// Writes a picture whose bytes were just held against its SHA-256.
    fn photo(&mut self, sha256: &str, bytes: &[u8]) -> Result<(), DayFileError> {
        let name = member::photo(sha256);
        self.store(&name, bytes, false)?;
        self.add(&name, bytes.len() as u64, sha256.to_owned())
    }

    /// Writes a text as it is made, without taking it into memory.
    fn json(&mut self, name: &str, content: &impl Serialize) -> Result<(), DayFileError> {
        self.start(name, true)?;
        let mut summed = Summed {
            to: &mut self.zip,
            digest: Sha256::new(),
            bytes: 0,
        };
        let buffered = BufWriter::with_capacity(64 * 1024, &mut summed);
        write_json(buffered, content).map_err(|error| DayFileError::io(self.path, &error))?;
        let (digest, bytes) = (summed.digest.finalize(), summed.bytes);
        self.add(name, bytes, hex(&digest))
    }

    fn add(&mut self, name: &str, bytes: u64, sha256: String) -> Result<(), DayFileError> {
        let most = Member::of(name).map_or(0, Member::most);
        if bytes > most {
            return Err(DayFileError::TooMuch {
                member: name.to_owned(),
            });
        }
        self.sums
            .push((name.to_owned(), MemberSum { bytes, sha256 }));
        Ok(())
    }

    fn finish(self) -> Result<W, DayFileError> {
        let path = self.path;
        self.zip.finish().map_err(|error| zip_error(path, error))
    }
}

/// One field a line: what is in a file that people may open is to be read by people.
fn write_json(mut to: impl Write, content: &impl Serialize) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut to, content)?;
    to.write_all(b"\n")?;
    to.flush()
}

/// Takes the sum of what goes through.
struct Summed<W> {
    to: W,
    digest: Sha256,
    bytes: u64,
}

impl<W: Write> Write for Summed<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.to.write(bytes)?;
        self.digest.update(&bytes[..written]);
        self.bytes += written as u64;
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

/// A report's name that none before it has.
fn free_name(title: &str, taken: &mut BTreeSet<String>) -> String {
    let mut name = member::report(title);
    for n in 2.. {
        if taken.insert(name.clone()) {
            break;
        }
        name = member::report(&format!("{n} {title}"));
    }
    name
}

/// The time in the members, which the ZIP format knows from 1980 to 2107 and without a zone: UTC, so
/// that the same content at the same moment makes the same file.
fn zip_time(made: Moment) -> DateTime {
    let at = made.date_time().with_timezone(&Utc);
    let part = |value: u32| u8::try_from(value).unwrap_or(0);
    u16::try_from(at.year())
        .ok()
        .and_then(|year| {
            DateTime::from_date_and_time(
                year,
                part(at.month()),
                part(at.day()),
                part(at.hour()),
                part(at.minute()),
                part(at.second()),
            )
            .ok()
        })
        .unwrap_or_default()
}

fn zip_error(path: &Path, error: ZipError) -> DayFileError {
    match error {
        ZipError::Io(error) => DayFileError::io(path, &error),
        error => DayFileError::Io {
            path: path.to_owned(),
            detail: error.to_string(),
        },
    }
}

/// Writes a file that is made already, whole or not at all: it has its name once it is on the disk.
///
/// # Errors
/// [`DayFileError::AlreadyThere`]; what the file system says.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), DayFileError> {
    if path.symlink_metadata().is_ok() {
        return Err(already_there(path));
    }
    let part = part_of(path);
    let written = File::create(&part)
        .and_then(|mut file| {
            file.write_all(bytes)?;
            file.sync_all()
        })
        .map_err(|error| DayFileError::io(path, &error))
        .and_then(|()| give_name(&part, path));
    if written.is_err() {
        let _ = fs::remove_file(&part);
    }
    written
}

fn already_there(path: &Path) -> DayFileError {
    DayFileError::AlreadyThere {
        path: path.to_owned(),
    }
}

/// The name it has while it is being written. What a killed process left there is written over.
fn part_of(path: &Path) -> PathBuf {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    path.with_file_name(name)
}

/// Gives the written file its name, unless there came to be a file of that name meanwhile.
fn give_name(part: &Path, path: &Path) -> Result<(), DayFileError> {
    let wrong = |error: io::Error| DayFileError::io(path, &error);
    match fs::hard_link(part, path) {
        Ok(()) => {
            let _ = fs::remove_file(part); // It has its name; this was the other one.
        }
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            return Err(already_there(path));
        }
        // Storage without links, such as a memory card.
        Err(_) => fs::rename(part, path).map_err(wrong)?,
    }
    sync_above(path).map_err(wrong)
}
