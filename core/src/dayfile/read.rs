//! Reading a day file: all of it is verified before any of it is used.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::RecordsFile;
use super::error::{DayFileError, MemberFault};
use super::manifest::{Manifest, MemberSum};
use super::member::{self, HISTORY, MANIFEST, Member, RECORDS};
use super::progress::{Progress, Step, Watch, tell};
use super::reader::Reader;
use super::seal::{self, Source};
use super::write::photo_names;
use crate::book::{Book, Journal, Merged};
use crate::photos::{PhotoFolder, hex};
use crate::survey::{EachKind, Entity, Id, Record, RecordSet};

/// A day file that was read and verified whole.
pub struct VerifiedDayFile {
    reader: Reader,
    manifest: Manifest,
    records: RecordSet,
    journal: Journal,
}

/// What taking in a day file did.
#[derive(Debug, Clone, PartialEq)]
pub struct TakenIn {
    /// What came of the records.
    pub merged: Merged,
    /// Pictures whose file this book did not have.
    pub photos_added: usize,
    /// Pictures whose file it had.
    pub photos_known: usize,
}

impl VerifiedDayFile {
    /// Reads a day file and verifies every byte of it.
    ///
    /// # Errors
    /// [`DayFileError`], which names the member at fault.
    pub fn open(
        path: &Path,
        passphrase: Option<&str>,
        watch: &mut Watch<'_>,
    ) -> Result<Self, DayFileError> {
        let file = File::open(path).map_err(|error| DayFileError::io(path, &error))?;
        Self::read(file, path, passphrase, watch)
    }

    /// As [`VerifiedDayFile::open`], from bytes in memory.
    ///
    /// # Errors
    /// As [`VerifiedDayFile::open`].
    pub fn from_bytes(
        bytes: Vec<u8>,
        passphrase: Option<&str>,
        watch: &mut Watch<'_>,
    ) -> Result<Self, DayFileError> {
        let path = Path::new("the day file");
        Self::read(io::Cursor::new(bytes), path, passphrase, watch)
    }

    fn read(
        source: impl Source + 'static,
        path: &Path,
        passphrase: Option<&str>,
        watch: &mut Watch<'_>,
    ) -> Result<Self, DayFileError> {
        let source = seal::open(source, path, passphrase)?;
        let (mut reader, members) = Reader::open(source, path)?;
        let manifest = Manifest::read(&reader.whole(MANIFEST, Member::Manifest.most())?)?;
        listed(&manifest, &members)?;
        let mut texts = reader.verify(&manifest, watch)?;
        let records = records(&texts.remove(RECORDS).unwrap_or_default())?;
        let journal: Journal = serde_json::from_slice(&texts.remove(HISTORY).unwrap_or_default())
            .map_err(|error| {
            DayFileError::member(HISTORY, MemberFault::Form(error.to_string()))
        })?;
        drop(texts);
        same_story(&records, &journal)?;
        photos_belong(&records, &manifest)?;
        Ok(Self {
            reader,
            manifest,
            records,
            journal,
        })
    }

    /// Its list of members.
    #[must_use]
    pub fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// The records in it.
    #[must_use]
    pub fn records(&self) -> &RecordSet {
        &self.records
    }

    /// Takes it into a book: first the pictures' files, then, in one transaction, everything else.
    /// Taking in the same file again changes nothing.
    ///
    /// # Errors
    /// [`DayFileError`]; the book is as it was then.
    pub fn take_into(
        mut self,
        book: &mut Book,
        watch: &mut Watch<'_>,
    ) -> Result<TakenIn, DayFileError> {
        let folder = book.photo_folder();
        let mut added = Vec::new();
        let taken = self
            .keep_photos(&folder, &mut added, watch)
            .and_then(|known| {
                tell(watch, Step::Merging, 0, 1)?;
                let merged = book.merge(&self.journal)?;
                Ok((merged, known))
            });
        match taken {
            Ok((merged, photos_known)) => {
                // It is done; whoever calls it off now is too late.
                let _ = watch(Progress {
                    step: Step::Merging,
                    done: 1,
                    of: 1,
                });
                Ok(TakenIn {
                    merged,
                    photos_added: added.len(),
                    photos_known,
                })
            }
            Err(error) => {
                for sha256 in added {
                    folder.take_back(&sha256);
                }
                Err(error)
            }
        }
    }

    /// Keeps the pictures' files that the book does not have; how many it had. Those that were put
    /// there are told in `added`, also when this fails.
    fn keep_photos(
        &mut self,
        folder: &PhotoFolder,
        added: &mut Vec<String>,
        watch: &mut Watch<'_>,
    ) -> Result<usize, DayFileError> {
        let mut known = 0;
        let photos: Vec<(&String, &MemberSum)> = self
            .manifest
            .members
            .iter()
            .filter(|(name, _)| matches!(Member::of(name), Some(Member::Photo(_))))
            .collect();
        for (done, (name, sum)) in (0..).zip(&photos) {
            tell(watch, Step::KeepingPhotos, done, photos.len() as u64)?;
            if folder.check(&sum.sha256).is_ok() {
                known += 1;
                continue;
            }
            let bytes = self.reader.whole(name, sum.bytes)?;
            if hex(&Sha256::digest(&bytes)) != sum.sha256 {
                return Err(DayFileError::member(name, MemberFault::Altered));
            }
            added.push(sum.sha256.clone());
            folder.put(&sum.sha256, &bytes)?;
        }
        Ok(known)
    }
}

/// Holds the list of members against the members.
fn listed(manifest: &Manifest, members: &BTreeSet<String>) -> Result<(), DayFileError> {
    for name in [RECORDS, HISTORY] {
        if !manifest.members.contains_key(name) {
            return Err(DayFileError::member(name, MemberFault::Missing));
        }
    }
    for name in members {
        if name != MANIFEST && !manifest.members.contains_key(name) {
            return Err(DayFileError::member(name, MemberFault::NotListed));
        }
    }
    match manifest
        .members
        .keys()
        .find(|name| !members.contains(*name))
    {
        Some(name) => Err(DayFileError::member(name, MemberFault::Missing)),
        None => Ok(()),
    }
}

fn records(bytes: &[u8]) -> Result<RecordSet, DayFileError> {
    RecordsFile::read(bytes)
        .map(|file| file.records)
        .map_err(|error| DayFileError::member(RECORDS, MemberFault::Records(error)))
}

/// Holds the pictures against the records: each belongs to one, and none is missing that was not
/// told to be.
fn photos_belong(records: &RecordSet, manifest: &Manifest) -> Result<(), DayFileError> {
    let named = photo_names(records);
    let mut there = BTreeSet::new();
    for name in manifest.members.keys() {
        if let Some(Member::Photo(sha256)) = Member::of(name) {
            if !named.contains(sha256) {
                return Err(DayFileError::member(name, MemberFault::NoRecord));
            }
            there.insert(sha256);
        }
    }
    let left_out = manifest.photos_left_out.iter();
    there.extend(left_out.map(|photo| photo.sha256.as_str()));
    match named.difference(&there).next() {
        Some(sha256) => Err(DayFileError::member(
            &member::photo(sha256),
            MemberFault::Missing,
        )),
        None => Ok(()),
    }
}

/// Holds the records against their history: whoever alters one does not alter the other.
fn same_story(records: &RecordSet, journal: &Journal) -> Result<(), DayFileError> {
    let mut told = journal.records()?;
    let mut differing = Differing { told: &mut told };
    records
        .visit_kinds(&mut differing)
        .map_err(|record| DayFileError::TwoStories { record })
}

/// Finds the first record that the history tells otherwise.
struct Differing<'t> {
    told: &'t mut RecordSet,
}

impl EachKind for Differing<'_> {
    type Error = String;

    fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), String> {
        let mut told: BTreeMap<Id<T>, Record<T>> = self
            .told
            .list_mut::<T>()
            .map(std::mem::take)
            .unwrap_or_default()
            .into_iter()
            .map(|record| (record.id, record))
            .collect();
        let shown = |id: Id<T>| format!("the {} {id}", T::KIND.as_str().replace('_', " "));
        for record in records {
            if told.remove(&record.id).as_ref() != Some(record) {
                return Err(shown(record.id)); // Also what is in it twice.
            }
        }
        told.into_keys().next().map_or(Ok(()), |id| Err(shown(id)))
    }
}
